"""What a technician should know about a string's window, one sentence each."""

from __future__ import annotations

from collections.abc import Iterator

from logic.bench.instrument.fret_names import fret_names
from logic.bench.instrument.targets import Aim, has_bowed_figures
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.edges import Playing, WindowEdges
from logic.bench.window.remedies import what_would_open
from logic.physics.strings import Wire
from shared.amounts import CentsAmount, InTradeUnits, computed
from shared.instrument import Instrument, Player, StringSpec
from shared.words import say


def notes(
    spec: StringSpec, playing: Playing, edges: WindowEdges, aimed: Aim, target_mm: float
) -> str:
    """All that applies, most pressing first; empty for an ordinary string."""
    sentences = (
        *_breaks(edges.strung.wire),
        *_closed(spec, playing, edges),
        *filter(None, (own_note(aimed),)),
        *_own_outside(spec, playing, edges, aimed),
        *_moved(edges, aimed, target_mm),
        *_elsewhere(spec, playing, edges, aimed),
        bow_note(playing.instrument, playing.player, playing.trade),
    )
    return " ".join(filter(None, sentences))


def bow_note(instrument: Instrument, player: Player, trade: TradeTables) -> str:
    """That the figures are those of plucked strings, where a bow plays and the table has none of
    its own; else empty."""
    if not player.bowed or has_bowed_figures(instrument, trade):
        return ""
    return say("Played with a bow, which is not reckoned here: these are figures of plucking.")


def own_note(aimed: Aim) -> str:
    """Whose target it is where it is an own one, and what it would be; else empty."""
    if aimed.own_mm is None:
        return ""
    usual = _clearance(aimed.usual_mm)
    return say("Own target of this player; common practice is {usual}.", usual=usual)


def _clearance(mm: float) -> InTradeUnits:
    """A clearance, rounded as a plan publishes it: its table then rounds the same figure."""
    return InTradeUnits(computed(round(mm, 4)))


def _breaks(wire: Wire) -> Iterator[str]:
    if wire.overloaded and wire.breaking_mpa is not None:
        yield say(
            "At this pitch the string would bear {stress:.0f} N/mm² and is sold to bear"
            " {breaking:.0f}: expect it to break.",
            stress=wire.stress_mpa,
            breaking=wire.breaking_mpa,
        )


def _closed(spec: StringSpec, playing: Playing, edges: WindowEdges) -> Iterator[str]:
    if edges.meet:
        return
    yield say(
        "No clearance is both clean and in tune: clean from {low}, within {cents} up to {high}.",
        low=_clearance(edges.low.clearance_mm),
        cents=CentsAmount(edges.allowed_cents, ".0f"),
        high=_clearance(edges.high.clearance_mm),
    )
    changes = "; ".join(what_would_open(spec, playing, edges))
    none = say("No single change would give one.")
    yield say("Would change it: {ways}.", ways=changes) if changes else none


def _own_outside(
    spec: StringSpec, playing: Playing, edges: WindowEdges, aimed: Aim
) -> Iterator[str]:
    if aimed.own_mm is None:
        return
    if aimed.own_mm < edges.low.clearance_mm:
        low = _clearance(edges.low.clearance_mm)
        yield say("Your own target stands; at this attack expect clean only from {low}.", low=low)
    elif aimed.own_mm > edges.high.clearance_mm:
        yield say(
            "Your own target stands; beyond {high} fret {first} is more than {cents} sharp.",
            first=fret_names(playing.instrument, spec.string).first,
            high=_clearance(edges.high.clearance_mm),
            cents=CentsAmount(edges.allowed_cents, ".0f"),
        )


def _moved(edges: WindowEdges, aimed: Aim, target_mm: float) -> Iterator[str]:
    if aimed.own_mm is not None or not edges.meet or abs(target_mm - aimed.usual_mm) < 1e-9:
        return
    usual = _clearance(aimed.usual_mm)
    if target_mm > aimed.usual_mm:
        yield say("Common practice is {usual}; moved to stay clean on this string.", usual=usual)
    else:
        yield say("Common practice is {usual}; moved to stay in tune on this string.", usual=usual)


def _elsewhere(spec: StringSpec, playing: Playing, edges: WindowEdges, aimed: Aim) -> Iterator[str]:
    neck_from = playing.trade.attack.neck_from_fret
    if edges.low.fret >= neck_from and edges.low.clearance_mm > aimed.usual_mm:
        frets = fret_names(playing.instrument, spec.string)
        yield say(
            "Fret {fret} would be touched before fret {first}: look at relief and action first.",
            fret=frets.of(edges.low.fret),
            first=frets.first,
        )

"""What a technician should know about a string's window, one sentence each."""

from __future__ import annotations

from collections.abc import Iterator

from logic.bench.edges import Edges, Playing
from logic.bench.remedies import what_would_open
from logic.bench.targets import Aim
from logic.physics.strings import Wire
from shared.instrument import StringSpec

_THIRD_FRET = 3
"""From here on the saddle and relief say more about the gap than the nut does."""


def notes(spec: StringSpec, playing: Playing, edges: Edges, aimed: Aim, target_mm: float) -> str:
    """All that applies, most pressing first; empty for an ordinary string."""
    said = (
        *_breaks(edges.strung.wire),
        *_closed(spec, playing, edges),
        *_own_outside(edges, aimed),
        *_moved(edges, aimed, target_mm),
        *_elsewhere(edges, aimed),
    )
    return " ".join(said)


def both(length_mm: float) -> str:
    """A length in the two units of the trade."""
    return f"{length_mm:.2f} mm ({length_mm / 0.0254:.0f} thou)"


def _breaks(wire: Wire) -> Iterator[str]:
    if wire.overloaded and wire.breaking_mpa is not None:
        yield (
            f"At this pitch the string would bear {wire.stress_mpa:.0f} N/mm² and is sold to bear"
            f" {wire.breaking_mpa:.0f}: expect it to break."
        )


def _closed(spec: StringSpec, playing: Playing, edges: Edges) -> Iterator[str]:
    if edges.meet:
        return
    yield (
        f"No clearance is both clean and in tune: clean from {both(edges.low.clearance_mm)},"
        f" within {edges.budget_cents:.0f} cents up to {both(edges.high.clearance_mm)}."
    )
    ways = what_would_open(spec, playing, edges)
    yield f"Would change it: {'; '.join(ways)}." if ways else "No single change would give one."


def _own_outside(edges: Edges, aimed: Aim) -> Iterator[str]:
    if aimed.own_mm is None:
        return
    if aimed.own_mm < edges.low.clearance_mm:
        low = both(edges.low.clearance_mm)
        yield f"Your own target stands; at this attack expect clean only from {low}."
    elif aimed.own_mm > edges.high.clearance_mm:
        yield (
            f"Your own target stands; beyond {both(edges.high.clearance_mm)} fret 1 is more than"
            f" {edges.budget_cents:.0f} cents sharp."
        )


def _moved(edges: Edges, aimed: Aim, target_mm: float) -> Iterator[str]:
    if aimed.own_mm is not None or not edges.meet or abs(target_mm - aimed.usual_mm) < 1e-9:
        return
    why = "stay clean" if target_mm > aimed.usual_mm else "stay in tune"
    yield f"Common practice is {both(aimed.usual_mm)}; moved to {why} on this string."


def _elsewhere(edges: Edges, aimed: Aim) -> Iterator[str]:
    if edges.low.fret >= _THIRD_FRET and edges.low.clearance_mm > aimed.usual_mm:
        fret = edges.low.fret
        yield f"Fret {fret} would be touched before fret 1: look at relief and action first."

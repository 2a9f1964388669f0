"""What could be different about an instrument and its player; the record stays untouched."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from logic.bench.instrument.action import action_12_mm
from logic.bench.instrument.frets import own_semitones
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import Neck
from shared.errors import InputError
from shared.instrument import Attack, Instrument, Player, StringSpec
from shared.pitch import Pitch
from shared.units import Length
from shared.words import say


@dataclass(frozen=True)
class Changes:
    """Everything that is to be different; what is left out stays as it is."""

    attack: Attack | None = None
    pitches: Mapping[int, Pitch] = field(default_factory=dict)
    gauges: Mapping[int, Length] = field(default_factory=dict)
    relief: Length | None = None
    targets: Mapping[int, Length] = field(default_factory=dict)
    budget_cents: float | None = None

    def __bool__(self) -> bool:
        return self != Changes()


def changed_instrument(instrument: Instrument, changes: Changes, trade: TradeTables) -> Instrument:
    """The instrument so changed; InputError where a change names a string it does not have.

    Another relief is the same nut and saddle on a neck that bends otherwise: the action moves too.
    """
    _check(instrument, (*changes.pitches, *changes.gauges, *changes.targets))
    strings = tuple(_changed_string(spec, changes) for spec in instrument.strings)
    update: dict[str, object] = {"strings": strings}
    if changes.relief is not None:
        action = _action_after(instrument, changes.relief.mm - relief_mm(instrument, trade), trade)
        update |= {"relief": changes.relief, "action_12": action}
    return instrument.model_copy(update=update)


def relief_mm(instrument: Instrument, trade: TradeTables) -> float:
    """The relief that windows reckon with: as measured, else as usual on its kind."""
    known = instrument.relief or trade.relief.of(instrument.kind).usual
    return known.mm


def _action_after(instrument: Instrument, added_mm: float, trade: TradeTables) -> dict[int, Length]:
    """Action an octave up of every string that has one, once the relief has grown by so much."""
    known = instrument.action_12
    return {
        spec.string: Length.of(
            max(
                action_12_mm(spec, instrument, trade)
                + added_mm * _lifts(spec, instrument, instrument.octave_fret),
                0.0,
            )
        )
        for spec in instrument.strings
        if not spec.from_fret or spec.string in known
    }


def _lifts(spec: StringSpec, instrument: Instrument, fret: int) -> float:
    """What each millimetre of relief lifts it by over a fret of the board."""
    whole = own_semitones(spec.model_copy(update={"from_fret": 0}), instrument)
    return Neck(1.0, 0.0, semitones=whole).relief_lifts(fret, own_nut_at=spec.from_fret)


def clearance_lift_mm(spec: StringSpec, instrument: Instrument, added_mm: float) -> float:
    """How far the open string rises over its first fret as the relief grows by so much."""
    return added_mm * _lifts(spec, instrument, spec.from_fret + 1)


def changed_player(player: Player, changes: Changes) -> Player:
    """The player so changed."""
    budget = player.budget_cents if changes.budget_cents is None else changes.budget_cents
    update = {
        "attack": changes.attack or player.attack,
        "targets": {**player.targets, **changes.targets},
        "budget_cents": budget,
    }
    return player.model_copy(update=update)


def _changed_string(spec: StringSpec, changes: Changes) -> StringSpec:
    """One string so changed; another gauge is another string, of which nothing was measured."""
    update: dict[str, object] = {}
    if spec.string in changes.pitches:
        update["pitch"] = changes.pitches[spec.string]
    if spec.string in changes.gauges:
        update["gauge"] = changes.gauges[spec.string]
        update |= {"core": None, "grams_per_metre": None, "whole_tone_stretch": None}
    return spec.model_copy(update=update)


def _check(instrument: Instrument, strings: Iterable[int]) -> None:
    there = {spec.string for spec in instrument.strings}
    for string in strings:
        if string not in there:
            known = ", ".join(str(number) for number in sorted(there))
            what = say("no string {string}", string=string)
            raise InputError(
                "string", str(string), say("name one of {known}", known=known), what=what
            )

"""What could be different about an instrument and its player; the record stays untouched."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

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


def changed_instrument(instrument: Instrument, changes: Changes) -> Instrument:
    """The instrument so changed; InputError where a change names a string it does not have."""
    _check(instrument, (*changes.pitches, *changes.gauges, *changes.targets))
    strings = tuple(_changed_string(spec, changes) for spec in instrument.strings)
    relief = instrument.relief if changes.relief is None else changes.relief
    return instrument.model_copy(update={"strings": strings, "relief": relief})


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

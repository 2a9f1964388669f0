"""The number pad where it asks for relief or action."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from logic.app.views.pieces import Choice
from logic.app.views.views import TypeView
from logic.app.wording.wording import Wording
from shared.measurements import ReliefMeasurement, Side
from shared.units import Unit
from shared.words import mark, say

RELIEF_PAD, ACTION_PAD = "relief of a side", "action of a string"
PADS = (RELIEF_PAD, ACTION_PAD)
_RELIEF = {
    Side.BASS: mark("Relief on the bass side, held at {low} and {high}?"),
    Side.TREBLE: mark("Relief on the treble side, held at {low} and {high}?"),
    None: mark("Relief, held at {low} and {high}?"),
}

_ALONE = {
    Side.BASS: mark("Relief on the bass side?"),
    Side.TREBLE: mark("Relief on the treble side?"),
    None: mark("Relief?"),
}


def relief_pad(
    side: Side | None,
    holds: tuple[int, int] | None,
    job: str,
    title: str,
    wording: Wording,
    trouble: str,
) -> TypeView:
    """Relief as a number, with its sign."""
    asked = say(_ALONE[side])
    if holds is not None:
        asked = say(_RELIEF[side], low=holds[0], high=holds[1])
    ask = say("{question} A minus is a neck that bends back.", question=asked)
    return TypeView(job, title, ask, (), _units(wording), trouble=trouble, signed=True)


def action_pad(
    name: str, fret: int, job: str, title: str, wording: Wording, trouble: str
) -> TypeView:
    """Action as a number, as a rule shows it from the crown to the string's underside."""
    ask = say("From fret {fret} to the underside of string {name}?", fret=fret, name=name)
    return TypeView(job, title, ask, (), _units(wording), trouble=trouble)


def gap_pad_of(measurement: Mapping[str, Any]) -> str:
    """The pad that asks for what was measured there; empty where it was no number."""
    if measurement.get("value") is None:
        return ""
    return RELIEF_PAD if measurement["quantity"] == ReliefMeasurement.named() else ACTION_PAD


def _units(wording: Wording) -> tuple[Choice, ...]:
    units = (Unit.THOU, Unit.INCH, Unit.MM)
    return tuple(Choice(unit.value, unit.value, chosen=unit is wording.unit) for unit in units)

"""What the heights of all slots show together (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping

from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import FoundOnNut, NutFinding
from logic.bench.raising.nut_side import low_side
from logic.bench.tables.vocabulary import RaiseMethod
from shared.instrument import NutType
from shared.job import CallKind, RaiseOption


def height_finding(nut: NutEvidence, offered: Mapping[str, RaiseOption]) -> FoundOnNut:
    """The one thing that the heights show, given the methods on offer.

    Kinds of nut whose slots are not filed come first. Then what is low, because a string that
    buzzes does not play and one that stands high does; then what is high; then what is lacking.
    """
    kind = nut.instrument.nut.type
    if kind is NutType.ZERO_FRET and (nut.low or nut.high):
        return FoundOnNut(NutFinding.ZERO_FRET, (*nut.low, *nut.high))
    if kind is NutType.CLAMPING and nut.high:
        return FoundOnNut(NutFinding.CLAMPED_HIGH, nut.high)
    if nut.low:
        return _low(nut, offered)
    if nut.high:
        return _high(nut)
    if unread := nut.called(CallKind.READ_AGAIN):
        return FoundOnNut(NutFinding.UNREAD, unread)
    if unchecked := nut.called(CallKind.CHECK_FIRST):
        return FoundOnNut(NutFinding.UNCHECKED, unchecked)
    return FoundOnNut(NutFinding.SOUND)


def all_high_alike(nut: NutEvidence) -> bool:
    """Whether every slot stands too high by about the same; one whose cut is not known yet says
    nothing against it."""
    if not len(nut.high) == len(nut.calls) > 1:
        return False
    known = [
        nut.over_target_mm[call.string]
        for call in nut.calls
        if call.slot_cut_mm is not None and call.clearance_mm is not None
    ]
    return not known or max(known) - min(known) <= nut.alike_mm


def base_cut_mm(nut: NutEvidence) -> float | None:
    """What every slot can spare at the base; None while one of the cuts is not known."""
    cuts = [call.slot_cut_mm for call in nut.calls if call.slot_cut_mm is not None]
    return min(cuts) if len(cuts) == len(nut.calls) else None


def _high(nut: NutEvidence) -> FoundOnNut:
    if not all_high_alike(nut):
        return FoundOnNut(NutFinding.SOME_HIGH, nut.high)
    glued = nut.instrument.nut.glued
    finding = NutFinding.ALL_HIGH_GLUED if glued else NutFinding.ALL_HIGH_ALIKE
    return FoundOnNut(finding, nut.high, amount_mm=base_cut_mm(nut))


def _low(nut: NutEvidence, offered: Mapping[str, RaiseOption]) -> FoundOnNut:
    """The method of what is low must be on offer, else more is missing than can be made up."""
    found = _low_slots(nut, offered)
    if found.method in offered:
        return found
    return FoundOnNut(NutFinding.MUCH_MISSING, nut.low)


def _low_slots(nut: NutEvidence, offered: Mapping[str, RaiseOption]) -> FoundOnNut:
    """A clamping nut moves in one piece. An original is kept. Low neighbours at one end are one
    matter, however many, as long as they are no more than half; others are, once there are
    several."""
    side = low_side(nut.strings, nut.low)
    original = nut.instrument.nut.original
    if nut.instrument.nut.type is NutType.CLAMPING:
        return FoundOnNut(NutFinding.CLAMPED_LOW, nut.low)
    if len(nut.low) >= nut.several and original:
        return FoundOnNut(NutFinding.ORIGINAL_LOW, nut.low)
    if len(nut.low) >= nut.several and side is None:
        return FoundOnNut(NutFinding.SEVERAL_LOW, nut.low)
    if side is not None and len(nut.low) > 1 and RaiseMethod.WEDGE in offered:
        spoilt = {cut.string for cut in offered[RaiseMethod.WEDGE].lower_after} - set(nut.low)
        across = tuple(string for string in nut.strings if string in spoilt)
        return FoundOnNut(NutFinding.ONE_SIDE_LOW, nut.low, side, spoilt=across)
    return FoundOnNut(NutFinding.SOME_LOW, nut.low)

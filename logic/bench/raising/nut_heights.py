"""What the heights of all slots show together (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping

from logic.bench.raising.lifting import outcome_on
from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import ONE_WAY, FoundOnNut, NutFinding
from logic.bench.raising.nut_side import low_side
from logic.bench.raising.nut_signs import odd_in_pitch
from logic.bench.tables.vocabulary import RaiseMethod
from shared.instrument import NutType
from shared.job import CallKind, RaiseOption
from shared.measurements import Side
from shared.reasons import GateReason

Offered = Mapping[str, RaiseOption]
"""The ways on offer, by their method."""


def height_finding(nut: NutEvidence, offered: Offered) -> FoundOnNut:
    """The one thing that the heights show, given the ways on offer.

    Kinds of nut whose slots are not filed come first. Then what is low, because a string that
    buzzes does not play and one that stands high does; then what is high; then what is lacking.
    What cannot be undone waits for the neck.
    """
    found = _found(nut, offered)
    if found.method in ONE_WAY and nut.unsettled(found.strings):
        return _waiting(nut, found.strings)
    return found


def all_high_alike(nut: NutEvidence) -> bool:
    """Whether every slot stands too high by about the same; one whose cut is not known yet says
    nothing against it, one that is off in pitch does: the nut is then not what is wrong."""
    calls = [call for call in nut.calls if call.string in nut.common]
    if len(calls) < 2 or any(call.call is not CallKind.LOWER for call in calls):
        return False
    known = [
        nut.over_target_mm[call.string]
        for call in calls
        if call.slot_cut_mm is not None and call.clearance_mm is not None
    ]
    alike = not known or max(known) - min(known) <= nut.alike_mm
    return alike and not odd_in_pitch(nut)


def base_cut_mm(nut: NutEvidence) -> float | None:
    """What every slot can spare at the base; None while one of the cuts is not known."""
    calls = [call for call in nut.calls if call.string in nut.common]
    cuts = [call.slot_cut_mm for call in calls if call.slot_cut_mm is not None]
    return min(cuts) if cuts and len(cuts) == len(calls) else None


def base_is_worth_it(nut: NutEvidence) -> bool:
    """Whether so much is to come off, or may be, that the nut is taken out for it."""
    amount = base_cut_mm(nut)
    enough = amount is None or amount >= nut.trade.raising.base_from_mm
    return enough and not nut.one_piece and all_high_alike(nut)


def base_may_come_down(nut: NutEvidence) -> bool:
    """Whether it is known by how much, and that the part may be touched."""
    known = base_cut_mm(nut) is not None and not nut.unasked_of_the_part
    return known and not nut.glued and base_is_worth_it(nut)


def fits(nut: NutEvidence, option: RaiseOption | None) -> bool:
    """Whether a wedge or shim cures more slots than it spoils, on a nut that comes out for it."""
    return option is not None and not nut.glued and outcome_on(nut, option).worth_it


def _waiting(nut: NutEvidence, strings: tuple[int, ...]) -> FoundOnNut:
    """Low or high strings that something else comes before."""
    neck = nut.unsettled(strings)
    return FoundOnNut(NutFinding.NECK_FIRST if neck else NutFinding.CHECKS_FIRST, strings)


def _found(nut: NutEvidence, offered: Offered) -> FoundOnNut:
    kind = nut.instrument.nut.type
    if kind is NutType.ZERO_FRET and (carried := _on_the_zero_fret(nut)):
        return FoundOnNut(NutFinding.ZERO_FRET, carried)
    if nut.one_piece and {*nut.to_lift, *nut.to_drop} & set(nut.common):
        return _one_piece(nut, offered)
    if nut.low:
        return _low(nut, offered)
    if nut.waiting_low:
        return _waiting(nut, nut.waiting_low)
    if fits(nut, offered.get(RaiseMethod.SHIM_OUT)):
        return _down(nut, NutFinding.SHIM_OUT)
    if nut.high:
        return _high(nut)
    return _lacking(nut)


def _on_the_zero_fret(nut: NutEvidence) -> tuple[int, ...]:
    """Strings whose height is wrong, or that wait because a fret carries them."""
    held = {call.string for call in nut.calls if call.reason == GateReason.ZERO_FRET}
    wrong = {*nut.low, *nut.high} | held
    return tuple(string for string in nut.strings if string in wrong)


def _lacking(nut: NutEvidence) -> FoundOnNut:
    if unread := nut.called(CallKind.READ_AGAIN):
        return FoundOnNut(NutFinding.UNREAD, unread)
    if unchecked := nut.called(CallKind.CHECK_FIRST):
        return FoundOnNut(NutFinding.UNCHECKED, unchecked)
    return FoundOnNut(NutFinding.SOUND)


def _one_piece(nut: NutEvidence, offered: Offered) -> FoundOnNut:
    """One verdict for a nut that moves as one part: up where a string is low, else down."""
    if low := nut.on_common(nut.to_lift):
        if nut.unsettled(low):
            return _waiting(nut, low)
        shim = offered.get(RaiseMethod.SHIM)
        if shim is not None and shim.lifts_mm and not fits(nut, shim):
            return FoundOnNut(NutFinding.ONE_PIECE_UNFIT, low, spoilt=_spoilt(nut, shim))
        if not nut.on_common(nut.low):
            return _waiting(nut, low)
        return FoundOnNut(NutFinding.ONE_PIECE_LOW, low, _lifted_side(shim))
    if fits(nut, offered.get(RaiseMethod.SHIM_OUT)):
        return _down(nut, NutFinding.ONE_PIECE_SHIMMED)
    return FoundOnNut(NutFinding.ONE_PIECE_HIGH, nut.on_common(nut.to_drop))


def _down(nut: NutEvidence, kind: NutFinding) -> FoundOnNut:
    """A shim that may come out, once the neck is known to be right."""
    strings = nut.on_common(nut.to_drop)
    return _waiting(nut, strings) if nut.unsettled(strings) else FoundOnNut(kind, strings)


def _lifted_side(shim: RaiseOption | None) -> Side | None:
    """The side that a shim goes under; None: under all of it."""
    lifts = shim.lifts_mm if shim is not None else {}
    if not lifts or max(lifts.values()) - min(lifts.values()) < 1e-6:
        return None
    return Side.BASS if lifts[max(lifts)] > lifts[min(lifts)] else Side.TREBLE


def _high(nut: NutEvidence) -> FoundOnNut:
    if not base_is_worth_it(nut):
        return FoundOnNut(NutFinding.SOME_HIGH, nut.high)
    if nut.glued:
        return FoundOnNut(NutFinding.ALL_HIGH_GLUED, nut.high)
    ready = base_may_come_down(nut)
    kind = NutFinding.ALL_HIGH_ALIKE if ready else NutFinding.ALL_HIGH_ASK
    return FoundOnNut(kind, nut.high, amount_mm=base_cut_mm(nut))


def _low(nut: NutEvidence, offered: Offered) -> FoundOnNut:
    """An original is kept. A V is no base for a fill. Low neighbours at one end are one matter,
    however many, as long as they are no more than half, all others were read, and a wedge spoils
    fewer good slots than it raises low ones; others are, once there are several."""
    several = len(nut.low) >= nut.several
    if nut.kept or (several and nut.instrument.nut.original):
        return _original(nut, offered.get(RaiseMethod.SHIM))
    all_read = set(nut.common) <= nut.read
    side = low_side(nut.common, nut.low) if len(nut.low) > 1 and all_read else None
    wedge = offered.get(RaiseMethod.WEDGE)
    if side is not None and fits(nut, wedge):
        return FoundOnNut(NutFinding.ONE_SIDE_LOW, nut.low, side)
    if several:
        return FoundOnNut(NutFinding.SEVERAL_LOW, nut.low)
    shaped = set(nut.low) & set(nut.failed("slot_shape", GateReason.V_SHAPED_SLOT))
    if shaped:
        return FoundOnNut(NutFinding.NO_BASE, tuple(s for s in nut.low if s in shaped))
    return FoundOnNut(NutFinding.SOME_LOW, nut.low, spoilt=_spoilt(nut, wedge) if side else ())


def _original(nut: NutEvidence, shim: RaiseOption | None) -> FoundOnNut:
    """A part worth keeping goes on a shim; where none sets it, its owner is asked."""
    if fits(nut, shim):
        return FoundOnNut(NutFinding.ORIGINAL_LOW, nut.low)
    if nut.kept or shim is not None:
        return FoundOnNut(NutFinding.ORIGINAL_KEPT, nut.low)
    return FoundOnNut(NutFinding.MUCH_MISSING, nut.low)


def _spoilt(nut: NutEvidence, option: RaiseOption | None) -> tuple[int, ...]:
    return outcome_on(nut, option).spoilt if option is not None else ()

"""The one advice for the nut as a whole, from the calls, the gates and the kit of a job.

`find_whole_nut` decides; `nut_words` says it. What the nut shows is looked at twice: signs besides
heights (`nut_signs`) and the heights themselves (`nut_heights`).
"""

from __future__ import annotations

from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import (
    ONE_WAY,
    FoundOnNut,
    NutFinding,
    WaitsFor,
    WholeNut,
)
from logic.bench.raising.nut_heights import base_cut_mm, base_may_come_down, height_finding
from logic.bench.raising.nut_signs import signs_on
from logic.bench.raising.options import nut_options
from logic.bench.tables.vocabulary import RaiseMethod
from shared.job import CallKind, RaiseOption


def find_whole_nut(nut: NutEvidence) -> WholeNut:
    """What the nut shows as a whole, and the methods on offer with the right one recommended.

    A sign that calls for a new nut decides, because on such a nut no height is worth setting; what
    the heights show is then said beside it only if it asks for the same. Otherwise the heights
    decide, and signs that ask for no method stand beside them. Within minutes of playing, whatever
    would be done is left for the bench.
    """
    signs = signs_on(nut)
    renew = next((sign for sign in signs if sign.method), None)
    base_mm = base_cut_mm(nut) if base_may_come_down(nut) else None
    options = nut_options(nut, base_mm, renew=bool(renew))
    heights = height_finding(nut, {option.method: option for option in options})
    finding = renew or heights
    if nut.in_minutes and _asks_for_work(nut, finding):
        finding = FoundOnNut(NutFinding.LATER, nut.low)
    shown = (*signs, heights)
    beside = tuple(
        one for one in shown if one is not finding and _fits_beside(one, finding, heights)
    )
    offered = {option.method for option in options}
    waits = _waits_for(nut, finding) if finding.method in offered else ()
    rough = finding.method is RaiseMethod.NEW_NUT and WaitsFor.NECK in waits
    return WholeNut(
        finding,
        beside,
        _recommended(options, None if waits else finding.method),
        waits,
        nut.trade.raising.rough_over_mm if rough else None,
    )


def _fits_beside(one: FoundOnNut, finding: FoundOnNut, heights: FoundOnNut) -> bool:
    """Whether a finding may be said in one breath with the one that decides."""
    if one.method is None:
        return one is not heights
    return one.method == finding.method and (one.kind, finding.kind) not in _SAID_ALREADY


_SAID_ALREADY = (
    (NutFinding.NO_BASE, NutFinding.V_SHAPED),
    (NutFinding.MUCH_MISSING, NutFinding.BROKEN_WALL),
)
"""What the heights show only because of what decides."""


def _asks_for_work(nut: NutEvidence, finding: FoundOnNut) -> bool:
    """Whether something would be done to the nut if there were time."""
    alone = {call.held_back.call for call in nut.calls if call.held_back}
    waits = alone & {CallKind.LOWER, CallKind.RAISE}
    return finding.method is not None or bool(nut.low or nut.high or waits)


def _waits_for(nut: NutEvidence, finding: FoundOnNut) -> tuple[WaitsFor, ...]:
    """What comes before the method that a finding calls for, where it cannot be undone."""
    if finding.method not in ONE_WAY:
        return ()
    whole = finding.method is not RaiseMethod.FILL
    strings = nut.strings if whole else finding.strings
    neck = (WaitsFor.NECK,) if nut.unsettled(strings) else ()
    return (*neck, *((WaitsFor.OWNER,) if nut.may_be_kept else ()))


def _recommended(
    options: tuple[RaiseOption, ...], method: RaiseMethod | None
) -> tuple[RaiseOption, ...]:
    """The options with this method recommended, if it is among them."""
    return tuple(
        option.model_copy(update={"recommended": option.method == method}) for option in options
    )

"""Signs on the nut besides heights: shapes, walls, widths and pitch (common practice, no source).

Each function gives the strings that show its sign, from bass to treble; none where it is not seen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set

from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import FoundOnNut, NutFinding
from shared.job import CallKind
from shared.reasons import GateReason


def signs_on(nut: NutEvidence) -> tuple[FoundOnNut, ...]:
    """Every sign that this nut shows, the weightiest first; of slots that set no height their shape
    is none."""
    seen = ((finding, shows(nut)) for finding, shows in SIGNS.items())
    return tuple(
        FoundOnNut(finding, strings)
        for finding, strings in seen
        if strings and (nut.slotted or finding not in _OF_FILED_SLOTS)
    )


def other_hand(nut: NutEvidence) -> tuple[int, ...]:
    """Narrow slots or high strings at one end, wide slots or low strings at the other."""
    narrow = (GateReason.SLOT_TOO_NARROW, GateReason.SLOT_NARROWER)
    tight = {*nut.failed("seated"), *(s for why in narrow for s in nut.failed("slot_width", why))}
    loose = {*nut.failed("slot_width", GateReason.SLOT_TOO_WIDE), *nut.failed("side_play")}
    high = tight | _clearly_off(nut, CallKind.LOWER)
    low = loose | _clearly_off(nut, CallKind.RAISE)
    either = high ^ low  # a string with both kinds of fault speaks for neither end
    if not _at_opposite_ends(nut, high & either, low & either):
        return ()
    return tuple(string for string in nut.strings if string in either)


def v_shaped(nut: NutEvidence) -> tuple[int, ...]:
    """Slots filed to a V, where there are several and one of them is low: one alone can be
    filled."""
    shaped = _several_of_v(nut)
    return shaped if set(shaped) & set(nut.to_lift) else ()


def v_standing(nut: NutEvidence) -> tuple[int, ...]:
    """Several slots filed to a V, none of them low."""
    return () if v_shaped(nut) else _several_of_v(nut)


def _several_of_v(nut: NutEvidence) -> tuple[int, ...]:
    shaped = nut.failed("slot_shape", GateReason.V_SHAPED_SLOT)
    return shaped if len(shaped) >= nut.several else ()


def broken_wall(nut: NutEvidence) -> tuple[int, ...]:
    """Slots that have lost a wall."""
    return nut.failed("slot_wall")


def odd_in_pitch(nut: NutEvidence) -> tuple[int, ...]:
    """The first string as high as both its neighbours by touch, and far from either in pitch."""
    cents = nut.cents_at_fret_1
    return tuple(
        string
        for string, beside in _level_with_neighbours(nut)
        if all(abs(cents[string] - cents[other]) > nut.odd_cents for other in beside)
    )[:1]


SIGNS: dict[NutFinding, Callable[[NutEvidence], tuple[int, ...]]] = {
    NutFinding.OTHER_HAND: other_hand,
    NutFinding.V_SHAPED: v_shaped,
    NutFinding.V_STANDING: v_standing,
    NutFinding.BROKEN_WALL: broken_wall,
    NutFinding.ODD_PITCH: odd_in_pitch,
}
"""Where each sign is seen, in the order of `NutFinding`."""

_OF_FILED_SLOTS = (NutFinding.OTHER_HAND, NutFinding.V_SHAPED, NutFinding.V_STANDING)


def _clearly_off(nut: NutEvidence, kind: CallKind) -> set[int]:
    """Strings with this call whose height is off by more than strings of one nut differ anyway."""
    off = {string for string, mm in nut.over_target_mm.items() if abs(mm) > nut.alike_mm}
    return off & set(nut.called(kind))


def _at_opposite_ends(nut: NutEvidence, high: Set[int], low: Set[int]) -> bool:
    """Whether at least two of each lie in opposite halves of the nut."""
    if len(high) < 2 or len(low) < 2:
        return False
    half = len(nut.strings) / 2
    bass = {string for index, string in enumerate(nut.strings) if index < half}
    return (high <= bass and not low & bass) or (low <= bass and not high & bass)


def _level_with_neighbours(nut: NutEvidence) -> Iterator[tuple[int, tuple[int, int]]]:
    """Strings between two neighbours that stand equally high and have cents too."""
    for before, string, after in zip(nut.strings, nut.strings[1:], nut.strings[2:], strict=False):
        level = _level(nut, string, before) and _level(nut, string, after)
        if level and {before, string, after} <= set(nut.cents_at_fret_1):
            yield string, (before, after)


def _level(nut: NutEvidence, one: int, other: int) -> bool:
    """Whether two strings were read at the same clearance."""
    by_string = {call.string: call.clearance_mm for call in nut.calls}
    here, there = by_string[one], by_string[other]
    if here is None or there is None:
        return False
    return abs(here.estimate - there.estimate) <= nut.alike_mm

"""A cut that rests on a single reading is read once more, since a hand may slip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.measuring.contradictions import HeightEvidence
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.kinds.kind import HeightGeometry
from logic.bench.measuring.next_leaf import Stack
from shared.job import CallKind, StringCall
from shared.units import Length

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.reading import ReadingTable

_ROUNDING_MM = 1e-6


@dataclass(frozen=True)
class ReadSoFar:
    """What was read of one string, and the edge over which it is lowered, millimetres."""

    answers: tuple[HeightEvidence, ...]
    edge_mm: float
    kit: tuple[Length, ...]
    geometry: HeightGeometry
    reading: ReadingTable


def with_reading_owed(call: StringCall, read: ReadSoFar, table: CallTable) -> StringCall:
    """The call; a cut that rests on one reading is no surer than that, and names the leaf that
    would say it again."""
    if call.call is not CallKind.LOWER or call.clearance_mm is None or not _rests_on_one(read):
        return call
    leaves = _leaf_to_confirm(read, call.clearance_mm.estimate)
    update = {
        "touch_again_mm": tuple(leaf.mm for leaf in leaves),
        "confidence": min(call.confidence, table.one_reading_confidence),
    }
    return call.model_copy(update=update)


def _rests_on_one(read: ReadSoFar) -> bool:
    """Whether no more than one reading puts the string over the edge by itself."""
    bounds = (
        kind_of(answer.reading).bounds_mm(answer.reading, read.reading, lambda: read.geometry)
        for answer in read.answers
    )
    least = (found[0] for found in bounds if found is not None)
    return sum(mm >= read.edge_mm - _ROUNDING_MM for mm in least) <= 1


def _leaf_to_confirm(read: ReadSoFar, stands_mm: float) -> Stack:
    """A leaf over the edge that nothing should touch if the string stands where it seems to, and
    that was not slid in yet: the nearest to halfway."""
    used = {leaf.mm for answer in read.answers for leaf in answer.reading.leaves}
    halfway = (read.edge_mm + max(stands_mm, read.edge_mm)) / 2.0
    sizes = ((leaf.mm, leaf) for leaf in read.kit)
    fresh = [
        (abs(mm - halfway), leaf) for mm, leaf in sizes if mm >= read.edge_mm and mm not in used
    ]
    return (min(fresh, key=lambda one: one[0])[1],) if fresh else ()

"""When a slot is near enough to its target that the ear should speak, not the file once more.

Within what a hand can tell of the target nothing is gained by another pass: what it would take off
is less than the next leaf could show. So the slot is proved as it stands, where it is surely inside
its window. What a hand can tell is how far either side of the gap a leaf still just drags
(`light_half_width_mm` of the readings' table).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from logic.bench.measuring.grid import Posterior
from logic.bench.window.string_window import StringWindow

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.cutting import CuttingTable
    from logic.bench.tables.reading import ReadingTable

ONE_SPREAD = 0.68
"""The central interval of one standard deviation either way holds so much."""


def least_seen_mm(reading: ReadingTable) -> float:
    """The smallest change of clearance that a hand with a leaf can tell, millimetres."""
    return reading.light_half_width_mm


def inside_window(believed: Posterior, window: StringWindow, table: CallTable) -> bool:
    """Whether the string surely stands between both edges of its window."""
    return believed.probability_between(window.low_mm, window.high_mm) >= table.sure


def sinks_below(believed: Posterior, window: StringWindow) -> bool:
    """Whether the string more likely than not stands under the low edge: nothing more comes off,
    and nothing is proved."""
    return believed.median < window.low_mm


def stands_above(believed: Posterior, window: StringWindow) -> bool:
    """Whether the string more likely than not stands over the high edge."""
    return believed.median > window.high_mm


def good_enough(
    believed: Posterior,
    window: StringWindow,
    reading: ReadingTable,
    call: CallTable,
    cut: CuttingTable,
    *,
    can_read_on: bool,
) -> bool:
    """Whether the string is proved instead of filed or read again.

    What is left to the target must be less than the hand can tell, and most likely within the
    target's own side; or, where no leaf would tell more (`can_read_on`), the target must lie
    within the reading's own error. In both cases it surely stands inside its window.
    """
    if not inside_window(believed, window, call):
        return False
    low, high = believed.interval(ONE_SPREAD)
    if not can_read_on and low <= window.cut_to_mm <= high:
        return True
    left_mm = believed.median - window.cut_to_mm
    near = believed.probability_below(window.cut_to_mm + cut.target_side_mm)
    return left_mm < least_seen_mm(reading) and near >= call.sure_enough_to_wait

"""What stays the same while one slot is cut: its window, the kit, the file, and the strokes that
there are.

A whole stroke is the light one that the bench is used to. A half stroke is made with half the
pressure: it takes about half as much, and how much differs more from pass to pass. So the last bit
can be taken where a whole stroke would be too much.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.cutting.removal import Rate
from logic.bench.measuring.kinds.kind import HeightGeometry
from logic.bench.window.string_window import StringWindow
from shared.units import Length

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.cutting import CuttingTable
    from logic.bench.tables.reading import ReadingTable


@dataclass(frozen=True)
class Strokes:
    """One kind of stroke: what it takes as a share of a whole one, and how much passes of such
    strokes differ (sd of the logarithm)."""

    share: float
    sd_log_pass: float
    half: bool = False


@dataclass(frozen=True)
class CutSetting:
    """What stays the same while one slot is cut."""

    string: int
    window: StringWindow
    leaves: tuple[Length, ...]
    rate: Rate
    pair_known: bool
    sd_log_pass: float
    reading: ReadingTable
    call: CallTable
    cut: CuttingTable
    geometry: HeightGeometry | None = None

    @property
    def stop_mm(self) -> float:
        """The stop line: the lower side of the target and a guard; a pass must not end below it."""
        below = self.window.cut_to_mm - self.cut.target_side_mm
        return max(below, self.window.low_mm) + self.cut.stop_guard_mm

    @property
    def aim_mm(self) -> float:
        """Where a pass is expected to end at the lowest: the last bit is left for play-in."""
        return self.window.cut_to_mm + self.cut.play_in_guard_mm

    @property
    def upper_side_mm(self) -> float:
        """The upper side of the target, inside the window: what stands higher was left high."""
        side = self.window.cut_to_mm + self.cut.target_side_mm
        return max(self.window.cut_to_mm, min(side, self.window.high_mm))

    def strokes(self, *, half: bool) -> Strokes:
        """Whole strokes of this file, or half ones."""
        if not half:
            return Strokes(1.0, self.sd_log_pass)
        removal = self.cut.removal
        spread = math.hypot(self.sd_log_pass, removal.sd_log_half_stroke)
        return Strokes(removal.half_stroke_share, spread, half=True)

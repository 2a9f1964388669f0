"""Hybrid logical time: close to the wall clock, never behind what this device has seen.

After Kulkarni et al. 2014, "Logical Physical Clocks" (from memory): the later of wall clock and
last stamp leads; a counter orders what happens within one millisecond or behind a clock that was
set back. A stamp is never refused for being odd, since that would strand somebody's readings; one
that is far ahead of the wall clock is only reported (`ahead_ms`).
"""

from __future__ import annotations

import time
from typing import Protocol

from shared.events import Stamp

SKEW_REPORTED_MS = 5 * 60_000
"""A clock this far off is reported to the technician (common practice, no source)."""
LAST_WALL_MS = 10**15 - 1
"""The largest wall time that a stamp can hold."""
LAST_TICK = 10**9 - 1
"""The largest counter that a stamp can hold."""


class WallClock(Protocol):
    """The time as the device has it, right or wrong."""

    def now_ms(self) -> int:
        """Milliseconds since 1970, UTC."""
        ...


class SystemClock:
    """The clock of this machine."""

    def now_ms(self) -> int:
        """Milliseconds since 1970, UTC."""
        return time.time_ns() // 1_000_000


def next_stamp(last: Stamp, wall_ms: int) -> Stamp:
    """The stamp of the next event, later than `last` whatever the wall clock says."""
    wall_ms = min(max(wall_ms, 0), LAST_WALL_MS)
    if wall_ms > last.wall_ms:
        return Stamp(wall_ms, 0)
    if last.tick < LAST_TICK:
        return Stamp(last.wall_ms, last.tick + 1)
    return Stamp(last.wall_ms + 1, 0)


def ahead_ms(stamp: Stamp, wall_ms: int) -> int:
    """How far `stamp` is ahead of the wall clock, milliseconds; 0 up to `SKEW_REPORTED_MS`."""
    ahead = stamp.wall_ms - wall_ms
    return ahead if ahead > SKEW_REPORTED_MS else 0

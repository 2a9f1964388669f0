"""Hybrid logical time: close to the wall clock, and later than what was seen as far as that is.

After Kulkarni et al. 2014, "Logical Physical Clocks" (from memory): the later of wall clock and
last stamp leads; a counter orders what happens within one millisecond or behind a clock that was
set back. A stamp is never refused for being odd, since that would strand somebody's readings. One
that is further ahead of the wall clock than `FOLLOWED_MS` is kept and told of, and leads nobody:
what is written after it in the same document says so itself (`counts_as` in history.md).
"""

from __future__ import annotations

import time
from typing import Protocol

from shared.events import Stamp

HOUR_MS = 3_600_000
SKEW_REPORTED_MS = 5 * 60_000
"""A clock this far off is reported to the technician (common practice, no source)."""
FOLLOWED_MS = 26 * HOUR_MS
"""How far beyond the wall clock a stamp is followed. Civil time runs from 12 hours behind UTC to 14
ahead of it (tz database, from memory), so clocks that show the right time of the wrong zone differ
by at most this; whatever is further ahead shows a wrong day."""
NO_TIME_MS = 10**14
"""A stamp from here on is no time that a clock showed: no device writes or takes in such a one."""
LAST_WALL_MS = NO_TIME_MS - FOLLOWED_MS - 2
"""The largest wall time that is written, so that whatever follows on stays below `NO_TIME_MS`."""
LAST_TICK = 10**9 - 1
"""The largest counter that a stamp can hold."""
LAST_STAMP = Stamp(10**15 - 1, LAST_TICK)
"""The last that can be spelled."""
BEGINNING = Stamp(0, 0)
"""Before anything happened."""


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
    """The stamp of the next event: later than `last` where that is followed, else the wall clock's.
    Every device and every hub takes it, whatever the wall clock says."""
    wall = Stamp(bounded_ms(wall_ms), 0)
    return following(last) if wall <= last and is_followed(last, wall_ms) else wall


def following(stamp: Stamp) -> Stamp:
    """The stamp right after `stamp`; of the last that can be spelled, that one again."""
    if stamp.tick < LAST_TICK:
        return Stamp(stamp.wall_ms, stamp.tick + 1)
    return min(Stamp(stamp.wall_ms + 1, 0), LAST_STAMP)


def is_followed(stamp: Stamp, wall_ms: int) -> bool:
    """Whether `stamp` is near enough to the wall clock to lead the stamps written here."""
    return stamp.wall_ms <= bounded_ms(wall_ms) + FOLLOWED_MS


def ahead_ms(stamp: Stamp, wall_ms: int) -> int:
    """How far the clock that made `stamp` was ahead of the wall clock, milliseconds; 0 up to
    `SKEW_REPORTED_MS`, and where its counter says that it may have followed another's stamp."""
    ahead = stamp.wall_ms - wall_ms
    reported_above = SKEW_REPORTED_MS if stamp.tick == 0 else FOLLOWED_MS
    return ahead if ahead > reported_above else 0


def bounded_ms(wall_ms: int) -> int:
    """The time that a wall clock shows, as near as a stamp and a calendar can say it."""
    return min(max(wall_ms, 0), LAST_WALL_MS)

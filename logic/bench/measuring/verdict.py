"""What a clearance would mean, if it were known: the zones of the window, and what is heard."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from functools import lru_cache
from operator import mul
from typing import TYPE_CHECKING, NamedTuple

from logic.bench.measuring.grid import GRID_MM, STEP_MM, Curve, Posterior, phi
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.vocabulary import OpenStringTone
from logic.bench.window.string_window import StringWindow
from shared.instrument import Attack
from shared.job import CallKind
from shared.readings import Buzz, Reading
from shared.reasons import CallReason

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable


class Zone(StrEnum):
    """Where a clearance lies against the window."""

    RESTING = "resting on the crown"
    LOW = "low"
    ON = "on target"
    HIGH = "high"


class Verdict(NamedTuple):
    """A call and the reason for it."""

    call: CallKind
    reason: CallReason


ON_TARGET = Verdict(CallKind.LEAVE, CallReason.ON_TARGET)
LOW_BUT_CLEAN = Verdict(CallKind.LEAVE, CallReason.LOW_BUT_CLEAN)
TOO_HIGH = Verdict(CallKind.LOWER, CallReason.TOO_HIGH)
LOW_AND_BUZZES = Verdict(CallKind.RAISE, CallReason.LOW_AND_BUZZES)
LOW_FOR_HARD_PLAYING = Verdict(CallKind.RAISE, CallReason.LOW_FOR_HARD_PLAYING)
RESTING = Verdict(CallKind.RAISE, CallReason.RESTING)
NOT_HEIGHT = Verdict(CallKind.CHECK_FIRST, CallReason.NOT_HEIGHT)
PLAY_IT_OPEN = Verdict(CallKind.CHECK_FIRST, CallReason.PLAY_IT_OPEN)

# rows: what is heard; columns: where the string stands
VERDICTS: dict[OpenStringTone, dict[Zone, Verdict]] = {
    OpenStringTone.CLEAN: {
        Zone.RESTING: LOW_BUT_CLEAN,
        Zone.LOW: LOW_BUT_CLEAN,
        Zone.ON: ON_TARGET,
        Zone.HIGH: TOO_HIGH,
    },
    OpenStringTone.UNKNOWN: {
        Zone.RESTING: RESTING,
        Zone.LOW: PLAY_IT_OPEN,
        Zone.ON: ON_TARGET,
        Zone.HIGH: TOO_HIGH,
    },
    OpenStringTone.HIT_HARD: {
        Zone.RESTING: LOW_FOR_HARD_PLAYING,
        Zone.LOW: LOW_FOR_HARD_PLAYING,
        Zone.ON: ON_TARGET,
        Zone.HIGH: NOT_HEIGHT,
    },
    OpenStringTone.BUZZES: {
        Zone.RESTING: LOW_AND_BUZZES,
        Zone.LOW: LOW_AND_BUZZES,
        Zone.ON: NOT_HEIGHT,
        Zone.HIGH: NOT_HEIGHT,
    },
}


def open_string_tone(
    readings: Iterable[Reading], string: int, attack: Attack, trade: TradeTables
) -> OpenStringTone:
    """What the last word on the open string was; the player's real attack decides what counts."""
    heard = [r.buzz for r in readings if r.string == string and r.buzz is not Buzz.UNKNOWN]
    if not heard:
        return OpenStringTone.UNKNOWN
    if heard[-1] is Buzz.HARD:
        return trade.call.hit_hard[attack]
    return OpenStringTone.CLEAN if heard[-1] is Buzz.NONE else OpenStringTone.BUZZES


def upper_mm(window: StringWindow, table: CallTable) -> float:
    """The clearance up to which a slot counts as on its target: a little over it, inside the
    window."""
    return max(min(window.target_mm + table.on_target_above_mm, window.high_mm), window.target_mm)


def lowered_above_mm(window: StringWindow, table: CallTable, to_target: bool) -> float:
    """The clearance above which a slot is lowered.

    Inside its window a slot is left alone, cutting being one-way; only where there is a reason to
    bring it down `to_target` is it lowered as soon as it is off its target.
    """
    return upper_mm(window, table) if to_target else max(window.high_mm, window.target_mm)


def lower_mm(window: StringWindow, table: CallTable) -> float:
    """The clearance below which a string is low: out of the window, or well under its target.

    Physics alone would call a string on target far below where anybody sets it; with a buzz to
    explain that is too generous, and without one it is worth a listen.
    """
    return min(max(window.low_mm, window.target_mm - table.on_target_below_mm), window.target_mm)


def low_sd_mm(window: StringWindow, heard_as: OpenStringTone, table: CallTable) -> float:
    """How far off the lower edge may be, one standard deviation.

    With a buzz to explain the hand may well be harder than it is taken for: then height is surely
    no cause only from the target on, which lies two standard deviations above the edge.
    """
    if heard_as not in _BUZZING:
        return window.low_sd_mm
    return max(window.low_sd_mm, (window.target_mm - lower_mm(window, table)) / 2.0)


def zone_of(
    clearance_mm: float, window: StringWindow, table: CallTable, to_target: bool = False
) -> Zone:
    """The zone of a known clearance."""
    if clearance_mm > lowered_above_mm(window, table, to_target):
        return Zone.HIGH
    if clearance_mm >= lower_mm(window, table):
        return Zone.ON
    return Zone.LOW if clearance_mm >= table.resting_mm else Zone.RESTING


def verdict_of(
    clearance_mm: float,
    window: StringWindow,
    heard_as: OpenStringTone,
    table: CallTable,
    to_target: bool = False,
) -> Verdict:
    """The verdict on a known clearance."""
    edged = to_target or heard_as in _BUZZING
    return VERDICTS[heard_as][zone_of(clearance_mm, window, table, edged)]


_BUZZING = (OpenStringTone.HIT_HARD, OpenStringTone.BUZZES)
"""With a buzz to explain, the upper edge tells height from other causes and no cut from none: what
stands over its target has room, however high its window reaches."""


def split(
    believed: Posterior,
    window: StringWindow,
    heard_as: OpenStringTone,
    table: CallTable,
    to_target: bool = False,
) -> dict[Verdict, Curve]:
    """The posterior shared out over the verdicts that each clearance would mean; `to_target` where
    there is a reason to bring the string down to its target from inside its window.

    A buzz is evidence too: a low string gives one for sure, a string with room only for some other
    cause, which is `buzz_other_cause` times as likely.
    """
    low = lower_mm(window, table)
    high = lowered_above_mm(window, table, to_target or heard_as in _BUZZING)
    zones = zone_shares(low, low_sd_mm(window, heard_as, table), high, table.resting_mm)
    shared: dict[Verdict, Curve] = {}
    for zone, share in zones.items():
        verdict, mass = VERDICTS[heard_as][zone], tuple(map(mul, believed.mass, share))
        before = shared.get(verdict)
        shared[verdict] = mass if before is None else tuple(map(float.__add__, before, mass))
    return _weighed(shared, table.buzz_other_cause) if NOT_HEIGHT in shared else shared


def _weighed(shared: dict[Verdict, Curve], other_cause: float) -> dict[Verdict, Curve]:
    """The shares after a buzz was heard: *not height* counts for less, and all sum to one again."""
    shared = shared | {NOT_HEIGHT: tuple([m * other_cause for m in shared[NOT_HEIGHT]])}
    total = sum(map(sum, shared.values()))
    return {verdict: tuple([m / total for m in mass]) for verdict, mass in shared.items()}


@lru_cache(maxsize=24)  # the strings of a job or two; each some 20 kB in the browser
def zone_shares(
    low_mm: float, low_sd_mm: float, upper: float, resting_mm: float
) -> dict[Zone, Curve]:
    """How much of each grid cell belongs to each zone, 0 to 1; `upper` is a clearance in
    millimetres.

    The low edge is only known with its spread; above the target the technician decides, so that
    edge is sharp.
    """
    high = [_share_above(h, upper) for h in GRID_MM]
    rest = [1.0 - _share_above(h, min(resting_mm, low_mm)) for h in GRID_MM]
    under = [phi((low_mm - h) / max(low_sd_mm, STEP_MM / 2)) for h in GRID_MM]
    low = [max(min(u, 1.0 - up) - r, 0.0) for u, up, r in zip(under, high, rest, strict=True)]
    on = [max(1.0 - up - lo - r, 0.0) for up, lo, r in zip(high, low, rest, strict=True)]
    return {
        Zone.RESTING: tuple(rest),
        Zone.LOW: tuple(low),
        Zone.ON: tuple(on),
        Zone.HIGH: tuple(high),
    }


def _share_above(h: float, edge: float) -> float:
    return min(max((h + STEP_MM / 2 - edge) / STEP_MM, 0.0), 1.0)

"""What cents at a few frets say beside the clearance.

A note's sharpness beyond what its height explains is taken apart as r = p + s·(2^(n/12) − 1), n
semitones up: p is the nut's place (a nut e too far from fret 1 gives p = 1731·e/L at every fret,
until the saddle is moved to put the octave right, which makes s = −p and the whole
1731·e/L·(2 − 2^(n/12))); s is the saddle's place or the string's own stiffness. What neither
explains is a bad string. The open string is in tune throughout, so it says nothing. Cents up the
neck are judged against a saddle that puts the octave right, so that they speak of the saddle first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from logic.bench.instrument.fret_names import COUNTED, FretNames
from logic.bench.instrument.naming import cents_at
from logic.physics.sharpness import CENTS_PER_NEPER
from shared.amounts import CentsAmount, LaidOff
from shared.units import Length
from shared.words import mark, say

Expected = Callable[[float, int], float]
"""Cents that a clearance (mm) explains at a fret."""


class Cause(StrEnum):
    """What the cents point at."""

    HEIGHT = "height"
    POSITION = "position"
    STRING = "string"
    NOT_HEIGHT = "not height"
    FLAT = "flat"
    SADDLE = "saddle"
    SADDLE_BESIDES = "saddle besides"
    """The saddle, of a string that stands over its window all the same."""
    SADDLE_FIRST = "saddle first"
    """The saddle, of a string whose height was not read."""
    FINGER = "finger"
    """Height explains a soft finger's note; the rest is a hard one's."""
    HARD_ONLY = "hard only"
    """Read under a hard finger alone."""
    BOTH = "both"
    MOSTLY_OTHER = "mostly not height"
    ONE_OFF = "one off"
    """Sharp beyond its height where its neighbours are not."""
    UNDECIDED = "undecided"


@dataclass(frozen=True)
class ClearanceRange:
    """What touch says of the height: between `low_mm` and `high_mm`, in a slot that is right up to
    `upper_mm` and low below `lower_mm`."""

    low_mm: float
    high_mm: float
    lower_mm: float
    upper_mm: float
    window_high_mm: float = math.inf
    """Where its window ends."""

    @property
    def over(self) -> bool:
        """Whether it stands over its window."""
        return self._middle_mm > self.window_high_mm

    @property
    def _middle_mm(self) -> float:
        return (self.low_mm + min(self.high_mm, self.low_mm + 1.0)) / 2.0

    @property
    def high(self) -> bool:
        """Whether height may yet be the fault."""
        return self._middle_mm > self.upper_mm

    @property
    def low(self) -> bool:
        """Whether it stands below its window."""
        return self.high_mm < self.lower_mm

    def nearest(self, expected: Expected, cents: float, fret: int) -> float:
        """The clearance in the standing that explains `cents` best."""
        steps = [self.low_mm + (self.high_mm - self.low_mm) * i / 20 for i in range(21)]
        return min(steps, key=lambda mm: abs(expected(mm, fret) - cents))


@dataclass(frozen=True)
class PitchThresholds:
    """How finely cents are told apart, and where they speak of the nut."""

    heard_cents: float
    """Below this nobody minds and no model knows better."""
    even_cents: float
    """What a tuner repeats to."""
    model_share: float
    """How far string data and finger may be off, as a share of what height explains."""
    nut_speaks_to_semitones: float
    """Further up the saddle speaks louder."""
    height_share: float
    """Of a sharp note, what height must explain before depth is touched."""
    odd_cents: float
    """Strings that stand alike differ by no more than this."""
    frets: FretNames = COUNTED
    """What frets are called, counted from the string's nut."""
    semitones_at: Callable[[int], float] = float
    """The pitch of a fret, counted from there, above the open string."""
    in_tune_fret: int = 12
    """The fret that the saddle puts right, counted from there."""
    far_frets: tuple[int, ...] = (5, 12)
    """Where a tuner is read besides the low frets, counted from the string's nut."""

    def nut_speaks_at(self, fret: int) -> bool:
        """Whether a note speaks of the nut: low on the board, or at the first fret wherever it
        lies."""
        return fret == 1 or self.semitones_at(fret) <= self.nut_speaks_to_semitones


@dataclass(frozen=True)
class PitchDiagnosis:
    """What the cents point at, in words, and the measurement that would tell more."""

    cause: Cause
    found: str
    ask_for: str = ""
    error_mm: float | None = None
    """How far the nut stands too far from fret 1, where position explains it."""
    beyond: Mapping[int, float] = field(default_factory=dict)
    """By fret, the cents that its height does not explain; empty where its height is not known."""


def diagnose_pitch(
    cents: Mapping[int, float],
    standing: ClearanceRange | None,
    expected: Expected,
    scale_mm: float,
    thresholds: PitchThresholds,
    doubts: Mapping[int, float] | None = None,
) -> PitchDiagnosis:
    """What `cents` by fret point at, as far as they can tell; `doubts` are how far each may be off
    beside what a tuner's usually is, one standard deviation."""
    low_notes = [value for fret, value in cents.items() if thresholds.nut_speaks_at(fret)]
    if low_notes and max(low_notes) < -thresholds.heard_cents:
        return _flat(cents, scale_mm, thresholds.frets)
    if standing is None:
        return _without_height(cents, thresholds)
    first = min(cents)
    stands_mm = standing.nearest(expected, cents[first], first)
    explained = {fret: expected(stands_mm, fret) for fret in cents}
    beyond = {fret: value - explained[fret] for fret, value in cents.items()}
    found = say(
        "{cents}; its height explains {explained}.",
        cents=_listed(cents, thresholds.frets),
        explained=_numbers(explained),
    )
    within = _Tolerance(thresholds, doubts or {})
    if all(within.explains(fret, cents[fret], explained[fret]) for fret in cents):
        return PitchDiagnosis(Cause.HEIGHT, found, beyond=beyond)
    if _low_ones_explained(within, cents, explained) and _is_saddle(beyond, thresholds):
        cause = Cause.SADDLE_BESIDES if standing.over else Cause.SADDLE
        return PitchDiagnosis(
            cause, f"{found} {_saddle_first(thresholds)}", say(_THEN_LOW), beyond=beyond
        )
    if standing.high and not _fair_share(cents, explained, thresholds):
        find = say("Find what makes the rest first: the nut's place, the string, the finger.")
        return PitchDiagnosis(Cause.MOSTLY_OTHER, found, find, beyond=beyond)
    diagnosis = _beyond_height(beyond, found, standing, scale_mm, thresholds)
    return replace(diagnosis, beyond=beyond)


@dataclass(frozen=True)
class _Tolerance:
    """How far cents may be off what height explains, and still be explained by it."""

    thresholds: PitchThresholds
    doubts: Mapping[int, float]

    def explains(self, fret: int, shown: float, explained: float) -> bool:
        """Whether height explains what a fret shows, or nobody would mind."""
        off = max(self.thresholds.heard_cents, 2.0 * self.doubts.get(fret, 0.0))
        if self.thresholds.nut_speaks_at(fret):
            off = max(off, self.thresholds.model_share * explained)
            return abs(shown - explained) <= off or shown <= self.thresholds.heard_cents
        return abs(shown - explained) <= off


def _low_ones_explained(
    within: _Tolerance, cents: Mapping[int, float], explained: Mapping[int, float]
) -> bool:
    """Whether height explains every fret at which the nut speaks, if one was read at all."""
    low = filter(within.thresholds.nut_speaks_at, cents)
    return all(within.explains(fret, cents[fret], explained[fret]) for fret in low)


def _fair_share(
    cents: Mapping[int, float], explained: Mapping[int, float], thresholds: PitchThresholds
) -> bool:
    """Whether height explains its fair share of what the low frets show."""
    low = list(filter(thresholds.nut_speaks_at, cents))
    shown = sum(max(cents[fret], 0.0) for fret in low)
    return sum(explained[fret] for fret in low) >= thresholds.height_share * shown


def one_off(
    string: int, beyond: Mapping[int, Mapping[int, float]], thresholds: PitchThresholds
) -> bool:
    """Whether a string is sharp beyond its height where those beside it are not.

    `beyond` is by string and fret. Of the strings that have cents at its lowest fret, the nearest
    on either side speak; there must be two, on one side if it is the last.
    """
    own = beyond.get(string, {})
    fret = min(filter(thresholds.nut_speaks_at, own), default=None)
    if fret is None or own[fret] <= thresholds.odd_cents:
        return False
    others = [other for other in beyond if other != string and fret in beyond[other]]
    beside = sorted(others, key=lambda other: (abs(other - string), other))[:2]
    return len(beside) == 2 and all(
        beyond[other][fret] <= thresholds.heard_cents
        and own[fret] - beyond[other][fret] > thresholds.odd_cents
        for other in beside
    )


def pressed_harder(
    soft: Mapping[int, float], hard: Mapping[int, float], thresholds: PitchThresholds
) -> str:
    """How much of the sharpness is a hard finger's, in words; empty where it is nothing to hear.
    `soft` and `hard` are cents by fret."""
    more = {fret: hard[fret] - soft[fret] for fret in hard if fret in soft}
    fret = max(more, key=more.__getitem__, default=None)
    if fret is None or more[fret] <= thresholds.heard_cents:
        return ""
    return say(
        "At fret {fret} {soft} under a soft finger and {hard:+.0f} under a hard one: "
        "the finger and tall frets make {more:.0f} of it, and no slot cures that.",
        fret=thresholds.frets.of(fret),
        soft=CentsAmount(soft[fret], "+.0f"),
        hard=hard[fret],
        more=more[fret],
    )


def hard_only(hard: Mapping[int, float], frets: FretNames) -> PitchDiagnosis:
    """Notes that were read under a hard finger alone, cents by fret."""
    ask_for = say("Read the same note under a soft finger, close behind the fret.")
    return PitchDiagnosis(Cause.HARD_ONLY, f"{_listed(hard, frets)}.", ask_for)


def _flat(cents: Mapping[int, float], scale_mm: float, frets: FretNames) -> PitchDiagnosis:
    error = min(cents.values(), key=abs) / CENTS_PER_NEPER * scale_mm
    found = say(
        "{cents}, about a nut {off} too near fret {first}.",
        cents=_listed(cents, frets),
        off=_off(error),
        first=frets.first,
    )
    return PitchDiagnosis(Cause.FLAT, found, _to_the_first(frets), error)


def _to_the_first(frets: FretNames) -> str:
    return say("Measure from the nut's front edge to fret {first}.", first=frets.first)


def _without_height(cents: Mapping[int, float], thresholds: PitchThresholds) -> PitchDiagnosis:
    """The same cents can come from height or from a misplaced nut: only a leaf decides. Up the neck
    they are the saddle's, whatever the height."""
    far = {f: value for f, value in cents.items() if not thresholds.nut_speaks_at(f)}
    if any(abs(value) > thresholds.heard_cents for value in far.values()):
        found = f"{_listed(cents, thresholds.frets)}. {_saddle_first(thresholds)}"
        return PitchDiagnosis(Cause.SADDLE_FIRST, found, say(_THEN_LOW))
    ask_for = say(
        "Measure the clearance over fret {first}: cents alone do not tell height from position.",
        first=thresholds.frets.first,
    )
    return PitchDiagnosis(Cause.UNDECIDED, f"{_listed(cents, thresholds.frets)}.", ask_for)


_SADDLE = mark(
    "Cents up the neck are the saddle's first: put fret {fret} right there, flat by moving it back."
)
_THEN_LOW = mark("Then read the low frets again.")


def _saddle_first(thresholds: PitchThresholds) -> str:
    return say(_SADDLE, fret=thresholds.frets.of(thresholds.in_tune_fret))


def _beyond_height(
    beyond: Mapping[int, float],
    found: str,
    standing: ClearanceRange,
    scale_mm: float,
    thresholds: PitchThresholds,
) -> PitchDiagnosis:
    place, _, rest = take_apart(beyond, thresholds.semitones_at)
    error = place / CENTS_PER_NEPER * scale_mm
    to_the_first = _to_the_first(thresholds.frets)
    if standing.high or standing.low:
        return PitchDiagnosis(Cause.BOTH, found, to_the_first, error)
    if _is_saddle(beyond, thresholds):
        return PitchDiagnosis(Cause.SADDLE, f"{found} {_saddle_first(thresholds)}", say(_THEN_LOW))
    if len(beyond) < 2:
        return _one_fret(found, thresholds)
    if abs(rest) > thresholds.even_cents or abs(place) <= thresholds.heard_cents:
        return PitchDiagnosis(Cause.STRING, found, say(_ANOTHER_STRING))
    fits = _TOO_FAR if error > 0 else _TOO_NEAR
    words = f"{found} {say(fits, off=_off(error), first=thresholds.frets.first)}"
    return PitchDiagnosis(Cause.POSITION, words, to_the_first, error)


_ANOTHER_STRING = mark("Try another string, then look at the saddle.")
_TOO_FAR = mark("The rest fits a nut about {off} too far from fret {first}.")
_TOO_NEAR = mark("The rest fits a nut about {off} too near fret {first}.")


def _one_fret(found: str, thresholds: PitchThresholds) -> PitchDiagnosis:
    """One note alone; a board with nothing further up has another string to tell by."""
    frets, far = thresholds.frets, thresholds.far_frets
    if len(far) < 2:
        return PitchDiagnosis(Cause.NOT_HEIGHT, found, say(_ANOTHER_STRING))
    ask_for = say(
        "Read the tuner at frets {middle} and {high} too: even is the nut's place, uneven the"
        " string.",
        middle=frets.of(far[-2]),
        high=frets.of(far[-1]),
    )
    return PitchDiagnosis(Cause.NOT_HEIGHT, found, ask_for)


def _is_saddle(beyond: Mapping[int, float], thresholds: PitchThresholds) -> bool:
    """Whether what is left grows up the neck, as a saddle out of its place makes it."""
    highest = max(beyond)
    if thresholds.nut_speaks_at(highest):
        return False
    if abs(beyond[highest]) <= thresholds.heard_cents:
        return False
    place, slope, rest = take_apart(beyond, thresholds.semitones_at)
    if len(beyond) == 1:
        return True
    return abs(slope) > abs(place) and slope * beyond[highest] > 0 and rest <= thresholds.odd_cents


def take_apart(
    beyond: Mapping[int, float], semitones_at: Callable[[int], float] = float
) -> tuple[float, float, float]:
    """The constant part p, the part s that grows with 2^(n/12) − 1, and the largest rest, in cents,
    of `beyond` by fret.

    Least squares; one fret alone counts as constant.
    """
    rows = [(2.0 ** (semitones_at(fret) / 12.0) - 1.0, value) for fret, value in beyond.items()]
    mean_x = sum(x for x, _ in rows) / len(rows)
    mean_y = sum(y for _, y in rows) / len(rows)
    spread = sum((x - mean_x) ** 2 for x, _ in rows)
    slope = sum((x - mean_x) * (y - mean_y) for x, y in rows) / spread if spread else 0.0
    place = mean_y - slope * mean_x
    rest = max(abs(y - place - slope * x) for x, y in rows)
    return place, slope, rest


def _off(error_mm: float) -> LaidOff:
    """How far off the nut stands, as finely as cents tell: strings that agree say the same."""
    return LaidOff(Length.of(round(abs(error_mm), 1)), places_mm=1)


def _listed(cents: Mapping[int, float], frets: FretNames) -> str:
    parts = [cents_at(value, frets.of(fret)) for fret, value in sorted(cents.items())]
    return ", ".join(parts)


def _numbers(cents: Mapping[int, float]) -> str:
    return ", ".join(f"{round(value):+d}" for _, value in sorted(cents.items()))

"""What cents at a few frets say beside the clearance.

A note's sharpness beyond what its height explains is taken apart as r_n = p + s·(2^(n/12) − 1):
p is the nut's place (a nut e too far from fret 1 gives p = 1731·e/L at every fret, until the saddle
is moved to put fret 12 right, which makes s = −p and the whole 1731·e/L·(2 − 2^(n/12))); s is the
saddle's place or the string's own stiffness. What neither explains is a bad string. The open string
is in tune throughout, so it says nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from logic.bench.instrument.naming import cents_at
from logic.physics.sharpness import CENTS_PER_NEPER
from shared.amounts import LaidOff
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
    BOTH = "both"
    UNDECIDED = "undecided"


@dataclass(frozen=True)
class ClearanceRange:
    """What touch says of the height: between `low_mm` and `high_mm`, in a slot that is right up to
    `upper_mm` and low below `lower_mm`."""

    low_mm: float
    high_mm: float
    lower_mm: float
    upper_mm: float

    @property
    def high(self) -> bool:
        """Whether height may yet be the fault."""
        return (self.low_mm + min(self.high_mm, self.low_mm + 1.0)) / 2.0 > self.upper_mm

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
    nut_speaks_to_fret: int
    """Further up the saddle speaks louder."""


@dataclass(frozen=True)
class PitchDiagnosis:
    """What the cents point at, in words, and the measurement that would tell more."""

    cause: Cause
    found: str
    ask_for: str = ""
    error_mm: float | None = None
    """How far the nut stands too far from fret 1, where position explains it."""


def diagnose_pitch(
    cents: dict[int, float],
    standing: ClearanceRange | None,
    expected: Expected,
    scale_mm: float,
    thresholds: PitchThresholds,
) -> PitchDiagnosis:
    """What `cents` by fret point at, as far as they can tell."""
    low_notes = [value for fret, value in cents.items() if fret <= thresholds.nut_speaks_to_fret]
    if low_notes and max(low_notes) < -thresholds.heard_cents:
        return _flat(cents, scale_mm)
    if standing is None:
        return _without_height(cents, thresholds)
    first = min(cents)
    stands_mm = standing.nearest(expected, cents[first], first)
    explained = {fret: expected(stands_mm, fret) for fret in cents}
    beyond = {fret: value - explained[fret] for fret, value in cents.items()}
    found = say(
        "{cents}; its height explains {explained}.",
        cents=_listed(cents),
        explained=_numbers(explained),
    )
    if all(
        abs(beyond[f]) <= _doubt(explained[f], thresholds) or cents[f] <= thresholds.heard_cents
        for f in cents
    ):
        return PitchDiagnosis(Cause.HEIGHT, found)
    return _beyond_height(beyond, found, standing, scale_mm, thresholds)


def _doubt(explained: float, thresholds: PitchThresholds) -> float:
    return max(thresholds.heard_cents, thresholds.model_share * explained)


def _flat(cents: dict[int, float], scale_mm: float) -> PitchDiagnosis:
    error = min(cents.values(), key=abs) / CENTS_PER_NEPER * scale_mm
    found = say(
        "{cents}, about a nut {off} too near fret 1.", cents=_listed(cents), off=_off(error)
    )
    ask_for = say("Measure from the nut's front edge to fret 1.")
    return PitchDiagnosis(Cause.FLAT, found, ask_for, error)


def _without_height(cents: dict[int, float], thresholds: PitchThresholds) -> PitchDiagnosis:
    """The same cents can come from height or from a misplaced nut: only a leaf decides."""
    far = max(cents.values()) <= thresholds.heard_cents
    cause = Cause.HEIGHT if far else Cause.UNDECIDED
    ask_for = say(
        "Measure the clearance over fret 1: cents alone do not tell height from position."
    )
    return PitchDiagnosis(cause, f"{_listed(cents)}.", "" if far else ask_for)


def _beyond_height(
    beyond: dict[int, float],
    found: str,
    standing: ClearanceRange,
    scale_mm: float,
    thresholds: PitchThresholds,
) -> PitchDiagnosis:
    place, _, rest = take_apart(beyond)
    error = place / CENTS_PER_NEPER * scale_mm
    to_fret_1 = say("Measure from the nut's front edge to fret 1.")
    if standing.high or standing.low:
        return PitchDiagnosis(Cause.BOTH, found, to_fret_1, error)
    if len(beyond) < 2:
        return _one_fret(beyond, found, thresholds)
    if abs(rest) > thresholds.even_cents or abs(place) <= thresholds.heard_cents:
        other = say("Try another string, then look at the saddle.")
        return PitchDiagnosis(Cause.STRING, found, other)
    fits = _TOO_FAR if error > 0 else _TOO_NEAR
    words = f"{found} {say(fits, off=_off(error))}"
    return PitchDiagnosis(Cause.POSITION, words, to_fret_1, error)


_TOO_FAR = mark("The rest fits a nut about {off} too far from fret 1.")
_TOO_NEAR = mark("The rest fits a nut about {off} too near fret 1.")


def _one_fret(beyond: dict[int, float], found: str, thresholds: PitchThresholds) -> PitchDiagnosis:
    if min(beyond) > thresholds.nut_speaks_to_fret:
        saddle = say("Look at the saddle's place and the string.")
        return PitchDiagnosis(Cause.STRING, found, saddle)
    ask_for = say(
        "Read the tuner at frets 5 and 12 too: even is the nut's place, uneven the string."
    )
    return PitchDiagnosis(Cause.NOT_HEIGHT, found, ask_for)


def take_apart(beyond: dict[int, float]) -> tuple[float, float, float]:
    """The constant part p, the part s that grows with 2^(n/12) − 1, and the largest rest, in cents.

    Least squares; one fret alone counts as constant.
    """
    rows = [(2.0 ** (fret / 12.0) - 1.0, value) for fret, value in beyond.items()]
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


def _listed(cents: dict[int, float]) -> str:
    parts = [cents_at(value, fret) for fret, value in sorted(cents.items())]
    return ", ".join(parts)


def _numbers(cents: dict[int, float]) -> str:
    return ", ".join(f"{value:+.0f}" for _, value in sorted(cents.items()))

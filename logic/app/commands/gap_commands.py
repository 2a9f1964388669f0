"""What can be measured of the whole instrument: relief and action, and how it is held meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

from shared.measurements import Posture


@dataclass(frozen=True)
class MeasureRelief:
    """Measure relief; a string number says on which side: that of this outer string."""

    string: int | None = None


@dataclass(frozen=True)
class MeasureAction:
    """Measure action, of a string over a fret; of what is asked for next where neither is said."""

    string: int | None = None
    fret: int | None = None


@dataclass(frozen=True)
class StepHold:
    """Hold the line so many frets further up at its lower or upper end, or measure so much further
    up between them: "low", "high" or "at"."""

    which: str
    frets: int


@dataclass(frozen=True)
class UseStraightEdge:
    """Whether a straight edge lies on the frets, in place of a string that is held down."""

    on: bool


@dataclass(frozen=True)
class SetPosture:
    """How the instrument lies from now on while it is measured."""

    posture: Posture


@dataclass(frozen=True)
class AsPredicted:
    """The strings that were not measured lie as is predicted of them."""


@dataclass(frozen=True)
class LeaveRest:
    """Leave what is not measured of this stage unmeasured; that is recorded."""


@dataclass(frozen=True)
class SeeMeasured:
    """Show how it is measured, and all that was."""


GapCommand = (
    MeasureRelief
    | MeasureAction
    | StepHold
    | UseStraightEdge
    | SetPosture
    | AsPredicted
    | LeaveRest
    | SeeMeasured
)

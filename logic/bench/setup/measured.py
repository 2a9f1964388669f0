"""What is known of the instrument as a whole: its relief, its action, and what to measure next.

All of it is facts; the words come where it is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from logic.bench.measuring.grid import Posterior
from logic.bench.measuring.next_leaf import LeafReason, Stack
from logic.bench.setup.staleness import Cause
from shared.measurements import Posture, Side
from shared.setup import Scope, Stage
from shared.units import Length


class WindowStanding(StrEnum):
    """Where a value stands against its window, as far as it is known."""

    UNREAD = "unread"
    BELOW = "below"
    INSIDE = "inside"
    ABOVE = "above"
    UNSURE = "unsure"
    """Measured, and two of the three are still possible."""

    @property
    def is_known(self) -> bool:
        """Whether it is sure on which side of its edges it lies."""
        return self not in (WindowStanding.UNREAD, WindowStanding.UNSURE)

    @property
    def is_out(self) -> bool:
        """Whether it surely lies outside."""
        return self in (WindowStanding.BELOW, WindowStanding.ABOVE)


class NeckShape(StrEnum):
    """How a neck bends, as far as the measurements tell."""

    UNKNOWN = "unknown"
    HOLLOW = "hollow"
    """Evenly, away from the strings."""
    STRAIGHT = "straight"
    BACK_BOW = "back-bow"
    UNEVEN = "uneven"
    """One side bends more than the other; a twist leaves both sides straight."""
    S_SHAPE = "S-shape"
    """Hollow in one place and not in another."""


class WindowSource(StrEnum):
    """Whose figures a window has."""

    OWN = "own target"
    PRACTICE = "common practice"


class QuestionKind(StrEnum):
    """What is asked or done next."""

    PLAYER = "player"
    LOOK = "look"
    AS_IT_CAME = "as it came"
    """Relief, action and first-fret heights of the outer strings, before strings are changed."""
    TUNING = "tuning"
    """New strings or not, tuned, settled."""
    RELIEF = "relief"
    SET_RELIEF = "set relief"
    """It is read and lies out of its window."""
    ACTION = "action"
    SET_ACTION = "set action"
    IN_TUNE_AGAIN = "in tune again"
    FRETS = "frets"
    NUT = "nut"
    INTONATION = "intonation"
    PROOF = "proof"


class StageState(StrEnum):
    """How far one stage is."""

    DONE = "done"
    DUE = "due"
    """The one that comes next."""
    WAITING = "waiting"
    SKIPPED = "skipped"
    LEFT_OUT = "left out"
    """It belongs to no visit of this scope."""


@dataclass(frozen=True)
class MeasuredWindow:
    """Where a value may lie, millimetres."""

    low_mm: float
    target_mm: float
    high_mm: float
    source: WindowSource


@dataclass(frozen=True)
class TouchAdvice:
    """The leaf, stack or shank to slide in next, or none; and what the kit lacks, where it does."""

    why: LeafReason
    leaves: Stack = ()
    shank: Length | None = None
    lacking_mm: float | None = None

    @property
    def asks(self) -> bool:
        """Whether another touch is wanted."""
        return self.why.asks

    @property
    def slid_in(self) -> Stack:
        """What is slid in, leaves or the shank."""
        return self.leaves if self.shank is None else (self.shank,)


@dataclass(frozen=True)
class MeasuredValue:
    """Relief of one side of the neck, or action of one string over one fret."""

    quantity: str
    """`relief` or `action`, as `Measurement.quantity` has it."""
    window: MeasuredWindow
    standing: WindowStanding
    ask: Callable[[], TouchAdvice] = field(compare=False, repr=False)
    """Works out `advice`, which costs a few milliseconds."""
    believed: Posterior | None = None
    """None while nothing was measured or predicted."""
    chances: Mapping[WindowStanding, float] = field(default_factory=dict)
    """Of lying below, inside and above the window."""
    side: Side | None = None
    string: int | None = None
    """Of an action the string; of relief the string that serves as straight edge on that side."""
    fret: int | None = None
    """Of an action the fret it is measured over, of relief the one to slide the leaf in at."""
    holds: tuple[int, int] | None = None
    touches: int = 0
    predicted: bool = False
    """Not measured: it follows from both outer strings and one between them."""
    confirmed: bool = False
    """Foretold, and said to be so."""
    moved_by: tuple[Cause, ...] = ()
    """What was done since it was measured that may have moved it."""
    stale: bool = False

    @cached_property
    def advice(self) -> TouchAdvice:
        """What to slide in next, or why nothing."""
        return self.ask()

    @property
    def settled(self) -> bool:
        """Whether it is measured, or foretold and said to be so; nothing has moved it; and no
        further touch is asked for."""
        if self.stale or not (self.touches or self.confirmed):
            return False
        return self.confirmed or not self.advice.asks


@dataclass(frozen=True)
class FoundShape:
    """The shape of a neck, and how sure that is."""

    shape: NeckShape
    chance: float = 0.0
    uneven_mm: tuple[float, float] | None = None
    """The 95 % interval of bass less treble relief; None where one side was not read."""
    refer: bool = False
    """Whether it is bent so that it is work for a repairer."""


@dataclass(frozen=True)
class SetupQuestion:
    """The one thing to ask or measure next."""

    stage: Stage
    what: QuestionKind
    side: Side | None = None
    string: int | None = None
    fret: int | None = None
    holds: tuple[int, int] | None = None
    advice: TouchAdvice | None = None
    about: MeasuredValue | None = None
    """The value that is asked for, as it is believed so far."""


@dataclass(frozen=True)
class SetupState:
    """A visit of the whole instrument as it stands."""

    scope: Scope
    stages: Mapping[Stage, StageState] = field(default_factory=dict)
    relief: tuple[MeasuredValue, ...] = ()
    """Bass side, then treble; one alone where there is but one string, or no side was named."""
    action: tuple[MeasuredValue, ...] = ()
    """An octave up, of every string in the order of the instrument."""
    action_elsewhere: tuple[MeasuredValue, ...] = ()
    """Whatever was measured over another fret; no stage asks for it or waits for it."""
    neck: FoundShape = FoundShape(NeckShape.UNKNOWN)
    next: SetupQuestion | None = None
    postures: tuple[Posture, ...] = ()
    """Every posture it was measured in; of two of them the values are not believed together."""
    as_it_came: bool = False
    """Whether relief and action were read before the strings were changed."""
    stale_strings: Mapping[int, tuple[Cause, ...]] = field(default_factory=dict)
    """Strings whose first-fret readings something has moved, and what."""

    @property
    def stage(self) -> Stage:
        """The stage that is due; `done` when none is."""
        due = (stage for stage, how in self.stages.items() if how is StageState.DUE)
        return next(due, Stage.DONE)

    @property
    def skipped(self) -> frozenset[Stage]:
        """Stages that were left out on purpose."""
        return frozenset(s for s, how in self.stages.items() if how is StageState.SKIPPED)

    @property
    def postures_mixed(self) -> bool:
        """Whether it was measured in more than one posture."""
        return len(self.postures) > 1

    def relief_of(self, side: Side | None) -> MeasuredValue | None:
        """Relief of one side; None where it has no such side."""
        return next((value for value in self.relief if value.side is side), None)

    def action_of(self, string: int, fret: int | None = None) -> MeasuredValue | None:
        """Action of one string, over a fret or where it is first asked for."""
        values = (*self.action, *self.action_elsewhere)
        own = (v for v in values if v.string == string and fret in (None, v.fret))
        return next(own, None)

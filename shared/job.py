"""One visit of one instrument: what was asked, what was read, and what follows for each slot."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, SerializerFunctionWrapHandler, model_serializer

from shared.instrument import MOST_STRINGS, Instrument, Player
from shared.kit import Kit
from shared.measurements import Measurement
from shared.readings import Buzz, Reading
from shared.reasons import Lack, OpenCheck
from shared.record import Record
from shared.setup import Setup, SetupStep
from shared.setup_plan import SetupPlan
from shared.string_names import StringKey
from shared.units import Length
from shared.work import Work

LONGEST_TICKET = 120
"""Letters of a ticket, as of an owner's tag."""
LONGEST_NOTE = 1000
"""Letters of what is noted for the sheets of a visit."""


class Pass(Record):
    """Strokes of one file in one slot, between two readings."""

    string: Annotated[int, Field(ge=1, le=MOST_STRINGS)]
    strokes: Annotated[int, Field(ge=1, le=999)]
    file: Length | None = None
    material: str = ""
    technician: str = ""
    after: Annotated[int, Field(ge=0)] = 0
    """How many of this string's readings were taken before it."""
    after_measured: Annotated[int, Field(ge=0)] | None = None
    """How many of the visit's measurements were taken before it; None: nobody counted."""
    half_strokes: Annotated[int, Field(ge=1, le=999)] | None = None
    """How many strokes at half the pressure it was, where it was of such; `strokes` then holds how
    many whole ones they come to, rounded down, and at least one, for apps that know of no others.
    """

    @property
    def made(self) -> int:
        """How many strokes the hand made, half ones or whole."""
        return self.half_strokes or self.strokes

    @property
    def half(self) -> bool:
        """Whether they were half strokes."""
        return self.half_strokes is not None

    def counted(self, strokes: int, *, half: bool) -> Pass:
        """The same pass with another count, of half strokes or of whole ones."""
        whole = max(strokes // 2, 1) if half else strokes
        halves = strokes if half else None
        return self.model_copy(update={"strokes": whole, "half_strokes": halves})


class Proof(Record):
    """A finished string, read and played open soft, normal and hard; or why that was not done."""

    string: Annotated[int, Field(ge=1, le=MOST_STRINGS)]
    buzz: Buzz = Buzz.UNKNOWN
    """The gentlest of the three at which it buzzes; `none` when it rang clean at all."""
    clearance: Length | None = None
    cents: Annotated[float, Field(ge=-100, le=100)] | None = None
    """What a tuner shows at fret 1, the open string in tune."""
    unproven: str = ""
    """Why it was closed without proof."""


AnswerToCheck = bool | str | float
"""What a check can be answered with: yes/no words, a number, or a length as written."""

Checks = dict[str, AnswerToCheck | dict[str, AnswerToCheck]]
"""Answers to the gates, by gate; where a gate is asked string by string, by string number."""


class Complaint(Record):
    """One thing that was said or noticed, as it was said."""

    model_config = ConfigDict(
        serialize_by_alias=True, validate_by_name=True, validate_by_alias=True
    )

    what: Annotated[str, Field(alias="is")]
    """In people's own words, or the id or title of a complaint."""
    strings: tuple[StringKey, ...] = ()
    """The strings it was said of; none: nobody said which."""
    since: str = ""
    """What happened just before, in people's own words."""
    said: str = ""
    """The words it was told in, where somebody put right what was understood of them: they are not
    read again."""


class Round(Record):
    """One piece of work and what was known before it. Of the strings that it touched, all that was
    read, filed and proved; of the rest, what was said and measured since the work before it."""

    work: Work
    readings: tuple[Reading, ...] = ()
    passes: tuple[Pass, ...] = ()
    proofs: tuple[Proof, ...] = ()
    checks: Checks = Field(default_factory=dict)
    looked_again: Checks = Field(default_factory=dict)
    setup: Setup | None = None
    instrument: Instrument | None = None
    """The instrument as it was listed then; None where nobody kept it."""


class Job(Record):
    """Everything that a plan is made from."""

    format: Literal["nutwright.job"] = "nutwright.job"
    version: Literal[1] = 1
    instrument: Instrument
    player: Player = Player()
    kit: Kit = Kit()
    complaint: str = ""
    complaints: tuple[Complaint, ...] = ()
    """More that was said, beside `complaint`."""
    to_my_target: bool = False
    """Whether a professional asked for every slot to come down to the target, complaint or none."""
    ticket: Annotated[str, Field(max_length=LONGEST_TICKET)] = ""
    """The number or words under which the workshop booked this visit."""
    note: Annotated[str, Field(max_length=LONGEST_NOTE)] = ""
    """What was written to stand on the sheets, in the technician's own words."""
    checks: Checks = Field(default_factory=dict)
    looked_again: Checks = Field(default_factory=dict)
    """What the same checks were answered the second time, before anything that cannot be undone."""
    readings: tuple[Reading, ...] = ()
    passes: tuple[Pass, ...] = ()
    proofs: tuple[Proof, ...] = ()
    setup: Setup | None = None
    """None where nothing but strings was read."""
    rounds: tuple[Round, ...] = ()
    """Work that was done, oldest first, each with what was known before it. All that stands beside
    it was said and read since, or is still true."""
    measured_in: tuple[int, ...] | None = Field(default=None, exclude=True)
    """Of a job as it stands, the round in which each of its measurements was taken; their number
    of one that was taken since. None of a job as it came, whose rounds hold their own."""

    @property
    def measurements(self) -> tuple[Measurement, ...]:
        """What was measured of the instrument and its room, in order."""
        return self.setup.readings if self.setup else ()

    @property
    def steps(self) -> tuple[SetupStep, ...]:
        """What was done to it beside the file, in order."""
        return self.setup.steps if self.setup else ()


class CallKind(StrEnum):
    """What to do with one slot."""

    LEAVE = "leave"
    LOWER = "lower"
    RAISE = "raise"
    WIDEN = "widen"
    EASE = "ease"
    """Clean, smooth and lubricate the slot: depth and width stay."""
    CHECK_FIRST = "check first"
    READ_AGAIN = "read again"


IRREVERSIBLE = frozenset({CallKind.LOWER, CallKind.WIDEN})
"""Calls that take material which nobody puts back."""


class Interval(Record):
    """An estimate and its 95 % interval, millimetres."""

    estimate: float
    low: float
    high: float


class Window(Record):
    """Lowest clearance that stays clean, where we aim, highest that stays in tune; millimetres."""

    low: float
    target: float
    high: float
    cut_to: float | None = None
    """Where a cut ends: at the target, or above it where the low edge is near and uncertain."""
    note: str = ""
    """What to know about this window, such as that none exists and what would change that."""


class GateState(StrEnum):
    """Where a gate stands."""

    OPEN = "open"
    PASSED = "passed"
    FAILED = "failed"
    SKIPPED = "skipped"


class Gate(Record):
    """One thing to rule out before anything is cut, and what its answer allows.

    `strings` are those it speaks of (none: all). `imposes` is the call it makes for them when it
    has failed; `forbids` are the calls it bars until it has passed, whether it is open, failed or
    was skipped: a call that is barred becomes `instead`, which is mostly *check first*.
    """

    gate: str
    state: GateState
    ask: str
    why: str
    strings: tuple[int, ...] = ()
    imposes: CallKind | None = None
    reason: str = ""
    forbids: tuple[CallKind, ...] = ()
    instead: CallKind = Field(default=CallKind.CHECK_FIRST, exclude=True)
    """What a barred call becomes."""
    inside_window: bool = Field(default=False, exclude=True)
    """Whether it bars only what stands inside its window."""
    weighs: bool = Field(default=True, exclude=True)
    """Whether a cut is less sure where nobody had a reason to ask it."""
    lacks: Lack | None = Field(default=None, exclude=True)
    """What is lacking where nobody answered or knows, or where it was left out on purpose."""


OVER_A_SEMITONE = 1.0 / float(2.0 ** (1.0 / 12.0))
"""How much of what moves at the nut arrives over a fret a semitone up (similar triangles)."""


class StringCall(Record):
    """The call for one slot, with the numbers behind it (millimetres, cents)."""

    string: int
    call: CallKind
    reason: str
    """A `CallReason`, or the reason of the check that bars the call."""
    open_check: OpenCheck | None = Field(default=None, exclude=True)
    """The check that is to be answered first, if the call waits for an answer; `reason` says it."""
    why: str
    confidence: float
    clearance_mm: Interval | None = None
    window_mm: Window
    slot_cut_mm: float | None = None
    raise_mm: float | None = None
    file_mm: float | None = None
    file_note: str = ""
    next_step: str = ""
    next_leaf_mm: tuple[float, ...] = ()
    cents_at_fret_1: float | None = None
    touch_again_mm: tuple[float, ...] | None = Field(default=None, exclude=True)
    """The leaf to slide in once more before a cut that rests on a single reading: empty where the
    kit has none that tells; None where two readings say it."""
    cut_share: float = Field(default=OVER_A_SEMITONE, exclude=True)
    """How much of a cut in its slot arrives over its first fret."""
    held_back: StringCall | None = Field(default=None, exclude=True)
    """The call on height alone, where something else stands before it."""


class Assumed(Record):
    """A value nobody gave, and where it was taken from."""

    field: str
    value: str
    why: str


class LowerAfter(Record):
    """A slot that stands too high once the nut has been lifted, and what to take off it again."""

    string: int
    slot_cut_mm: float
    file_mm: float | None = None


class RaiseOption(Record):
    """One way of raising or lowering at the base, and what it costs.

    `stack_mm` are the shims to take from the stock, `lifts_mm` what each slot floor rises by, and
    `missed` the strings that would stand outside their window even so.
    """

    method: str
    amount_mm: float | None = None
    slots_touched: tuple[int, ...] = ()
    minutes: float | None = None
    slots_filed: int = 0
    """How many slots `minutes` reckons with, besides the work on the nut itself."""
    reversible: bool = False
    recommended: bool = False
    why: str = ""
    stack_mm: tuple[float, ...] = ()
    lifts_mm: dict[int, float] = Field(default_factory=dict)
    lower_after: tuple[LowerAfter, ...] = ()
    missed: tuple[int, ...] = ()
    cure_hours: float | None = None
    cautions: tuple[str, ...] = ()
    cautions_in_why: bool = Field(default=False, exclude=True)
    """Whether `why` says the cautions already."""


class NutAdvice(Record):
    """The whole nut at a glance."""

    advice: str
    options: tuple[RaiseOption, ...] = ()


class SecondLook(Record):
    """One thing to look at once more before the first file: a cut rests on it, and being wrong
    about it would turn the call."""

    check: str
    ask: str
    why: str
    strings: tuple[int, ...] = ()
    """Those whose cut waits for it (none: all)."""
    answered: bool = True
    """Whether it was answered once; else nobody has looked yet."""
    leaf_mm: tuple[float, ...] = ()
    """The leaf to slide in once more, where it is a touch that is to be confirmed."""


class Plan(Record):
    """The calls for one job."""

    format: Literal["nutwright.plan"] = "nutwright.plan"
    version: Literal[1] = 1
    assumed: tuple[Assumed, ...] = ()
    gates: tuple[Gate, ...] = ()
    strings: tuple[StringCall, ...] = ()
    nut: NutAdvice
    cautions: tuple[str, ...] = ()
    before_the_file: tuple[SecondLook, ...] = ()
    """What to look at once more before anything is cut; empty where no cut is called for."""
    setup: SetupPlan | None = None
    """How a visit of the whole instrument stands; left out of what is written of one for the nut
    alone."""

    @model_serializer(mode="wrap")
    def _spelled(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        written: dict[str, Any] = write(self)
        if self.setup is None:
            written.pop("setup", None)
        return written

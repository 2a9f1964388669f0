"""What a person can do. Every tap, key, pedal and voice comes down to one of these."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.commands.board_commands import BoardCommand
from logic.app.commands.check_commands import CheckCommand
from logic.app.commands.check_commands import LeaveFinding as LeaveFinding
from logic.app.commands.check_commands import MeasureAgain as MeasureAgain
from logic.app.commands.gap_commands import AsPredicted as AsPredicted
from logic.app.commands.gap_commands import GapCommand
from logic.app.commands.gap_commands import LeaveRest as LeaveRest
from logic.app.commands.gap_commands import MeasureAction as MeasureAction
from logic.app.commands.gap_commands import MeasureRelief as MeasureRelief
from logic.app.commands.gap_commands import SeeMeasured as SeeMeasured
from logic.app.commands.gap_commands import SetPosture as SetPosture
from logic.app.commands.gap_commands import StepHold as StepHold
from logic.app.commands.gap_commands import UseStraightEdge as UseStraightEdge
from logic.app.commands.instrument_commands import InstrumentCommand
from logic.app.commands.kit_commands import AdviseKit as AdviseKit
from logic.app.commands.kit_commands import ConfirmKit as ConfirmKit
from logic.app.commands.kit_commands import EmptyKit as EmptyKit
from logic.app.commands.kit_commands import KitCommand
from logic.app.commands.kit_commands import KitIntoJobs as KitIntoJobs
from logic.app.commands.kit_commands import MarkTool as MarkTool
from logic.app.commands.kit_commands import SeeKit as SeeKit
from logic.app.commands.kit_commands import SetMarking as SetMarking
from logic.app.commands.kit_commands import ShowSizes as ShowSizes
from logic.app.commands.kit_commands import TakeSet as TakeSet
from logic.app.commands.kit_commands import ToggleFile as ToggleFile
from logic.app.commands.kit_commands import ToggleLeaf as ToggleLeaf
from logic.app.commands.kit_commands import ToggleStock as ToggleStock
from logic.app.commands.kit_commands import UseKit as UseKit
from logic.app.commands.label_commands import LabelCommand as LabelCommand
from logic.app.commands.nut_commands import NoteMinutes as NoteMinutes
from logic.app.commands.nut_commands import NutCommand
from logic.app.commands.nut_commands import ReportWork as ReportWork
from logic.app.commands.nut_commands import SeeNewNut as SeeNewNut
from logic.app.commands.nut_commands import SeeRaising as SeeRaising
from logic.app.commands.nut_commands import SetSpacing as SetSpacing
from logic.app.commands.nut_commands import ShareNut as ShareNut
from logic.app.commands.nut_commands import TurnAmount as TurnAmount
from logic.app.commands.nut_commands import TurnMargin as TurnMargin
from logic.app.commands.record_commands import RecordCommand as RecordCommand
from logic.app.commands.start_commands import BringBack as BringBack
from logic.app.commands.start_commands import GoOn as GoOn
from logic.app.commands.start_commands import NewJob as NewJob
from logic.app.commands.start_commands import OpenJob as OpenJob
from logic.app.commands.start_commands import PutAway as PutAway
from logic.app.commands.start_commands import SeeRecords as SeeRecords
from logic.app.commands.start_commands import SeeSettings as SeeSettings
from logic.app.commands.start_commands import ShareHistory as ShareHistory
from logic.app.commands.start_commands import StartSample as StartSample
from logic.app.commands.start_commands import TakeOver as TakeOver
from logic.app.commands.string_commands import StringCommand
from logic.app.commands.target_commands import SeeTargets as SeeTargets
from logic.app.commands.target_commands import SetBow as SetBow
from logic.app.commands.target_commands import SetTarget as SetTarget
from logic.app.commands.target_commands import SetToTarget as SetToTarget
from logic.app.commands.target_commands import TablesTarget as TablesTarget
from logic.app.commands.target_commands import TargetCommand
from logic.app.commands.visit_commands import VisitCommand as VisitCommand
from logic.bench.what_if.dial import Dial
from shared.instrument import Attack
from shared.readings import Buzz, Contact


@dataclass(frozen=True)
class GoHome:
    """Back to the list of jobs."""


@dataclass(frozen=True)
class StartJob:
    """Open a job on an instrument of this kind."""

    kind: str


@dataclass(frozen=True)
class SetAttack:
    """How hard the player plays."""

    attack: Attack


@dataclass(frozen=True)
class SetComplaint:
    """One thing that was said or noticed, by its id; once more: it was not."""

    complaint: str


@dataclass(frozen=True)
class TellComplaint:
    """What was said or noticed, in people's own words."""

    words: str


@dataclass(frozen=True)
class TieComplaint:
    """A string that it was said of; once more: it was not."""

    string: int


@dataclass(frozen=True)
class SayDifferent:
    """One fact about the instrument is not as its preset has it."""

    fact: str
    value: str


@dataclass(frozen=True)
class Ask:
    """Go on to the questions before measuring."""


@dataclass(frozen=True)
class Measure:
    """Go on to the strings; what must be known first is asked first."""


@dataclass(frozen=True)
class AskMore:
    """Go to the questions that are left."""


@dataclass(frozen=True)
class AskFirst:
    """Go to the one question that calls of the plan wait for; answered, the plan is back."""

    gate: str
    string: int | None = None
    """The string whose line of the plan asked."""


@dataclass(frozen=True)
class PointAt:
    """Speak of one string of the question on the card; None: of all that have no answer yet."""

    string: int | None


@dataclass(frozen=True)
class AnswerGate:
    """Answer one question, for one string or for all."""

    gate: str
    answer: str
    string: int | None = None


@dataclass(frozen=True)
class AnswerAllYes:
    """Everything on the page of preconditions is true."""


@dataclass(frozen=True)
class SkipGates:
    """Go on without answering what is left; the skip is recorded."""


@dataclass(frozen=True)
class SkipRest:
    """Enough questions: those that are left are recorded as skipped, and measuring begins."""


@dataclass(frozen=True)
class Walk:
    """Measure; a string number jumps to that string."""

    string: int | None = None


@dataclass(frozen=True)
class Feel:
    """What the hand felt with the leaf that the walk asked for."""

    contact: Contact


@dataclass(frozen=True)
class Hear:
    """What the open string does when played."""

    buzz: Buzz


@dataclass(frozen=True)
class TypeNumber:
    """Type a measured number instead: a reading of this kind, a target, or a question's answer."""

    kind: str = "clearance"


@dataclass(frozen=True)
class NumberTyped:
    """The number that was typed, with its unit where it has one."""

    text: str
    press: str = ""
    """How hard the finger pressed where cents were read, as `Press` has it; empty: nobody said."""


@dataclass(frozen=True)
class WhatIf:
    """See what would follow if something were different; a string number speaks of that string."""

    string: int | None = None


@dataclass(frozen=True)
class Turn:
    """Turn one dial of the what-if by so many steps."""

    dial: Dial
    steps: int


@dataclass(frozen=True)
class ForgetWhatIf:
    """Everything as recorded again."""


@dataclass(frozen=True)
class CutSlot:
    """Begin or carry on with the cut of one slot."""

    string: int


@dataclass(frozen=True)
class Filed:
    """So many strokes were made, whole ones or half ones."""

    strokes: int
    half: bool = False


@dataclass(frozen=True)
class Prove:
    """Play one finished string open."""

    string: int


@dataclass(frozen=True)
class Undo:
    """Take back the last answer of this job."""


@dataclass(frozen=True)
class Back:
    """One screen back."""


@dataclass(frozen=True)
class SeePlan:
    """Show the plan; a string number opens its line."""

    string: int | None = None


@dataclass(frozen=True)
class CloseJob:
    """The instrument leaves the bench."""

    reason: str = ""
    """Why it is closed with a slot unproven."""


@dataclass(frozen=True)
class SeeSheet:
    """Show the sheet that goes with the instrument, or the one that stays at the bench."""

    for_bench: bool = False


@dataclass(frozen=True)
class WriteNote:
    """Keep what is to stand on the sheets of this job; nothing takes it off them."""

    text: str


@dataclass(frozen=True)
class ShareSheet:
    """Hand the sheet out: as text, or as a PDF for A4 or Letter. The device does it."""

    paper: str = ""


@dataclass(frozen=True)
class SetSetting:
    """Choose one setting."""

    name: str
    value: str


@dataclass(frozen=True)
class AskKey:
    """Wait for the key that is to do this action; an empty one waits no longer."""

    action: str


@dataclass(frozen=True)
class ShareReadings:
    """Hand the readings out as a table for a spreadsheet. The device does it."""


@dataclass(frozen=True)
class TakeInFile:
    """Take in a history file that the person chooses. The device does it."""


@dataclass(frozen=True)
class UseUpdate:
    """Let a newer Nutwright that waits take over. The device does it."""


@dataclass(frozen=True)
class TryNewer:
    """Try the newer Nutwright that was not taken once more. The device does it."""


@dataclass(frozen=True)
class Install:
    """Install the app on this device. The device does it."""


Command = (
    GoHome
    | NewJob
    | StartJob
    | StartSample
    | OpenJob
    | PutAway
    | BringBack
    | SetAttack
    | SetComplaint
    | TellComplaint
    | TieComplaint
    | SayDifferent
    | Ask
    | Measure
    | AskMore
    | AskFirst
    | PointAt
    | AnswerGate
    | AnswerAllYes
    | SkipGates
    | SkipRest
    | Walk
    | Feel
    | Hear
    | TypeNumber
    | NumberTyped
    | WhatIf
    | Turn
    | ForgetWhatIf
    | CutSlot
    | Filed
    | Prove
    | Undo
    | GoOn
    | Back
    | SeePlan
    | CloseJob
    | SeeSheet
    | WriteNote
    | ShareSheet
    | SeeSettings
    | SetSetting
    | AskKey
    | SeeRecords
    | ShareHistory
    | ShareReadings
    | TakeInFile
    | UseUpdate
    | TryNewer
    | Install
    | TakeOver
    | CheckCommand
    | GapCommand
    | InstrumentCommand
    | KitCommand
    | LabelCommand
    | RecordCommand
    | NutCommand
    | TargetCommand
    | StringCommand
    | BoardCommand
    | VisitCommand
)

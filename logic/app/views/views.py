"""What each screen shows: finished words and numbers, nothing left to decide.

A view is a value. The app makes one after every command; a screen turns it into controls.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from logic.app.views.board_views import BoardView as BoardView
from logic.app.views.card_views import StringCardView as StringCardView
from logic.app.views.gap_views import ActionLine as ActionLine
from logic.app.views.gap_views import ActionView as ActionView
from logic.app.views.gap_views import MeasuredView as MeasuredView
from logic.app.views.gap_views import NeckLine as NeckLine
from logic.app.views.gap_views import ReliefView as ReliefView
from logic.app.views.instrument_views import InstrumentsView as InstrumentsView
from logic.app.views.instrument_views import InstrumentView as InstrumentView
from logic.app.views.instrument_views import NameView as NameView
from logic.app.views.instrument_views import NutView as NutView
from logic.app.views.instrument_views import StringsView as StringsView
from logic.app.views.instrument_views import TargetLine as TargetLine
from logic.app.views.instrument_views import TargetsView as TargetsView
from logic.app.views.label_views import FindLabelView as FindLabelView
from logic.app.views.label_views import LabelsView as LabelsView
from logic.app.views.label_views import UnknownLabelView as UnknownLabelView
from logic.app.views.nut_views import NewNutView as NewNutView
from logic.app.views.nut_views import RaisingView as RaisingView
from logic.app.views.nut_views import StringPicture as StringPicture
from logic.app.views.pieces import Choice as Choice
from logic.app.views.pieces import FactRow as FactRow
from logic.app.views.pieces import NoticedView as NoticedView
from logic.app.views.pieces import Prompt as Prompt
from logic.app.views.pieces import StringMark as StringMark
from logic.app.views.pieces import WalkView as WalkView
from logic.app.views.plan_views import CutView as CutView
from logic.app.views.plan_views import DialView as DialView
from logic.app.views.plan_views import NextLine as NextLine
from logic.app.views.plan_views import NextStep as NextStep
from logic.app.views.plan_views import PlanLine as PlanLine
from logic.app.views.plan_views import PlanView as PlanView
from logic.app.views.plan_views import SlotPicture as SlotPicture
from logic.app.views.plan_views import WhatIfView as WhatIfView
from logic.app.views.plan_views import WorkOffer as WorkOffer
from logic.app.views.question_views import PreconditionsView as PreconditionsView
from logic.app.views.question_views import QuestionCard as QuestionCard
from logic.app.views.question_views import QuestionView as QuestionView
from logic.app.views.quick_check_views import CheckedView as CheckedView
from logic.app.views.quick_check_views import CheckView as CheckView
from logic.app.views.quick_check_views import RackView as RackView
from logic.app.views.record_views import ChangesView as ChangesView
from logic.app.views.record_views import ClearedView as ClearedView
from logic.app.views.record_views import CodeView as CodeView
from logic.app.views.record_views import ErasureView as ErasureView
from logic.app.views.record_views import HealthView as HealthView
from logic.app.views.record_views import HubView as HubView
from logic.app.views.record_views import InstallStep as InstallStep
from logic.app.views.record_views import InstallView as InstallView
from logic.app.views.record_views import JoinView as JoinView
from logic.app.views.record_views import PromisedView as PromisedView
from logic.app.views.record_views import RecordsView as RecordsView
from logic.app.views.record_views import SureView as SureView
from logic.app.views.start_views import HomeView as HomeView
from logic.app.views.start_views import JobLine as JobLine
from logic.app.views.start_views import TroubleView as TroubleView
from logic.app.views.visit_views import InTuneView as InTuneView
from logic.app.views.visit_views import LookView as LookView
from logic.app.views.visit_views import NextPart as NextPart
from logic.app.views.visit_views import PartLine as PartLine
from logic.app.views.visit_views import PartStanding as PartStanding
from logic.app.views.visit_views import PlayerView as PlayerView
from logic.app.views.visit_views import StagesView as StagesView
from logic.app.views.visit_views import StepDoneView as StepDoneView
from logic.app.views.visit_views import VisitView as VisitView
from shared.instrument import Attack
from shared.words import mark


@dataclass(frozen=True)
class KindsView:
    """What lies on the bench?"""

    kinds: tuple[Choice, ...]


@dataclass(frozen=True)
class Correction:
    """One fact about the instrument that changes what is asked or allowed, and what it can be."""

    fact: str
    text: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class IntakeView:
    """The instrument as taken in, from its preset."""

    job: str
    title: str
    facts: tuple[FactRow, ...]
    attacks: tuple[Choice, ...]
    noticed: NoticedView
    assumed: str
    bow: tuple[Choice, ...] = ()
    """Plucked, or with a bow; none where nobody bows such an instrument."""
    targets: str = ""
    """The own targets in words; empty where the table aims."""
    corrections: tuple[Correction, ...] = ()
    time: tuple[Choice, ...] = ()
    """When it must play."""
    straight: bool = False
    """Whether the first string is read before anything is asked."""
    begun: bool = False
    """Whether anything was read at this visit."""
    scopes: tuple[Choice, ...] = ()
    """What the visit is for."""
    whole: bool = False
    """Whether it goes on by stages."""
    said: str = ""
    """What the last change makes of what was read."""


@dataclass(frozen=True)
class TypeView:
    """A number to type: what it is of, in which unit, and what was wrong with the last one."""

    job: str
    title: str
    ask: str
    ways: tuple[Choice, ...]
    units: tuple[Choice, ...]
    """Empty where the number has no unit of length."""
    unit_name: str = ""
    trouble: str = ""
    frets: tuple[Choice, ...] = ()
    """Where cents can be read, each with what was read there."""
    signed: bool = False
    """Whether a length can lie below zero, as relief does where the neck bends back."""
    presses: tuple[Choice, ...] = ()
    """How hard the finger can press where cents are read; nothing need be said."""
    fractions: bool = False
    """Whether what has no unit of length is counted in parts too, and lies above zero."""


@dataclass(frozen=True)
class SheetSection:
    """A heading, a table with its head row first, and lines."""

    heading: str
    rows: tuple[tuple[str, ...], ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class HandOverView:
    """The record that goes with the instrument, or the one that stays."""

    job: str
    title: str
    for_bench: bool
    heading: str
    subtitle: str
    sections: tuple[SheetSection, ...]
    foot: str
    to_prove: tuple[Choice, ...] = ()
    """Strings that were cut and are not proven, and what each waits for."""
    readable: tuple[int, ...] = ()
    """Those that can be played open now; the others are read again first."""
    excuses: tuple[str, ...] = ()
    note: str = ""
    """What was said of handing the sheet on."""
    written: str = ""
    """What was written to stand on the sheets."""


@dataclass(frozen=True)
class KitView:
    """The kit: every leaf and file that the trade makes in one system, and which are here."""

    leaves: tuple[Choice, ...]
    files: tuple[Choice, ...]
    unit: str
    """The unit of the leaves and files that are shown."""
    summary: str
    bags: tuple[Choice, ...] = ()
    markings: tuple[Choice, ...] = ()
    """What a touch does: put in and take out, or mark lost or worn."""
    shims: tuple[Choice, ...] = ()
    shanks: tuple[Choice, ...] = ()
    straight_edges: tuple[Choice, ...] = ()
    """Whether one is at hand: yes or no, neither chosen while nobody said."""
    rules: tuple[Choice, ...] = ()
    """Which class stands on the rule; none chosen while nobody looked."""
    fills: tuple[Choice, ...] = ()
    blanks: tuple[Choice, ...] = ()
    advice: tuple[str, ...] = ()
    """What the latest jobs would have needed most, once that was asked."""
    trouble: str = ""
    assumed: str = ""
    """That nobody has said what is here; empty once somebody has."""
    changed: str = ""
    """What the last touch did."""
    scales: tuple[Choice, ...] = ()
    """Thousandths or millimetres, and how many tools of each are here."""
    sets: tuple[Choice, ...] = ()
    """Leaves and files that are sold together."""
    own: tuple[Choice, ...] = ()
    """What opens the number pad for a size that is not listed: a leaf, a file, a shim."""
    elsewhere: str = ""
    """That open jobs work out of another kit; empty where none does."""
    can_undo: bool = False

    @property
    def marking(self) -> str:
        """What a touch on a tool does now."""
        return next((each.key for each in self.markings if each.chosen), "in")


@dataclass(frozen=True)
class KeyLine:
    """What a key can do, the keys that do it now, and whether one was given to it here."""

    action: str
    title: str
    keys: str
    given: bool = False


@dataclass(frozen=True)
class SettingsView:
    """How the bench likes to read."""

    groups: tuple[tuple[str, str, tuple[Choice, ...]], ...]
    storage: tuple[str, ...] = field(default=())
    lacks: tuple[tuple[str, str], ...] = ()
    """By setting, what this device does not have for it."""
    keys: tuple[KeyLine, ...] = ()
    waiting: str = ""
    """The action whose key is to be pressed now."""
    people: str = ""
    """The names of the bench, as they were written."""
    names: tuple[tuple[str, str], ...] = ()
    """By setting, what sheets say of the workshop and of the technician."""


View = (
    HomeView
    | KindsView
    | IntakeView
    | PreconditionsView
    | QuestionView
    | WalkView
    | CutView
    | TypeView
    | PlanView
    | StringCardView
    | WhatIfView
    | RaisingView
    | NewNutView
    | HandOverView
    | KitView
    | SettingsView
    | RecordsView
    | InstrumentsView
    | InstrumentView
    | StringsView
    | NutView
    | BoardView
    | NameView
    | TargetsView
    | VisitView
    | PlayerView
    | LookView
    | StagesView
    | StepDoneView
    | InTuneView
    | CheckView
    | CheckedView
    | ReliefView
    | ActionView
    | MeasuredView
    | RackView
    | LabelsView
    | FindLabelView
    | UnknownLabelView
    | HubView
    | CodeView
    | JoinView
    | SureView
    | HealthView
    | InstallView
    | ErasureView
    | PromisedView
    | ChangesView
    | ClearedView
    | TroubleView
)

ATTACK_WORDS = {
    Attack.LIGHT: mark("Light"),
    Attack.MEDIUM: mark("Medium"),
    Attack.HEAVY: mark("Heavy"),
}

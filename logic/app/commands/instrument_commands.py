"""What a person can do with the instruments on record, and in a quick check."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.commands.start_commands import CheckOne as CheckOne
from logic.app.commands.start_commands import SeeInstruments as SeeInstruments
from shared.instrument import Make, NutType
from shared.measurements import Side
from shared.setup import Scope


@dataclass(frozen=True)
class FindInstruments:
    """Show those whose words begin like these."""

    text: str


@dataclass(frozen=True)
class TurnPage:
    """So many pages further down the list."""

    pages: int


@dataclass(frozen=True)
class ChooseSeveral:
    """Begin or end choosing instruments to check in a row."""

    on: bool


@dataclass(frozen=True)
class ChooseInstrument:
    """Take an instrument into the rack, or out of it."""

    instrument: str


@dataclass(frozen=True)
class SeeInstrument:
    """Show one instrument's page."""

    instrument: str


@dataclass(frozen=True)
class NewJobOn:
    """Open a job on an instrument that is on record."""

    instrument: str
    scope: Scope = Scope.NUT
    """What the visit is for."""


@dataclass(frozen=True)
class Duplicate:
    """Put another one like it on record, without its jobs."""


@dataclass(frozen=True)
class SeeName:
    """Show the label and the owner's tag."""


@dataclass(frozen=True)
class SaveName:
    """Give a label and an owner's tag."""

    label: str
    owner: str
    ticket: str = ""
    """Of the visit, where one is at hand."""


@dataclass(frozen=True)
class SeeStrings:
    """Show tuning and gauges, at one string."""

    string: int | None = None


@dataclass(frozen=True)
class StepPitch:
    """Tune the string so many semitones higher."""

    semitones: int


@dataclass(frozen=True)
class StepGauge:
    """Take so many thousandths of an inch thicker a string."""

    thou: int


@dataclass(frozen=True)
class SetMake:
    """What the string is made of."""

    make: Make


@dataclass(frozen=True)
class PutOnSet:
    """Put a usual set of strings on."""

    name: str


@dataclass(frozen=True)
class Retune:
    """Tune all strings to a usual tuning."""

    name: str


@dataclass(frozen=True)
class MoreStrings:
    """One string more at this side."""

    side: Side = Side.BASS


@dataclass(frozen=True)
class FewerStrings:
    """The string outermost at this side is taken away."""

    side: Side = Side.BASS


@dataclass(frozen=True)
class SeeTakenIn:
    """Show the job at hand as it was taken in: its instrument, what was said, its player."""


@dataclass(frozen=True)
class SeeNut:
    """Show how the nut holds its strings."""


@dataclass(frozen=True)
class SetNutType:
    """How the nut holds its strings."""

    type: NutType


@dataclass(frozen=True)
class SetNutMaterial:
    """What the nut is made of."""

    material: str


@dataclass(frozen=True)
class QuickCheck:
    """One leaf a string: has anything moved?"""

    instrument: str


@dataclass(frozen=True)
class CheckRack:
    """Check the chosen instruments in a row."""


@dataclass(frozen=True)
class CheckString:
    """Check this string now."""

    string: int


@dataclass(frozen=True)
class SkipString:
    """Leave this string out."""


@dataclass(frozen=True)
class EndCheck:
    """Enough: show what was found so far."""


@dataclass(frozen=True)
class NextInRack:
    """Go on to the next instrument of the rack; after the last, see what was found."""


@dataclass(frozen=True)
class PassOver:
    """Leave the next instrument of the rack out."""


@dataclass(frozen=True)
class LeaveRack:
    """Done with the rack."""


InstrumentCommand = (
    SeeInstruments
    | CheckOne
    | FindInstruments
    | TurnPage
    | ChooseSeveral
    | ChooseInstrument
    | SeeInstrument
    | NewJobOn
    | Duplicate
    | SeeName
    | SaveName
    | SeeStrings
    | StepPitch
    | StepGauge
    | SetMake
    | PutOnSet
    | Retune
    | MoreStrings
    | FewerStrings
    | SeeTakenIn
    | SeeNut
    | SetNutType
    | SetNutMaterial
    | QuickCheck
    | CheckRack
    | CheckString
    | SkipString
    | EndCheck
    | NextInRack
    | PassOver
    | LeaveRack
)

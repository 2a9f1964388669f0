"""What a person can do about the record itself: meet a hub, look after it, erase from it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SeeHub:
    """Show how this device stands with its hub."""


@dataclass(frozen=True)
class SeeCode:
    """Show where a joining code is typed."""


@dataclass(frozen=True)
class GiveCode:
    """A joining code, typed or from a link: ask whether to join with it."""

    code: str


@dataclass(frozen=True)
class ScanCode:
    """Read a joining code off its square picture. The device does it."""


@dataclass(frozen=True)
class JoinHub:
    """Join the bench that the code belongs to, this device under a name. The device does it."""

    label: str


@dataclass(frozen=True)
class MeetNow:
    """Meet the hub without waiting. The device does it."""


@dataclass(frozen=True)
class AskLeave:
    """Ask whether to leave the hub."""


@dataclass(frozen=True)
class LeaveHub:
    """Leave the hub. The device does it."""


@dataclass(frozen=True)
class SeeHealth:
    """Show how the storage of this device is. The device is asked first."""


@dataclass(frozen=True)
class CopyHealth:
    """Put that on the clipboard. The device does it."""


@dataclass(frozen=True)
class SeeInstall:
    """Show how the app is put on this device by its browser's share menu."""


@dataclass(frozen=True)
class SeeErasure:
    """Show what can be erased about the instrument of the present page."""


@dataclass(frozen=True)
class AskErase:
    """Ask whether to erase: a `job`, an `instrument` with its jobs, or all of an `owner`."""

    what: str
    name: str


@dataclass(frozen=True)
class Erase:
    """Promise to erase what was asked about."""


@dataclass(frozen=True)
class KeepAfterAll:
    """Take a promise to erase back, while that helps."""

    event: str


@dataclass(frozen=True)
class SeePromised:
    """Show every erasure that is promised."""


@dataclass(frozen=True)
class LetGo:
    """Say yes to a promise to erase that came in a file."""

    event: str


@dataclass(frozen=True)
class SeeChanges:
    """Show what two devices wrote differently about the instrument of the present page."""


@dataclass(frozen=True)
class ChooseOther:
    """Let the value stand that another device replaced: which field of which document."""

    document: str
    """Empty for the instrument, else the job."""
    field: str


@dataclass(frozen=True)
class StartEmpty:
    """Go on with an empty bench where the browser had cleared the records."""


RecordCommand = (
    SeeHub
    | SeeCode
    | GiveCode
    | ScanCode
    | JoinHub
    | MeetNow
    | AskLeave
    | LeaveHub
    | SeeHealth
    | CopyHealth
    | SeeInstall
    | SeeErasure
    | AskErase
    | Erase
    | KeepAfterAll
    | SeePromised
    | LetGo
    | SeeChanges
    | ChooseOther
    | StartEmpty
)

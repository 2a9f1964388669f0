"""What a person can do on the first screen: where one goes from home, and out of trouble."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class NewJob:
    """Take an instrument in."""


@dataclass(frozen=True)
class StartSample:
    """Open the sample job, marked as one."""


@dataclass(frozen=True)
class OpenJob:
    """Carry on with a job where it was left."""

    job: str


@dataclass(frozen=True)
class PutAway:
    """Take a job off the bench that was never begun."""

    job: str


@dataclass(frozen=True)
class BringBack:
    """Put a job on the bench again that was put away."""

    job: str


@dataclass(frozen=True)
class GoOn:
    """Show again where we stand, as after trouble."""


@dataclass(frozen=True)
class SeeSettings:
    """Show the settings."""


@dataclass(frozen=True)
class SeeRecords:
    """Show where the records are and how to carry them."""


@dataclass(frozen=True)
class ShareHistory:
    """Hand the whole history out as one file. The device does it, not the app."""


@dataclass(frozen=True)
class TakeOver:
    """Write from this tab; the other one becomes a reader."""


@dataclass(frozen=True)
class SeeInstruments:
    """Show the list of instruments."""


@dataclass(frozen=True)
class CheckOne:
    """Show the list of instruments, to check the one that is touched."""


@dataclass(frozen=True)
class SeeKit:
    """Show what is in the kit."""


@dataclass(frozen=True)
class ScanLabel:
    """Read a label off a photo of it. The device does it."""


@dataclass(frozen=True)
class OpenLabel:
    """Check the instrument whose label holds this code."""

    code: str

"""What the screens show that look after the record: the hub, the storage, erasing, two values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from logic.app.views.pieces import Choice


@dataclass(frozen=True)
class RecordsView:
    """Where the records are, how many, and how to carry them to another device."""

    lines: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...]
    note: str = ""
    """What came of the last thing that the device was asked to do."""
    hub: str = ""
    """What leads to the hub's page, with how this device stands with it."""
    can_install: bool = False
    """Whether the browser installs the app from here."""
    shows_install: bool = False
    """Whether it is installed by hand, which is shown in pictures."""
    update_ready: bool = False
    refused: str = ""
    """Why a newer build was not taken."""
    promised: str = ""
    """What leads to the erasures that are promised; empty where there are none."""


@dataclass(frozen=True)
class HubView:
    """How this device stands with its hub, or what a hub is for."""

    joined: bool
    bench: str
    state: str
    """In one sentence."""
    wants_help: bool
    """Whether somebody has to do something."""
    about: tuple[str, ...]
    lines: tuple[tuple[str, str], ...] = ()
    refused: tuple[tuple[str, str], ...] = ()
    """Entries that the hub did not take, each with the reason."""
    can_join: bool = True
    can_scan: bool = False
    note: str = ""


@dataclass(frozen=True)
class CodeView:
    """Where a joining code is typed: its letters and how many it has."""

    letters: str
    length: int
    about: str


@dataclass(frozen=True)
class JoinView:
    """Whether to join with this code, and what follows from that."""

    code: str
    address: str
    about: tuple[str, ...]
    label: str
    """What this device may be called."""
    joins: bool
    """False where it has to leave another hub first."""
    note: str = ""


@dataclass(frozen=True)
class SureView:
    """A question before something that reaches far."""

    does: Literal["leave", "erase"]
    title: str
    lines: tuple[str, ...]
    yes: str


@dataclass(frozen=True)
class HealthView:
    """How the storage of this device is, fact by fact."""

    lines: tuple[tuple[str, str], ...]
    note: str = ""


@dataclass(frozen=True)
class InstallStep:
    """One step of installing by hand, and its picture."""

    picture: Literal["share", "list", "add", "open"]
    text: str
    spoken: str
    """The same with its place among the steps."""


@dataclass(frozen=True)
class InstallView:
    """How the app is put on a device by its browser's share menu."""

    about: str
    steps: tuple[InstallStep, ...]
    before: str
    """What to do before, where there are records already; empty where there are none."""
    note: str = ""


@dataclass(frozen=True)
class ErasureView:
    """What can be erased about an instrument, and what is promised to be erased."""

    title: str
    about: tuple[str, ...]
    choices: tuple[Choice, ...]
    """Keyed by what and which: "job", "instrument" or "owner", a blank, its name."""
    promised: tuple[Choice, ...] = ()
    """Keyed by the promise."""


@dataclass(frozen=True)
class PromiseLine:
    """One promise to erase: what it names, whose it is and from when it goes here."""

    key: str
    named: tuple[str, ...]
    details: tuple[str, ...]
    waits: bool
    """Whether it came in a file and nobody here has said yes."""


@dataclass(frozen=True)
class PromisedView:
    """Every erasure that is promised, with the ways to keep what it names or to let it go."""

    about: str
    promises: tuple[PromiseLine, ...]
    note: str = ""


@dataclass(frozen=True)
class ChangeLine:
    """One field that two devices wrote: what stands, by whom, and what it replaced."""

    document: str
    field: str
    what: str
    now: str
    now_by: str
    other: str
    other_by: str


@dataclass(frozen=True)
class ChangesView:
    """What two devices wrote differently."""

    title: str
    about: str
    changes: tuple[ChangeLine, ...]


@dataclass(frozen=True)
class ClearedView:
    """The browser cleared the records: how to have them back."""

    title: str
    lines: tuple[str, ...]
    note: str = ""

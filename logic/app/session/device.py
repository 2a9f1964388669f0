"""What the app knows of the device it runs on: told by the page around it, shown on screens."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from logic.sync.agent import SyncAgent


@dataclass
class InstallState:
    """How the app stands on this device, as its browser last said."""

    can_install: bool = False
    """Whether the browser offers to install it from here."""
    by_share_menu: bool = False
    """Whether it can be installed, by the browser's share menu alone."""
    update_ready: bool = False
    """Whether a newer build waits."""
    refused: str = ""
    """Why a newer build was not taken, in the words of whoever refused it; empty when none was."""


@dataclass
class DeviceFacts:
    """What this device has and lacks. Whoever learns more of it later writes it here."""

    storage: tuple[str, ...] = ()
    """Where records are kept, in words."""
    warnings: tuple[str, ...] = ()
    """What cannot be kept here, said on the first screen."""
    lacks: Mapping[str, str] = field(default_factory=dict)
    """By setting, what this device does not have for it."""
    address: str = ""
    """Where this app is served, as its labels hold it: with a slash at its end."""
    language: str = ""
    """The language of the device, as its browser names it."""
    install: InstallState = field(default_factory=InstallState)
    records_cleared: bool = False
    """Whether the browser had cleared the records, and nobody has said to go on without."""
    scans: bool = False
    """Whether this device reads a code off a photo of its square picture."""
    storage_facts: tuple[tuple[str, str], ...] = ()
    """What the device last said of its storage: names of facts, and the facts in words."""


@dataclass(frozen=True)
class HubConnection:
    """What meets the hub of this bench."""

    agent: SyncAgent
    address: str
    """Where a hub would be: where the app came from."""

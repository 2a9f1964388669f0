"""What every presenter of a screen is handed."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.session.device import DeviceFacts, HubConnection
from logic.app.session.session import Session


@dataclass(frozen=True)
class Shown:
    """What a screen is made from: where the person stands, and what the device has."""

    session: Session
    device: DeviceFacts
    hub: HubConnection | None
    """None until it is known whether this device has a hub."""
    note: str
    """What came of the last thing that the device was asked to do, in words."""
    reminder: str
    """Said on the first screen where no copy of the records is fresh; empty where one is."""

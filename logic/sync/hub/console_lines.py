"""What the jobs of the command `hub` print alike, and who they name as having done them."""

from __future__ import annotations

import getpass
import os
from datetime import UTC, datetime

from logic.sync.hub.accounts import DeviceAccount
from shared.words import say


def operator() -> str:
    """Who the audit log names for what is done here: whose process this is on this machine."""
    try:
        import pwd

        return pwd.getpwuid(os.getuid()).pw_name
    except (ImportError, KeyError):  # no such list here, or a user without a name
        return getpass.getuser()


def device_line(device: DeviceAccount) -> str:
    """A device as it is listed: id, role, when it was last seen, and what it calls itself."""
    seen = say("seen {date}", date=date(device.seen_ms)) if device.seen_ms else say("never seen")
    gone = device.revoked_ms
    state = say("revoked {date}", date=date(gone)) if gone else seen
    line = f"{device.key_id}  {device.role:<9}  {state:<26}  {device.label}"
    return "  ".join((line, *(() if gone else _key_remarks(device))))


def _key_remarks(device: DeviceAccount) -> tuple[str, ...]:
    """What is to be known about a key's age, where there is anything."""
    remarks = []
    if device.expires_ms:
        remarks.append(say("key good until {date}", date=date(device.expires_ms)))
    if device.rotation_asked_ms:
        remarks.append(say("gets a new key when it meets next"))
    return tuple(remarks)


def date(time_ms: int) -> str:
    """A moment in milliseconds since 1970, to the minute."""
    return datetime.fromtimestamp(time_ms / 1000, UTC).strftime("%Y-%m-%d %H:%M UTC")

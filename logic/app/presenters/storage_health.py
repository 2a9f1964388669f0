"""How the storage of this device is, fact by fact, to be read or passed on to whoever helps."""

from __future__ import annotations

import hashlib
from collections import Counter

from logic.app.session.copies import copy_age
from logic.app.views.record_views import ClearedView, HealthView
from logic.history.history import History
from logic.history.journal.quarantine import ALTERED, MISSING, Quarantine
from shared.errors import NutwrightError
from shared.events import canonical
from shared.words import mark, say, say_as

VERSION = "0.1.0"
_ASIDE = {
    MISSING: mark("the number of a file that is missing"),
    ALTERED: mark("the number of a file that was changed after it was closed"),
    "fork": mark("another entry has the same number"),
    "gave way": mark("gave way to what the hub holds, told again under a new name"),
}
CLEARED = (
    mark(
        "The browser cleared the records that were on this device. It may do so when it runs "
        "short of room, or when somebody clears its data."
    ),
    mark("A copy that was handed out brings them back, and so does the hub of the bench."),
)


def health_view(
    history: History, device: tuple[tuple[str, str], ...], joined: str, note: str
) -> HealthView:
    """What the device says of its storage, then what the history knows of itself."""
    trouble = history.trouble
    lines = (
        (say("Writing"), say("stopped: {why}", why=trouble.what) if trouble else say("works")),
        *device,
        (say("Room kept for the last answer"), _reserve_in_words(history)),
        (say("Entries"), _entries(history)),
        (say("Devices"), f"{len(history.vector)}"),
        (
            say("Files of the journal"),
            _with_missing(len(history.journal.segments), len(history.journal.missing)),
        ),
        (say("Set aside"), set_aside(history)),
        (say("Digest of all"), digest_of(history)),
        (say("Last copy"), copy_age(history)),
        (say("Hub"), joined or say_as("hub", "none")),
        (say("Bench"), history.bench),
        (say("This device"), history.device),
        (say("Version"), VERSION),
    )
    return HealthView(lines, note)


def as_text(view: HealthView) -> str:
    """The page as lines of text."""
    return "\n".join(f"{name}: {value}" for name, value in view.lines)


def digest_of(history: History) -> str:
    """Equal on every device that holds the same history; the first 16 figures are enough to read
    to each other."""
    heads = sorted(
        (device, head.seq, head.digest) for device, head in history.journal.heads.items()
    )
    digest = hashlib.sha256(canonical([list(head) for head in heads])).hexdigest()
    return " ".join(digest[start : start + 4] for start in range(0, 16, 4))


def set_aside(history: History) -> str:
    """What is kept apart and why."""
    try:
        entries = Quarantine(history.journal.directory).entries()
    except (NutwrightError, OSError):
        return say("cannot be read now")
    counts = Counter(_reason_in_words(entry.get("why")) for entry in entries)
    if not counts:
        return say("nothing")
    return ". ".join(f"{count}: {why}" for why, count in counts.items())


def _reason_in_words(why: object) -> str:
    return say(_ASIDE[why]) if isinstance(why, str) and why in _ASIDE else say("damaged")


def _entries(history: History) -> str:
    held = history.journal.held
    missing = sum(held.missing().values())
    return _with_missing(sum(map(held.highest, held.devices)) - missing, missing)


def _with_missing(here: int, missing: int) -> str:
    if not missing:
        return f"{here}"
    return say("{count} ({missing} missing)", count=here, missing=missing)


def _reserve_in_words(history: History) -> str:
    return say("used up: free some space") if history.low_on_space else say("there")


def size_in_words(size: float) -> str:
    """So many bytes as a person reads them."""
    if size < 1e6:
        return say("{size} kB", size=f"{size / 1e3:.0f}")
    return say("{size} MB", size=f"{size / 1e6:.0f}")


def cleared_view(note: str) -> ClearedView:
    """That the records are gone from here, and the ways to have them back."""
    return ClearedView(say("The records are gone"), tuple(map(say, CLEARED)), note)

"""The start screen: home as it was last seen, drawn before the history is open.

What it needs is little: Flet, the words on it and how it looks. The rules, the history and the
packages under them are read while somebody already looks at it. It is drawn from a note on the
page, not from a record: the note may be thrown away at any time, it is left out when its checksum
does not hold, and what the history says replaces it as soon as it is open. A command that is given
meanwhile waits (`mobile/shell_state.py`).
"""

from __future__ import annotations

import json
import time
import zlib
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING, Protocol

from logic.app.commands.start_commands import CheckOne, NewJob, OpenLabel
from logic.app.views.start_views import HomeView, JobLine, TroubleView
from logic.languages import languages, load_language
from mobile.parts.theme import Theme
from mobile.shell import RunTask, Shell, theme_from
from shared.words import say, spoken_language, use

if TYPE_CHECKING:
    from logic.app.commands.commands import Command

SHORTCUTS: dict[str, Callable[[], Command]] = {"check": CheckOne, "job": NewJob}
"""What a shortcut of the device asks for (mobile/web/manifest.json), as a touch at home would."""
OF_LABEL = "i="
"""Begins what a label's link asks for; what follows is the label's code."""
NOTE_NAME = "porch"
"""Under which name the page keeps the note; pages of every build know it."""


def command_for(wanted: str) -> Command | None:
    """What a shortcut of the device or the link of a label stands for; None if it is neither."""
    if wanted.startswith(OF_LABEL):
        return OpenLabel(wanted.removeprefix(OF_LABEL))
    make = SHORTCUTS.get(wanted)
    return make() if make else None


class PageLink(Protocol):
    """What the worker around Python tells and takes (mobile/web/worker.js)."""

    start_screen: str
    """The note of the start screen as the page keeps it, or nothing."""
    records: bool
    """Whether there ever were records here."""
    at_home: bool
    """Whether to open before the jobs, even where work was going on a moment ago."""
    language: str
    """What the browser asks for, such as "de-CH"."""
    first: bool
    """Whether this is a first visit: what the app is made of comes over the network."""
    wanted: str
    """What a shortcut of the device, one of `SHORTCUTS`, or a label asked for; or nothing."""

    def step(self, name: str) -> None:
        """Tell how far the start has come."""

    def failed(self, why: str) -> None:
        """Tell that the app does not open: the page says so and offers the build before."""

    async def rest(self) -> None:
        """Fetch and unpack what the first screen did without."""


@dataclass(frozen=True)
class StartScreenNote:
    """Home as last seen, how it was drawn, in which language, and until when a job is under way.

    Before `busy_until_ms` (wall clock) work goes on where it was left and home would be wrong.
    """

    home: HomeView
    settings: dict[str, str] = field(default_factory=dict)
    busy_until_ms: int = 0
    language: str = "en"

    def text(self) -> str:
        """As the page keeps it: eight hexadecimal digits of a checksum, then JSON."""
        body = json.dumps(asdict(self), ensure_ascii=False, separators=(",", ":"))
        return f"{zlib.crc32(body.encode()):08x}{body}"

    @classmethod
    def read(cls, text: str) -> StartScreenNote | None:
        """What was kept; None when it is not exactly that."""
        checksum, body = text[:8], text[8:]
        if checksum != f"{zlib.crc32(body.encode()):08x}":
            return None
        try:
            kept = json.loads(body)
            home = kept["home"]
            jobs = tuple(JobLine(**line) for line in home.pop("jobs"))
            seen = HomeView(jobs, **home | {"notices": tuple(home["notices"])})
            return cls(seen, kept["settings"], int(kept["busy_until_ms"]), str(kept["language"]))
        except (ValueError, KeyError, TypeError, AttributeError):
            return None  # another build's note


@dataclass
class OpeningWait:
    """What a command that waits is waiting for."""

    fetching: bool = False
    """Whether the rest of the app is still on its way over the network."""

    def view(self) -> TroubleView:
        """What is said to whoever gave it."""
        return opening_view(fetching=self.fetching)


def first_shell(
    note: str,
    has_records: bool,
    theme: Theme,
    run_task: RunTask,
    wait: OpeningWait,
    now_ms: int | None = None,
) -> Shell:
    """A shell that shows home as it was last seen where that can be right, else what the wait is
    for. Where nothing was ever kept, home is empty."""
    now_ms = int(time.time() * 1000) if now_ms is None else now_ms
    seen = StartScreenNote.read(note) if note else None
    if seen is None and not note and not has_records:
        seen = StartScreenNote(HomeView(()), language=spoken_language())
    if seen is None or now_ms < seen.busy_until_ms:
        return Shell(opening_view(), theme, run_task, wait.view)
    if seen.language in languages():
        use(load_language(seen.language))
    return Shell(seen.home, theme_from(seen.settings, theme), run_task, wait.view)


def opening_view(*, fetching: bool = False) -> TroubleView:
    """What the wait is for: the history, or before it the rest of the app where that must come."""
    title = say("Opening the bench")
    if fetching:
        return TroubleView(title, say("Fetching the rest of the app."), "", "")
    return TroubleView(title, say("Reading the history on this device."), "", "")

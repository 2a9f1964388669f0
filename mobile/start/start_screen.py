"""The porch: home as it was last seen, drawn before the house behind it is open.

What the first screen needs is little: Flet, the words on it and how it looks. The rules, the
history and the packages under them are read while somebody already looks at it. The porch is a
note on the page, not a record: it may be thrown away at any time, it is left out when its checksum
does not hold, and what the history says replaces it as soon as it is open. What is touched
meanwhile waits for the desk.
"""

from __future__ import annotations

import json
import time
import zlib
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING, Protocol

from logic.app.commands.start_commands import CheckOne, NewJob
from logic.app.views.start_views import HomeView, JobLine, TroubleView
from logic.languages import languages, load_language
from mobile.parts.theme import Theme
from mobile.shell import Shell, theme_from
from shared.words import say, spoken_language, use

if TYPE_CHECKING:
    from logic.app.commands.commands import Command

WAYS_IN: dict[str, Callable[[], Command]] = {"check": CheckOne, "job": NewJob}
"""What a shortcut of the device asks for (mobile/web/manifest.json), as a touch at home would."""
MARK = "porch"
"""Under which name the page keeps it."""


class PageLink(Protocol):
    """What the worker around Python tells and takes (mobile/web/worker.js)."""

    porch: str
    """The porch as the page keeps it, or nothing."""
    records: bool
    """Whether there ever were records here."""
    at_home: bool
    """Whether to open before the jobs, even where work was going on a moment ago."""
    language: str
    """What the browser asks for, such as "de-CH"."""
    first: bool
    """Whether this is a first visit: what the app is made of comes over the network."""
    wanted: str
    """What a shortcut of the device asked for: one of `WAYS_IN`, or nothing."""

    def step(self, name: str) -> None:
        """So far the start has come."""

    def failed(self, why: str) -> None:
        """The house does not open: the page says so and offers the build before."""

    async def rest(self) -> None:
        """Fetch and unpack what the first screen did without."""


@dataclass(frozen=True)
class StartScreenNote:
    """Home as last seen, how it was drawn and said, and until when a job is under the hands.

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


def shell_at(porch: str, has_records: bool, theme: Theme, now_ms: int | None = None) -> Shell:
    """A shell that shows the porch where that can be right, else what the wait is for.

    Where nothing was ever kept, home is empty. A touch is answered once the desk is there.
    """
    now_ms = int(time.time() * 1000) if now_ms is None else now_ms
    seen = StartScreenNote.read(porch) if porch else None
    if seen is None and not porch and not has_records:
        seen = StartScreenNote(HomeView(()), language=spoken_language())
    if seen is None or now_ms < seen.busy_until_ms:
        return opening(theme)
    if seen.language in languages():
        use(load_language(seen.language))
    return Shell(seen.home, theme_from(seen.settings, theme), do=lambda _: seen.home)


def opening(theme: Theme) -> Shell:
    """A shell that says what the wait is for."""
    view = opening_view()
    return Shell(view, theme, do=lambda _: view)


def opening_view(*, fetching: bool = False) -> TroubleView:
    """What the wait is for: the history, or before it the rest of the app where that must come."""
    title = say("Opening the bench")
    if fetching:
        return TroubleView(title, say("Fetching the rest of the app."), "", "")
    return TroubleView(title, say("Reading the history on this device."), "", "")


@dataclass
class PendingCommands:
    """What was touched at the porch: the first touch waits, and it shows that it was felt."""

    shell: Shell
    waiting: Command | None = None
    fetching: bool = False
    """Whether the rest of the app is not here yet."""

    def here(self) -> None:
        """The rest of the app has come: whoever waits is told what they wait for now."""
        self.fetching = False
        if self.waiting:
            self.shell.view = opening_view()

    def __call__(self, command: Command) -> None:
        """Take one touch."""
        if self.waiting is None:
            self.waiting = command
            self.shell.view = opening_view(fetching=self.fetching)

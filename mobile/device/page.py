"""The page around the app, asked from Python: screen lock, speech, sharing, storage, updates.

Python runs in a worker; these things exist only on the page. Questions and answers are small JSON
messages (`mobile/web/bench_io.js` is the other end). Nothing here is certain to exist: each answer
says whether it was done, is absent on this device, or was refused, and why.
"""

from __future__ import annotations

import asyncio
import base64
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from enum import StrEnum
from typing import Any, Protocol, TypeVar

from shared.words import mark

Listener = Callable[[Any], None]
Kind = TypeVar("Kind")


class State(StrEnum):
    """How the page took a question."""

    OK = "ok"
    ABSENT = "absent"
    REFUSED = "refused"


@dataclass(frozen=True)
class PageAnswer:
    """What came of one question; `why` says in words what stood in the way."""

    state: State
    value: Any = None
    why: str = ""

    @property
    def ok(self) -> bool:
        """True when it was done."""
        return self.state is State.OK


REASONS = (
    mark("the browser may clear the records when it runs short of room"),
    mark("the browser did not vibrate"),
    mark("this browser cannot share such a file"),
    mark("the file could not be read"),
    mark("no square picture can be read in that photo"),
    mark("not installed"),
    mark("no update is waiting"),
    mark("this browser has no lasting storage"),
    mark("this browser has no storage estimate"),
    mark("this browser has no vibration"),
    mark("this browser has no speech"),
    mark("this browser has no share sheet"),
    mark("this browser has no reader of square pictures"),
    mark("this browser has no clipboard"),
    mark("this browser has no way to install from here"),
    mark("this browser has no way to keep the screen on"),
)
"""What the page gives as a reason (bench_io.js), to be said in the reader's language. The
browser's own words for what it refuses are shown as they come."""


class PageChannel(Protocol):
    """Carries text to the page and hands over what comes back."""

    def post(self, text: str) -> None:
        """Send one message to the page."""

    def listen(self, take: Callable[[str], None]) -> None:
        """Call `take` with every message from the page, those already waiting first."""


@dataclass(frozen=True)
class About:
    """What the page knows of itself and of what the person prefers."""

    build: str = ""
    secure: bool = False
    installed: bool = False
    installable: bool = False
    share_menu: bool = False
    """Whether this is a browser that installs by its share menu, never by itself."""
    visible: bool = True
    online: bool = True
    dark: bool = True
    still: bool = False
    contrast: bool = False
    touch: bool = False
    language: str = "en"
    decimal_mark: str = "."


@dataclass(frozen=True)
class Kept:
    """The copy of the app on this device: `offline` when whole, `update` when a newer one waits.

    `refusal` says why a newer build was not taken: it did not come whole, or did not start.
    `altered` counts the files of the copy that were not as published when they were last verified.
    """

    build: str = ""
    offline: bool = False
    update: bool = False
    refusal: str = ""
    altered: int = 0


@dataclass(frozen=True)
class Attachment:
    """One file to share or download."""

    name: str
    type: str
    content: str | bytes

    def wire(self) -> dict[str, str]:
        """The file as it travels to the page."""
        base = {"name": self.name, "type": self.type}
        if isinstance(self.content, str):
            return base | {"text": self.content}
        return base | {"base64": base64.b64encode(self.content).decode()}


@dataclass
class DevicePage:
    """The client: one method per thing the page can do."""

    channel: PageChannel
    _waiting: dict[int, asyncio.Future[PageAnswer]] = field(default_factory=dict)
    _listeners: dict[str, list[Listener]] = field(default_factory=dict)
    _asked: int = 0

    def __post_init__(self) -> None:
        """Take what the page says from now on."""
        self.channel.listen(self._hear)

    def on(self, event: str, listener: Listener) -> Callable[[], None]:
        """Call `listener` with the value of every `event`; the result stops that.

        Events: "visible" and "online" (bool), "link" (a joining code waits), "wanted" (what a
        shortcut asks for and may have, `SHORTCUTS` in mobile/start/start_screen.py), "hand out" (a
        copy of everything is wanted), "about" (`About`), "kept" (`Kept`).
        """
        heard = self._listeners.setdefault(event, [])
        heard.append(listener)
        return lambda: heard.remove(listener)

    async def ask(self, ask: str, **given: Any) -> PageAnswer:
        """Put one question to the page and wait for what came of it."""
        self._asked += 1
        number = self._asked
        reply: asyncio.Future[PageAnswer] = asyncio.get_running_loop().create_future()
        self._waiting[number] = reply
        try:
            self.channel.post(json.dumps({"id": number, "ask": ask, "with": given}))
            return await reply
        finally:
            del self._waiting[number]

    async def about(self) -> About:
        """What the page knows of itself; the plainest device when it does not say."""
        return _only(About, (await self.ask("about")).value)

    async def link(self) -> PageAnswer:
        """The joining code that a link brought, told once; empty where none did."""
        return await self.ask("link")

    async def persist(self) -> PageAnswer:
        """Ask the browser not to clear the records when it runs short of room."""
        return await self.ask("persist")

    async def storage(self) -> PageAnswer:
        """`{quota, usage, persisted}`, in bytes."""
        return await self.ask("storage")

    async def comforts(self) -> PageAnswer:
        """`{awake, buzz, speech, scan}`: which of these this device has at all."""
        return await self.ask("comforts")

    async def keep_awake(self, on: bool) -> PageAnswer:
        """Keep the screen on, also after coming back to the page, until told otherwise."""
        return await self.ask("wake", on=on)

    async def vibrate(self, *pattern_ms: int) -> PageAnswer:
        """Buzz in the hand: on, off, on … milliseconds."""
        return await self.ask("vibrate", pattern=list(pattern_ms))

    async def read_in(self, language: str) -> PageAnswer:
        """Tell readers of the page its language (ISO 639-1), and begin in it the next time."""
        return await self.ask("language", code=language)

    async def speak(self, text: str, *, lang: str = "en", rate: float = 1.0) -> PageAnswer:
        """Say `text` instead of whatever is being said."""
        return await self.ask("speak", text=text, lang=lang, rate=rate)

    async def hush(self) -> PageAnswer:
        """Stop speaking."""
        return await self.ask("hush")

    async def voices(self) -> PageAnswer:
        """The voices there are, each `{name, lang, localService}`."""
        return await self.ask("voices")

    async def share(
        self, *, title: str = "", text: str = "", files: Sequence[Attachment] = ()
    ) -> PageAnswer:
        """Open the device's share sheet; call it straight from a tap."""
        return await self.ask("share", title=title, text=text, files=[f.wire() for f in files])

    async def download(self, file: Attachment) -> PageAnswer:
        """Hand `file` to the browser's downloads."""
        return await self.ask("download", **file.wire())

    async def pick(self, accept: str = "") -> PageAnswer:
        """Let the person choose one file: `{name, bytes}`, or None; call it straight from a tap."""
        answer = await self.ask("pick", accept=accept)
        if not (answer.ok and answer.value):
            return answer
        content = base64.b64decode(answer.value["base64"])
        return PageAnswer(answer.state, {"name": answer.value["name"], "bytes": content})

    async def scan(self) -> PageAnswer:
        """Let the person take a photo of a square picture: what it says, or None; call it straight
        from a tap."""
        return await self.ask("scan")

    async def copy(self, text: str) -> PageAnswer:
        """Put `text` on the clipboard; call it straight from a tap."""
        return await self.ask("copy", text=text)

    async def mark(self, key: str) -> PageAnswer:
        """Read a small mark kept apart from the records (None when it was never set)."""
        return await self.ask("mark", key=key)

    async def set_mark(self, key: str, value: str | None) -> PageAnswer:
        """Leave a mark, or take it away with None."""
        return await self.ask("mark", key=key, value=value)

    async def install(self) -> PageAnswer:
        """Offer to install the app; call it straight from a tap, when `About.installable`."""
        return await self.ask("install")

    async def kept(self) -> Kept:
        """How the copy of the app on this device stands."""
        return _only(Kept, (await self.ask("kept")).value)

    async def digest(self) -> PageAnswer:
        """The digest of this build (`digest_of` in mobile/publish/builds.py), in hexadecimal."""
        return await self.ask("digest")

    async def look_for_update(self) -> Kept:
        """Ask the host for a newer build now, then say how things stand."""
        return _only(Kept, (await self.ask("look")).value)

    async def apply_update(self) -> PageAnswer:
        """Let the waiting build take over; the page reloads, so nothing may be under way."""
        return await self.ask("apply")

    async def try_newer(self) -> PageAnswer:
        """Try what was refused once more: start the newer build again, which loads the page anew,
        or fetch it again."""
        return await self.ask("again")

    async def offer_updates(self, now: bool) -> PageAnswer:
        """Whether the page may offer a waiting update: True only where nothing is under way."""
        return await self.ask("quiet", on=now)

    async def ask_about(self, wanted: str) -> PageAnswer:
        """Ask the person whether to follow a shortcut, one of `SHORTCUTS`, while something else is
        under way."""
        return await self.ask("wanted", way=wanted)

    async def reload(self) -> PageAnswer:
        """Load the page anew."""
        return await self.ask("reload")

    def _hear(self, text: str) -> None:
        message = json.loads(text)
        if "event" in message:
            self._tell(message["event"], message.get("value"))
            return
        reply = self._waiting.get(message["id"])
        if reply is not None and not reply.done():
            reply.set_result(PageAnswer(State(message["state"]), message["value"], message["why"]))

    def _tell(self, event: str, value: Any) -> None:
        kinds: dict[str, type[About] | type[Kept]] = {"about": About, "kept": Kept}
        typed = _only(kinds[event], value) if event in kinds else value
        for listener in tuple(self._listeners.get(event, ())):
            listener(typed)


@dataclass
class NoPage:
    """A channel with no page at its end: whatever is asked is absent. For desktops and tests."""

    asked: list[Mapping[str, Any]] = field(default_factory=list)
    _take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Answer at once that there is no such thing here."""
        message = json.loads(text)
        self.asked.append(message)
        answer = {"id": message["id"], "state": "absent", "value": None, "why": "there is no page"}
        self._take(json.dumps(answer))

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears the answers."""
        self._take = take


class WorkerChannel:
    """The channel of the browser's worker."""

    def __init__(self) -> None:
        import bench_js  # type: ignore[import-not-found]  # made by mobile/web/worker.js

        self._module = bench_js

    def post(self, text: str) -> None:
        """Send one message to the page."""
        self._module.post(text)

    def listen(self, take: Callable[[str], None]) -> None:
        """Call `take` with every message from the page."""
        from pyodide.ffi import create_proxy

        self._module.receive = create_proxy(take)


def this_page() -> DevicePage:
    """The page around this app, or one where everything is absent outside a browser."""
    import sys

    return DevicePage(WorkerChannel() if sys.platform == "emscripten" else NoPage())


def _only(kind: type[Kind], value: Any) -> Kind:
    known = {each.name for each in fields(kind)}  # type: ignore[arg-type]
    return kind(**{key: item for key, item in (value or {}).items() if key in known})

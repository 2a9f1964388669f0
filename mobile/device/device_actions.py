"""What the device does for the app: hand files out and in, install, update."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from datetime import datetime
from typing import Any, Protocol

from logic.app.app import App
from logic.app.commands import commands, label_commands, record_commands
from logic.app.commands.commands import Command
from logic.app.views.views import HealthView
from logic.history.progress import Progress
from mobile.device.label_actions import LabelActions
from mobile.device.page import About, Attachment, DevicePage, Kept, PageAnswer
from shared.errors import HistoryError, NutwrightError
from shared.words import say, say_many

RECORDS_NOTE = "records"
"""The name of the page's note, kept apart from the records, that there are some."""
LONG_FILE = 5000
"""Entries in a file that is worth saying how far it is (common practice, no source)."""
ACCEPTED = ".txt,.nutwright,text/plain"


class HubActions(Protocol):
    """What is done at the hub (`mobile/device/sync_controller.py`)."""

    async def do(self, command: Command) -> str:
        """Join, meet or leave; what came of it, in words."""

    def copy_handed_out(self) -> None:
        """Take note that there is a fresh copy of the records outside this device."""


class DeviceActions:
    """Carries out the commands that need the device; what came of one is a note in the app."""

    def __init__(
        self,
        device: DevicePage,
        app: App,
        kept_in: str = "",
        refresh: Callable[[], None] = lambda: None,
    ) -> None:
        self._device = device
        self._app = app
        self._kept_in = kept_in
        """The kind of storage that holds the records."""
        self._refresh = refresh
        """Draws the note while an action is still under way."""
        self._handed_out = False
        """Whether the last file left the app."""
        self._hub: HubActions | None = None
        """None until it is known whether this device has a hub."""
        labels = LabelActions(device, app, refresh, self._hand_out)
        self._actions: dict[type, Callable[[Any], Awaitable[str]]] = {
            commands.ShareHistory: self._share_history,
            commands.ShareReadings: self._share_readings,
            commands.ShareSheet: self._share_sheet,
            commands.ShareNut: self._share_nut,
            label_commands.ShareLabels: labels.share,
            label_commands.ScanLabel: labels.scan,
            commands.TakeInFile: self._take_in,
            commands.UseUpdate: self._update,
            commands.TryNewer: self._try_newer,
            commands.Install: self._install,
            record_commands.ScanCode: self._at_the_hub,
            record_commands.JoinHub: self._at_the_hub,
            record_commands.MeetNow: self._at_the_hub,
            record_commands.LeaveHub: self._at_the_hub,
            record_commands.SeeHealth: self._see_health,
            record_commands.CopyHealth: self._copy_health,
            record_commands.StartEmpty: self._start_empty,
        }

    @property
    def note(self) -> str:
        """What came of the last one, in words."""
        return self._app.note

    def connect(self, hub: HubActions) -> None:
        """Do at this hub what is to be done at one."""
        self._hub = hub

    def takes(self, command: Command) -> bool:
        """Whether the device carries this command out."""
        return type(command) in self._actions

    async def run(self, command: Command) -> None:
        """Carry a command out, and note what came of it."""
        try:
            self._app.tell(await self._actions[type(command)](command))
        except NutwrightError as error:
            self._app.tell(str(error))

    async def _share_history(self, _: Command) -> str:
        """Hand out a copy of everything, and remember when."""
        self._handed_out = False
        history = self._app.history
        said = await self._hand_out("history", "txt", "text/plain", history.export())
        if history.left_out:
            lacking = say_many(
                "{count} entry could not be read any more and is not in it.",
                "{count} entries could not be read any more and are not in it.",
                history.left_out,
            )
            return f"{said} {lacking}"
        return f"{said}{await self._note_copy()}" if self._handed_out else said

    async def _note_copy(self) -> str:
        """Remember when; a word more where the record takes not even that."""
        from logic.app.session.copies import note_copy

        history = self._app.history
        try:
            note_copy(history)
            await history.settled()
        except HistoryError:
            return " " + say("When it was made could not be noted: the record takes nothing now.")
        if self._hub:
            self._hub.copy_handed_out()
        return ""

    async def _share_readings(self, _: Command) -> str:
        from logic.history.exchange.spreadsheet import readings_csv  # no first screen needs it

        return await self._hand_out(
            "readings", "csv", "text/csv", readings_csv(self._app.history.queries)
        )

    async def _share_sheet(self, command: commands.ShareSheet) -> str:
        from logic.app.presenters.handover import sheet_as_pdf, sheet_as_text  # nor this
        from logic.drawing.page import Paper

        session = self._app.session
        name = "bench-record" if session.transient.sheet_for_bench else "set-up"
        if not command.paper:
            return await self._hand_out(name, "txt", "text/plain", sheet_as_text(session))
        content = sheet_as_pdf(session, Paper(command.paper))
        return await self._hand_out(name, "pdf", "application/pdf", content)

    async def _share_nut(self, command: commands.ShareNut) -> str:
        from logic.app.presenters.new_nut import nut_as_pdf, nut_as_svg
        from logic.drawing.page import Paper

        session = self._app.session
        asked = (session.work, session.transient.nut_wishes, session.wording)
        if command.form == "SVG":
            return await self._hand_out("new-nut", "svg", "image/svg+xml", nut_as_svg(*asked))
        content = nut_as_pdf(*asked, Paper(command.form))
        return await self._hand_out("new-nut", "pdf", "application/pdf", content)

    async def _hand_out(self, name: str, ending: str, kind: str, content: str | bytes) -> str:
        """By the share sheet where there is one, else as a download."""
        made = datetime.fromtimestamp(self._app.history.now_ms() / 1000)
        file = Attachment(f"nutwright-{name}-{made:%Y-%m-%d-%H%M}.{ending}", kind, content)
        shared = await self._device.share(title="Nutwright", files=[file])
        self._handed_out = shared.ok
        if shared.ok:
            return say("{file} was handed on.", file=file.name)
        if shared.value == "cancelled":
            return say("Nothing was handed on.")
        downloaded = await self._device.download(file)
        self._handed_out = downloaded.ok
        return _in_words(downloaded, say("{file} is among the downloads.", file=file.name))

    async def _take_in(self, _: Command) -> str:
        picked = await self._device.pick(ACCEPTED)
        if not picked.ok:
            return _in_words(picked, "")
        if picked.value is None:
            return say("No file was chosen.")
        report = await self._app.history.merge_by_steps(picked.value["bytes"], self._so_far)
        await self._app.history.settled()
        self._app.history_changed()
        if report.asked:
            self._app.do(record_commands.SeePromised())
        return f"{picked.value['name']}: {' '.join(report.lines())}"

    async def _so_far(self, progress: Progress) -> None:
        """Say how far a long file is, and let a touch or a frame through."""
        if progress.of >= LONG_FILE:
            done, of = progress.done, progress.of
            self._app.tell(say("Taking in: {done} of {of} entries.", done=done, of=of))
            self._refresh()
        await asyncio.sleep(0)

    async def _at_the_hub(self, command: Command) -> str:
        if self._hub is None:
            return say("The app is still opening: try again in a moment.")
        return await self._hub.do(command)

    async def _see_health(self, command: Command) -> str:
        """Ask the device about its storage, then show it."""
        about, room = await self._device.about(), await self._device.storage()
        kept, digest = await self._device.kept(), await self._device.digest()
        facts = (*_facts(self._kept_in, about, room), *_of_the_copy(digest, kept))
        self._app.device.storage_facts = facts
        self._app.do(command)
        return ""

    async def _copy_health(self, _: Command) -> str:
        from logic.app.presenters.storage_health import as_text

        shown = self._app.view()
        text = as_text(shown) if isinstance(shown, HealthView) else ""
        return _in_words(await self._device.copy(text), say("It is on the clipboard."))

    async def _start_empty(self, _: Command) -> str:
        """Nothing is missed any more: the note goes, and the bench is as new."""
        await self._device.set_mark(RECORDS_NOTE, None)
        self._app.device.records_cleared = False
        return ""

    async def _update(self, _: Command) -> str:
        return _in_words(await self._device.apply_update(), say("The newer Nutwright takes over."))

    async def _try_newer(self, _: Command) -> str:
        return _in_words(await self._device.try_newer(), say("The newer Nutwright is tried again."))

    async def _install(self, _: Command) -> str:
        return _in_words(await self._device.install(), say("Installed."))


def _facts(kept_in: str, about: About, room: PageAnswer) -> Iterator[tuple[str, str]]:
    """What the device says of its storage, each with its name."""
    from logic.app.presenters.storage_health import size_in_words

    untold = say("not told")
    given = room.value if room.ok and isinstance(room.value, dict) else {}
    yield say("Records are in"), say(kept_in) if kept_in else untold
    persisted = given.get("persisted")
    yield (
        say("The browser may clear them"),
        untold if persisted is None else say("no") if persisted else say("yes"),
    )
    for name, key in ((say("Room in use"), "usage"), (say("Room granted"), "quota")):
        size = given.get(key)
        yield name, size_in_words(size) if isinstance(size, int | float) else untold
    yield say("Installed"), say("yes") if about.installed else say("no")
    yield say("Build"), about.build or untold


def _of_the_copy(digest: PageAnswer, kept: Kept) -> Iterator[tuple[str, str]]:
    """What the device says of its copy of the app, and of a newer one where that matters."""
    known = digest.ok and isinstance(digest.value, str)
    yield say("Digest of the build"), _in_groups(digest.value) if known else say("not told")
    if kept.altered:
        yield say("Copy of the app"), _renewed(kept.altered)
    yield from _newer(kept)


def _in_groups(digest: str) -> str:
    """As the publisher prints it: in groups of eight, to be read to each other."""
    return " ".join(digest[start : start + 8] for start in range(0, len(digest), 8))


def _renewed(count: int) -> str:
    return say_many(
        "{count} file was not as published and was fetched anew",
        "{count} files were not as published and were fetched anew",
        count,
    )


def _newer(kept: Kept) -> Iterator[tuple[str, str]]:
    """What is worth saying of a newer build."""
    if kept.update:
        yield say("Newer version"), say("ready to be used")
    elif kept.refusal and not kept.offline:
        yield say("Copy of the app"), say("not kept: {why}", why=kept.refusal)
    elif kept.refusal:
        yield say("Newer version"), say("not taken: {why}", why=kept.refusal)


def _in_words(answer: PageAnswer, done: str) -> str:
    return done if answer.ok else say("That did not work here: {why}.", why=say(answer.why))

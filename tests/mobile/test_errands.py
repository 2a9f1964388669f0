"""What the device does for the desk."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest

from logic.desk import commands as do
from logic.desk import keeping_commands as kdo
from logic.desk import views
from logic.history import merging
from logic.history.portable import unpack
from mobile import errands
from mobile.device.page import Page
from mobile.errands import Errands
from mobile.look import Look
from mobile.shell import Shell
from shared.job import Contact
from tests.logic.desk.bench import DiscDesk, fresh_desk, walking


@dataclass
class Answering:
    """A page that answers each kind of question as the test decided."""

    answers: dict[str, dict[str, Any]]
    asked: list[dict[str, Any]] = field(default_factory=list)
    take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Answer at once."""
        message = json.loads(text)
        self.asked.append(message)
        absent = {"state": "absent", "value": None, "why": "there is no such thing"}
        self.take(
            json.dumps({"id": message["id"], **absent, **self.answers.get(message["ask"], {})})
        )

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears."""
        self.take = take


async def run(desk: DiscDesk, command: do.Command, **answers: dict[str, Any]) -> Answering:
    """Let a device with these answers do the errand."""
    wire = Answering(answers)
    await Errands(Page(wire), desk).run(command)
    return wire


def readings_of(desk: DiscDesk, job: str) -> int:
    """How many readings a job holds."""
    document = desk.history.job(job)
    return len(document.readings) if document else 0


async def test_without_a_share_sheet_the_history_is_downloaded() -> None:
    """The file is whole either way, and the note says where it went."""
    desk = fresh_desk()
    walking(desk)
    wire = await run(desk, do.ShareHistory(), download={"state": "ok", "value": True})
    (sent,) = [each["with"] for each in wire.asked if each["ask"] == "download"]
    parcel = unpack(base64.b64decode(sent["base64"]))
    assert parcel.complete
    *before, noted = desk.history.events_after({})
    assert parcel.events == before
    assert noted.body["value"]["entries"] == len(before)
    assert "downloads" in desk.note


async def test_a_newer_version_that_was_not_taken_is_among_the_facts_of_the_storage() -> None:
    """Whoever helps reads why; tried again by hand, the page is asked to."""
    desk = fresh_desk()
    for offline, fact in (
        (True, ("Newer version", "not taken: no room")),
        (False, ("Copy of the app", "not kept: no room")),
    ):
        told = {"refusal": "no room", "offline": offline}
        await run(desk, kdo.SeeHealth(), kept={"state": "ok", "value": told, "why": ""})
        assert fact in desk.device_facts
    wire = await run(desk, do.TryNewer(), again={"state": "ok", "value": None, "why": ""})
    assert "again" in [asked["ask"] for asked in wire.asked]
    assert desk.note == "The newer Nutwright is tried again."


async def test_what_neither_way_can_do_is_said() -> None:
    """A device that can neither share nor download leaves a note that says so."""
    desk = fresh_desk()
    await run(desk, do.ShareReadings())
    assert "did not work" in desk.note
    assert "no such thing" in desk.note


async def test_a_history_file_from_another_device_is_taken_in() -> None:
    """Jobs of the other device are on this one afterwards, and the note counts them."""
    there, here = fresh_desk(), fresh_desk()
    job = walking(there).job
    there.do(do.Feel(Contact.NONE))
    picked = {"name": "copy.txt", "base64": base64.b64encode(there.history.export()).decode()}
    await run(here, do.TakeInFile(), pick={"state": "ok", "value": picked})
    assert readings_of(here, job) == readings_of(there, job) == 1
    assert "copy.txt" in here.note
    assert "new" in here.note


async def test_a_long_file_says_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """While years are taken in the note counts up to all there are, and is drawn each time."""
    monkeypatch.setattr(errands, "LONG_FILE", 3)
    monkeypatch.setattr(merging, "BATCH_BYTES", 1)
    there, here = fresh_desk(), fresh_desk()
    walking(there)
    picked = {"name": "copy.txt", "base64": base64.b64encode(there.history.export()).decode()}
    work = Errands(Page(Answering({"pick": {"state": "ok", "value": picked}})), here)
    seen: list[str] = []
    work.shown_anew = lambda: seen.append(here.note)
    await work.run(do.TakeInFile())
    count = sum(there.history.vector.values())
    wanted = [f"Taking in: {done} of {count} entries." for done in range(1, count + 1)]
    assert list(dict.fromkeys(seen)) == wanted


async def test_a_file_that_is_no_history_changes_nothing_and_says_so() -> None:
    """Any other file is refused in words."""
    desk = fresh_desk()
    before = desk.history.vector
    picked = {"name": "song.txt", "base64": base64.b64encode(b"la la la").decode()}
    await run(desk, do.TakeInFile(), pick={"state": "ok", "value": picked})
    assert desk.history.vector == before
    assert desk.note


async def test_choosing_no_file_is_no_trouble() -> None:
    """A picker that was closed leaves everything as it was."""
    desk = fresh_desk()
    await run(desk, do.TakeInFile(), pick={"state": "ok", "value": None})
    assert desk.note == "No file was chosen."


async def test_the_shell_runs_errands_and_shows_their_note() -> None:
    """The note is on the records page once the device is done; the desk never sees the command."""
    desk = fresh_desk()
    tasks: list[Any] = []
    shell = Shell(
        view=desk.do(do.SeeRecords()),
        look=Look(),
        do=desk.do,
        settings=lambda: desk.settings,
        errands=Errands(Page(Answering({})), desk),
        again=desk.view,
        start=tasks.append,
    )
    shell.act(do.ShareHistory())
    await tasks[0]()
    assert isinstance(shell.view, views.RecordsView)
    assert "did not work" in shell.view.note


async def test_a_new_nut_is_handed_out_as_a_drawing() -> None:
    """On paper as PDF, for a screen as SVG; the file says what it is."""
    desk = fresh_desk()
    walking(desk)
    desk.do(do.SeeNewNut())
    for form, start, ending in (("Letter", b"%PDF", ".pdf"), ("SVG", b"<?xml", ".svg")):
        wire = await run(desk, do.ShareNut(form), download={"state": "ok", "value": True})
        (sent,) = [each["with"] for each in wire.asked if each["ask"] == "download"]
        content = base64.b64decode(sent["base64"]) if "base64" in sent else sent["text"].encode()
        assert content.startswith(start)
        assert "new-nut" in desk.note and ending in desk.note


async def test_a_nut_that_cannot_be_laid_out_is_not_handed_out() -> None:
    """The reason is the note; no file leaves."""
    desk = fresh_desk()
    walking(desk)
    desk.do(do.SeeNewNut())
    desk.do(do.TurnMargin("bass", 400))
    desk.do(do.TurnMargin("treble", 400))
    wire = await run(desk, do.ShareNut("A4"))
    assert wire.asked == []
    assert "do not fit" in desk.note

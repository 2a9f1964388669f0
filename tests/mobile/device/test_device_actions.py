"""What the device does for the app."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.commands import record_commands as kdo
from logic.app.views import views
from logic.history.exchange.portable import unpack
from logic.history.journal import segment
from mobile.device import device_actions
from mobile.device.device_actions import DeviceActions
from mobile.device.page import DevicePage
from mobile.publish.builds import in_words
from shared.readings import Contact
from tests.logic.app.apps import DiscApp, fresh_app, walking
from tests.logic.app.test_promised import file_that_erases
from tests.mobile.tabs import working_shell


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


async def run(app: DiscApp, command: do.Command, **answers: dict[str, Any]) -> Answering:
    """Let a device with these answers do what it is asked for."""
    wire = Answering(answers)
    await DeviceActions(DevicePage(wire), app).run(command)
    return wire


def readings_of(app: DiscApp, job: str) -> int:
    """How many readings a job holds."""
    document = app.history.job(job)
    return len(document.readings) if document else 0


async def test_without_a_share_sheet_the_history_is_downloaded() -> None:
    """The file is whole either way, and the note says where it went."""
    app = fresh_app()
    walking(app)
    wire = await run(app, do.ShareHistory(), download={"state": "ok", "value": True})
    (sent,) = [each["with"] for each in wire.asked if each["ask"] == "download"]
    parcel = unpack(base64.b64decode(sent["base64"]))
    assert parcel.complete
    *before, noted = app.history.events_after({})
    assert parcel.events == before
    assert noted.body["value"]["entries"] == len(before)
    assert "downloads" in app.note


async def test_the_digest_of_the_build_is_among_the_facts_of_the_storage() -> None:
    """As the publisher prints it, in groups; what was fetched anew is counted; where the page
    cannot tell, that is said."""
    app = fresh_app()
    digest, facts = "0123456789abcdef" * 4, {"offline": True, "altered": 2}
    await run(
        app,
        kdo.SeeHealth(),
        digest={"state": "ok", "value": digest, "why": ""},
        kept={"state": "ok", "value": facts, "why": ""},
    )
    told = dict(app.device.storage_facts)
    assert told["Digest of the build"] == in_words(digest) == " ".join(["01234567", "89abcdef"] * 4)
    assert told["Copy of the app"] == "2 files were not as published and were fetched anew"
    await run(app, kdo.SeeHealth())
    assert dict(app.device.storage_facts)["Digest of the build"] == "not told"


async def test_a_newer_version_that_was_not_taken_is_among_the_facts_of_the_storage() -> None:
    """Whoever helps reads why; tried again by hand, the page is asked to."""
    app = fresh_app()
    for offline, fact in (
        (True, ("Newer version", "not taken: no room")),
        (False, ("Copy of the app", "not kept: no room")),
    ):
        facts = {"refusal": "no room", "offline": offline}
        await run(app, kdo.SeeHealth(), kept={"state": "ok", "value": facts, "why": ""})
        assert fact in app.device.storage_facts
    wire = await run(app, do.TryNewer(), again={"state": "ok", "value": None, "why": ""})
    assert "again" in [asked["ask"] for asked in wire.asked]
    assert app.note == "The newer Nutwright is tried again."


async def test_what_neither_way_can_do_is_said() -> None:
    """A device that can neither share nor download leaves a note that says so."""
    app = fresh_app()
    await run(app, do.ShareReadings())
    assert "did not work" in app.note
    assert "no such thing" in app.note


async def test_a_history_file_from_another_device_is_taken_in() -> None:
    """Jobs of the other device are on this one afterwards, and the note counts them."""
    there, here = fresh_app(), fresh_app()
    job = walking(there).job
    there.do(do.Feel(Contact.NONE))
    picked = {"name": "copy.txt", "base64": base64.b64encode(there.history.export()).decode()}
    await run(here, do.TakeInFile(), pick={"state": "ok", "value": picked})
    assert readings_of(here, job) == readings_of(there, job) == 1
    assert "copy.txt" in here.note
    assert "new" in here.note


async def test_a_file_that_erases_something_leads_to_the_question() -> None:
    """What it asks for stands there, and what came of the file above it."""
    app = fresh_app()
    walking(app)
    picked = {"name": "odd.txt", "base64": base64.b64encode(file_that_erases(app)).decode()}
    await run(app, do.TakeInFile(), pick={"state": "ok", "value": picked})
    shown = app.view()
    assert isinstance(shown, views.PromisedView) and shown.promises[0].waits
    assert "1 erasure" in shown.note


async def test_a_long_file_says_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """While years are taken in the note counts up to all there are, and is drawn each time."""
    monkeypatch.setattr(device_actions, "LONG_FILE", 3)
    monkeypatch.setattr(segment, "LINE_BYTES", 1)
    there, here = fresh_app(), fresh_app()
    walking(there)
    picked = {"name": "copy.txt", "base64": base64.b64encode(there.history.export()).decode()}
    page = DevicePage(Answering({"pick": {"state": "ok", "value": picked}}))
    seen: list[str] = []
    actions = DeviceActions(page, here, refresh=lambda: seen.append(here.note))
    await actions.run(do.TakeInFile())
    count = sum(there.history.vector.values())
    wanted = [f"Taking in: {done} of {count} entries." for done in range(1, count + 1)]
    assert list(dict.fromkeys(seen)) == wanted


async def test_a_file_that_is_no_history_changes_nothing_and_says_so() -> None:
    """Any other file is refused in words."""
    app = fresh_app()
    before = app.history.vector
    picked = {"name": "song.txt", "base64": base64.b64encode(b"la la la").decode()}
    await run(app, do.TakeInFile(), pick={"state": "ok", "value": picked})
    assert app.history.vector == before
    assert app.note


async def test_choosing_no_file_is_no_trouble() -> None:
    """A picker that was closed leaves everything as it was."""
    app = fresh_app()
    await run(app, do.TakeInFile(), pick={"state": "ok", "value": None})
    assert app.note == "No file was chosen."


async def test_the_shell_runs_device_actions_and_shows_their_note() -> None:
    """The note is on the records page once the device is done; the app never sees the command."""
    app = fresh_app()
    tasks: list[Any] = []
    app.do(do.SeeRecords())
    actions = DeviceActions(DevicePage(Answering({})), app)
    shell = working_shell(app, actions=actions, run_task=tasks.append)
    shell.act(do.ShareHistory())
    await tasks[0]()
    assert isinstance(shell.view, views.RecordsView)
    assert "did not work" in shell.view.note


async def test_a_new_nut_is_handed_out_as_a_drawing() -> None:
    """On paper as PDF, for a screen as SVG; the file says what it is."""
    app = fresh_app()
    walking(app)
    app.do(do.SeeNewNut())
    for form, start, ending in (("Letter", b"%PDF", ".pdf"), ("SVG", b"<?xml", ".svg")):
        wire = await run(app, do.ShareNut(form), download={"state": "ok", "value": True})
        (sent,) = [each["with"] for each in wire.asked if each["ask"] == "download"]
        content = base64.b64decode(sent["base64"]) if "base64" in sent else sent["text"].encode()
        assert content.startswith(start)
        assert "new-nut" in app.note and ending in app.note


async def test_a_nut_that_cannot_be_laid_out_is_not_handed_out() -> None:
    """The reason is the note; no file leaves."""
    app = fresh_app()
    walking(app)
    app.do(do.SeeNewNut())
    app.do(do.TurnMargin("bass", 400))
    app.do(do.TurnMargin("treble", 400))
    wire = await run(app, do.ShareNut("A4"))
    assert wire.asked == []
    assert "do not fit" in app.note

"""The device's part in labels: sheets handed out, a label read off a photo."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import label_commands as labels
from logic.app.views import views
from mobile.device.device_actions import DeviceActions
from mobile.device.page import DevicePage
from shared.label import label_code, label_link
from tests.logic.app.apps import DiscApp
from tests.logic.app.checked import measured
from tests.logic.drawing.test_labels import read_back

ADDRESS = "https://bench.example/"


@dataclass
class ReadingPage:
    """A page that takes downloads, and whose photos say what a test wants."""

    says: Any = None
    state: str = "ok"
    files: list[dict[str, str]] = field(default_factory=list)
    take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Keep a file, or say what is in the photo."""
        message = json.loads(text)
        answer = {"id": message["id"], "state": "absent", "value": None, "why": "not here"}
        if message["ask"] == "download":
            self.files.append(message["with"])
            answer |= {"state": "ok"}
        elif message["ask"] == "scan":
            answer |= {"state": self.state, "value": self.says}
        self.take(json.dumps(answer))

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears the answers."""
        self.take = take


def with_page(page: ReadingPage, instruments: int = 1) -> tuple[DiscApp, DeviceActions, str]:
    """An app with that many instruments on record, of which the first was measured."""
    app, (name,) = measured()
    for _ in range(instruments - 1):
        app.do(ido.SeeInstrument(name))
        app.do(ido.Duplicate())
    app.device.address = ADDRESS
    app.do(labels.SeeLabels())
    return app, DeviceActions(DevicePage(page), app), name


@pytest.mark.programs
@pytest.mark.parametrize("paper", ["A4", "Letter"])
async def test_a_sheet_is_handed_out_and_leads_back(paper: str, tmp_path: Path) -> None:
    """What is read off the printed sheet is the app's address with the code of the instrument, and
    given to the app it opens that instrument's check."""
    page = ReadingPage()
    app, actions, name = with_page(page)
    assert actions.takes(labels.ShareLabels(paper))
    await actions.run(labels.ShareLabels(paper))
    (file,) = page.files
    assert file["name"].startswith("nutwright-labels-") and file["name"].endswith(".pdf")
    assert file["type"] == "application/pdf" and file["name"] in app.note
    ((code,),) = read_back(base64.b64decode(file["base64"]), tmp_path)
    assert code.text == label_link(ADDRESS, name)
    page.says = code.text
    await actions.run(labels.ScanLabel())
    shown = app.view()
    assert isinstance(shown, views.CheckView)
    assert app.session.work.document.instrument_id == name


async def test_a_long_list_says_how_far_it_is() -> None:
    """Sheet by sheet, so that the page stays alive; the note at the end is what came of it."""
    page, seen = ReadingPage(), list[str]()
    app, _, _ = with_page(page, instruments=30)
    actions = DeviceActions(DevicePage(page), app, refresh=lambda: seen.append(app.note))
    await actions.run(labels.ShareLabels("A4"))
    assert seen == ["Drawing: sheet 1 of 2.", "Drawing: sheet 2 of 2."]
    assert "among the downloads" in app.note


@pytest.mark.parametrize(
    ("says", "state", "said"),
    [
        (None, "ok", "No photo was taken."),
        ("https://bench.example/#join=AAAA-BBBB", "ok", "no label of an instrument"),
        ("hello", "ok", "no label of an instrument"),
        (None, "refused", "did not work here"),
    ],
)
async def test_a_photo_that_holds_no_label_is_told(says: Any, state: str, said: str) -> None:
    """The screen stays, with a word on what was in the photo."""
    page = ReadingPage(says, state)
    app, actions, _ = with_page(page)
    before = app.do(labels.SeeFindLabel())
    await actions.run(labels.ScanLabel())
    shown = app.view()
    assert isinstance(before, views.FindLabelView) and isinstance(shown, views.FindLabelView)
    assert said in shown.note


async def test_a_label_is_scanned_from_home_in_one_touch() -> None:
    """Home offers it where this device reads labels and something is on record; the check follows,
    or the screen that says what was in the photo and how else an instrument is found."""
    page = ReadingPage()
    app, actions, name = with_page(page)
    assert app.do(do.GoHome()) == views.HomeView(())
    app.device.scans = True
    assert app.view() == views.HomeView((), scans=True)
    await actions.run(labels.ScanLabel())
    shown = app.view()
    assert isinstance(shown, views.FindLabelView) and shown.note == "No photo was taken."
    app.do(do.GoHome())
    page.says = label_link(ADDRESS, name)
    await actions.run(labels.ScanLabel())
    assert isinstance(app.view(), views.CheckView)


async def test_a_label_printed_for_another_address_still_finds_its_instrument() -> None:
    """The app has moved: the code is what counts. One that nobody knows is told to be unknown."""
    page = ReadingPage()
    app, actions, name = with_page(page)
    page.says = label_link("http://192.168.1.5/old/", name)
    await actions.run(labels.ScanLabel())
    assert isinstance(app.view(), views.CheckView)
    app.do(do.GoHome())
    page.says = label_link(ADDRESS, "of another bench")
    await actions.run(labels.ScanLabel())
    shown = app.view()
    assert isinstance(shown, views.UnknownLabelView)
    assert label_code("of another bench")[-4:] in " ".join(shown.about)


async def test_an_address_too_long_for_a_code_is_said() -> None:
    """Nothing is handed out; what would do is said in one line."""
    page = ReadingPage()
    app, actions, _ = with_page(page)
    app.device.address = "https://bench.example/" + "x" * 500 + "/"
    await actions.run(labels.ShareLabels("A4"))
    assert page.files == [] and "too long" in app.note

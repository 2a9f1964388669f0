"""One tab and its storage: opening, failing to open, and the pen between two tabs."""

from __future__ import annotations

import asyncio
import base64
from typing import ClassVar

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.commands import record_commands as keeping_commands
from logic.app.views import views
from logic.history.storage.store import Directory
from logic.trade_loader import load_trade_tables
from mobile.device.page import DevicePage, NoPage
from mobile.device.storage import (
    StorageHealth,
    StorageKind,
    unavailable,
)
from mobile.main import NoWorker, reporting
from mobile.start.startup import MemoryStorage
from mobile.start.tab import Tab, storage_in_words
from shared.events import Kind
from shared.readings import Contact
from tests.logic.app.apps import lasting
from tests.mobile.tabs import GOOD, Device, DownloadingPage, MarkedPage, opening_shell, walk_to


async def test_a_first_visit_opens_at_home() -> None:
    """An empty device shows home, with nothing on the bench."""
    tab = Device().tab("one")
    await tab.open()
    assert tab.shell.view == views.HomeView(())


async def test_a_reload_opens_where_work_was_going_on() -> None:
    """The tab that comes up after a reload shows the same string with the same answers."""
    device = Device()
    first = device.tab("one")
    await first.open()
    left = walk_to(first.shell, 1)
    assert isinstance(left, views.WalkView)
    device.holder = None  # the browser gives the lock back when a page goes
    again = device.tab("one again")
    await again.open()
    assert lasting(again.shell.view) == lasting(left)


async def test_it_opens_before_the_jobs_where_that_was_asked_for() -> None:
    """After a screen that could not be drawn, the app does not open where work was left."""
    device = Device()
    first = device.tab("one")
    await first.open()
    walk_to(first.shell, 1)
    device.holder = None
    again = device.tab("one again", resumes=False)
    await again.open()
    assert isinstance(again.shell.view, views.HomeView)
    assert len(again.shell.view.jobs) == 1


def test_a_screen_that_cannot_be_drawn_anew_says_so() -> None:
    """An error while the client is brought up to date is passed on with its words, not raised: the
    loop that draws would end on it."""

    class Bent(ft.Text):
        def update(self) -> None:
            raise ValueError("bent")

    class Listening(NoWorker):
        said: ClassVar[list[str]] = []

        def failed(self, why: str) -> None:
            self.said.append(why)

    screen = reporting(Bent(), Listening())
    screen.update()
    assert Listening.said == ["ValueError: bent"]


async def test_a_second_tab_says_who_writes_and_can_take_over() -> None:
    """It shows no job and offers one way: to write here."""
    device = Device()
    first, second = device.tab("one"), device.tab("two")
    await first.open()
    await second.open()
    view = second.shell.view
    assert isinstance(view, views.TroubleView)
    assert view.can_take_over and "tab" in view.what
    second.shell.act(do.NewJob())
    assert second.shell.view == view


async def test_the_writer_lock_goes_over_with_everything_recorded() -> None:
    """After a take-over the second tab shows what the first recorded, and the first says so."""
    device = Device()
    first, second = device.tab("one"), device.tab("two")
    await first.open()
    left = walk_to(first.shell, 1)
    await second.open()
    second.shell.act(do.TakeOver())
    await device.quiet()
    assert lasting(second.shell.view) == lasting(left)
    assert isinstance(first.shell.view, views.TroubleView) and first.shell.view.can_take_over
    first.shell.act(do.Feel(Contact.HEAVY))
    assert isinstance(first.shell.view, views.TroubleView)


async def test_the_writer_lock_can_be_taken_back() -> None:
    """What the second tab recorded is there when the first takes the pen again."""
    device = Device()
    first, second = device.tab("one"), device.tab("two")
    await first.open()
    await second.open()
    second.shell.act(do.TakeOver())
    await device.quiet()
    left = walk_to(second.shell, 2)
    first.shell.act(do.TakeOver())
    await device.quiet()
    assert lasting(first.shell.view) == lasting(left)
    assert isinstance(second.shell.view, views.TroubleView)


async def test_a_writer_that_died_does_not_keep_the_lock(monkeypatch: pytest.MonkeyPatch) -> None:
    """When nobody answers but the storage is free again, the second tab simply goes on."""
    device = Device()
    first, second = device.tab("one"), device.tab("two")
    await first.open()
    left = walk_to(first.shell, 1)
    await second.open()
    device.deaf, device.holder = True, None
    _impatient(second, monkeypatch)
    second.shell.act(do.TakeOver())
    await device.quiet()
    assert lasting(second.shell.view) == lasting(left)


async def test_a_writer_that_sleeps_is_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """When nobody answers and the storage is still held, nothing is taken by force."""
    device = Device()
    first, second = device.tab("one"), device.tab("two")
    await first.open()
    await second.open()
    device.deaf = True
    _impatient(second, monkeypatch)
    second.shell.act(do.TakeOver())
    await device.quiet()
    view = second.shell.view
    assert isinstance(view, views.TroubleView)
    assert "does not answer" in view.title and view.can_take_over


def _impatient(tab: Tab, monkeypatch: pytest.MonkeyPatch) -> None:
    """Wait a hundredth of a second for an answer, not five."""
    assert tab.lock
    ask = tab.lock.ask
    monkeypatch.setattr(tab.lock, "ask", lambda: ask(0.01))


async def test_storage_that_does_not_open_is_said_with_what_is_safe() -> None:
    """A history that may be there but does not open is never replaced by an empty one."""

    class Refusing(MemoryStorage):
        async def open(self) -> tuple[Directory, StorageHealth]:
            raise unavailable(StorageKind.PRIVATE_FILES, OSError("locked"))  # type: ignore[arg-type]

    tab = Tab(Refusing(), load_trade_tables(), opening_shell(), DevicePage(NoPage()))
    await tab.open()
    view = tab.shell.view
    assert isinstance(view, views.TroubleView)
    assert view.safe and view.next and not view.can_take_over
    tab.shell.act(do.NewJob())
    assert tab.shell.view == view


async def test_a_damaged_record_opens_and_says_so_at_home() -> None:
    """A torn last line is set aside, said at home, and everything before it is there."""
    device = Device()
    first = device.tab("one")
    await first.open()
    walk_to(first.shell, 0)
    first.shell.act(do.CloseJob())
    await first.close()
    journal = max(name for name in device.disc.files if name.startswith("journal"))
    device.disc.files[journal] += b"torn in the mid"
    again = device.tab("two")
    await again.open()
    view = again.shell.view
    assert isinstance(view, views.HomeView)
    assert any("cut short" in notice for notice in view.notices)


@pytest.mark.parametrize(
    ("health", "said"),
    [
        (GOOD, "private files"),
        (StorageHealth(StorageKind.DATABASE, True, True), "database"),
        (StorageHealth(StorageKind.MEMORY, False, True, "Nothing can be kept."), "Nothing"),
    ],
)
async def test_the_settings_say_where_the_record_is_kept(health: StorageHealth, said: str) -> None:
    """Private files, the browser's database or nothing at all: the settings page has the word."""
    device = Device(health=health)
    tab = device.tab("one")
    await tab.open()
    tab.shell.act(do.SeeSettings())
    await device.quiet()
    view = tab.shell.view
    assert isinstance(view, views.SettingsView)
    assert said in view.storage[0] == storage_in_words(health)


async def test_where_nothing_can_be_kept_home_says_so_before_any_work() -> None:
    """Whoever cannot keep a record reads it on the first screen, not only in the settings."""
    note = "Nothing can be kept: this browser refuses to store anything."
    health = StorageHealth(StorageKind.MEMORY, False, True, note)
    tab = Device(health=health).tab("one")
    await tab.open()
    view = tab.shell.view
    assert isinstance(view, views.HomeView)
    assert note in view.notices


async def test_the_page_has_a_copy_of_everything_handed_out() -> None:
    """Where no screen can be drawn, the page asks for it: what is downloaded holds the history."""
    device, downloads = Device(), DownloadingPage()
    tab = device.tab("one", DevicePage(downloads))
    downloads.take('{"event": "hand out", "value": true}')  # nothing is open yet
    await tab.open()
    walk_to(tab.shell, 1)
    downloads.take('{"event": "hand out", "value": true}')
    await device.quiet()
    [file] = downloads.files
    assert b"reading.taken" in base64.b64decode(file["base64"])


async def test_records_that_the_browser_cleared_are_missed() -> None:
    """A mark without records means that they were cleared: no cheerful home, but two ways back;
    an empty bench is a choice, and is not asked for twice."""
    device = Device()
    marks: dict[str, str] = {}
    tab = device.tab("one", DevicePage(MarkedPage(marks)))
    await tab.open()
    tab.shell.act(do.StartJob("electric guitar"))
    await device.quiet()
    again = device.tab("two", DevicePage(MarkedPage(marks)))
    await tab.close()
    await again.open()
    assert marks, "records are there, so the mark is set"
    await again.close()
    device.disc.files.clear()
    empty = device.tab("three", DevicePage(MarkedPage(marks)))
    await empty.open()
    assert [type(empty.shell.view)] == [views.ClearedView]
    empty.shell.act(keeping_commands.StartEmpty())
    await device.quiet()
    assert empty.shell.view == views.HomeView(())
    assert marks == {}


async def test_a_long_reading_says_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Years without a snapshot are read while the page lives, then the bench is shown."""
    device = Device()
    first = device.tab("first")
    await first.open()
    record = first.app.history.record if first.app else None
    assert record
    for number in range(30):
        record(Kind.SETTING_CHANGED, {"name": "unit", "value": str(number)})
    await first.close()
    for name in [name for name in device.disc.files if not name.startswith("journal")]:
        device.disc.delete(name)
    monkeypatch.setattr("logic.history.journal.opening.STEP", 10)
    monkeypatch.setattr("mobile.start.tab.LONG_READING", 10)
    tab, seen = device.tab("second"), []

    async def theme() -> None:
        while tab.app is None:
            seen.append(tab.shell.view)
            await asyncio.sleep(0)

    await asyncio.gather(tab.open(), theme())
    said = [view.what for view in seen if isinstance(view, views.TroubleView)]
    assert any("Reading the records: 20 of about 30." in what for what in said), said
    assert isinstance(tab.shell.view, views.HomeView)

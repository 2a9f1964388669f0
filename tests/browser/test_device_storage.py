"""The browser's storages keep the contract, one tab writes, and a kill loses nothing confirmed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from playwright.sync_api import Error as PageError

from tests.browser.worker_bench import furnish, run, served
from tests.logic.history.store_contract import CHECKS

PRIVATE_FILES = """
import js
from mobile.device import bridge
from mobile.device.private_files import FOLDER, open_private_directory
from store_contract import CHECKS
class Place:
    async def open(self, ahead):
        return await open_private_directory(ahead)
kept = []
root = await js.navigator.storage.getDirectory()
for check in CHECKS:
    await check(Place())
    kept.append(check.__name__)
    await root.removeEntry(FOLDER, bridge.options(recursive=True))
" ".join(kept)
"""
DATABASE = """
import js
from mobile.device import bridge
from mobile.device.indexed_store import DATABASE, open_indexed_directory
from store_contract import CHECKS
class Place:
    async def open(self, ahead):
        return await open_indexed_directory()
kept = []
for check in CHECKS:
    await check(Place())
    kept.append(check.__name__)
    await bridge.requested(js.indexedDB.deleteDatabase(DATABASE))
" ".join(kept)
"""
OPEN = """
import js
from logic.history import History
from mobile.device.writer_lock import CHANNEL, LockRole, LockState, WriterLock
from mobile.device.storage import open_device_store
from mobile.device.worker_browser import TabChannel, WorkerBrowser
from shared.errors import WrittenElsewhere
from shared.events import Kind
history = None
browser = WorkerBrowser()
async def close_all():
    await history.settled()
    history.close()
    browser.release_lock()
async def start():
    global history
    directory, health = await open_device_store(browser)
    history = History.open(directory)
    return health
state = LockState(str(js.crypto.randomUUID()), LockRole.READS)
lock = WriterLock(TabChannel(CHANNEL), state, close_all)
try:
    health = await start()
    lock.storage_opened(True)
    said = health.kind.value
except WrittenElsewhere as error:
    said = str(error)
said
"""
RECORD = """
history.record(Kind.SETTING_CHANGED, {"name": "last", "value": VALUE})
await history.settled()
history.setting("last")
"""
TAKE_OVER = """
given = await lock.ask()
if given:
    await start()
history.setting("last") if given else "nobody answered"
"""
TWO_WRITERS = """
from logic.history import History
from mobile.device.indexed_store import open_indexed_directory
from shared.errors import JournalPoisoned
from shared.events import Kind
first = History.open(await open_indexed_directory())
first.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})
await first.settled()
second = History.open(await open_indexed_directory())
first.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "thou"})
await first.settled()
second.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "in"})
try:
    await second.settled()
    said = "nobody noticed"
except JournalPoisoned as error:
    said = str(error)
first.close()
again = History.open(await open_indexed_directory())
f"{again.setting('unit')} {again.report.lines()} {said}"
"""
FILL = """
from logic.history import History
from mobile.device.storage import open_device_store
from mobile.device.worker_browser import WorkerBrowser
from shared.errors import StorageFull
from shared.events import Kind
browser = WorkerBrowser()
directory, health = await open_device_store(browser)
history = History.open(directory)
kept, low, said = 0, 0, "it never filled up"
try:
    for number in range(200):
        history.record(Kind.SETTING_CHANGED, {"name": "note", "value": "x" * 50_000})
        kept += 1
        low += history.low_on_space
        await history.settled()
except StorageFull as error:
    said = str(error)
exported = len(history.export())
history.close()
browser.release_lock()
directory, _ = await open_device_store(WorkerBrowser())
again = History.open(directory)
found = max(again.vector.values())
assert kept == found, (kept, found, said)
assert exported > kept * 50_000
assert again.report.clean, again.report.lines()
f"{low} {said}"
"""
FLOOD = """
import asyncio, js
from mobile.device import bridge
for number in range(1, 100_000):
    history.record(Kind.SETTING_CHANGED, {"name": "last", "value": number})
    js.self.postMessage(bridge.options(say=number))
    if number % 50 == 0:
        await history.settled()
        await asyncio.sleep(0)
"""
COUNT = """
f"{max(history.vector.values(), default=0)} {history.setting('last', 0)} {history.report.lines()}"
"""


@pytest.fixture
def address(app_site: Path, tmp_path: Path) -> Iterator[str]:
    """The worker page beside the built app."""
    with served(furnish(app_site, tmp_path / "site")) as base:
        yield f"{base}/bench.html"


@pytest.mark.parametrize("code", [PRIVATE_FILES, DATABASE], ids=["private files", "database"])
def test_the_browsers_storages_keep_the_contract(browser: Browser, address: str, code: str) -> None:
    """Every check that memory and files pass holds in a real worker of a real browser."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(address)
    assert run(page, code).split() == [check.__name__ for check in CHECKS]
    context.close()


def test_a_second_tab_is_told_and_can_take_over(browser: Browser, address: str) -> None:
    """One tab writes; the second is told, asks, is given the lock with all entries, and writes."""
    context = browser.new_context()
    first, second = context.new_page(), context.new_page()
    first.goto(address)
    second.goto(address)
    assert run(first, OPEN) == "private files"
    assert run(first, RECORD.replace("VALUE", "'from the first'")) == "from the first"
    assert "Another tab" in run(second, OPEN)
    assert run(second, TAKE_OVER) == "from the first"
    assert run(second, RECORD.replace("VALUE", "'from the second'")) == "from the second"
    with pytest.raises(PageError, match="closed here"):
        run(first, RECORD.replace("VALUE", "'too late'"))
    assert run(first, TAKE_OVER) == "from the second"
    context.close()


def test_two_writers_of_the_database_cannot_mix_their_entries(
    browser: Browser, address: str
) -> None:
    """Without a lock, whoever writes second is refused by the database; the first loses nothing."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(address)
    unit, told = run(page, TWO_WRITERS).split(" ", 1)
    assert unit == "thou"
    assert told.startswith("() This device could not write")
    context.close()


def test_a_full_device_keeps_the_last_answer_and_can_be_exported(
    browser: Browser, address: str
) -> None:
    """With the browser's quota used up: the reserve takes the last answers, then StorageFull."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(address)
    origin = address.rsplit("/", 1)[0]
    quota = {"origin": origin, "quotaSize": 4_000_000}
    context.new_cdp_session(page).send("Storage.overrideQuotaForOrigin", quota)
    low, said = run(page, FILL).split(" ", 1)
    assert int(low) > 3
    assert "no room for another entry" in said
    context.close()

"""What the app says when its records were cleared, or when there is no room for more."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Error, Page

from tests.browser.hand import has, press, settled, shows
from tests.browser.harness import Server, Visit, ready, wait_for_text

pytestmark = pytest.mark.returning

CLEAR = """async () => {
    const root = await navigator.storage.getDirectory();
    const names = [];
    for await (const name of root.keys()) names.push(name);
    for (const name of names) await root.removeEntry(name, { recursive: true });
    return names.length;
}"""


def clear(page: Page, within_s: float = 30) -> int:
    """Clear the site's private files; how many stood there.

    The page that was left closes its files only when its worker has ended, which a busy machine
    takes its time over, and until then the browser removes none of them.
    """
    end = time.monotonic() + within_s
    while True:
        try:
            return int(page.evaluate(CLEAR))
        except Error as refused:
            if "NoModificationAllowed" not in str(refused) or time.monotonic() > end:
                raise
            page.wait_for_timeout(200)


def handed_out(visit: Visit, mark: str) -> str:
    """Where the copy is that this button hands out."""
    with visit.page.expect_download() as download:
        press(visit.page, mark)
    return str(download.value.path())


def test_cleared_records_are_missed_and_a_copy_brings_them_back(
    visit: Visit, app_server: Server
) -> None:
    """No empty cheerful home after the browser cleared the storage: the page says so, and the copy
    that was handed out before puts the job back on the bench."""
    page = visit.open(app_server.address).page
    press(page, "sample")
    shows(page, "answer-light", "answer-normal")
    press(page, "back")
    shows(page, "records")
    press(page, "records")
    shows(page, "share-history")
    copy = handed_out(visit, "share-history")
    visit.reload()
    page.goto(app_server.address + "manifest.json")
    assert clear(page) == 1
    page.goto(app_server.address)
    ready(page)
    shows(page, "empty")
    assert not has(page, "new-job")
    with page.expect_file_chooser() as chooser:
        press(page, "take-in")
    chooser.value.set_files(copy)
    shows(page, "new-job")
    wait_for_text(page, "Sample: Alder Row no. 12")


def test_records_cleared_under_the_running_app_are_handed_out_of_memory(
    visit: Visit, app_server: Server
) -> None:
    """The next answer is refused as not recorded, the copy offered then holds all before it, and
    the next start, the second of all, misses the records and takes the copy."""
    page = visit.open(app_server.address).page
    press(page, "sample")
    shows(page, "answer-light")
    settled(page)
    origin = app_server.address.rstrip("/")
    cleared = {"origin": origin, "storageTypes": "file_systems"}
    visit.context.new_cdp_session(page).send("Storage.clearDataForOrigin", cleared)
    press(page, "answer-light")
    shows(page, "export")
    copy = handed_out(visit, "export")
    visit.reload()
    shows(page, "empty")
    with page.expect_file_chooser() as chooser:
        press(page, "take-in")
    chooser.value.set_files(copy)
    shows(page, "new-job")
    wait_for_text(page, "Sample: Alder Row no. 12")


def test_a_full_device_says_what_is_safe_and_hands_out_a_copy(
    visit: Visit, app_server: Server
) -> None:
    """With no room granted the first answer that does not fit ends in a page with the way out."""
    page = visit.open(app_server.address).page
    settled(page)
    session = visit.context.new_cdp_session(page)
    origin = app_server.address.rstrip("/")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1000})
    press(page, "sample")
    for _ in range(40):
        mark = shows(page, "export", "answer-light", "answer-normal", "back")
        if mark == "export":
            break
        press(page, mark)
        settled(page)
    wait_for_text(page, "can still be exported")
    assert handed_out(visit, "export")
    wait_for_text(page, "is among the downloads")
    assert has(page, "go-on")

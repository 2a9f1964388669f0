"""Printed labels in a browser: handed out, followed by link and by photo, without a network."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, FilePayload, Page

from shared.label import label_link
from tests.browser.hand import begin, changed, has, press, settled, shows
from tests.browser.harness import Server, Visit, kept, ready, text, visiting, wait_for_text
from tests.browser.test_quick_checks import measure_the_sample
from tests.browser.test_scan import READER, picture
from tests.logic.drawing.test_labels import read_back

ASKED = "Go to the instrument of that label?"
ELSEWHERE = "fedcba9876543210"


def home_again(page: Page) -> None:
    """From a closed job back to home."""
    before = settled(page)
    press(page, "back")
    changed(page, before)
    shows(page, "instruments")


def printed(page: Page, folder: Path) -> str:
    """From home, hand out the sheet of all labels; the link of its only one, read off the paper."""
    press(page, "instruments")
    shows(page, "labels")
    press(page, "labels")
    shows(page, "labels-A4")
    wait_for_text(page, "This address leads to this machine alone")
    with page.expect_download() as handed_out:
        press(page, "labels-A4")
    ((code,),) = read_back(Path(handed_out.value.path()).read_bytes(), folder)
    wait_for_text(page, "is among the downloads")
    return str(code.text)


def led(page: Page, address: str, *marks: str) -> None:
    """Follow a link as the camera does: in a fresh page at that address."""
    page.goto("about:blank")
    page.goto(address)
    ready(page)
    shows(page, *marks)


def test_a_label_is_printed_and_opens_its_check_without_a_network(
    visit: Visit, app_server: Server, tmp_path: Path
) -> None:
    """What is read off the handed-out sheet is this app's address and a code. With the server dead
    the link opens the quick check of that instrument; with the app open at home it is followed at
    once and nothing reloads; in the middle of the check the page asks; a code that nothing here has
    is told."""
    page = visit.open(app_server.address).page
    shows(page, "sample")
    measure_the_sample(page)
    home_again(page)
    link = printed(page, tmp_path)
    address, _, code = link.partition("#i=")
    assert address == app_server.address and len(code) == 16 and code.isalnum()
    kept(page)
    app_server.kill()
    visit.context.set_offline(True)

    led(page, link, "asked")
    assert page.url == app_server.address
    before = settled(page)
    assert any("String" in line for line in before)

    page.evaluate("(to) => { location.hash = to; }", f"#i={ELSEWHERE}")
    page.get_by_text(ASKED).wait_for()
    assert settled(page) == before
    page.get_by_role("button", name="Stay here").click()
    assert settled(page) == before
    page.evaluate("(to) => { location.hash = to; }", f"#i={ELSEWHERE}")
    page.get_by_text(ASKED).wait_for()
    page.get_by_role("button", name="Go there").click()
    shows(page, "instruments")
    wait_for_text(page, "No instrument here has this label")
    said = text(page)
    assert "Nothing was changed" in said and "ends in 3210" in said

    loaded = page.evaluate("() => performance.timeOrigin")
    page.evaluate("(to) => { location.hash = to; }", f"#i={code}")  # nothing is under way here
    shows(page, "asked")
    press(page, "back")
    shows(page, "quick-check")
    assert page.evaluate("() => performance.timeOrigin") == loaded


@pytest.mark.returning
def test_a_label_of_another_bench_is_told_on_an_empty_one(visit: Visit, app_server: Server) -> None:
    """A phone with nothing on record: what happened, what is safe, and two ways on."""
    page = visit.open(label_link(app_server.address, ELSEWHERE)).page
    shows(page, "find-label")
    wait_for_text(page, "It may be a label of another bench.")
    press(page, "find-label")
    wait_for_text(page, "Point the phone's own camera at the label")


@pytest.mark.returning
def test_a_label_does_not_interrupt_a_reading(visit: Visit, app_server: Server) -> None:
    """The app went away mid-walk and comes back by a label's link: work stands, the page asks."""
    page = visit.open(app_server.address).page
    shows(page, "new-job")
    begin(page)
    before = settled(page)
    led(page, label_link(app_server.address, ELSEWHERE), "asked")
    page.get_by_text(ASKED).wait_for()
    assert settled(page) == before
    page.get_by_role("button", name="Go there").click()
    wait_for_text(page, "No instrument here has this label")
    press(page, "back")
    wait_for_text(page, "at string 6")


def test_a_label_is_read_off_a_photo_where_the_browser_reads_one(
    browser: Browser, app_server: Server
) -> None:
    """The app's own reader, at hand at home, finds the instrument; another square picture is told
    apart. Where the browser reads none, the screen says so and offers no photo."""
    with visiting(browser) as visit:
        visit.context.add_init_script(READER)
        page = visit.open(app_server.address).page
        shows(page, "sample")
        measure_the_sample(page)
        home_again(page)
        shows(page, "scan")
        scan(page, "https://bench.example/#join=AAAA-BBBB")
        wait_for_text(page, "That square code is no label of an instrument.")
        wait_for_text(page, "This browser reads labels too")
        scan(page, label_link("https://bench.example/", ELSEWHERE))
        wait_for_text(page, "No instrument here has this label")
    with visiting(browser) as visit:
        visit.context.add_init_script("delete globalThis.BarcodeDetector")
        page = visit.open(label_link(app_server.address, ELSEWHERE)).page
        shows(page, "find-label")
        press(page, "find-label")
        wait_for_text(page, "This browser reads no square codes itself")
        assert not has(page, "scan")


def scan(page: Page, said: str) -> None:
    """Take a photo of a label that says this."""
    page.evaluate("said => localStorage.setItem('says', said)", said)
    with page.expect_file_chooser() as chooser:
        press(page, "scan")
    photo = FilePayload(name="photo.png", mimeType="image/png", buffer=picture(said))
    chooser.value.set_files(photo)

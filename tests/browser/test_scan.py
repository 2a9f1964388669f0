"""A joining code read off a photo of its square picture, where the browser reads such pictures."""

from __future__ import annotations

import io

import segno
from playwright.sync_api import Browser, FilePayload, Page

from tests.browser.hand import has, press, shows
from tests.browser.harness import visiting, wait_for_text
from tests.browser.test_hub_in_app import BENCH, IN_STEP, hub, join, link
from tests.hub.processes import HubProcess

__all__ = ["hub"]
# Chromium for Linux reads no pictures by itself: what it would say of a photo is put in its place.
READER = """globalThis.BarcodeDetector = class {
  static getSupportedFormats() { return Promise.resolve(["qr_code"]); }
  detect(photo) {
    return Promise.resolve(photo.width > 1 ? [{ rawValue: localStorage.getItem("says") }] : []);
  }
};"""


def picture(said: str) -> bytes:
    """A photo of the square picture."""
    drawn = io.BytesIO()
    segno.make(said).save(drawn, kind="png", scale=4)
    return drawn.getvalue()


def see_hub(page: Page) -> None:
    """From home to the page of a device without a hub."""
    press(page, "records")
    shows(page, "hub")
    press(page, "hub")
    shows(page, "code")


def scan(page: Page, said: str) -> None:
    """Take a photo of a picture that says this."""
    page.evaluate("said => localStorage.setItem('says', said)", said)
    with page.expect_file_chooser() as chooser:
        press(page, "scan")
    photo = FilePayload(name="photo.png", mimeType="image/png", buffer=picture(said))
    chooser.value.set_files(photo)


def test_a_code_is_read_off_a_photo(browser: Browser, hub: HubProcess) -> None:
    """Another hub's picture is told apart, this one's leads to the question whether to join."""
    with visiting(browser) as visit:
        visit.context.add_init_script(READER)
        visit.open(hub.address)
        see_hub(visit.page)
        shows(visit.page, "scan")
        scan(visit.page, "https://elsewhere.example/#join=AAAA-BBBB")
        wait_for_text(visit.page, "That code is for the hub at https://elsewhere.example/.")
        scan(visit.page, link(hub, "bench"))
        join(visit.page, "Bench phone")
        wait_for_text(visit.page, IN_STEP)
        assert BENCH in visit.page.content()
        assert visit.outside(hub.address) == []


def test_a_browser_that_reads_no_pictures_offers_none(browser: Browser, hub: HubProcess) -> None:
    """The page says how else to join: the device's own camera, or the letters."""
    with visiting(browser) as visit:
        visit.context.add_init_script("delete globalThis.BarcodeDetector")
        see_hub(visit.open(hub.address).page)
        wait_for_text(visit.page, "Point this device's camera at the picture, or type the letters.")
        assert not has(visit.page, "scan")

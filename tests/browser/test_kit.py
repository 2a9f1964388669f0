"""A kit in the built app: said, killed, taken back and asked for on the walk, with no network."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.hand import (
    asked,
    begin,
    changed,
    press,
    scroll_to,
    settled,
    shows,
)
from tests.browser.harness import Server, Visit, kept, ready, text, wait_for_text

pytestmark = [pytest.mark.long, pytest.mark.returning]

METRIC = [0.05, 0.1, 0.15, 0.2, 0.22, 0.25, 0.3, 0.4, 0.5]
"""A set of eight leaves and one of the technician's own, millimetres."""


def killed(visit: Visit, address: str) -> Page:
    """The tab is gone without a word; the app in a new one, from what the device keeps."""
    visit.page.close(run_before_unload=False)
    visit.page = visit.context.new_page()
    visit.page.goto(address)
    ready(visit.page)
    return visit.page


def taps(page: Page, *marks: str) -> None:
    """Touch these one after the other, wherever they lie on the screen, and wait for each."""
    for mark in marks:
        before = settled(page)
        scroll_to(page, mark)
        press(page, mark)
        changed(page, before)


def test_a_metric_kit_by_thumb(visit: Visit, app_server: Server) -> None:
    """None of the usual, a set of leaves and one of files in millimetres and a leaf of one's own;
    the tab dies; all of it is there, the last touch is taken back by name, put in again, and the
    walk asks for nothing else, in millimetres on a bench of thousandths."""
    page = visit.open(app_server.address).page
    kept(page)
    app_server.kill()
    visit.context.set_offline(True)
    press(page, "kit")
    shows(page, "none-here")
    assert "Nobody has said yet what is in this kit" in text(page)
    taps(page, "none-here", "scale-mm", "set-leaves 8 mm", "set-files electric mm")
    wait_for_text(page, "In this kit: 8 leaves and 6 files.")
    types_a_leaf(page)

    page = killed(visit, app_server.address)
    press(page, "kit")
    shows(page, "undo")
    wait_for_text(page, "In this kit: 9 leaves and 6 files.")
    press(page, "undo")
    wait_for_text(page, "Taken back: 0.22 mm leaf put in.")
    wait_for_text(page, "In this kit: 8 leaves and 6 files.")
    types_a_leaf(page)
    press(page, "back")
    shows(page, "new-job")
    begin(page)
    _, leaves = asked(page)
    assert {str(leaf) for leaf in leaves} <= {f"{size:g} mm" for size in METRIC} | {
        f"{size:.2f} mm" for size in METRIC
    }
    assert not visit.outside(app_server.address)


def types_a_leaf(page: Page) -> None:
    """A leaf of 0.22 mm, on the number pad; first one of 22 mm, which is refused."""
    scroll_to(page, "own-leaf")
    press(page, "own-leaf")
    shows(page, "save-number")
    before = settled(page)
    for key in ("2", "2"):
        press(page, f"key-{key}")
    press(page, "save-number")
    said = "\n".join(changed(page, before))
    assert "22 mm" in said and "leaf" in said
    for _ in range(2):
        press(page, "key-Delete")
    for key in ("0", "Point", "2", "2"):
        press(page, f"key-{key}")
    press(page, "save-number")
    shows(page, "none-here")
    wait_for_text(page, "0.22 mm leaf put in.")

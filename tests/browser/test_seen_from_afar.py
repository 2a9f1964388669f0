"""The walk as the browser paints it: letters measured in its picture, targets that stay put."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from itertools import groupby

import pytest
from playwright.sync_api import Browser, Page

from mobile.parts.theme import Theme
from mobile.screens.walk_layout import WalkLayout, walk_layout
from tests.browser.hand import changed, marked, press, settled, shows
from tests.browser.harness import Server, Visit, visiting
from tests.mobile.test_at_a_metre import PIXELS_A_MM, WORD_MM

Box = dict[str, float]
EDGE_PX = 1.0
"""A row of pixels at the edge of a letter may be too faint to count."""
WORST = (320, 568)


pytestmark = pytest.mark.returning


@pytest.fixture(params=["en", "de"])
def bench(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Visit]:
    """A phone that speaks this language, one pixel to a logical one."""
    if request.param == "en":
        yield request.getfixturevalue("visit")
    else:
        with visiting(browser, locale=request.param) as visit:
            yield visit


def test_letters_are_as_high_as_they_have_to_be_on_every_screen(
    bench: Visit, app_server: Server
) -> None:
    """String, leaf and the first answer's first word: 5.8 mm on the glass, the leaf twice that;
    four large targets on every screen."""
    page = bench.open(app_server.address).page
    press(page, "sample")
    shows(page, "asked")
    for size, pixels_a_mm in PIXELS_A_MM.items():
        page.set_viewport_size({"width": size[0], "height": size[1]})
        settled(page)
        page.wait_for_timeout(400)
        room = walk_layout(Theme(width=size[0], height=size[1]))
        for box in boxes(page).values():
            assert min(box["height"], box["width"]) >= max(72, min(size) / 5), size
        word_px = WORD_MM * pixels_a_mm
        asked = page.locator(marked("asked")).bounding_box()
        assert asked
        assert ink_height(bench, dict(asked)) >= 2 * word_px - EDGE_PX, size  # type: ignore[arg-type]
        first = inside(boxes(page)["answer-none"])
        assert ink_height(bench, first) >= word_px - EDGE_PX, size
        assert ink_height(bench, first_letter(room)) >= word_px - EDGE_PX, size


def inside(box: Box) -> Box:
    """A target without its frame."""
    return {key: value + (2 if key in "xy" else -4) for key, value in box.items()}


def first_letter(room: WalkLayout) -> Box:
    """Where the S of "String" or "Saite" stands."""
    edges = room.edges
    top = edges.margin + edges.top + edges.gap
    return {"x": edges.margin, "y": top, "width": 0.4 * room.words, "height": room.words}


def test_answers_stay_where_they_are(visit: Visit, app_server: Server) -> None:
    """Over answers and what takes them back, on phones both ways, no target moves by a pixel."""
    page = visit.open(app_server.address).page
    press(page, "sample")
    shows(page, "asked")
    for width, height in (WORST, WORST[::-1], (390, 844), (844, 390)):
        page.set_viewport_size({"width": width, "height": height})
        settled(page)
        page.wait_for_timeout(400)
        first = boxes(page)
        for deed in ("answer-none", "undo", "answer-heavy", "undo", "answer-buzz", "undo"):
            before = settled(page)
            press(page, deed)
            changed(page, before)
            page.wait_for_timeout(320)
            assert list(boxes(page).values()) == list(first.values())


def boxes(page: Page) -> dict[str, Box]:
    """Where the four answers are."""
    found: dict[str, Box] = {}
    for each in page.locator('[flt-semantics-identifier^="answer-"]').all():
        box = each.bounding_box()
        assert box
        found[str(each.get_attribute("flt-semantics-identifier"))] = dict(box)  # type: ignore[arg-type]
    assert len(found) == 4
    return found


ROWS = """async (data) => {
  const image = new Image();
  image.src = "data:image/png;base64," + data;
  await image.decode();
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [image.width, image.height];
  const brush = canvas.getContext("2d");
  brush.drawImage(image, 0, 0);
  const { data: pixels } = brush.getImageData(0, 0, image.width, image.height);
  return Array.from({ length: image.height }, (_, y) =>
    Array.from({ length: image.width }, (_, x) => pixels[4 * (y * image.width + x)])
      .some((red) => red > 150));
}"""


def ink_height(visit: Visit, clip: Box) -> int:
    """The rows of pixels of the highest line of light letters in this part of the page; the parts
    of an answer's drawing are lower than any letter."""
    picture = visit.page.screenshot(clip=clip)  # type: ignore[arg-type]
    aside = visit.context.new_page()
    rows: list[bool] = aside.evaluate(ROWS, base64.b64encode(picture).decode())
    aside.close()
    return max(len(list(line)) for inked, line in groupby(rows) if inked)

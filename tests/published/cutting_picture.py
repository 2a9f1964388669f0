"""Draws `assets/pictures/cutting.svg` from the tables of `assets/docs/cutting.md`: slots left high
against touches, ours beside plain habits and the bound.

Run `python -m tests.published.cutting_picture` after the page's figures change; a test fails while
the picture is older than the page.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from logic.drawing.page import Anchor, PageElement, PaperPage, Point, TextRun, Trace, disc, line
from logic.drawing.svg import svg
from logic.trade_loader import ASSETS

PAGE: Path = ASSETS / "docs" / "cutting.md"
PICTURE: Path = ASSETS / "pictures" / "cutting.svg"
WIDTH_MM, HEIGHT_MM = 150.0, 96.0
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 16.0, 146.0, 8.0, 82.0
MOST_TOUCHES = 12.0
LEAST_HIGH, MOST_HIGH = 5.0, 1000.0
MARKS = (5, 10, 20, 50, 100, 200, 500, 1000)
SMALL_PT = 7.5


class Cut(NamedTuple):
    """A way of cutting: its name, touches a slot, and of 1,000 slots those that went past their
    target and those that were left high."""

    name: str
    touches: float
    past: float
    left_high: float


def ways() -> list[Cut]:
    """Every habit of the benchmark's table that fits on the picture."""
    found = [
        Cut(
            f"{habit}, {pair} pair".replace(", either pair", ""), *map(float, (touches, past, high))
        )
        for habit, pair, touches, _, past, high, _ in _rows("habit")
    ]
    return [each for each in found if each.touches <= MOST_TOUCHES]


def bound() -> dict[str, list[Cut]]:
    """The bound's points, by what an overshoot costs."""
    rows = list(_rows("an overshoot costs"))
    return {
        price: [Cut(price, *map(float, figures[:3])) for _, _, *figures in group]
        for price, group in groupby(rows, key=lambda row: row[0])
    }


class Compared(NamedTuple):
    """What an overshoot and a touch cost, and then a slot: by the bound, and cut by us with a known
    pair; and how many times the bound that is."""

    overshoot: float
    touch: float
    bound: float
    ours: float
    times: float

    def of(self, cut: Cut) -> float:
        """What a slot costs that is cut so."""
        return (self.overshoot * cut.past + cut.left_high) / 1000 + self.touch * cut.touches


def compared() -> list[Compared]:
    """Costs of the page, in the order of the bound's points."""
    rows = (map(float, row) for row in _rows("an overshoot costs"))
    return [Compared(past, touch, *costs) for past, touch, _, _, _, *costs in rows]


def picture() -> str:
    """The whole picture as SVG."""
    parts = (*_axes(), *_ways(), *_bound())
    return svg(
        PaperPage(WIDTH_MM, HEIGHT_MM, parts, "Slots left high, and cut too low, against touches")
    )


def _rows(first: str) -> Iterator[Sequence[str]]:
    """The rows of the page's table whose first heading is this."""
    lines = iter(PAGE.read_text(encoding="utf-8").splitlines())
    for text in lines:
        if text.startswith(f"| {first} |"):
            break
    next(lines)
    for text in lines:
        if not text.startswith("|"):
            return
        yield [cell.strip() for cell in text.strip("|").split("|")]


def _at(cut: Cut) -> Point:
    return _x(cut.touches), _y(cut.left_high)


def _x(touches: float) -> float:
    return LEFT_MM + (RIGHT_MM - LEFT_MM) * touches / MOST_TOUCHES


def _y(left_high: float) -> float:
    share = math.log(max(left_high, LEAST_HIGH) / LEAST_HIGH) / math.log(MOST_HIGH / LEAST_HIGH)
    return BOTTOM_MM - (BOTTOM_MM - TOP_MM) * share


def _axes() -> Iterator[PageElement]:
    for high in MARKS:
        yield line((LEFT_MM, _y(high)), (RIGHT_MM, _y(high)), 0.1, 0.6)
        yield TextRun((LEFT_MM - 2, _y(high) + 1), str(high), SMALL_PT, anchor=Anchor.END)
    for touches in range(0, int(MOST_TOUCHES) + 1, 2):
        yield TextRun((_x(touches), BOTTOM_MM + 4.5), str(touches), SMALL_PT, anchor=Anchor.MIDDLE)
    yield line((LEFT_MM, BOTTOM_MM), (RIGHT_MM, BOTTOM_MM))
    yield TextRun(
        ((LEFT_MM + RIGHT_MM) / 2, BOTTOM_MM + 10), "touches of a leaf a slot", anchor=Anchor.MIDDLE
    )
    middle = (TOP_MM + BOTTOM_MM) / 2
    yield TextRun((4.5, middle), "slots of 1000 left high", anchor=Anchor.MIDDLE, turned=True)


def _ways() -> Iterator[PageElement]:
    for cut in ways():
        x, y = _at(cut)
        ours = cut.name.startswith("nutwright")
        yield disc((x, y), 1.1, 0.0 if ours else 1.0)
        name = f"{cut.name}: {cut.past:g} too low"
        left = cut.touches > 2 * MOST_TOUCHES / 3
        anchor = Anchor.END if left else Anchor.START
        yield TextRun(
            (x - 2.2 if left else x + 2.2, y + 1), name, SMALL_PT, bold=ours, anchor=anchor
        )


def _bound() -> Iterator[PageElement]:
    named_at = (-1, 0)  # the lower line at its lower end, the upper one at its upper end
    for (price, cuts), end in zip(bound().items(), named_at, strict=True):
        yield Trace(tuple(_at(cut) for cut in cuts), 0.3)
        x, y = _at(cuts[end])
        yield TextRun((x + 2.2, y + 1), f"bound: an overshoot costs {price}", SMALL_PT)


if __name__ == "__main__":
    PICTURE.write_text(picture(), encoding="utf-8")

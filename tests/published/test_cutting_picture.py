"""The picture of the cutting benchmark says what its page says."""

from __future__ import annotations

import pytest

from logic.bench.simulation.cut_bound import PRICES, Prices, curve
from logic.testing import TRADE
from tests.published.cutting_picture import PICTURE, bound, compared, picture, ways


def test_the_picture_is_drawn_from_the_page_as_it_is() -> None:
    """The file is what the page's tables draw today."""
    assert PICTURE.read_text(encoding="utf-8") == picture()


def test_no_way_of_cutting_on_the_page_costs_less_than_the_bound() -> None:
    """At every price of the bound each habit of the table costs more than it does."""
    assert [Prices(row.overshoot, row.touch) for row in compared()] == list(PRICES)
    assert len(ways()) >= 4
    assert all(row.of(cut) > row.bound for row in compared() for cut in ways())


def test_the_costs_on_the_page_follow_from_its_figures() -> None:
    """Each cost, and how many times the bound ours is, are those of touches, overshoots and slots
    left high, as far as they are printed."""
    ours = next(cut for cut in ways() if cut.name == "nutwright, known pair")
    points = [cut for cuts in bound().values() for cut in cuts]
    for row, point in zip(compared(), points, strict=True):
        assert row.of(point) == pytest.approx(row.bound, abs=0.01)
        assert row.of(ours) == pytest.approx(row.ours, abs=0.006)
        assert row.ours / row.bound == pytest.approx(row.times, abs=0.15)


@pytest.mark.long
def test_the_page_gives_the_bound_as_it_is() -> None:
    """The points at the dearest touch are worked out again."""
    dear = [prices for prices in PRICES if prices.touch == 0.2]
    stated = {(row.overshoot, row.touch): row.bound for row in compared()}
    for point in curve(TRADE.simulation, dear):
        assert point.expected.cost == pytest.approx(stated[point.prices], abs=0.006)

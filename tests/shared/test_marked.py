"""Leaves, files and shims are said as they are marked."""

from __future__ import annotations

import pytest

from logic.app.wording.wording import Wording
from shared.marked import AsMarked, gauge_as_sold, is_metric, laid_together
from shared.units import Length, Unit
from shared.words import FigureStyle


@pytest.mark.parametrize(
    ("size", "thou", "inch", "metric"),
    [
        ("0.018 in", "18 thou", "0.018 in", "0.46 mm"),
        ("18 thou", "18 thou", "0.018 in", "0.46 mm"),
        ("0.25 mm", "0.25 mm", "0.25 mm", "0.25 mm"),
        ("0.1 mm", "0.10 mm", "0.10 mm", "0.10 mm"),
        ("0.0015 in", "1.5 thou", "0.0015 in", "0.04 mm"),
        ("1/64 in", "15.6 thou", "0.0156 in", "0.40 mm"),
        ("250 µm", "0.25 mm", "0.25 mm", "0.25 mm"),
        ("0.025 mm", "0.025 mm", "0.025 mm", "0.025 mm"),
    ],
)
def test_a_tool_is_said_as_it_is_marked(size: str, thou: str, inch: str, metric: str) -> None:
    """What was made in thousandths carries millimetres too, what was made in millimetres nothing
    else; the half thou of a leaf is not rounded away."""
    tool = Length.parse(size)
    said = [Wording(unit).tool(tool) for unit in (Unit.THOU, Unit.INCH, Unit.MM)]
    assert said == [thou, inch, metric]
    assert [AsMarked(tool).in_words(FigureStyle(u)) for u in ("thou", "in", "mm")] == said


def test_in_the_list_of_a_kit_each_keeps_to_its_system() -> None:
    """Thousandths stay thousandths on a bench that reads millimetres, and read as inches where
    inches are read."""
    leaf = AsMarked(Length.parse("0.018 in"), listed=True)
    said = [leaf.in_words(FigureStyle(unit)) for unit in ("thou", "in", "mm", "")]
    assert said == ["18 thou", "0.018 in", "18 thou", "0.018 in"]
    metric = AsMarked(Length.parse("0.25 mm"), listed=True)
    assert {metric.in_words(FigureStyle(unit)) for unit in ("thou", "in", "mm")} == {"0.25 mm"}


@pytest.mark.parametrize(
    ("gauge", "thou", "metric"),
    [
        ("0.046 in", ".046", ".046"),
        ("0.0105 in", ".0105", ".0105"),
        ("0.712 mm", ".028", "0,71 mm"),
    ],
)
def test_a_gauge_is_said_as_it_is_sold(gauge: str, thou: str, metric: str) -> None:
    """Steel by thousandths with a point in every country, nylon in millimetres where those are
    read (common practice, no source)."""
    string = Length.parse(gauge)
    said = [gauge_as_sold(string, unit, ",") for unit in (Unit.THOU, Unit.INCH, Unit.MM)]
    assert said == [thou, thou, metric]


def test_where_no_unit_is_asked_for_it_is_the_tool_s_own() -> None:
    """As on the command line, where each length keeps the unit that it was written in."""
    two = laid_together((Length.parse("0.018 in"), Length.parse("0.05 mm")))
    assert two.in_words(FigureStyle()) == "0.018 in + 0.05 mm"
    assert two.in_words(FigureStyle(decimal_mark=",")) == "0,018 in + 0,05 mm"
    assert is_metric(Length.parse("0.05 mm")) and not is_metric(Length.parse("0.018 in"))


def test_two_leaves_of_two_systems_each_keep_their_unit() -> None:
    """The largest type has one unit where the leaves share it, else each number has its own."""
    thou, metric = Length.parse("0.003 in"), Length.parse("0.25 mm")
    bench = Wording(Unit.THOU)
    assert bench.stack_and_unit((thou, thou)) == ("3 + 3", "thou")
    assert bench.stack_and_unit((metric,)) == ("0.25", "mm")
    assert bench.stack_and_unit((thou, metric)) == ("3 thou + 0.25 mm", "")
    assert (bench.stack((thou,)), bench.stack((thou, metric))) == ("3", "3 + 0.25 mm")

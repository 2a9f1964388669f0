"""The same page in both file formats: whatever is on it, SVG and PDF draw the same geometry."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.drawing.page import Anchor, Paper, PaperPage, TextRun, Trace, text_width_mm
from tests.logic.drawing.reading_back import (
    SVG,
    SeenPath,
    pdf_operations,
    pdf_paths,
    pdf_texts,
    svg_paths,
    svg_root,
    svg_texts,
)

A_TENTH_OF_A_MICRON_MM = 1e-4
POINTS = st.tuples(st.floats(0, 210), st.floats(0, 297))
TRACES = st.builds(
    Trace,
    st.lists(POINTS, min_size=2, max_size=6).map(tuple),
    st.floats(0.05, 2),
    st.booleans(),
    st.none() | st.floats(0, 1),
    st.just(0.0) | st.floats(0.5, 5),
)
LABELS = st.text(st.characters(codec="cp1252", categories=("L", "N", "P")), min_size=1, max_size=15)
RUNS = st.builds(
    TextRun, POINTS, LABELS, st.floats(5, 20), st.booleans(), st.sampled_from(Anchor), st.booleans()
)


def _page(*elements: Trace | TextRun) -> PaperPage:
    return PaperPage(*Paper.A4.size_mm, tuple(elements))


def _is(seen: SeenPath, trace: Trace) -> bool:
    """Whether a path is the trace, to a tenth of a micron."""
    near = [
        abs(a - b) <= 2 * A_TENTH_OF_A_MICRON_MM
        for point, other in zip(seen.points, trace.points, strict=True)
        for a, b in zip(point, other, strict=True)
    ]
    return (
        all(near)
        and seen.width_mm == pytest.approx(trace.width_mm, abs=A_TENTH_OF_A_MICRON_MM)
        and seen.dash_mm == pytest.approx(trace.dash_mm, abs=A_TENTH_OF_A_MICRON_MM)
        and (seen.closed, seen.filled) == (trace.closed, trace.fill is not None)
    )


@settings(deadline=None, max_examples=60)
@given(st.lists(TRACES, max_size=5))
def test_every_trace_is_drawn_true_to_size_and_in_order(traces: list[Trace]) -> None:
    """Points, line widths, dashes and fills come back from both formats in millimetres."""
    page = _page(*traces)
    for seen in (svg_paths(page), pdf_paths(page)):
        assert len(seen) == len(traces)
        assert all(map(_is, seen, traces))


@settings(deadline=None, max_examples=60)
@given(RUNS)
def test_every_text_stands_where_it_was_set(run: TextRun) -> None:
    """SVG keeps the anchor; PDF begins the anchor's share of the width before it, along the
    direction of reading."""
    (as_svg,), (as_pdf,) = svg_texts(_page(run)), pdf_texts(_page(run))
    assert as_svg.text == run.text
    assert as_svg.at == pytest.approx(run.at, abs=A_TENTH_OF_A_MICRON_MM)
    assert as_svg.size_pt == pytest.approx(run.size_pt, abs=1e-3)
    share = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[run.anchor]
    before = share * text_width_mm(run.text, run.size_pt, run.bold)
    x, y = run.at
    start = (x, y + before) if run.turned else (x - before, y)
    assert as_pdf.at == pytest.approx(start, abs=A_TENTH_OF_A_MICRON_MM)
    assert as_pdf.size_pt == pytest.approx(run.size_pt)


@given(RUNS)
def test_text_is_turned_and_anchored_in_svg_as_on_the_page(run: TextRun) -> None:
    """A turned text is rotated by a quarter around its own place; weight and anchor are named."""
    (text,) = svg_root(_page(run)).iter(f"{SVG}text")
    assert text.get("text-anchor") == str(run.anchor)
    assert (text.get("font-weight") == "bold") is run.bold
    turn = text.get("transform")
    assert turn == (f"rotate(-90 {text.get('x')} {text.get('y')})" if run.turned else None)


def test_turned_text_reads_upwards_in_pdf() -> None:
    """The text matrix is that of a quarter turn, and of no turn for all other text."""
    for turned, matrix in ((True, [0, 1, -1, 0]), (False, [1, 0, 0, 1])):
        operations = pdf_operations(_page(TextRun((50, 50), "bass", turned=turned)))
        (found,) = [operands for operands, operator in operations if operator == "Tm"]
        assert [float(each) for each in found[:4]] == matrix


@given(st.floats(0, 1))
def test_a_grey_is_the_same_in_both_formats(level: float) -> None:
    """0 is black and 1 is white; SVG rounds to 8 bits, PDF to a thousandth."""
    page = _page(Trace(((1, 1), (2, 1), (2, 2)), closed=True, fill=level))
    (path,) = svg_root(page).iter(f"{SVG}path")
    grey = path.get("fill", "")
    assert len(grey) == 7 and grey[1:3] == grey[3:5] == grey[5:7]
    assert int(grey[1:3], 16) / 255 == pytest.approx(level, abs=0.5 / 255 + 1e-9)
    colours = [operands for operands, operator in pdf_operations(page) if operator == "rg"]
    assert [float(each) for each in colours[0]] == pytest.approx([level] * 3, abs=0.0006)


def test_a_filled_trace_is_stroked_too_in_both_formats() -> None:
    """The outline is part of the drawing: nothing is only filled."""
    page = _page(Trace(((1, 1), (2, 1), (2, 2)), closed=True, fill=0.5))
    (path,) = svg_root(page).iter(f"{SVG}path")
    assert path.get("stroke") == "#000"
    assert [op for _, op in pdf_operations(page) if op in ("f", "F", "B", "b", "S", "s")] == ["b"]


def test_pages_without_elements_are_still_pages() -> None:
    """An empty sheet has its size and its paper in both formats."""
    assert pdf_paths(_page()) == svg_paths(_page()) == []
    assert svg_root(_page()).find(f"{SVG}rect") is not None

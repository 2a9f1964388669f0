"""The 1:1 drawing of a new nut, measured in both file formats against the figures beside it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.presets import preset_instrument
from logic.bench.raising.nut_layout import NutLayout, SlotPlace, lay_out
from logic.drawing.nut import (
    check_bar,
    fan_sentence,
    from_left_mm,
    length_text,
    nut_page,
    unit_across,
)
from logic.drawing.page import Paper, PaperPage, TextRun, Trace
from logic.testing import TRADE
from shared.instrument import Player
from shared.units import Unit
from tests.logic.drawing.reading_back import SeenPath, pdf_paths, svg_paths

KINDS = ("electric guitar", "mandolin", "12-string guitar")
FORMATS = {"svg": svg_paths, "pdf": pdf_paths}
LEFT_MM = 20.0
"""Where the left end of the nut stands on the sheet."""


def layout(kind: str = "electric guitar", left_handed: bool = False) -> NutLayout:
    """The layout of a preset instrument's nut."""
    instrument = preset_instrument(kind, TRADE).model_copy(update={"left_handed": left_handed})
    return lay_out(instrument, Player(), TRADE)


def upright(paths: list[SeenPath], tall_mm: float) -> list[float]:
    """Where single upright strokes of a height stand, from the left end of the nut."""
    strokes = [path.points for path in paths if len(path.points) == 2]
    return sorted(
        x1 - LEFT_MM
        for (x1, y1), (x2, y2) in strokes
        if abs(x1 - x2) < 1e-3 and abs(abs(y1 - y2) - tall_mm) < 1e-2
    )


@pytest.mark.parametrize("seen", FORMATS.values(), ids=FORMATS)
@pytest.mark.parametrize("paper", Paper)
def test_the_check_bar_of_the_sheet_is_fifty_millimetres(seen: object, paper: Paper) -> None:
    """On either paper the bar measures 50 mm between its end marks, with a tick every 10 mm."""
    paths = seen(nut_page(layout(), paper=paper))  # type: ignore[operator]
    bars = [
        path.points
        for path in paths
        if len(path.points) == 2
        and abs(path.points[0][1] - path.points[1][1]) < 1e-3
        and abs(abs(path.points[1][0] - path.points[0][0]) - 50) < 1e-2
    ]
    assert len(bars) == 1
    (x1, _), (x2, _) = bars[0]
    assert x2 - x1 == pytest.approx(50, abs=2e-4)
    assert upright(paths, 1.5) == pytest.approx([10, 20, 30, 40], abs=2e-4)
    assert upright(paths, 3) == pytest.approx([0, 50], abs=2e-4)


@given(st.floats(10, 150))
def test_a_check_bar_is_as_long_as_it_says(length_mm: float) -> None:
    """Bar, end marks and words give one length, whatever it is."""
    made = check_bar((20, 40), length_mm)
    traces = [each for each in made if isinstance(each, Trace)]
    (x1, y1), (x2, y2) = traces[0].points
    assert (x2 - x1, y2 - y1) == pytest.approx((length_mm, 0))
    ends = {each.points[0][0] for each in traces[1:3]}
    assert ends == {x1, x1 + length_mm}
    (words,) = [each for each in made if isinstance(each, TextRun)]
    assert f"{length_mm:g} mm" in words.text


@pytest.mark.parametrize("seen", FORMATS.values(), ids=FORMATS)
@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("kind", KINDS)
def test_slots_are_true_to_size(seen: object, left_handed: bool, kind: str) -> None:
    """Centre lines stand at the figures, and the sides of each slot its width apart."""
    made = layout(kind, left_handed)
    paths = seen(nut_page(made))  # type: ignore[operator]
    centres = sorted(from_left_mm(made, slot) for slot in made.slots)
    assert upright(paths, 14) == pytest.approx(centres, abs=2e-4)
    sides = sorted(
        from_left_mm(made, slot) + half
        for slot in made.slots
        for half in (-slot.width_mm / 2, slot.width_mm / 2)
    )
    assert upright(paths, 8) == pytest.approx(sides, abs=2e-4)


@pytest.mark.parametrize("seen", FORMATS.values(), ids=FORMATS)
def test_the_blank_is_as_wide_as_the_nut(seen: object) -> None:
    """The outline to lay on the blank has the nut's own width."""
    made = layout()
    boxes = [path for path in seen(nut_page(made)) if path.closed and len(path.points) == 4]  # type: ignore[operator]
    (outline,) = boxes
    xs = [x for x, _ in outline.points]
    assert (min(xs), max(xs) - min(xs)) == pytest.approx((LEFT_MM, made.nut_width_mm), abs=2e-4)


@pytest.mark.parametrize("kind", KINDS)
def test_the_face_shows_every_floor_at_the_stated_magnification(kind: str) -> None:
    """The lowest point of each notch lies four times its floor's height over the crown plane."""
    made = layout(kind)
    page = nut_page(made)
    faces = [each for each in page.elements if isinstance(each, Trace) and each.closed]
    face = max(faces, key=lambda each: len(each.points))
    dashed = next(each for each in page.elements if isinstance(each, Trace) and each.dash_mm)
    plane_y = dashed.points[0][1]
    assert any("×4" in each.text for each in page.elements if isinstance(each, TextRun))
    for slot in made.slots:
        centre = LEFT_MM + from_left_mm(made, slot)
        inside = [y for x, y in face.points if abs(x - centre) <= slot.width_mm / 2 + 1e-9]
        assert (plane_y - max(inside)) / 4 == pytest.approx(slot.floor_mm, abs=1e-6)
        assert (plane_y - min(inside)) / 4 == pytest.approx(
            slot.floor_mm + slot.slot_depth_mm, abs=1e-6
        )


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 11), st.booleans())
def test_left_handed_nuts_are_mirrored(place: int, left_handed: bool) -> None:
    """A slot is seen as far from the bass edge as its figure says, whichever hand fingers."""
    made = layout("12-string guitar", left_handed)
    slot = made.slots[place]
    seen = from_left_mm(made, slot)
    from_bass = made.nut_width_mm - seen if left_handed else seen
    assert from_bass == pytest.approx(slot.centre_mm)


def _rows(page: PaperPage) -> list[list[str]]:
    """The table's rows: text of one height on the sheet, left to right, below its head."""
    by_line: dict[float, list[TextRun]] = {}
    for each in page.elements:
        if isinstance(each, TextRun) and each.size_pt == 9 and not each.bold:
            by_line.setdefault(each.at[1], []).append(each)
    rows = [sorted(runs, key=lambda run: run.at[0]) for runs in by_line.values() if len(runs) == 6]
    return [[run.text for run in row] for row in rows]


@pytest.mark.parametrize("unit", [Unit.MM, Unit.THOU, Unit.INCH])
def test_the_table_gives_every_figure_in_its_unit(unit: Unit) -> None:
    """One row a string, in the order of the slots; distances across the nut stay out of thou."""
    made = layout()
    wanted = [
        [
            str(slot.string),
            length_text(slot.gauge_mm, unit),
            length_text(slot.centre_mm, unit_across(unit)),
            *(length_text(mm, unit) for mm in (slot.width_mm, slot.floor_mm, slot.slot_depth_mm)),
        ]
        for slot in made.slots
    ]
    assert _rows(nut_page(made, unit=unit)) == wanted
    assert unit_across(Unit.THOU) is Unit.MM and unit_across(Unit.INCH) is Unit.INCH


@given(st.floats(0, 60))
def test_lengths_are_rounded_to_bench_precision(mm: float) -> None:
    """Hundredths of a millimetre, tenths of a thou, thousandths of an inch: within half a step."""
    for unit, step_mm in ((Unit.MM, 0.01), (Unit.THOU, 0.00254), (Unit.INCH, 0.0254)):
        number, _, name = length_text(mm, unit).partition(" ")
        size_mm = {Unit.MM: 1.0, Unit.THOU: 0.0254, Unit.INCH: 25.4}[unit]
        assert float(number) * size_mm == pytest.approx(mm, abs=step_mm / 2 + 1e-9)
        assert name


def test_a_fanned_nut_says_how_far_it_is_off_square() -> None:
    """The angle is given without its sign, and only where there is one."""
    square = layout()
    fanned = NutLayout(**{**vars(square), "slant_deg": -4.25})
    assert fan_sentence(fanned) in _texts(fanned) and "4.2" in fan_sentence(fanned)
    assert not any("off square" in text for text in _texts(square))


def _texts(made: NutLayout) -> list[str]:
    return [each.text for each in nut_page(made).elements if isinstance(each, TextRun)]


@pytest.mark.parametrize("label", ["", "Alder Row no. 7"])
def test_the_title_names_the_instrument_where_it_has_a_label(label: str) -> None:
    """Heading and document title are the same words."""
    page = nut_page(layout(), label=label)
    assert page.title == ("New nut: Alder Row no. 7" if label else "New nut")
    first = page.elements[0]
    assert isinstance(first, TextRun) and first.text == page.title and first.bold


def test_a_slot_deeper_than_round_has_straight_sides() -> None:
    """A notch goes straight down from the top of the nut before its round bottom begins."""
    made = layout()
    slot: SlotPlace = made.slots[0]
    face = max(
        (each for each in nut_page(made).elements if isinstance(each, Trace) and each.closed),
        key=lambda each: len(each.points),
    )
    left = LEFT_MM + from_left_mm(made, slot) - slot.width_mm / 2
    assert sum(abs(x - left) < 1e-9 for x, _ in face.points) >= 2

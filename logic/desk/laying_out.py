"""A new nut as a view and as drawings to hand out."""

from __future__ import annotations

from dataclasses import replace

from logic.bench.nut_layout import NutLayout, Spacing, Wishes, filled_in, lay_out
from logic.bench.trade import Trade
from logic.desk.nut_views import MarginLine, NewNutView
from logic.desk.open_job import OpenJob
from logic.desk.pieces import Choice
from logic.desk.wording import Wording
from logic.drawing.nut import across, nut_page
from logic.drawing.page import Page, Paper
from logic.drawing.pdf import pdf
from logic.drawing.svg import svg
from shared.errors import InputError
from shared.units import Length, Unit

STEP_MM = 0.1
FARTHEST_MM = 20.0
SPACINGS = {
    Spacing.EQUAL_GAPS: "The same room between facing sides",
    Spacing.GRADUATED: "A little wider toward the bass",
    Spacing.EQUAL_CENTRES: "The same from middle to middle",
}
MARGINS = {
    "bass": "Bass edge to string",
    "treble": "Treble edge to string",
    "pair": "Between a pair",
}
HEAD = ("String", "Centre", "Width", "Floor", "Depth")


def turned_margin(wishes: Wishes, edge: str, steps: int, kind: str, trade: Trade) -> Wishes:
    """`wishes` with one distance stepped, a tenth of a millimetre a step."""
    now = _distances(filled_in(wishes, kind, trade))
    stepped = round(min(max(now[edge] + steps * STEP_MM, 0.0), FARTHEST_MM), 3)
    if edge == "pair":
        return replace(wishes, pair_gap_mm=stepped)
    if edge == "bass":
        return replace(wishes, bass_margin_mm=stepped)
    return replace(wishes, treble_margin_mm=stepped)


def _distances(asked: Wishes) -> dict[str, float]:
    """What the steppers stand at."""
    return {
        "bass": asked.bass_margin_mm or 0.0,
        "treble": asked.treble_margin_mm or 0.0,
        "pair": asked.pair_gap_mm or 0.0,
    }


def new_nut_view(
    work: OpenJob, wishes: Wishes, wording: Wording, title: str, note: str
) -> NewNutView:
    """Figures string by string, or why it cannot be laid out."""
    instrument = work.job.instrument
    asked = filled_in(wishes, instrument.kind, work.trade)
    rows: tuple[tuple[str, ...], ...] = ()
    lines: tuple[str, ...] = ()
    trouble = ""
    try:
        layout = _layout(work, wishes)
    except InputError as error:
        trouble = str(error)
    else:
        rows, lines = _rows(layout, wording), _lines(layout, wording)
    return NewNutView(
        job=work.id,
        title=title,
        spacings=tuple(
            Choice(spacing.value, spacing.value.capitalize(), said, spacing is asked.spacing)
            for spacing, said in SPACINGS.items()
        ),
        margins=_margins(work, asked, wording),
        rows=rows,
        lines=lines,
        trouble=trouble,
        note=note,
    )


def nut_as_pdf(work: OpenJob, wishes: Wishes, wording: Wording, paper: Paper) -> bytes:
    """The drawing at true size, to print. InputError when it cannot be laid out."""
    return pdf([_page(work, wishes, wording, paper)])


def nut_as_svg(work: OpenJob, wishes: Wishes, wording: Wording) -> str:
    """The drawing at true size, to carry on drawing. InputError when it cannot be laid out."""
    return svg(_page(work, wishes, wording, Paper.A4))


def _layout(work: OpenJob, wishes: Wishes) -> NutLayout:
    return lay_out(work.job.instrument, work.job.player, work.trade, wishes)


def _page(work: OpenJob, wishes: Wishes, wording: Wording, paper: Paper) -> Page:
    instrument = work.job.instrument
    return nut_page(
        _layout(work, wishes),
        label=instrument.label or instrument.kind,
        unit=wording.unit,
        paper=paper,
        check_bar_mm=work.trade.tables["layout"]["check_bar_mm"]["value"],
    )


def _margins(work: OpenJob, asked: Wishes, wording: Wording) -> tuple[MarginLine, ...]:
    values = _distances(asked)
    courses = [spec.course for spec in work.job.instrument.strings if spec.course is not None]
    shown = MARGINS if len(set(courses)) < len(courses) else ("bass", "treble")
    return tuple(MarginLine(key, MARGINS[key], _far(values[key], wording)) for key in shown)


def _rows(layout: NutLayout, wording: Wording) -> tuple[tuple[str, ...], ...]:
    rows = (
        (
            str(slot.string),
            _far(slot.centre_mm, wording).split()[0],
            *(_near(mm, wording) for mm in (slot.width_mm, slot.floor_mm, slot.slot_depth_mm)),
        )
        for slot in layout.slots
    )
    return (HEAD, *rows)


def _lines(layout: NutLayout, wording: Wording) -> tuple[str, ...]:
    gaps = layout.gaps_mm
    lines = [
        f"Nut {_far(layout.nut_width_mm, wording)} wide. Centres in {across(wording.unit)} from "
        f"the bass-side edge, the rest in {wording.unit}.",
        "Floor: above the line through the crowns of frets 1 and 12, drawn on to the nut.",
        "Figures are guidance: cut every slot shallow, then fit it by reading the string.",
    ]
    if gaps:
        ends = dict.fromkeys((_far(min(gaps), wording), _far(max(gaps), wording)))
        lines.insert(1, f"Gaps between strings: {' to '.join(ends)}.")
    if layout.slant_deg:
        slant = f"{abs(layout.slant_deg):.1f}".replace(".", wording.decimal_mark)
        lines.insert(1, f"Fanned: slots run {slant}° off square to the nut.")
    return tuple(lines)


def _near(mm: float, wording: Wording) -> str:
    places = {Unit.INCH: 4, Unit.THOU: 1}.get(wording.unit, 2)
    shown = Length.of(round(mm, 6)).show(
        wording.unit, places=places, decimal_mark=wording.decimal_mark
    )
    return shown.split()[0]


def _far(mm: float, wording: Wording) -> str:
    """Across the nut, where thousandths are for slots and not for rules."""
    unit = across(wording.unit)
    places = 3 if unit is Unit.INCH else 2
    return Length.of(round(mm, 6)).show(unit, places=places, decimal_mark=wording.decimal_mark)

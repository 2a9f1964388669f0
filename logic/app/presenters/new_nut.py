"""A new nut as a view and as drawings to hand out."""

from __future__ import annotations

from dataclasses import replace

from logic.app.session.open_job import OpenedJob
from logic.app.views.nut_views import MarginLine, NewNutView
from logic.app.views.pieces import Choice
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.app.wording.work import work_button
from logic.bench.instrument.fret_names import octave_name
from logic.bench.plan.reportable import work_of
from logic.bench.raising.nut_layout import NutLayout, Spacing, Wishes, filled_in, lay_out
from logic.bench.tables.trade_tables import TradeTables
from logic.drawing.nut import nut_page, unit_across
from logic.drawing.page import Paper, PaperPage
from logic.drawing.pdf import pdf
from logic.drawing.svg import svg
from shared.errors import InputError
from shared.units import Length, Unit
from shared.words import mark, numeral, say
from shared.work import WorkKind

STEP_MM = 0.1
FARTHEST_MM = 20.0
SPACINGS = {
    Spacing.EQUAL_GAPS: mark("The same room between facing sides"),
    Spacing.GRADUATED: mark("A little wider toward the bass"),
    Spacing.EQUAL_CENTRES: mark("The same from middle to middle"),
}
MARGINS = {
    "bass": mark("Bass edge to string"),
    "treble": mark("Treble edge to string"),
    "pair": mark("Between a pair"),
}
HEAD = (mark("String"), mark("Centre"), mark("Width"), mark("Floor"), mark("Depth"))


def turned_margin(wishes: Wishes, edge: str, steps: int, kind: str, trade: TradeTables) -> Wishes:
    """`wishes` with one distance stepped, a tenth of a millimetre a step."""
    now = _margins_mm(filled_in(wishes, kind, trade))
    stepped = round(min(max(now[edge] + steps * STEP_MM, 0.0), FARTHEST_MM), 3)
    if edge == "pair":
        return replace(wishes, pair_gap_mm=stepped)
    if edge == "bass":
        return replace(wishes, bass_margin_mm=stepped)
    return replace(wishes, treble_margin_mm=stepped)


def _margins_mm(asked: Wishes) -> dict[str, float]:
    """What the steppers stand at."""
    return {
        "bass": asked.bass_margin_mm or 0.0,
        "treble": asked.treble_margin_mm or 0.0,
        "pair": asked.pair_gap_mm or 0.0,
    }


def new_nut_view(
    work: OpenedJob,
    wishes: Wishes,
    wording: Wording,
    title: str,
    note: str,
    *,
    minutes: int = 0,
    refused: str = "",
) -> NewNutView:
    """Figures string by string, or why it cannot be laid out; `minutes` were noted for it."""
    fitted = work_of(WorkKind.NEW_NUT, work.job, work.trade)
    instrument = work.job.instrument
    asked = filled_in(wishes, instrument.kind, work.trade)
    rows: tuple[tuple[str, ...], ...] = ()
    lines: tuple[str, ...] = ()
    trouble = ""
    try:
        layout = _layout_of(work, wishes)
    except InputError as error:
        trouble = error.in_sentences()
    else:
        rows, lines = (
            _figure_rows(layout, wording),
            _remarks(layout, octave_name(instrument.fretboard), wording),
        )
    return NewNutView(
        job=work.id,
        title=title,
        spacings=tuple(
            Choice(spacing.value, begun(say(spacing.value)), say(said), spacing is asked.spacing)
            for spacing, said in SPACINGS.items()
        ),
        margins=_margin_lines(work, asked, wording),
        rows=rows,
        lines=lines,
        trouble=trouble,
        note=note,
        work=fitted.model_copy(update={"minutes": minutes or None}),
        done=work_button(fitted, work.trade),
        refused=refused,
    )


def nut_as_pdf(work: OpenedJob, wishes: Wishes, wording: Wording, paper: Paper) -> bytes:
    """The drawing at true size, to print. InputError when it cannot be laid out."""
    return pdf([_drawing_page(work, wishes, wording, paper)])


def nut_as_svg(work: OpenedJob, wishes: Wishes, wording: Wording) -> str:
    """The drawing at true size, to carry on drawing. InputError when it cannot be laid out."""
    return svg(_drawing_page(work, wishes, wording, Paper.A4))


def _layout_of(work: OpenedJob, wishes: Wishes) -> NutLayout:
    return lay_out(work.job.instrument, work.job.player, work.trade, wishes)


def _drawing_page(work: OpenedJob, wishes: Wishes, wording: Wording, paper: Paper) -> PaperPage:
    instrument = work.job.instrument
    return nut_page(
        _layout_of(work, wishes),
        label=instrument.label or say(instrument.kind),
        unit=wording.unit,
        paper=paper,
        check_bar_mm=work.trade.layout.check_bar_mm,
    )


def _margin_lines(work: OpenedJob, asked: Wishes, wording: Wording) -> tuple[MarginLine, ...]:
    values = _margins_mm(asked)
    courses = [spec.course for spec in work.job.instrument.strings if spec.course is not None]
    shown = MARGINS if len(set(courses)) < len(courses) else ("bass", "treble")
    return tuple(
        MarginLine(key, say(MARGINS[key]), _across_in_words(values[key], wording)) for key in shown
    )


def _figure_rows(layout: NutLayout, wording: Wording) -> tuple[tuple[str, ...], ...]:
    rows = (
        (
            str(slot.string),
            _number_across(slot.centre_mm, wording),
            *(
                _number_in_slot(mm, wording)
                for mm in (slot.width_mm, slot.floor_mm, slot.slot_depth_mm)
            ),
        )
        for slot in layout.slots
    )
    return (tuple(map(say, HEAD)), *rows)


def _remarks(layout: NutLayout, octave: str, wording: Wording) -> tuple[str, ...]:
    gaps = layout.gaps_mm
    lines = [
        say(
            "Nut {width} wide. Centres in {across} from the bass-side edge, the rest in {unit}.",
            width=_across_in_words(layout.nut_width_mm, wording),
            across=unit_across(wording.unit),
            unit=wording.unit,
        ),
        say(
            "Floor: above the line through the crowns of frets 1 and {octave}, drawn on to the"
            " nut.",
            octave=octave,
        ),
        say("Figures are guidance: cut every slot shallow, then fit it by reading the string."),
    ]
    if gaps:
        low, high = _across_in_words(min(gaps), wording), _across_in_words(max(gaps), wording)
        ends = low if low == high else say("{low} to {high}", low=low, high=high)
        lines.insert(1, say("Gaps between strings: {ends}.", ends=ends))
    if layout.slant_deg:
        slant = numeral(abs(layout.slant_deg), ".1f")
        lines.insert(1, say("Fanned: slots run {slant}° off square to the nut.", slant=slant))
    return tuple(lines)


def _number_in_slot(mm: float, wording: Wording) -> str:
    places = {Unit.INCH: 4, Unit.THOU: 1}.get(wording.unit, 2)
    return _number_in(mm, wording.unit, places, wording)


def _across_in_words(mm: float, wording: Wording) -> str:
    """Across the nut, where thousandths are for slots and not for rules."""
    return f"{_number_across(mm, wording)} {unit_across(wording.unit)}"


def _number_across(mm: float, wording: Wording) -> str:
    unit = unit_across(wording.unit)
    return _number_in(mm, unit, 3 if unit is Unit.INCH else 2, wording)


def _number_in(mm: float, unit: Unit, places: int, wording: Wording) -> str:
    length = Length.of(round(mm, 6))
    return length.number(unit, places=places, decimal_mark=wording.decimal_mark)

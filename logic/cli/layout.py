"""Lays out a new nut: where each slot goes from the bass-side edge, how wide it is, and how high
its floor stands above the crown plane; with --svg or --pdf also as a drawing at true size, with a
bar to check the print by. Figures are guidance: cut every slot shallow and fit it by reading."""

from __future__ import annotations

import argparse
import json

from logic.bench.raising.nut_layout import NutLayout, Spacing, Wishes, lay_out
from logic.cli.files import write_output
from logic.cli.job_input import add_job, add_json, add_unit, job_of, unit_of
from logic.cli.printing import show
from logic.drawing.nut import fan_sentence, length_text, nut_page, unit_across
from logic.drawing.page import Paper, PaperPage
from logic.drawing.pdf import pdf
from logic.drawing.svg import svg
from logic.trade_loader import load_trade_tables
from shared.amounts import LaidOff
from shared.errors import LengthError
from shared.job import Assumed
from shared.units import WORKED_PLACES, Length, Unit
from shared.words import say, with_mark

_SPACINGS = {spacing.value.replace(" ", "-"): spacing for spacing in Spacing}
_PAPERS = {paper.value.lower(): paper for paper in Paper}


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, how to space the slots, and where to write drawings."""
    add_job(parser)
    add_unit(parser, WORKED_PLACES)
    add_json(parser)
    parser.add_argument(
        "--spacing", choices=tuple(_SPACINGS), default="equal-gaps", help="what is kept equal"
    )
    parser.add_argument("--margin", help='edge of the nut to the outer string, such as "3.2 mm"')
    parser.add_argument("--pair-gap", help='between the strings of a pair, such as "1.6 mm"')
    parser.add_argument("--paper", choices=tuple(_PAPERS), default="a4", help="sheet to draw on")
    parser.add_argument("--svg", metavar="FILE", help="write the drawing as SVG")
    parser.add_argument("--pdf", metavar="FILE", help="write the drawing as PDF")


def run(options: argparse.Namespace) -> int:
    """Prints the layout and writes the drawings; InputError when the strings do not fit."""
    job, filled = job_of(options)
    assumed = tuple(each for each in filled if not each.field.startswith("kit."))
    trade = load_trade_tables()
    layout = lay_out(job.instrument, job.player, trade, _wishes(options))
    page = nut_page(
        layout,
        label=job.instrument.label or say(job.instrument.kind),
        unit=unit_of(options),
        paper=_PAPERS[options.paper],
        check_bar_mm=trade.layout.check_bar_mm,
    )
    _draw(options, page)
    if options.json:
        print(_json(layout, assumed))
    else:
        show(_table(layout, assumed, unit_of(options)))
    return 0


def _wishes(options: argparse.Namespace) -> Wishes:
    margin = _length_mm("--margin", options.margin)
    return Wishes(
        spacing=_SPACINGS[options.spacing],
        bass_margin_mm=margin,
        treble_margin_mm=margin,
        pair_gap_mm=_length_mm("--pair-gap", options.pair_gap),
    )


def _length_mm(option: str, written: str | None) -> float | None:
    if written is None:
        return None
    try:
        return Length.parse(written).mm
    except LengthError as error:
        raise error.at(option) from error


def _draw(options: argparse.Namespace, page: PaperPage) -> None:
    if options.svg:
        write_output("--svg", options.svg, svg(page).encode("utf-8"))
    if options.pdf:
        write_output("--pdf", options.pdf, pdf([page]))


def _json(layout: NutLayout, assumed: tuple[Assumed, ...]) -> str:
    answer = {
        "format": "nutwright.layout",
        "version": 1,
        "assumed": [each.model_dump(mode="json") for each in assumed],
        "nut_width_mm": round(layout.nut_width_mm, 4),
        "spacing": layout.spacing.value,
        "slant_deg": round(layout.slant_deg, 3),
        "slots": [
            {
                "string": slot.string,
                "centre_mm": round(slot.centre_mm, 4),
                "width_mm": round(slot.width_mm, 4),
                "depth_from_crown_plane_mm": round(slot.floor_mm, 4),
            }
            for slot in layout.slots
        ],
    }
    return json.dumps(answer, ensure_ascii=False, indent=2)


_COLUMNS = "{:>6}{:>12}{:>14}{:>14}{:>14}{:>14}"


def _table(layout: NutLayout, assumed: tuple[Assumed, ...], unit: Unit) -> str:
    lines = [
        say(
            "{spacing}, nut {width} wide; centres from the bass-side edge, floors above the "
            "crown plane",
            spacing=say(layout.spacing.value),
            width=LaidOff(Length.of(layout.nut_width_mm)),
        ),
        _COLUMNS.format(
            *(say("string"), say("gauge"), say("centre")),
            *(say("slot width"), say("floor"), say("slot depth")),
        ),
    ]
    for slot in layout.slots:
        lengths = (slot.width_mm, slot.floor_mm, slot.slot_depth_mm)
        lines.append(
            _COLUMNS.format(
                slot.string,
                length_text(slot.gauge_mm, unit),
                length_text(slot.centre_mm, unit_across(unit)),
                *(length_text(length, unit) for length in lengths),
            )
        )
    if layout.slant_deg:
        lines.append(fan_sentence(layout))
    for each in assumed:
        value = f"{each.field} {with_mark(each.value)}"
        lines.append(say("Assumed: {value} ({why})", value=value, why=each.why))
    last = say("Cut every slot shallow, then fit it by reading the string.")
    return "\n".join([*lines, last])

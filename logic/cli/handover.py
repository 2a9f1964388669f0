"""Writes the record that goes with the instrument: for its owner, or with --bench for the bench.
As text, or with --pdf as pages that print on A4 and Letter."""

from __future__ import annotations

import argparse

from logic.bench.visits.handover import hand_over
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import as_text, bench_sheet, owner_sheet
from logic.cli.files import write_output
from logic.cli.job_input import add_job, add_unit, job_of, unit_of
from logic.cli.printing import show
from logic.drawing.page import Paper
from logic.drawing.pdf import pdf
from logic.drawing.sheet import sheet_pages
from logic.trade_loader import load_trade_tables
from shared.units import FINE_PLACES
from shared.words import decimal_mark

_PAPERS = {paper.value.lower(): paper for paper in Paper}


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, for whom, and who writes it when."""
    add_job(parser)
    add_unit(parser, FINE_PLACES)
    parser.add_argument("--bench", action="store_true", help="the bench's sheet, not the owner's")
    parser.add_argument("--workshop", default="", help="whose bench it was")
    parser.add_argument("--technician", default="", help="who did the work")
    parser.add_argument("--date", default="", help="the date as it should be printed")
    parser.add_argument("--paper", choices=tuple(_PAPERS), default="a4", help="sheet to print on")
    parser.add_argument("--pdf", metavar="FILE", help="write the sheet as PDF as well")


def run(options: argparse.Namespace) -> int:
    """Prints the sheet; InputError when the job cannot be used."""
    job, assumed = job_of(options)
    trade = load_trade_tables()
    work = hand_over(
        job,
        trade,
        assumed=assumed,
        date=options.date,
        bench=options.workshop,
        technician=options.technician,
    )
    write = bench_sheet if options.bench else owner_sheet
    sheet = write(work, trade, Numbers(unit_of(options), decimal_mark()))
    if options.pdf:
        pages = sheet_pages(sheet, work, _PAPERS[options.paper])
        write_output("--pdf", options.pdf, pdf(pages))
    show(as_text(sheet), end="")
    return 0

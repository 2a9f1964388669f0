"""How every command is handed a job, and in which unit it prints lengths."""

from __future__ import annotations

import argparse
from collections.abc import Mapping

from logic.cli.files import Wanted, read_input
from logic.cli.printing import USUAL_UNIT, reading_input
from logic.jobfiles.json_text import LONGEST_FILE
from logic.jobfiles.reading import read_job
from logic.trade_loader import load_trade_tables
from shared.job import Assumed, Job
from shared.units import Unit
from shared.words import say

_UNITS = {"thou": Unit.THOU, "mm": Unit.MM, "in": Unit.INCH}


def add_job(parser: argparse.ArgumentParser) -> None:
    """The job file, as a command's first argument."""
    parser.add_argument("job", metavar="JOB.json", help="a job file, or - to read standard input")


def add_json(parser: argparse.ArgumentParser) -> None:
    """The choice between a table and one JSON object."""
    parser.add_argument("--json", action="store_true", help="print one JSON object, in millimetres")


def add_unit(
    parser: argparse.ArgumentParser, places: Mapping[Unit, int], *, bare_inches: bool = False
) -> None:
    """The unit that lengths are printed in, and to how many decimals this command prints each."""
    parser.add_argument(
        "--unit", choices=tuple(_UNITS), help="the table's unit (thou if not given)"
    )
    parser.set_defaults(places=places, bare_inches=bare_inches)


def unit_of(options: argparse.Namespace) -> Unit:
    """The unit that was asked for, else thousandths."""
    return _UNITS[options.unit or USUAL_UNIT]


def job_of(options: argparse.Namespace) -> tuple[Job, tuple[Assumed, ...]]:
    """The job that was handed in, and what it left out. InputError when it cannot be used."""
    with reading_input(options):
        return read_job(read_input(options.job, _wanted()), load_trade_tables())


def _wanted() -> Wanted:
    """A job of any size is read to one byte past the longest, which is then refused as a job."""
    ask, most = say("give the path of a job file, or -"), LONGEST_FILE
    return Wanted(say("job file"), ask, most, most)

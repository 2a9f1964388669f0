"""What the command line prints for people: in the chosen language, with its decimal mark."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from shared.words import FigureStyle, current, decimal_mark, speaking

USUAL_UNIT = "thou"
"""The unit of what is printed for people where none is asked for."""


def show(*lines: str, sep: str = "\n", end: str = "\n") -> None:
    """Prints `lines`."""
    print(*lines, sep=sep, end=end)


@contextmanager
def reading_input(options: argparse.Namespace) -> Iterator[None]:
    """While input is read, what is wrong with it is said in the unit that was asked for; where none
    was, in the units that it is written in, not in the usual one of the table."""
    asked = getattr(options, "unit", None)
    with speaking(style=None if asked else FigureStyle(decimal_mark=current().style.decimal_mark)):
        yield


def figure_style_of(options: argparse.Namespace) -> FigureStyle:
    """How a command's sentences write figures: as its table does. What programs read has a decimal
    point in every language, and lengths as they were stated where no unit is asked for."""
    for_programs = getattr(options, "json", False)
    mark = "." if for_programs else decimal_mark()
    if not hasattr(options, "unit") or (for_programs and options.unit is None):
        return FigureStyle(decimal_mark=mark)
    unit = options.unit or USUAL_UNIT
    return FigureStyle(unit, options.places[unit], mark, options.bare_inches)

"""What the command line prints for people: in the chosen language, with its decimal mark."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO, cast

from shared.errors import OutputError
from shared.words import FigureStyle, current, decimal_mark, note_names, say, speaking

USUAL_UNIT = "thou"
"""The unit of what is printed for people where none is asked for."""


class _PrintedOutput:
    """Standard output that says what it is when it takes no more, buffered or not."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        """Write; OutputError when there is no room."""
        with full_output_reported():
            return self._stream.write(text)

    def flush(self) -> None:
        """Have everything written; OutputError when there is no room."""
        with full_output_reported():
            self._stream.flush()


@contextmanager
def printed_output() -> Iterator[None]:
    """While a command runs, what cannot be printed is told as such."""
    before = sys.stdout
    sys.stdout = cast(TextIO, _PrintedOutput(before))
    try:
        yield
    finally:
        sys.stdout = before


@contextmanager
def full_output_reported() -> Iterator[None]:
    """OutputError where standard output takes no more; where nobody reads it, BrokenPipeError."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        give_up_output()
        why = error.strerror or str(error)
        raise OutputError(say("standard output could not be written ({why})", why=why)) from error


def give_up_output() -> None:
    """Keep the interpreter from writing the rest at its end, and complaining that it cannot."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def show(*lines: str, sep: str = "\n", end: str = "\n") -> None:
    """Prints `lines`."""
    print(*lines, sep=sep, end=end)


@contextmanager
def reading_input(options: argparse.Namespace) -> Iterator[None]:
    """While input is read, what is wrong with it is said in the unit that was asked for; where none
    was, in the units that it is written in, not in the usual one of the table."""
    asked = getattr(options, "unit", None)
    with speaking(style=None if asked else _in_the_units_written()):
        yield


def _in_the_units_written() -> FigureStyle:
    spoken = current().style
    return FigureStyle(decimal_mark=spoken.decimal_mark, notes=spoken.notes)


def figure_style_of(options: argparse.Namespace) -> FigureStyle:
    """How a command's sentences write figures: as its table does. What programs read has a decimal
    point and scientific names of notes in every language, and lengths as they were stated where no
    unit is asked for."""
    for_programs = getattr(options, "json", False)
    mark, notes = (".", "B") if for_programs else (decimal_mark(), note_names())
    if not hasattr(options, "unit") or (for_programs and options.unit is None):
        return FigureStyle(decimal_mark=mark, notes=notes)
    unit = options.unit or USUAL_UNIT
    return FigureStyle(unit, options.places[unit], mark, options.bare_inches, notes)

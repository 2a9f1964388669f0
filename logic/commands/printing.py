"""What the command line prints for people: in the chosen language, with its decimal mark."""

from __future__ import annotations

import re

from shared.words import decimal_mark

_POINT = re.compile(r"(?:(?<=[\s\d(–])|^)\.(?=\d)", re.MULTILINE)


def show(*lines: str, sep: str = "\n", end: str = "\n") -> None:
    """Prints `lines`, figures with the language's decimal mark."""
    print(_POINT.sub(decimal_mark(), sep.join(lines)), end=end)

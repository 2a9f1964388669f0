"""How tables and lists are set in the columns of a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Iterable, Sequence

WIDTH = 100


def aligned(
    headings: Sequence[str], rows: Sequence[Sequence[str]], right: Collection[int] = ()
) -> str:
    """A table under a rule; the columns of `right` line up on the right."""
    table = [headings, *rows]
    widths = [max(len(row[column]) for row in table) for column in range(len(headings))]
    lines = [
        "  ".join(
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in table
    ]
    rule = "─" * max(len(line) for line in lines)
    return "\n".join((lines[0], rule, *lines[1:]))


def under(heading: str, lines: Iterable[str]) -> str:
    """Lines under a heading, wrapped and indented; empty where there are none."""
    filled = [
        textwrap.fill(" ".join(line.split()), WIDTH, initial_indent="  ", subsequent_indent="    ")
        for line in lines
        if line.strip()
    ]
    return "\n".join((heading, *filled)) if filled else ""

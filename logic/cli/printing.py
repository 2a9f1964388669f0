"""What the command line prints for people: in the chosen language, with its decimal mark."""

from __future__ import annotations

from shared.words import figures


def show(*lines: str, sep: str = "\n", end: str = "\n") -> None:
    """Prints `lines`, figures with the language's decimal mark."""
    print(figures(sep.join(lines)), end=end)

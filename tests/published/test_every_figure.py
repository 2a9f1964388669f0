"""No published figure goes untested."""

from __future__ import annotations

import re
from pathlib import Path

from tests.published.figures import figures

HERE = Path(__file__).parent


def test_every_figure_is_held_against_something() -> None:
    """Each figure of the file is named by a test beside it, and each named figure exists."""
    tests = [path for path in HERE.glob("test_*.py") if path.name != Path(__file__).name]
    words = {word for path in tests for word in re.findall(r'"(\w+)"', path.read_text("utf-8"))}
    assert set(figures()) - words == set()
    assert len(figures()) == 78


def test_figures_say_whence() -> None:
    """Each figure has a source, a status we know, and a tolerance."""
    for one in figures().values():
        assert one.source
        assert one.status in ("read", "read2", "memory", "derived")
        assert one.tol is not None or one.tol_rel is not None

"""What every test starts from."""

from __future__ import annotations

import pytest

from shared.words import English, FigureStyle, use


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup() -> None:
    """Language and unit are one for the process: each test begins in English, without unit."""
    use(English(), FigureStyle())

"""What every test starts from."""

from __future__ import annotations

import pytest

from shared.words import English, use


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup() -> None:
    """The language is one for the whole process: each test begins in English."""
    use(English())

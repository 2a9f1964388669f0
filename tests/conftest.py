"""What every test starts from."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

from shared.words import English, FigureStyle, use
from tests.longest import Longest
from tests.order import Turns

WORKERS_PER_CORE = 1.5
"""A browser that starts does not keep a core busy all the time."""


SOAK = int(os.environ.get("NUTWRIGHT_SOAK", "1"))
"""How many times as many examples the long searches try; from 2 on, new ones each time."""

# How long an example takes says what else the machine does. The check tries the same examples on
# every machine, so that a tree that has passed it passes again; a soak goes on looking.
settings.register_profile("house", deadline=None, derandomize=SOAK == 1)
settings.load_profile("house")


def pytest_configure(config: pytest.Config) -> None:
    """Tests run in turn, and what took longest is said at the end."""
    config.pluginmanager.register(Turns(_lock(config)))
    config.pluginmanager.register(Longest())


def _lock(config: pytest.Config) -> Path | None:
    """The file by which the workers of one run wait for each other; None where one runs all."""
    worker = hasattr(config, "workerinput")
    return Path(config.option.basetemp).parent / "turn.lock" if worker else None


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """How many workers share the tests where `-n auto` asks for them."""
    return round((os.cpu_count() or 1) * WORKERS_PER_CORE)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup() -> None:
    """Language and unit are one for the process: each test begins in English, without unit."""
    use(English(), FigureStyle())


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of this run have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own

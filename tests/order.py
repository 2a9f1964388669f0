"""In which order tests run and which run alone: what answers at once first, browsers last.

Several workers share the list (pytest-xdist), each taking the next test when it is done with one.
Markers say what a test needs; the long ones go before the short, so that no worker is left with a
long one at the end.
"""

from __future__ import annotations

from collections.abc import Generator
from enum import IntEnum, auto
from pathlib import Path

import pytest

from tests.once import held


class Turn(IntEnum):
    """When a test has its turn."""

    FAST = auto()
    """Decisions, screens and files, all in this process: milliseconds each."""
    PROGRAMS = auto()
    """Runs other programs: checkers, hubs, databases."""
    BUILDS = auto()
    """Has Python compiled for the phone and whole sites published."""
    BROWSER = auto()
    """Drives the built app in Chromium."""
    ALONE = auto()
    """Measures time: nothing else runs meanwhile."""


def turn_of(markers: frozenset[str]) -> Turn:
    """The turn of a test that carries `markers`: the last of theirs."""
    return max((turn for turn in Turn if turn.name.lower() in markers), default=Turn.FAST)


def in_turn(items: list[pytest.Item]) -> list[pytest.Item]:
    """`items` in the order in which they run."""
    return sorted(items, key=lambda item: (_turn(item), "long" not in _markers(item)))


def build_first(items: list[pytest.Item]) -> list[pytest.Item]:
    """`items` with the first that builds in front, the longest where one is marked so: its worker
    makes what others wait for later, while they run what answers at once."""
    first = [item for item in items if _turn(item) is Turn.BUILDS][:1]
    return first + [item for item in items if item not in first]


def _turn(item: pytest.Item) -> Turn:
    return turn_of(_markers(item))


def _markers(item: pytest.Item) -> frozenset[str]:
    return frozenset(mark.name for mark in item.iter_markers())


class Turns:
    """The part of pytest that puts tests in order, and keeps the others still where one must be
    alone."""

    def __init__(self, lock: Path | None) -> None:
        self._lock = lock

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Put what was collected in order."""
        items[:] = in_turn(items)
        if self._lock:
            items[:] = build_first(items)

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, object, object]:
        """Run a test together with others, or alone."""
        if self._lock is None:
            return (yield)
        with held(self._lock, alone=_turn(item) is Turn.ALONE):
            return (yield)

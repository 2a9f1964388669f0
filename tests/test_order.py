"""The check itself: in which order it runs, what is shared, what it says at the end."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from shared.bootstrap import ROOT
from tests import __main__ as check
from tests.longest import Longest
from tests.once import held, once
from tests.order import Turn, Turns, turn_of


@dataclass(frozen=True)
class Collected:
    """A test as pytest collects it: what it is called and what it carries."""

    name: str
    carries: tuple[str, ...] = ()

    def iter_markers(self) -> Iterator[pytest.Mark]:
        """What it carries."""
        return (getattr(pytest.mark, name).mark for name in self.carries)


TESTS = [
    Collected("timed", ("alone", "browser")),
    Collected("quick"),
    Collected("short", ("browser",)),
    Collected("lengthy", ("long", "browser", "flaky")),
    Collected("words of a site", ("builds",)),
    Collected("site", ("builds", "long")),
    Collected("hub", ("programs",)),
]
IN_TURN = ["quick", "hub", "site", "words of a site", "lengthy", "short", "timed"]


def ordered(lock: Path | None) -> list[str]:
    """What would run, in that order."""
    items: Any = list(TESTS)
    Turns(lock).pytest_collection_modifyitems(items)
    return [item.name for item in items]


def test_what_answers_at_once_runs_first_and_what_measures_time_last() -> None:
    """Fast tests, programs, builds, browsers with the long ones in front, and at the end what must
    be alone. None is left out."""
    assert ordered(None) == IN_TURN


def test_one_of_several_workers_begins_with_a_build() -> None:
    """What later tests wait for longest is begun before all else, while others run the rest."""
    assert ordered(Path("turn.lock")) == ["site", *(name for name in IN_TURN if name != "site")]


def test_a_test_with_two_needs_has_the_later_turn() -> None:
    """A browser test that measures time runs alone; one without a marker is a fast one."""
    assert turn_of(frozenset({"browser", "alone", "flaky"})) is Turn.ALONE
    assert turn_of(frozenset({"parametrize"})) is Turn.FAST


def _go_in(together: Any, lock: Path, alone: bool, log: Path) -> None:
    together.wait()
    with held(lock, alone=alone), log.open("a") as file:
        print("in", end=" ", file=file, flush=True)
        time.sleep(0.5)
        print("out", end=" ", file=file, flush=True)


@pytest.mark.parametrize(("alone", "order"), [(True, "in out in out "), (False, "in in out out ")])
def test_who_must_be_alone_waits_for_the_others(tmp_path: Path, alone: bool, order: str) -> None:
    """Two processes at one lock: one after the other where they must be alone, else together."""
    spawn = multiprocessing.get_context("spawn")
    words = (spawn.Barrier(2), tmp_path / "lock", alone, tmp_path / "log")
    both = [spawn.Process(target=_go_in, args=words) for _ in range(2)]
    for each in both:
        each.start()
    for each in both:
        each.join()
    assert (tmp_path / "log").read_text() == order


def test_what_all_need_is_made_once_and_whole_or_not_at_all(tmp_path: Path) -> None:
    """A second asker gets what the first had made; of one that failed half-way nothing is left."""
    made: list[Path] = []

    def make(out: Path) -> None:
        out.mkdir()
        made.append(out)
        assert len(made) > 1, "the first goes wrong half-way"
        (out / "file").write_text("whole")

    with pytest.raises(AssertionError, match="half-way"):
        once(tmp_path, "site", make)
    assert not (tmp_path / "site").exists()
    for _ in range(2):
        assert (once(tmp_path, "site", make) / "file").read_text() == "whole"
    assert len(made) == 2


def test_the_end_says_what_took_longest() -> None:
    """Rooms by all their seconds, then single phases; a rerun counts on top."""
    longest = Longest()
    for test, phase, seconds in (
        ("tests/browser/test_x.py::test_walk", "call", 40.0),
        ("tests/browser/test_x.py::test_walk", "call", 21.0),
        ("tests/logic/bench/test_y.py::test_quick", "call", 0.4),
        ("tests/mobile/test_z.py::test_site", "setup", 12.0),
    ):
        longest.took_s[test, phase] += seconds  # type: ignore[assignment]
    rooms, first, second = longest.lines()
    assert rooms == "browser 61 s, mobile 12 s, logic 0 s"
    assert first.split() == ["61.0", "s", "test", "tests/browser/test_x.py::test_walk"]
    assert second.split() == ["12.0", "s", "set-up", "tests/mobile/test_z.py::test_site"]


@pytest.mark.parametrize(
    ("words", "browser", "shared"),
    [
        ([], True, True),
        (["-x"], True, True),
        (["-m", "not browser"], False, True),
        (["tests/logic"], False, False),
        (["tests/browser/test_cut.py", "-x"], True, False),
        (["tests"], True, False),
        (["tests/house::test_types_hold"], False, False),
    ],
)
def test_words_go_to_pytest(words: list[str], browser: bool, shared: bool) -> None:
    """Everything is shared among workers, a named file runs in this process; the browser is looked
    at where tests in it are asked for."""
    assert check.reach_browser(words) is browser
    assert (not check.named(words)) is shared
    assert (ROOT / "tests" / "browser").is_dir()

"""The page on the calls says what the recorded run came to."""

from __future__ import annotations

import re

from logic.bench.simulation.tally import play, report
from logic.bench.tables.simulation import Fault
from logic.testing import TRADE
from tests.published.judgement_page import PAGE, page, recorded


def test_the_page_is_that_of_the_recorded_run() -> None:
    """The page in `assets/docs` is what is written from the recorded run (python -m
    tests.published.judgement_page)."""
    assert PAGE.read_text("utf-8") == page(recorded())


def test_the_recorded_run_is_long_and_knows_every_fault() -> None:
    """Thousands of visits, with each fault in many of them."""
    run = recorded()
    assert run["jobs"] >= 10_000
    jobs = {row["fault"]: row["jobs"] for row in run["faults"]}
    assert set(jobs) == set(Fault)
    assert min(jobs.values()) >= 0.05 * run["jobs"]


def test_a_new_run_makes_a_page_of_the_same_form() -> None:
    """What a run reports today is what the page reads: same parts, its own figures."""
    run = {"jobs": 6, "seed": 3, **report(play(TRADE, 0, 6, 3))}
    assert set(run) <= set(recorded())
    written = page(run)
    assert _headings(written) == _headings(PAGE.read_text("utf-8"))
    questions = run["habits"][0]["questions_a_job"]
    assert f"| {questions} |" in written


def _headings(text: str) -> list[str]:
    return re.findall(r"^#.*$", text, re.MULTILINE)

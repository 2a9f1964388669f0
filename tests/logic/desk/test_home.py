"""Home says how far each job on the bench has come."""

from __future__ import annotations

import pytest

from logic.desk import commands as do
from tests.logic.desk.bench import fresh_desk, start, walking


def told(view: object) -> str:
    """What home says of its only job."""
    return view.jobs[0].detail  # type: ignore[attr-defined, no-any-return]


def test_a_job_nobody_has_begun_with_is_taken_in() -> None:
    """Opened, and left at once."""
    desk = fresh_desk()
    start(desk)
    assert told(desk.do(do.GoHome())).endswith("taken in")


@pytest.mark.parametrize(
    ("last", "said"),
    [
        (do.Walk(4), "measuring string 4"),
        (do.SeePlan(), "plan ready"),
        (do.WhatIf(), "plan ready"),
        (do.Cut(6), "filing string 6"),
        (do.Prove(6), "proving string 6"),
        (do.SeeSheet(), "at the hand-over"),
    ],
)
def test_a_job_says_where_it_was_left(last: do.Command, said: str) -> None:
    """Whatever room it was left from, by going home from there."""
    desk = fresh_desk()
    walking(desk)
    desk.do(do.SeePlan())
    desk.do(last)
    assert told(desk.do(do.GoHome())).endswith(said)

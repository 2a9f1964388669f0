"""The sheets in words: what was asked for."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.visits.handover import hand_over
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import owner_sheet
from logic.testing import TRADE, job_with
from shared.units import Unit


@pytest.mark.parametrize(
    ("complaint", "lines"),
    [
        ("pings", ["Pings or binds when tuning"]),
        ("buzz open; pings", ["An open string buzzes", "Pings or binds when tuning"]),
        ("My G squeaks and pings when I tune it", ["My G squeaks and pings when I tune it"]),
        ("", []),
    ],
)
def test_what_was_asked_for_is_said_as_people_say_it(complaint: str, lines: list[str]) -> None:
    """Own words stand as they were said; a complaint that was picked by its title, never by the
    name it is filed under."""
    sheet = owner_sheet(
        hand_over(job_with("electric guitar", complaint=complaint), TRADE),
        TRADE,
        Numbers(Unit.THOU),
    )
    asked = [section.lines for section in sheet.sections if section.heading == "Asked for"]
    assert [list(each) for each in asked] == ([lines] if lines else [])


@pytest.mark.parametrize(
    ("said", "lines"),
    [
        ({"checks": {"just_before": "strings"}}, ["Just before: New strings"]),
        ({"checks": {"just_before": "lent to a nephew"}}, ["Just before: lent to a nephew"]),
        ({"checks": {"just_before": "skipped"}}, []),
        ({"complaints": [{"is": "", "since": "It fell off its stand"}]}, ["It fell off its stand"]),
    ],
)
def test_what_happened_just_before_stands_on_the_owners_sheet(
    said: dict[str, Any], lines: list[str]
) -> None:
    """As it was picked or told; nothing where nobody said."""
    made = job_with("electric guitar", complaint="pings", **said)
    sheet = owner_sheet(hand_over(made, TRADE), TRADE, Numbers(Unit.THOU))
    asked = next(section.lines for section in sheet.sections if section.heading == "Asked for")
    found = [line for line in asked if line.startswith("Just before")]
    assert len(found) == len(lines) and all(map(str.endswith, found, lines))

"""A slot does not grow: what came up with the weather is not cut; nor is a neck that looks bent
believed to be right without a number."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.plan.plan import make_plan
from logic.testing import ELECTRIC, LOOKED_AT, TRADE, job
from shared.job import CallKind

HIGH = [{"string": s, "clearance": "0.75 mm", "buzz": "none"} for s in (6, 1)]
OVER = {"seated": "yes", "measured_over": "fret"}


def call_for(string: int = 6, **parts: Any) -> CallKind:
    """The call for one of two strings that were read high, of which all else was ruled out."""
    checks = LOOKED_AT | OVER | parts.pop("checks", {})
    plan = make_plan(job(readings=HIGH, checks=checks, **parts), TRADE)
    return next(call.call for call in plan.strings if call.string == string)


@pytest.mark.parametrize(
    ("checks", "right"),
    [
        ({"weather": "yes"}, CallKind.CHECK_FIRST),
        ({"just_before": "travel"}, CallKind.CHECK_FIRST),
        ({"weather": "settled"}, CallKind.LOWER),
        ({"weather": "settled", "just_before": "travel"}, CallKind.LOWER),
        ({"weather": "no"}, CallKind.LOWER),
        ({"weather": "yes", "refret": "yes"}, CallKind.LOWER),
        ({"weather": "yes", "just_before": "set-up", "bears_at_front": "yes"}, CallKind.LOWER),
    ],
)
def test_what_came_up_with_the_weather_is_not_cut(checks: dict[str, Any], right: CallKind) -> None:
    """Said to be high since other air: not before it has settled, unless nut or frets were worked
    on."""
    assert call_for(complaint="stiff near the nut", checks=checks) is right


def test_it_holds_back_the_strings_that_were_complained_of() -> None:
    """The first was not said to be high, so nothing says that it has come up."""
    said = [{"is": "high action", "strings": [6]}]
    assert call_for(6, complaints=said, checks={"weather": "yes"}) is CallKind.CHECK_FIRST
    assert call_for(1, complaints=said, checks={"weather": "yes"}) is CallKind.LOWER


@pytest.mark.parametrize(
    ("relief", "listed", "right"),
    [
        ("ok", {}, CallKind.CHECK_FIRST),
        ("fine", {}, CallKind.CHECK_FIRST),
        ("0.2 mm", {}, CallKind.LOWER),
        ("ok", {"relief": "0.2 mm"}, CallKind.LOWER),
    ],
)
def test_a_neck_that_looks_bent_wants_a_number(
    relief: str, listed: dict[str, Any], right: CallKind
) -> None:
    """A bare ok beside a neck that looks bent is believed no more than the eye is."""
    made = call_for(
        complaint="the neck looks bent", checks={"relief": relief}, instrument=ELECTRIC | listed
    )
    assert made is right

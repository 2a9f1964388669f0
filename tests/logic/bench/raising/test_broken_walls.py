"""A broken wall is no height."""

from __future__ import annotations

from logic.bench.plan.plan import make_plan
from logic.testing import LOOKED_AT, TRADE, job


def amounts_at(clearance: str) -> dict[str, float | None]:
    """What each way gives back, where string 1 lost a wall and stands so high."""
    readings = [
        {"string": 1, "clearance": clearance, "buzz": "none"},
        {"string": 2, "clearance": "0.41 mm", "buzz": "none"},
    ]
    checks = LOOKED_AT | {"seated": "yes", "slot_wall": {"1": "broken"}}
    plan = make_plan(job(checks=checks, readings=readings), TRADE)
    return {way.method: way.amount_mm for way in plan.nut.options}


def test_no_amount_is_named_where_the_string_stands_in_its_window() -> None:
    """A thou under target is no reason for the new nut that the wall asks for."""
    usual = amounts_at("0.38 mm")
    assert set(usual) >= {"new nut", "fill"}
    assert set(usual.values()) == {None}


def test_an_amount_is_named_where_the_string_stands_low_as_well() -> None:
    """Then the new slot stands higher by what is missing."""
    assert (amounts_at("0.15 mm")["new nut"] or 0.0) > 0.1

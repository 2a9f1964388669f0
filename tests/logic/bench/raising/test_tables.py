"""The tables of raising and of tonight name checks, reasons and ways that exist."""

from __future__ import annotations

import json

from logic.testing import TRADE
from shared.bootstrap import ROOT
from shared.job import CallKind

RULES = {rule.id: rule for rule in TRADE.rules.rules}
REASONS = {option.reason for rule in TRADE.rules.rules for option in rule.options}


def test_what_comes_before_the_nut_is_asked_and_must_be_answered() -> None:
    """Each check that a base, a fill or a new nut waits for is a question of the book, and the
    neck's bar every cut until they are answered."""
    table = TRADE.raising
    neck = {*table.before_the_nut.fretted, *table.before_the_nut.bare_board}
    assert neck <= {rule.id for rule in TRADE.rules.rules if rule.careful}
    assert neck <= set(table.about_the_neck.checks) <= set(RULES)
    assert all(RULES[name].asked for name in (*neck, *table.before_the_base.checks))


def test_tonights_steps_name_checks_and_reasons_that_exist() -> None:
    """A step that waits for a check or reason nobody gives would never be offered."""
    for step in TRADE.tonight.first:
        assert set(step.gates) <= set(RULES)
        assert set(step.reasons) <= REASONS
        assert set(step.unless) <= REASONS | {kind.value for kind in CallKind}


def test_every_way_has_its_price() -> None:
    """Each way that can be offered has its minutes, and what to mind with it."""
    written = json.loads((ROOT / "assets" / "raising.json").read_text(encoding="utf-8"))
    for row in written["methods"].values():
        assert row["minutes"] > 0 and row["caution"] and row["source"]

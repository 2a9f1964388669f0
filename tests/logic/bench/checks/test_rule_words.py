"""Questions as they are asked on boards whose frets lie elsewhere than on a semitone board."""

from __future__ import annotations

import pytest

from logic.bench.checks.gates import next_questions
from logic.bench.checks.rule_words import rule_asked, rule_reason
from logic.testing import TRADE, instrument, job

RULES = TRADE.rules
SHARP = {
    "complaint": "sharp high up the neck",
    "checks": {"relief": "ok", "frets": "ok"},
    "readings": [{"string": 1, "clearance": "0.4 mm"}],
}


@pytest.mark.parametrize(
    ("kind", "fret", "lifts", "nearest"),
    [
        ("electric guitar", "12", "a ninth of it", ""),
        ("mountain dulcimer", "7", "22 %", ""),
        ("lute", "8", "15 %", "No fret lies an octave up: fret 8 is the nearest."),
    ],
)
def test_action_is_asked_over_a_fret_that_is_there(
    kind: str, fret: str, lifts: str, nearest: str
) -> None:
    """The octave by the name that players give it; of a lute with eight frets the last, and that
    it is no octave. How much a high saddle lifts is that board's (an open string is a straight
    line)."""
    rule, made = RULES.rule("action"), instrument(kind)
    assert rule_asked(rule, made).endswith(f"over fret {fret}?")
    why = rule_reason(rule, made)
    assert lifts in why and why.endswith(nearest or "cause.")


def test_no_harmonic_is_sought_over_a_fret_where_none_is() -> None:
    """Half the string lies over the octave; a lute's neck has no fret there."""
    asked = {
        kind: {one.gate for one in next_questions(job({"kind": kind}, **SHARP), TRADE)}
        for kind in ("electric guitar", "mountain dulcimer", "lute")
    }
    assert "harmonic" in asked["electric guitar"] & asked["mountain dulcimer"]
    assert "harmonic" not in asked["lute"]

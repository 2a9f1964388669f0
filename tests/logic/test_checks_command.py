"""The command that lists what is asked before anything is cut."""

from __future__ import annotations

import json

import pytest

from logic.__main__ import main
from logic.testing import TRADE


def test_every_question_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """Each question that a job can answer stands there with its name and its answers."""
    assert main(["checks"]) == 0
    printed = capsys.readouterr().out
    for rule in TRADE.rules.rules:
        assert (f"\n{rule.id}\n" in f"\n{printed}") == rule.asked


def test_a_complaint_in_plain_words_orders_the_questions(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """From “it buzzes open” to the preconditions, then the relief, and no question twice."""
    assert main(["checks", "--complaint", "it buzzes open when I play", "--json"]) == 0
    asked = [question["gate"] for question in json.loads(capsys.readouterr().out)]
    assert asked[0] == "at_pitch"
    assert asked[6:8] == ["nut_type", "relief"]
    assert len(asked) == len(set(asked))


def test_an_unknown_kind_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """One clear line and exit code 2."""
    assert main(["checks", "--complaint", "buzz open", "--kind", "harpsichord"]) == 2
    assert "harpsichord" in capsys.readouterr().err


def test_words_that_mean_nothing_here_are_named_back(capsys: pytest.CaptureFixture[str]) -> None:
    """They stand first, and the careful questions follow."""
    assert main(["checks", "--complaint", "mi guitarra suena mal"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Not understood: “mi guitarra suena mal”.")
    assert "\nrelief\n" in out and "\nfrets\n" in out

"""From what was said to the questions it opens."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.complaints import complaint_of, complaints
from logic.bench.checks.gates import evaluate_gates, next_questions
from logic.bench.tables.complaints import ComplaintRow
from logic.testing import TRADE, job
from shared.job import GateState


@pytest.mark.parametrize(
    ("said", "complaint"),
    [
        ("", None),
        ("the finish is ugly", None),
        ("buzz open", "buzz open"),
        ("An open string buzzes", "buzz open"),
        ("my low E buzzes open when I dig in", "buzz open"),
        ("It pings when I tune", "pings"),
        ("comes back sharp after a bend", "sharp after a bend"),
        ("the high E pops out", "jumps out"),
        ("I put on thicker strings", "changed strings"),
        ("after a winter in storage", "after travel or weather"),
        ("hard to press the F chord", "stiff in first position"),
        ("just a check", "check"),
    ],
)
def test_what_is_said_is_understood(said: str, complaint: str | None) -> None:
    """A name, a title, or a phrase in a sentence finds its complaint."""
    found = complaint_of(said, TRADE)
    assert (found.id if found else None) == complaint


@pytest.mark.parametrize("complaint", complaints(TRADE), ids=lambda each: each.id)
def test_each_complaint_opens_only_its_own(complaint: ComplaintRow) -> None:
    """Open gates are those that the complaint, or the answer it is, needs, and no others."""
    gates = evaluate_gates(job(complaint=complaint.id), TRADE)
    opened = {gate.gate for gate in gates if gate.state is GateState.OPEN}
    assert opened == set(complaint.must)


def test_a_complaint_is_an_answer_too() -> None:
    """Who says that it came with the weather is not asked whether it came with the weather."""
    asked = {q.gate for q in next_questions(job(complaint="after travel or weather"), TRADE)}
    assert "weather" not in asked
    assert "relief" in asked


@settings(deadline=None, max_examples=50)
@given(st.text(max_size=80))
def test_any_text_at_all_is_a_complaint_or_none(said: str) -> None:
    """Whatever is written, the job still has its gates."""
    assert complaint_of(said, TRADE) in (None, *complaints(TRADE))
    assert evaluate_gates(job().model_copy(update={"complaint": said}), TRADE)

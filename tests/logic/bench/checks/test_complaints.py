"""From what was said to the questions it opens."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.complaints import complaint_of, complaints, understood
from logic.bench.checks.gates import evaluate_gates, next_questions
from logic.bench.checks.rule_context import RuleContext
from logic.bench.tables.complaints import ComplaintRow
from logic.testing import TRADE, job
from shared.job import GateState


@pytest.mark.parametrize(
    ("said", "complaint"),
    [
        ("", None),
        ("the finish is ugly", None),
        ("buzz open", "buzz open"),
        (" Buzz  OPEN ", "buzz open"),
        ("An open string buzzes", "buzz open"),
        ("it buzzes open", None),
        ("z" * 3_000_000, None),
    ],
)
def test_a_complaint_goes_by_its_id_or_title(said: str, complaint: str | None) -> None:
    """However it is spaced and spelled; other words are a telling."""
    found = complaint_of(said, TRADE)
    assert (found.id if found else None) == complaint


@pytest.mark.parametrize("complaint", complaints(TRADE), ids=lambda each: each.id)
def test_each_complaint_opens_only_its_own(complaint: ComplaintRow) -> None:
    """Open gates are those that the complaint needs, and the careful ones whatever was said
    (relief and first frets, without frets the board), but for what it answers itself."""
    made = job(complaint=complaint.id)
    context = RuleContext(made, TRADE)
    careful = {each.id for each in TRADE.rules.rules if each.careful and context.applies(each)}
    assert careful == {"relief", "frets" if context.fretted else "board_straight"}
    opened = {gate.gate for gate in evaluate_gates(made, TRADE) if gate.state is GateState.OPEN}
    assert opened == (careful | set(complaint.must)) - set(complaint.known)


def test_a_complaint_is_an_answer_too() -> None:
    """Who says that it came with the weather is not asked whether it came with the weather."""
    asked = {q.gate for q in next_questions(job(complaint="after travel or weather"), TRADE)}
    assert "weather" not in asked
    assert "relief" in asked


@settings(deadline=None, max_examples=50)
@given(st.text(max_size=80))
def test_any_text_at_all_is_a_complaint_or_none(said: str) -> None:
    """Whatever is written, the job still has its gates."""
    made = job().model_copy(update={"complaint": said})
    assert all(one.row in complaints(TRADE) for one in understood(made, TRADE).heard)
    assert evaluate_gates(made, TRADE)

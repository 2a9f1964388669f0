"""Several complaints at once, each with the strings it was said of."""

from __future__ import annotations

from itertools import permutations

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.checks.rule_context import RuleContext
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, gate_named, job, touches
from shared.job import CallKind, Complaint, GateState, Job


def told(*complaints: Complaint, complaint: str = "", **more: object) -> Job:
    """A job of which all this was said."""
    made = job(**more)  # type: ignore[arg-type]
    return made.model_copy(update={"complaint": complaint, "complaints": complaints})


STIFF = Complaint(what="stiff in first position", strings=(2,))
PINGS = Complaint(what="pings", since="thicker strings")


def test_all_that_was_said_opens_its_questions() -> None:
    """What `complaint` and `complaints` need is open together, and what happened just before opens
    its questions too."""
    gates = evaluate_gates(told(STIFF, PINGS, complaint="jumps out"), TRADE)
    opened = {gate.gate for gate in gates if gate.state is GateState.OPEN}
    assert {"relief", "ping", "jumps_out", "clearance_now"} <= opened


def test_a_complaint_of_height_counts_for_its_strings_alone() -> None:
    """Stiff on the second string says nothing of the first; stiff says it of all; sharp of none."""
    context = RuleContext(told(STIFF, PINGS), TRADE)
    assert [context.complained_of_height(string) for string in (1, 2, 3)] == [False, True, False]
    assert RuleContext(told(complaint="it hurts"), TRADE).complained_of_height(6)
    assert not RuleContext(told(complaint="sharp low chords"), TRADE).complained_of_height(6)
    assert not RuleContext(told(), TRADE).complained_of_height(6)


def test_one_complaint_made_twice_is_of_all_its_strings() -> None:
    """Two tellings join their strings; one of no string in particular is of all."""
    other = STIFF.model_copy(update={"strings": (5,)})
    (heard,) = RuleContext(told(STIFF, other), TRADE).complaints
    assert heard.strings == (2, 5)
    (heard,) = RuleContext(told(STIFF, complaint="stiff"), TRADE).complaints
    assert heard.strings == ()


@pytest.mark.parametrize("words", ["mi guitarra suena mal", "<b>???</b>", "z" * 3_000_000])
def test_what_nobody_understands_is_said_and_opens_the_careful_questions(words: str) -> None:
    """The words are named back, cut short, and relief and frets have to be looked at, and all that
    such words may have been about."""
    gates = evaluate_gates(told(complaint=words), TRADE)
    lost = gate_named(gates, "complaint")
    assert (lost.state, lost.reason) == (GateState.OPEN, "complaint not understood")
    assert lost.why.startswith(f"Not understood: “{words[:10]}") and len(lost.why) < 120
    opened = {gate.gate for gate in gates if gate.state is GateState.OPEN}
    may_be_meant = {rule.id for rule in TRADE.rules.rules if rule.minimal or rule.tellable}
    assert opened == {"complaint", "relief", "frets"} | may_be_meant
    assert {"capo", "at_pitch", "shim", "valuable", "use", "nut_type"} <= may_be_meant


EVERYTHING_IN_DOUBT = {
    rule.id: next(option.id for option in rule.options if option.label)
    for rule in TRADE.rules.rules
    if rule.minimal or rule.tellable
} | {"nut_type": "slotted", "relief": "ok"}
"""The good answer to all that words which nobody understood may have been about."""


@pytest.mark.parametrize("missing", [name for name in EVERYTHING_IN_DOUBT if name != "seated"])
def test_words_that_nobody_understood_lead_to_no_cut_while_one_answer_is_missing(
    missing: str,
) -> None:
    """With every answer the string that stands far too high is lowered; with any one of them left
    out, skipped or not known it is not, whatever the words were."""
    readings = touches("0.040 in", "none") + touches("0.044 in", "heavy")

    def call(**answers: str) -> CallKind:
        checks = {k: v for k, v in EVERYTHING_IN_DOUBT.items() if k != missing} | answers
        made = told(complaint="weighs a ton", readings=readings, checks=checks)
        return make_plan(made, TRADE).strings[5].call

    assert call(**EVERYTHING_IN_DOUBT) is CallKind.LOWER
    assert CallKind.LOWER not in (call(), call(**{missing: "skipped"}), call(**{missing: "?"}))


def test_a_complaint_that_was_picked_for_them_ends_the_doubt() -> None:
    """The words are kept; what they were about is known then."""
    picked = Complaint(what="stiff in first position", said="weighs a ton")
    context = RuleContext(told(picked, complaint="weighs a ton"), TRADE)
    assert context.in_doubt == frozenset()


def test_the_order_of_complaints_changes_no_call() -> None:
    """However they are told in turn, gates and calls are the same."""
    said = (STIFF, PINGS, Complaint(what="nut damaged", strings=(4,)))
    readings = touches("0.030 in", "none")
    plans = [make_plan(told(*turn, readings=readings), TRADE) for turn in permutations(said)]
    assert all(plan == plans[0] for plan in plans)


def test_a_complaint_is_written_as_it_is_read() -> None:
    """Under `is`, so that what was handed out can be taken in again."""
    made = told(STIFF, PINGS)
    assert made.model_dump(mode="json")["complaints"][0]["is"] == STIFF.what
    assert Job.model_validate_json(made.model_dump_json()).complaints == (STIFF, PINGS)

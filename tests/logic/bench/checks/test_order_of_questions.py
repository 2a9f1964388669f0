"""Which question comes first, and how many come before the first leaf."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks import gates
from logic.bench.checks.expected_information import belief, expected_bits
from logic.bench.checks.gates import (
    GateQuestion,
    evaluate_gates,
    next_questions,
    preconditions,
)
from logic.bench.checks.rule_context import RuleContext
from logic.bench.tables.rules import Rule
from logic.testing import TRADE, gate_named, job, touches
from shared.job import Complaint, GateState, Job

CAUSES = TRADE.causes
COMPLAINTS = [row.id for row in TRADE.complaints.complaints if not row.fact]
"""What is wrong or wanted; a fact answers a question and asks none."""
PAIRS = list(combinations(COMPLAINTS, 2))
BLANK = job()
Choose = Callable[[GateQuestion], str]


def said(complaints: Iterable[str], **more: object) -> Job:
    """A job of which this was said."""
    told = tuple(Complaint(what=each) for each in complaints)
    return BLANK.model_copy(update={"complaints": told, **more})


def asked_before_a_leaf(made: Job, choose: Choose) -> list[str]:
    """The questions in turn, answered as `choose` says, until none is left."""
    asked: list[str] = []
    while left := next_questions(made, TRADE):
        asked += [] if left[0].page else [left[0].gate]
        made = made.model_copy(update={"checks": made.checks | {left[0].gate: choose(left[0])}})
    return asked


def first(question: GateQuestion) -> str:
    """The first answer, which is mostly the good one."""
    return question.choices[0].key


def last(question: GateQuestion) -> str:
    """The last answer, which is mostly a fault and opens the most."""
    return question.choices[-1].key


def skip(_: GateQuestion) -> str:
    """No answer."""
    return "skipped"


def check_asked(made: Job, asked: list[str]) -> None:
    """At most seven, none twice, relief and frets among them."""
    assert len(asked) <= 7, asked
    assert len(set(asked)) == len(asked)
    assert {"relief", "frets"} <= set(asked) or not RuleContext(made, TRADE).fretted


@pytest.mark.parametrize("complaint", ["", *COMPLAINTS])
@pytest.mark.parametrize("choose", [first, last, skip])
def test_at_most_seven_come_before_the_first_leaf(complaint: str, choose: Choose) -> None:
    """Whatever was said and however it is answered; what has to be answered is all asked."""
    made = said([complaint] if complaint else [])
    asked = asked_before_a_leaf(made, choose)
    check_asked(made, asked)
    must = {name for name in RuleContext(made, TRADE).needed if not TRADE.rules.rule(name).page}
    assert must <= set(asked)


def test_at_most_seven_come_for_any_two_complaints() -> None:
    """Every pair, with the answers that open the most."""
    for pair in PAIRS:
        check_asked(said(pair), asked_before_a_leaf(said(pair), last))


def asks_alike(rule: Rule, option: str) -> tuple[object, ...]:
    """What an answer makes of the questions that follow: what it opens, and which of them still
    apply. Answers that are alike in this lead to the same questions."""
    opens = rule.option(option).opens
    if rule.id == "board":
        return (opens, option)
    return (opens, NUTS.index(option)) if rule.id == "nut_type" and option in NUTS else (opens,)


NUTS = ("zero fret", "clamping", "compensated")
"""Nuts for which other questions apply than for slots; rollers are asked as clamps are."""


def most_asked(made: Job, known: dict[object, int]) -> int:
    """The cards on the longest path of answers from here; answers that ask alike are one."""
    context = RuleContext(made, TRADE)
    nut = asks_alike(TRADE.rules.rule("nut_type"), context.nut_type)
    asked, board = frozenset(made.checks), context.fretted
    here = (context.needed, context.offered, tuple(context.known), nut, board, asked)
    if here not in known:
        known[here] = max((1 + most_asked(each, known) for each in answers_on(made)), default=0)
    return known[here]


def answers_on(made: Job) -> list[Job]:
    """The job with the next question answered, once for each way in which answers ask on."""
    left = next_questions(made, TRADE)
    if not left:
        return []
    gate, rule = left[0].gate, TRADE.rules.rule(left[0].gate)
    ways = {asks_alike(rule, choice.key): choice.key for choice in left[0].choices}
    return [made.model_copy(update={"checks": made.checks | {gate: key}}) for key in ways.values()]


def test_no_path_of_any_answers_asks_more_than_seven(monkeypatch: pytest.MonkeyPatch) -> None:
    """All paths of all answers for every sixth pair of complaints. Each question counts as worth
    asking, so that none is dropped for telling too little; on the page before the cards nothing is
    opened, so it is answered once."""
    monkeypatch.setattr(gates, "expected_bits", lambda *_: 1.0)
    page = {question.gate: question.choices[0].key for question in preconditions(TRADE)}
    assert not any(one.opens for gate in page for one in TRADE.rules.rule(gate).options)
    known: dict[object, int] = {}
    longest = [most_asked(said(pair, checks=page), known) for pair in PAIRS[::6]]
    assert max(longest) == 7 and len(known) > 1000


@settings(deadline=None, max_examples=60)
@given(st.lists(st.sampled_from(COMPLAINTS), max_size=4, unique=True), st.data())
def test_no_path_of_answers_asks_more_than_seven(
    complaints: list[str], data: st.DataObject
) -> None:
    """Any complaints, and any answer, skip or doubt to each question in turn."""

    def any_answer(question: GateQuestion) -> str:
        keys = [choice.key for choice in question.choices]
        return data.draw(st.sampled_from([*keys, "skipped", "unknown"]))

    made = said(complaints)
    check_asked(made, asked_before_a_leaf(made, any_answer))


@settings(deadline=None, max_examples=40)
@given(st.lists(st.sampled_from(COMPLAINTS), min_size=1, max_size=4, unique=True))
def test_what_has_to_be_answered_is_asked_in_the_end(complaints: list[str]) -> None:
    """Before the first leaf or after it, nothing that bars a cut is left unasked."""
    made = said(complaints)
    before = asked_before_a_leaf(made, skip)
    answered = made.model_copy(
        update={
            "checks": dict.fromkeys(before, "skipped"),
            "readings": job(readings=touches("0.020 in", "none")).readings,
        }
    )
    after = {question.gate for question in next_questions(answered, TRADE)}
    context = RuleContext(answered, TRADE)
    must = {name for name in context.needed if context.applies(TRADE.rules.rule(name))}
    assert must <= {*before, *after, *context.known}


def test_it_buzzes_on_the_g_asks_first_where_it_buzzes() -> None:
    """Open or fretted costs nothing to say, and parts the slot from neck and frets."""
    made = job(complaint="it buzzes on the G", checks={"nut_type": "slotted"})
    assert next_questions(made, TRADE)[0].gate == "buzz_where"


@pytest.mark.parametrize(
    ("complaint", "gate"),
    [
        ("buzz fretted", "frets"),
        ("stiff in first position", "relief"),
        ("flat notes", "nut_position"),
        ("dull string", "bears_at_front"),
        ("other hand", "other_hand"),
        ("after a fall", "slot_wall"),
        ("dead note", "dead_spot"),
    ],
)
def test_the_most_informative_comes_first(complaint: str, gate: str) -> None:
    """Of what has to be answered, what tells most of the call (common practice, no source)."""
    asked = [question.gate for question in next_questions(said([complaint]), TRADE)]
    assert next(each for each in asked if each != "nut_type") == gate


def test_a_visit_to_the_targets_is_asked_only_what_bars() -> None:
    """Nut, relief, frets and what the complaint makes necessary; nothing that is only offered."""
    asked = next_questions(said(["sharp low chords"], to_my_target=True), TRADE)
    assert {question.gate for question in asked} == {"nut_type", "relief", "frets"}


def test_answers_that_were_given_turn_the_order() -> None:
    """A buzz that is only open makes the frets less worth asking than the front edge."""
    before = expected_bits("frets", ("buzz open",), (), CAUSES)
    after = expected_bits("frets", ("buzz open",), (("buzz_where", "open only"),), CAUSES)
    assert after < before


def test_beliefs_are_chances() -> None:
    """Under every complaint the causes add up to one, whatever was answered."""
    for complaint in COMPLAINTS:
        for rule, chances in CAUSES.usual.answers.items():
            for option in chances:
                chance = belief((complaint,), ((rule, option),), CAUSES)
                assert abs(sum(chance) - 1) < 1e-9 and min(chance) >= 0


def test_causes_speak_of_rules_options_and_complaints_that_exist() -> None:
    """Every name in the table is one of the rules', and each question's answers are offered."""
    rules = {rule.id: {o.id for o in rule.options if o.label} for rule in TRADE.rules.rules}
    assert set(CAUSES.usual.answers) == set(CAUSES.usual.effort)
    tables = [CAUSES.usual.answers, *(cause.shows for cause in CAUSES.causes)]
    for answers in tables:
        for rule, chances in answers.items():
            assert set(chances) == rules[rule], rule
    for cause in CAUSES.causes:
        assert set(cause.often) <= set(COMPLAINTS), cause.id
        assert set(cause.shows) <= set(CAUSES.usual.answers), cause.id


def test_every_complaint_has_causes() -> None:
    """No complaint leaves all causes alike, so that questions have an order under each."""
    for complaint in COMPLAINTS:
        assert max(cause.often.get(complaint, 0) for cause in CAUSES.causes) >= 10, complaint


def test_what_was_not_understood_asks_the_careful_questions_first() -> None:
    """Relief and frets are asked and open, whatever the words were."""
    made = job(complaint="mes cordes frisent")
    assert {"relief", "frets"} <= {question.gate for question in next_questions(made, TRADE)[:3]}
    assert gate_named(evaluate_gates(made, TRADE), "relief").state is GateState.OPEN

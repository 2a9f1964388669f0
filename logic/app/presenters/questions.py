"""The questions before and beside measuring, as pages and cards."""

from __future__ import annotations

from dataclasses import replace

from logic.app.presenters.findings import finding_in_words
from logic.app.presenters.noticed import SKIPPED, answers_heard
from logic.app.session.open_job import OpenedJob
from logic.app.session.places import Place
from logic.app.views.views import Choice, PreconditionsView, QuestionCard, QuestionView, StringMark
from logic.app.wording.wording import Wording
from logic.bench.checks import gates
from logic.bench.checks.complaints import understood
from logic.bench.checks.gates import next_questions, preconditions
from logic.bench.plan.walk import walk_order
from shared.job import Checks, Gate, GateState
from shared.reasons import GateReason
from shared.units import length_or_words
from shared.words import in_words, listed, mark, say, say_many

_SECOND_LOOK = mark("A second look before anything is filed. {why}")
LOOK = "look"
"""The page of what is looked at before anything is measured."""
BEFORE = "relief_before"
"""The check that holds what relief was at the last visit."""
Answers = list[tuple[str, int | None, str]]
"""Gate, string (None: the whole instrument) and answer, ready to be recorded."""


def before_view(work: OpenedJob, wording: Wording, title: str) -> PreconditionsView:
    """Everything that must be true before a leaf is picked up, with the answers so far and what
    they found."""
    cards = (_question_card(each, work) for each in preconditions(work.trade))
    questions = tuple(_with_finding(card, work, wording) for card in cards)
    unanswered = sum(not any(c.chosen for c in question.choices) for question in questions)
    noticed = ", ".join(say(each.row.title) for each in understood(work.job, work.trade).heard)
    return PreconditionsView(work.id, title, questions, unanswered, noticed)


def question_view(work: OpenedJob, wording: Wording, title: str, at: Place) -> QuestionView | None:
    """The question that the place names, else the next of this job; None when none is left. A
    second look at it shows nothing of what was said at the first; one whose answer failed a moment
    ago says so and asks nothing."""
    gate = at.found or at.mends or at.gate
    left = [asked_again(work, gate)] if gate else _cards_left(work)
    if not left:
        return None
    asked, again = left[0], at.again and not at.mends
    here = at.string if asked.per_string else None
    seen = work.job.looked_again if again else work.job.checks
    card = _with_strings_named(_question_card(asked, work, here, again=again), asked, work)
    card = _with_last_visit(card, work)
    card = card if again else _with_finding(card, work, wording)
    card = _with_answer(card, seen)
    failed = bool(at.found and card.finding)
    return QuestionView(
        job=work.id,
        title=title,
        question=card,
        left=0 if gate else len(left) - 1,
        strings=_string_marks(asked, work, here) if asked.per_string and not failed else (),
        typed=asked.kind == "length",
        can_undo=bool(work.steps),
        can_skip=again or not gate or work.job.checks.get(gate, SKIPPED) == SKIPPED,
        failed=failed,
    )


def _with_finding(card: QuestionCard, work: OpenedJob, wording: Wording) -> QuestionCard:
    """The card says what its answer found wrong, if anything."""
    return replace(card, finding=finding_in_words(work, card.gate, card.string, wording))


def asked_again(work: OpenedJob, gate: str) -> gates.GateQuestion:
    """One question by its name, answered before or not; KeyError when there is none."""
    for asked in gates.all_questions(work.trade):
        if asked.gate == gate:
            return asked
    raise KeyError(gate)


def everything_true(work: OpenedJob) -> Answers:
    """The good answer to every precondition without one."""
    return [
        (each.gate, None, next(choice.key for choice in each.choices if choice.good))
        for each in _unanswered_preconditions(work)
    ]


def skipped_preconditions(work: OpenedJob) -> Answers:
    """Every precondition without an answer, as skipped."""
    return [(each.gate, None, SKIPPED) for each in _unanswered_preconditions(work)]


def shown_at_intake(work: OpenedJob) -> Answers:
    """How the nut holds its strings, as the intake showed it, unless that was answered or told."""
    if "nut_type" in work.job.checks or "nut_type" in answers_heard(work):
        return []
    return [("nut_type", None, work.job.instrument.nut.type.value)]


def skipped_cards(work: OpenedJob) -> Answers:
    """Every question that is left, as skipped; what single strings said is kept."""
    return [
        answer
        for card in _cards_left(work)
        for answer in answers_to(work, card.gate, None, SKIPPED)
    ]


def answers_to(work: OpenedJob, gate: str, string: int | None, answer: str) -> Answers:
    """What one tap answers: the string pointed at; else all, keeping what single strings said."""
    given = work.job.checks.get(gate)
    if string is not None or not isinstance(given, dict):
        return [(gate, string, answer)]
    rest = [each for each in walk_order(work.job.instrument) if str(each) not in given]
    return [(gate, each, answer) for each in rest]


def looked_at(work: OpenedJob) -> tuple[str, ...]:
    """The checks of this instrument that are looked at before anything is measured, in a visit of
    the whole of it."""
    rules, applies = work.trade.rules.rules, work.standing.looked_at.applies
    return tuple(rule.id for rule in rules if rule.page == LOOK and applies(rule))


def look_questions(work: OpenedJob) -> tuple[gates.GateQuestion, ...]:
    """The same as questions."""
    asked = looked_at(work)
    return tuple(each for each in gates.all_questions(work.trade) if each.gate in asked)


def look_cards(work: OpenedJob, wording: Wording) -> tuple[QuestionCard, ...]:
    """Everything that is looked at, with the answers so far and what they found."""
    cards = (_question_card(each, work) for each in look_questions(work))
    return tuple(_with_finding(card, work, wording) for card in cards)


def found_in_look(work: OpenedJob) -> tuple[Gate, ...]:
    """What the look found that is not as it should be."""
    asked = looked_at(work)
    gates_here = (each for each in work.standing.gates if each.gate in asked)
    return tuple(each for each in gates_here if each.state is GateState.FAILED)


def all_as_it_should(work: OpenedJob) -> Answers:
    """The good answer to everything that is looked at and has none."""
    return [
        (each.gate, None, next(choice.key for choice in each.choices if choice.good))
        for each in _not_looked_at(work)
    ]


def skipped_look(work: OpenedJob) -> Answers:
    """Everything that was not looked at, as skipped."""
    return [(each.gate, None, SKIPPED) for each in _not_looked_at(work)]


def _not_looked_at(work: OpenedJob) -> list[gates.GateQuestion]:
    return [each for each in look_questions(work) if each.gate not in work.job.checks]


def has_cards(work: OpenedJob) -> bool:
    """Whether a question is left."""
    return bool(_cards_left(work))


def first_card(work: OpenedJob) -> str:
    """The question whose turn it is, by its name; empty where none is left."""
    left = _cards_left(work)
    return left[0].gate if left else ""


def _cards_left(work: OpenedJob) -> list[gates.GateQuestion]:
    """What is asked now; what may wait until the strings have been read does."""
    left = next_questions(work.job, work.trade)
    now = (each for each in left if each.page not in ("before", LOOK) and not each.waits)
    return [each for each in now if not _is_measured(each.gate, work)]


def _is_measured(gate: str, work: OpenedJob) -> bool:
    """Whether the visit has measured what is asked here, so that nobody has to say it."""
    sides = work.setup.relief if gate == "relief" else ()
    return bool(sides) and all(side.settled and not side.stale for side in sides)


def _unanswered_preconditions(work: OpenedJob) -> list[gates.GateQuestion]:
    known = {**work.job.checks, **answers_heard(work)}
    return [each for each in preconditions(work.trade) if each.gate not in known]


def _question_card(
    asked: gates.GateQuestion, work: OpenedJob, string: int | None = None, *, again: bool = False
) -> QuestionCard:
    given = work.job.checks.get(asked.gate, answers_heard(work).get(asked.gate))
    if again:
        given = work.job.looked_again.get(asked.gate)
    elif _at_odds(work, asked.gate, string):
        given = None
    if isinstance(given, dict):
        given = given.get(str(string))
    return QuestionCard(
        gate=asked.gate,
        text=asked.text,
        why=say(_SECOND_LOOK, why=asked.why) if again else asked.why,
        choices=tuple(
            Choice(choice.key, choice.label, chosen=given == choice.key) for choice in asked.choices
        ),
        string=string,
    )


def _at_odds(work: OpenedJob, gate: str, string: int | None) -> bool:
    """Whether two looks at this said different things, so that neither answer holds."""
    if gate not in work.job.looked_again:
        return False
    of_it = (each for each in work.standing.gates if each.gate == gate)
    return any(
        each.reason == GateReason.AT_ODDS and (string in (None, *each.strings) or not each.strings)
        for each in of_it
    )


def _named(asked: gates.GateQuestion, work: OpenedJob) -> tuple[int, ...]:
    """The strings that somebody named with a complaint that asks this, in the order they are
    walked; none of a question that is asked once for all."""
    if not asked.per_string:
        return ()
    heard = understood(work.job, work.trade).heard
    named = {s for one in heard if asked.gate in (*one.row.must, *one.row.ask) for s in one.strings}
    return tuple(each for each in walk_order(work.job.instrument) if each in named)


def _with_strings_named(
    question: QuestionCard, asked: gates.GateQuestion, work: OpenedJob
) -> QuestionCard:
    """The card says of which strings the complaint was."""
    names = tuple(map(work.job.instrument.name_of, _named(asked, work)))
    if not names:
        return question
    said = say_many(
        "Said of string {names}.", "Said of strings {names}.", len(names), names=listed(names)
    )
    return replace(question, why=f"{said} {question.why}")


def _with_last_visit(question: QuestionCard, work: OpenedJob) -> QuestionCard:
    """Relief is judged against the last visit too, so the card shows it."""
    before = work.job.checks.get(BEFORE) if question.gate == "relief" else None
    if not isinstance(before, str):
        return question
    why = say(
        "{why} At the last visit: {before}.", why=question.why, before=length_or_words(before)
    )
    return replace(question, why=why)


def _with_answer(question: QuestionCard, answers: Checks) -> QuestionCard:
    """A length that was typed stands in no choice, so the card says it, once."""
    given = answers.get(question.gate)
    chosen = any(choice.chosen for choice in question.choices)
    if chosen or not isinstance(given, str) or given == SKIPPED:
        return question
    answer = length_or_words(given)
    if any(str(in_words(answer)) in line for line in question.finding):
        return question
    return replace(question, why=say("{why} Answered: {answer}.", why=question.why, answer=answer))


def _string_marks(
    asked: gates.GateQuestion, work: OpenedJob, here: int | None
) -> tuple[StringMark, ...]:
    """The strings to point at one, those that the complaint named first; read are those that have
    an answer."""
    order = dict.fromkeys((*_named(asked, work), *walk_order(work.job.instrument)))
    names = work.job.instrument.short_name_of
    return tuple(
        StringMark(string, names(string), here=string == here, read=string not in asked.strings)
        for string in order
    )

"""Answering, skipping and pointing: the questions before and beside measuring."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from logic.app.commands import commands
from logic.app.handlers.visit_ways import go_on_visit
from logic.app.handlers.work import first_to_read, work_entries
from logic.app.presenters.findings import set_right_by, speaks_at_once
from logic.app.presenters.first_answers import (
    HEIGHT_IN_DOUBT,
    looked_at_once,
    next_awaited,
    next_look,
    string_to_ask,
)
from logic.app.presenters.noticed import without_what_contradicts
from logic.app.presenters.number_pad import BY_QUESTION
from logic.app.presenters.questions import (
    Answers,
    answers_to,
    asked_again,
    everything_true,
    has_cards,
    shown_at_intake,
    skipped_cards,
    skipped_preconditions,
)
from logic.app.presenters.visit_parts import is_whole_visit
from logic.app.session.places import Place
from logic.app.session.route import Task
from logic.app.session.session import Handler, Session
from logic.bench.checks.answers import read_answer
from logic.bench.plan.walk import next_string, walk_order
from shared.events import Kind
from shared.job import CallKind
from shared.units import Length
from shared.work import Work


def ask(session: Session, _: commands.Ask) -> None:
    """Go on to what must be true before a leaf is picked up; what the intake showed stands."""
    if session.route.task is Task.INTAKE:
        record_answers(session, shown_at_intake(session.work))
    session.go_in_job("before")


def ask_more(session: Session, _: commands.AskMore) -> None:
    """Go to the questions that are left."""
    session.go_in_job("ask")


def ask_first(session: Session, command: commands.AskFirst) -> None:
    """Go to the one question that calls of the plan wait for."""
    _go_to_question(session, command.gate, command.string)


def _go_to_question(
    session: Session, gate: str, asked_at: int | None, asked: tuple[str, ...] = ()
) -> None:
    job, again = session.place.job, looked_at_once(session.work, gate)
    string = None if again else string_to_ask(session.work, gate, asked_at)
    at = Place("ask", job, string, gate=gate, asked_at=asked_at, asked=asked, again=again)
    session.go(at)


def point_at(session: Session, command: commands.PointAt) -> None:
    """Speak of one string of the question on the card."""
    session.go(replace(session.place, string=command.string))


def answer_gate(session: Session, command: commands.AnswerGate) -> None:
    """Record one answer; on the cards the next question follows by itself."""
    take_answer(session, command.gate, command.string, command.answer)


def take_answer(session: Session, gate: str, string: int | None, answer: str) -> None:
    """Record an answer, touched or typed. On the cards what it found is said at once; else the next
    question follows, or the reading of the strings that were read before it was put right."""
    asking, mends = session.route.task is Task.QUESTIONS, session.place.mends == gate
    done = set_right_by(session.work, gate, string, answer) if mends else None
    if asking and session.place.again and not mends:
        _look_again(session, gate, string, answer)
    else:
        given = answers_to(session.work, gate, string, answer)
        record_answers(session, given, done)
    if asking and speaks_at_once(session.work, gate, string):
        session.go(replace(session.place, found=gate, mends="", string=string))
    elif asking and done is not None and session.place.gate:
        session.go_walk(first_to_read(done, session.work.job))
    elif asking:
        ask_next(session)


def measure_again(session: Session, command: commands.MeasureAgain) -> None:
    """It was put right: the pad where a length is measured, else the answers, once more."""
    asked = asked_again(session.work, command.gate)
    if session.route.task is not Task.QUESTIONS:
        _go_to_question(session, command.gate, None)
    session.go(replace(session.place, found="", mends=command.gate))
    if asked.kind == "length":
        session.transient.number_kind = BY_QUESTION + command.gate


def leave_finding(session: Session, _: commands.LeaveFinding) -> None:
    """Go on with what was found; the plan says what it bars."""
    if session.route.task is Task.QUESTIONS:
        session.go(replace(session.place, found="", mends=""))
        ask_next(session)


def _look_again(session: Session, gate: str, string: int | None, answer: str) -> None:
    """Keep what a second look said beside what the first did."""
    body = {"job": session.place.job, "gate": gate, "string": string, "answer": answer}
    session.keep((Kind.CHECK_LOOKED_AGAIN, body))


def ask_next(session: Session) -> None:
    """The next question; where the plan asked, what its calls wait for besides, else the plan."""
    place = session.place
    asked = (*place.asked, place.gate)
    if not place.gate:
        session.go_in_job("ask")
    elif place.back_to == "stages":
        go_on_visit(session)
    elif place.back_to == "walk":
        _walk_on(session, place.asked_at or session.here)
    elif (place.again and (following := next_look(session.work, asked))) or (
        following := next_awaited(session.work, place.asked_at, asked)
    ):
        _go_to_question(session, following, place.asked_at, asked)
    else:
        session.go_in_job("plan", place.asked_at)


def ask_over_what(session: Session) -> None:
    """Ask of a great height at once, and walk on from its string then."""
    here = session.here
    session.go(Place("ask", session.place.job, gate=HEIGHT_IN_DOUBT, asked_at=here, back_to="walk"))


def _walk_on(session: Session, string: int) -> None:
    """To the string whose reading counts no more; else on from there, or to the plan."""
    state = session.work.state
    if state(string).call.call is CallKind.READ_AGAIN:
        session.go_in_job("walk", string)
        return
    following = next_string(walk_order(session.work.job.instrument), string, state)
    session.go_in_job("walk" if following else "plan", following)


def answer_all_yes(session: Session, _: commands.AnswerAllYes) -> None:
    """Record that every precondition not yet answered is true, and go on."""
    record_answers(session, everything_true(session.work))
    _past_preconditions(session)


def skip_gates(session: Session, _: commands.SkipGates) -> None:
    """Record what was skipped, and go on."""
    record_answers(session, skipped_preconditions(session.work))
    _past_preconditions(session)


def _past_preconditions(session: Session) -> None:
    """On to the questions; in a visit of the whole instrument to what comes next in it."""
    if is_whole_visit(session.work.job):
        go_on_visit(session)
    else:
        session.go_in_job("ask")


def skip_rest(session: Session, _: commands.SkipRest) -> None:
    """Record that the questions left were skipped, and measure."""
    record_answers(session, skipped_cards(session.work))
    session.go_measure()


def measure_once_answered(session: Session) -> None:
    """Go on to measuring from the screen of questions where none is left, which has nothing to
    show then: after a command, and when the last was answered on another device."""
    place, asking = session.place, session.route.task is Task.QUESTIONS and not session.gone
    at_a_card = place.gate or place.found or place.mends
    if asking and not at_a_card and not has_cards(session.work):
        session.go_measure()


def record_answers(session: Session, answers: Answers, done: Work | None = None) -> None:
    """Keep several answers as one; what was told and one of them contradicts is taken back. Work
    that put the check right stands before them: it ends what was read and answered until then."""
    job = session.place.job
    bodies = [
        {"job": job, "gate": gate, "string": string, "answer": answer}
        for gate, string, answer in answers
    ]
    work = () if done is None else work_entries(session, done)
    said = ((Kind.CHECK_ANSWERED, body) for body in bodies)
    session.keep(*work, *said, *_listed_anew(session, answers), *taken_back(session, answers))


def _listed_anew(session: Session, answers: Answers) -> Iterator[tuple[Kind, dict[str, Any]]]:
    """A figure that the instrument was listed with gives way to the one that was measured now; the
    history keeps it as what was before."""
    instrument = session.work.job.instrument
    for gate, _, answer in answers:
        if gate != RELIEF or instrument.relief is None:
            continue
        measured = read_answer(session.trade.rules.rule(gate), gate, answer)
        if isinstance(measured, Length) and measured != instrument.relief:
            value = instrument.model_copy(update={"relief": measured})
            body = {"job": session.place.job, "field": "instrument", "value": value}
            yield Kind.JOB_CHANGED, body


def taken_back(session: Session, answers: Answers) -> Iterator[tuple[Kind, dict[str, Any]]]:
    """What was told and these answers contradict, as an entry that takes it back."""
    body = without_what_contradicts(session.work, answers)
    if body is not None:
        yield Kind.JOB_CHANGED, {"job": session.place.job} | body


RELIEF = "relief"
"""The check whose answer is a figure of the instrument, too."""
HANDLERS: dict[type, Handler] = {
    commands.Ask: ask,
    commands.AskMore: ask_more,
    commands.AskFirst: ask_first,
    commands.LeaveFinding: leave_finding,
    commands.MeasureAgain: measure_again,
    commands.PointAt: point_at,
    commands.AnswerGate: answer_gate,
    commands.AnswerAllYes: answer_all_yes,
    commands.SkipGates: skip_gates,
    commands.SkipRest: skip_rest,
}

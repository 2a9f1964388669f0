"""Answering, skipping and pointing: the questions before and beside measuring."""

from __future__ import annotations

from logic.desk import commands
from logic.desk.asking import (
    Answers,
    answers_to,
    everything_true,
    shown_at_intake,
    skipped_cards,
    skipped_preconditions,
)
from logic.desk.floor import Floor, Move
from shared.events import Kind


def ask(floor: Floor, _: commands.Ask) -> None:
    """Go on to what must be true before a leaf is picked up; what the intake showed stands."""
    if floor.place.room == "intake":
        record_answers(floor, shown_at_intake(floor.work))
    floor.go_in_job("before")


def ask_more(floor: Floor, _: commands.AskMore) -> None:
    """Go to the questions that are left."""
    floor.go_in_job("ask")


def point_at(floor: Floor, command: commands.PointAt) -> None:
    """Speak of one string of the question on the card."""
    floor.go_in_job("ask", command.string)


def answer_gate(floor: Floor, command: commands.AnswerGate) -> None:
    """Record one answer; on the cards the next question follows by itself."""
    record_answers(floor, answers_to(floor.work, command.gate, command.string, command.answer))
    if floor.place.room == "ask":
        floor.go_in_job("ask")


def answer_all_yes(floor: Floor, _: commands.AnswerAllYes) -> None:
    """Record that every precondition not yet answered is true, and go on."""
    record_answers(floor, everything_true(floor.work))
    floor.go_in_job("ask")


def skip_gates(floor: Floor, _: commands.SkipGates) -> None:
    """Record what was skipped, and go on."""
    record_answers(floor, skipped_preconditions(floor.work))
    floor.go_in_job("ask")


def skip_rest(floor: Floor, _: commands.SkipRest) -> None:
    """Record that the questions left were skipped, and measure."""
    record_answers(floor, skipped_cards(floor.work))
    floor.go_measure()


def record_answers(floor: Floor, answers: Answers) -> None:
    """Keep several answers as one."""
    job = floor.place.job
    bodies = [
        {"job": job, "gate": gate, "string": string, "answer": answer}
        for gate, string, answer in answers
    ]
    floor.keep(*((Kind.CHECK_ANSWERED, body) for body in bodies))


MOVES: dict[type, Move] = {
    commands.Ask: ask,
    commands.AskMore: ask_more,
    commands.PointAt: point_at,
    commands.AnswerGate: answer_gate,
    commands.AnswerAllYes: answer_all_yes,
    commands.SkipGates: skip_gates,
    commands.SkipRest: skip_rest,
}

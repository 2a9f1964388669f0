"""Prints the questions that a job's `checks` answer: name, answers, question, and why it is asked.

With --complaint, only those that a complaint opens, in the order they are asked. Where a question
is asked string by string, a check may hold one answer a string: {"seated": {"6": "yes"}}. Any
question can be answered "skipped" or "unknown"."""

from __future__ import annotations

import argparse
import json
import textwrap
from dataclasses import asdict

from logic.bench.checks.complaints import shortened, understood
from logic.bench.checks.gates import GateQuestion, all_questions, next_questions, preconditions
from logic.bench.instrument.presets import kinds, preset_instrument
from logic.bench.tables.trade_tables import TradeTables
from logic.cli.job_input import add_json
from logic.cli.printing import show
from logic.trade_loader import load_trade_tables
from shared.errors import InputError
from shared.job import Job
from shared.words import mark, say

WIDTH = 100


def arguments(parser: argparse.ArgumentParser) -> None:
    """A complaint and a kind of instrument, both optional."""
    parser.add_argument("--complaint", metavar="WORDS", help="what was said, in any words")
    parser.add_argument("--kind", default="electric guitar", help="of the instrument")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Prints the questions; InputError for a kind that nobody knows."""
    trade = load_trade_tables()
    job = None if options.complaint is None else _job(options, trade)
    asked = _asked(job, trade)
    if options.json:
        print(json.dumps([asdict(question) for question in asked], ensure_ascii=False, indent=2))
    else:
        show(*_not_understood(job, trade), *(_paragraph(each) for each in asked), sep="\n\n")
    return 0


def _job(options: argparse.Namespace, trade: TradeTables) -> Job:
    if options.kind not in kinds(trade):
        raise InputError("--kind", options.kind, _one_of(kinds(trade)))
    instrument = preset_instrument(options.kind, trade)
    return Job(instrument=instrument, complaint=options.complaint)


def _asked(job: Job | None, trade: TradeTables) -> tuple[GateQuestion, ...]:
    if job is None:
        return all_questions(trade)
    page = preconditions(trade)
    cards = (each for each in next_questions(job, trade) if not each.page)
    return (*page, *cards)


def _not_understood(job: Job | None, trade: TradeTables) -> list[str]:
    lost = understood(job, trade).not_understood if job else ()
    return [say("Not understood: “{words}”.", words=shortened(words)) for words in lost]


def _one_of(known: tuple[str, ...]) -> str:
    return say("write one of {known}", known=", ".join(known))


def _paragraph(question: GateQuestion) -> str:
    answers = ", ".join(choice.key for choice in question.choices)
    said = _ANSWERS[question.kind == "length", question.per_string]
    lines = (f"{question.text} {question.why}", say(said, answers=answers))
    body = "\n".join(
        textwrap.fill(line, WIDTH, initial_indent="  ", subsequent_indent="  ") for line in lines
    )
    return f"{question.gate}\n{body}"


_ANSWERS = {
    (False, False): mark("Answers: {answers}."),
    (True, False): mark("Answers: {answers}, or a length."),
    (False, True): mark("Answers: {answers}; one for all, or one a string."),
    (True, True): mark("Answers: {answers}, or a length; one for all, or one a string."),
}
"""By whether a length is an answer too, and whether every string can have its own."""

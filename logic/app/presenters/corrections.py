"""What differs from the usual instrument of a kind, as far as any rule cares: shown and put right
at the intake."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from logic.app.presenters.noticed import answers_heard
from logic.app.session.open_job import OpenedJob
from logic.app.views.views import Choice, Correction
from logic.app.wording.calls import begun
from logic.bench.checks.gates import GateQuestion, all_questions
from logic.bench.instrument.restringing import nut_materials
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument, NutType
from shared.words import mark, say

HAND = "hand"
MATERIAL = "material"
_HANDS = {"right": mark("Right-handed"), "left": mark("Left-handed")}


def corrections(work: OpenedJob) -> tuple[Correction, ...]:
    """Nut, board, hand, material and worth, each with what now stands for it."""
    instrument, asked = work.job.instrument, _questions_by_gate(work.trade)
    material = instrument.nut.material
    offered = (*nut_materials(work.trade), material)
    return (
        _question_correction(
            asked["nut_type"], _answer_or_shown(work, "nut_type", instrument.nut.type.value)
        ),
        Correction(
            MATERIAL,
            say("What is the nut made of?"),
            _choices_by_word(tuple(dict.fromkeys(offered)), material),
        ),
        _question_correction(
            asked["board"], _answer_or_shown(work, "board", board_key(instrument))
        ),
        Correction(
            HAND,
            say("Which way is it strung?"),
            hand_choices(instrument),
        ),
        _question_correction(
            asked["valuable"], _answer_or_shown(work, "valuable", _worth_key(instrument))
        ),
    )


def hand_choices(instrument: Instrument) -> tuple[Choice, ...]:
    """Which way it is strung."""
    hand = "left" if instrument.left_handed else "right"
    return _choices_of({key: say(word) for key, word in _HANDS.items()}, hand)


def time_choices(work: OpenedJob) -> tuple[Choice, ...]:
    """When it must play; no hurry until somebody says so."""
    return _question_correction(
        _questions_by_gate(work.trade)["time"], _answer_or_shown(work, "time", "no hurry")
    ).choices


def corrected(instrument: Instrument, fact: str, value: str) -> Instrument:
    """The instrument with one fact as it was said; KeyError when nothing has that name."""
    return _FACTS[fact](instrument, value)


def is_answer(fact: str) -> bool:
    """Whether a rule asks for this fact, so that saying it answers the rule."""
    return fact not in (HAND, MATERIAL)


def _questions_by_gate(trade: TradeTables) -> dict[str, GateQuestion]:
    return {question.gate: question for question in all_questions(trade)}


def _answer_or_shown(work: OpenedJob, gate: str, otherwise: str) -> str:
    said = work.job.checks.get(gate, answers_heard(work).get(gate))
    return said if isinstance(said, str) else otherwise


def board_key(instrument: Instrument) -> str:
    """What is answered of the board: whether it has frets."""
    return "frets" if instrument.fretted else "bare board"


def _worth_key(instrument: Instrument) -> str:
    return "yes" if instrument.nut.original else "no"


def _question_correction(question: GateQuestion, said: str) -> Correction:
    named = {choice.key: choice.label for choice in question.choices}
    return Correction(question.gate, question.text, _choices_of(named, said))


def _choices_by_word(values: tuple[str, ...], chosen: str) -> tuple[Choice, ...]:
    return _choices_of({value: begun(say(value)) for value in values}, chosen)


def _choices_of(labels: dict[str, str], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(key, label, chosen=key == chosen) for key, label in labels.items())


def _with_nut(instrument: Instrument, **changes: Any) -> Instrument:
    nut = instrument.nut.model_copy(update=changes)
    return instrument.model_copy(update={"nut": nut})


_FACTS: dict[str, Callable[[Instrument, str], Instrument]] = {
    "nut_type": lambda one, said: _with_nut(one, type=NutType(said)),
    MATERIAL: lambda one, said: _with_nut(one, material=said),
    "board": lambda one, said: one.model_copy(update={"fretted": said != "bare board"}),
    HAND: lambda one, said: one.model_copy(update={"left_handed": said == "left"}),
    "valuable": lambda one, said: _with_nut(one, original=said != "no"),
}

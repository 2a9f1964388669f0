"""The answers of the walk, in the order of the height they mean, highest first."""

from __future__ import annotations

from dataclasses import dataclass

from logic.desk.commands import Command, Feel, Hear
from shared.job import Buzz, Contact
from shared.words import mark


@dataclass(frozen=True)
class Answer:
    """One of the four large targets."""

    mark: str
    label: str
    command: Command
    drawing: str | None = None
    narrow: str = ""
    """Its label where that is too wide to be read from afar: what is asked says the rest."""


LEAF_ANSWERS = (
    Answer("answer-none", mark("No contact"), Feel(Contact.NONE), "none"),
    Answer("answer-light", mark("Light contact"), Feel(Contact.LIGHT), "light"),
    Answer("answer-heavy", mark("Heavy contact"), Feel(Contact.HEAVY), "heavy"),
    Answer("answer-buzz", mark("Buzzes open"), Hear(Buzz.NORMAL), "buzz"),
)
BUZZ_ANSWERS = (
    Answer("answer-clean", mark("Rings clean"), Hear(Buzz.NONE)),
    Answer("answer-hard", mark("Buzzes hit hard"), Hear(Buzz.HARD), narrow=mark("Hit hard")),
    Answer("answer-normal", mark("Buzzes as played"), Hear(Buzz.NORMAL), narrow=mark("As played")),
    Answer("answer-soft", mark("Buzzes even soft"), Hear(Buzz.SOFT), narrow=mark("Even soft")),
)

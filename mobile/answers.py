"""The answers of the walk, in the order of the height they mean, highest first."""

from __future__ import annotations

from dataclasses import dataclass

from logic.desk.commands import Command, Feel, Hear
from shared.job import Buzz, Contact


@dataclass(frozen=True)
class Answer:
    """One of the four large targets."""

    mark: str
    label: str
    command: Command
    drawing: str | None = None


LEAF_ANSWERS = (
    Answer("answer-none", "No contact", Feel(Contact.NONE), "none"),
    Answer("answer-light", "Light contact", Feel(Contact.LIGHT), "light"),
    Answer("answer-heavy", "Heavy contact", Feel(Contact.HEAVY), "heavy"),
    Answer("answer-buzz", "Buzzes open", Hear(Buzz.NORMAL), "buzz"),
)
BUZZ_ANSWERS = (
    Answer("answer-clean", "Rings clean", Hear(Buzz.NONE)),
    Answer("answer-hard", "Buzzes hit hard", Hear(Buzz.HARD)),
    Answer("answer-normal", "Buzzes as played", Hear(Buzz.NORMAL)),
    Answer("answer-soft", "Buzzes even soft", Hear(Buzz.SOFT)),
)

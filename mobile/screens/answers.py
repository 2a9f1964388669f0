"""The answers of the walk, in the order of the height they mean, highest first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from logic.app.commands.commands import Command, Feel, Hear, TypeNumber
from logic.app.presenters.gap_pads import ACTION_PAD, RELIEF_PAD
from logic.app.views.views import ActionView, Prompt, ReliefView, WalkView
from shared.readings import Buzz, Contact
from shared.words import mark, say_as


@dataclass(frozen=True)
class ContactAnswer:
    """One of the four large targets."""

    mark: str
    label: str
    command: Command
    narrow: Callable[[], str]
    """The one word that tells it apart, where its label is too wide to be read from afar: what is
    asked says the rest, and so does what a screen reader hears."""
    drawing: str | None = None


LEAF_ANSWERS = (
    ContactAnswer(
        "answer-none",
        mark("No contact"),
        Feel(Contact.NONE),
        lambda: say_as("contact", "None"),
        "none",
    ),
    ContactAnswer(
        "answer-light",
        mark("Light contact"),
        Feel(Contact.LIGHT),
        lambda: say_as("contact", "Light"),
        "light",
    ),
    ContactAnswer(
        "answer-heavy",
        mark("Heavy contact"),
        Feel(Contact.HEAVY),
        lambda: say_as("contact", "Heavy"),
        "heavy",
    ),
    ContactAnswer(
        "answer-buzz",
        mark("Buzzes open"),
        Hear(Buzz.NORMAL),
        lambda: say_as("contact", "Buzz"),
        "buzz",
    ),
)
BUZZ_ANSWERS = (
    ContactAnswer(
        "answer-clean", mark("Rings clean"), Hear(Buzz.NONE), lambda: say_as("buzzes", "Clean")
    ),
    ContactAnswer(
        "answer-hard", mark("Buzzes hit hard"), Hear(Buzz.HARD), lambda: say_as("buzzes", "Hard")
    ),
    ContactAnswer(
        "answer-normal",
        mark("Buzzes as played"),
        Hear(Buzz.NORMAL),
        lambda: say_as("buzzes", "Usual"),
    ),
    ContactAnswer(
        "answer-soft", mark("Buzzes even soft"), Hear(Buzz.SOFT), lambda: say_as("buzzes", "Soft")
    ),
)


def _number(pad: str) -> ContactAnswer:
    """In place of a contact: a number that was measured."""
    typed = TypeNumber(pad)
    return ContactAnswer(
        "number", mark("Type a number"), typed, lambda: say_as("contact", "Number"), "rule"
    )


RELIEF_ANSWERS = (*LEAF_ANSWERS[:3], _number(RELIEF_PAD))
ACTION_ANSWERS = (*LEAF_ANSWERS[:3], _number(ACTION_PAD))


def answers_of(view: WalkView) -> tuple[ContactAnswer, ...]:
    """The four large targets of what is asked."""
    if isinstance(view, ReliefView):
        return RELIEF_ANSWERS
    if isinstance(view, ActionView):
        return ACTION_ANSWERS
    return BUZZ_ANSWERS if view.prompt is Prompt.BUZZ else LEAF_ANSWERS

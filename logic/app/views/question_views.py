"""What is asked before and between the readings."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views.pieces import Choice, StringMark


@dataclass(frozen=True)
class QuestionCard:
    """One thing to rule out, with its answers; `why` is shown on demand."""

    gate: str
    text: str
    why: str
    choices: tuple[Choice, ...]
    string: int | None = None
    finding: tuple[str, ...] = ()
    """What its answer found wrong: by how much, where that was measured, and what to do."""


@dataclass(frozen=True)
class PreconditionsView:
    """Everything that must be true before a leaf is picked up, on one page."""

    job: str
    title: str
    questions: tuple[QuestionCard, ...]
    unanswered: int
    noticed: str = ""
    """What was said, where anything was."""
    called: str = ""
    """The first string and its call, where that was read before this was asked."""


@dataclass(frozen=True)
class QuestionView:
    """One question a card."""

    job: str
    title: str
    question: QuestionCard
    left: int
    strings: tuple[StringMark, ...] = ()
    """To point at one string, where the question is asked string by string."""
    typed: bool = False
    """Whether a measured length is an answer too."""
    can_undo: bool = False
    can_skip: bool = True
    """Whether it can be passed over; not where it was answered and is put right."""
    failed: bool = False
    """Whether its answer failed a moment ago: it is put right and measured again, or left."""

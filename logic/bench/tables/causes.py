"""Causes of what people complain of, and how each answers the questions: `assets/causes.json`."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator
from pydantic_core import PydanticCustomError

from shared.table import EACH_ID_ONCE, Figure, SourcedRow, Table

Chances = dict[str, float]
"""By option of a rule, how likely it is the answer."""


def _whole(answers: dict[str, Chances]) -> dict[str, Chances]:
    for rule, chances in answers.items():
        if abs(sum(chances.values()) - 1.0) > 1e-6:
            raise PydanticCustomError(
                "chances", "the answers to {rule} are not one", {"rule": rule}
            )
    return answers


Answers = Annotated[dict[str, Chances], AfterValidator(_whole)]
"""By rule, how likely each of its answers is."""


class UsualAnswers(SourcedRow):
    """How the questions are answered where the cause has nothing to do with them."""

    answers: Answers
    effort: dict[str, float]
    """What an answer costs, beside one that is simply said: 2 to look, 3 to measure."""


class PossibleCause(SourcedRow):
    """One cause."""

    id: str
    calls_for: str
    """What is done about it; causes that call for the same need not be told apart."""
    often: dict[str, float]
    """Its weight under each complaint that it is known to make."""
    shows: Answers


class CauseTable(Table):
    """Every cause, and what is asked to tell them apart."""

    most_before_first_leaf: Figure[int]
    """Questions."""
    elsewhere: Figure[float]
    """The weight of a cause under a complaint that it does not name."""
    least_bits: Figure[float]
    """What tells less than this about the call is not asked before the first leaf."""
    at_once_bits: Figure[float]
    """For one unit of effort: what tells less waits until the strings have been read."""
    usual: UsualAnswers
    causes: Annotated[tuple[PossibleCause, ...], EACH_ID_ONCE]

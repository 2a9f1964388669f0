"""What was answered, read as one of a rule's options."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shared.errors import LengthError
from shared.job import GateState
from shared.units import Length, parse_gauge
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.rules import Option, Rule

SKIPPED = frozenset({"skipped", "skip", "not asked", "left out", "omitted", "ausgelassen"})
UNKNOWN = frozenset(
    {
        *(
            "",
            "unknown",
            "not sure",
            "unsure",
            "don't know",
            "dont know",
            "?",
            "maybe",
        ),
        *("no idea", "can't tell", "cannot tell", "cant tell", "not checked", "unchecked"),
        *("not measured", "not looked at", "unclear", "tbd", "n/a"),
        *("weiß nicht", "weiss nicht", "unbekannt", "unklar", "keine ahnung", "nicht geprüft"),
    }
)
GOOD = frozenset(
    {
        *("ok", "okay", "good", "fine", "right", "correct", "checked", "sound", "all good"),
        *("all right", "alright", "in order", "gut", "in ordnung", "passt"),
    }
)
"""Words for the answer that passes, whatever the question."""
BAD = frozenset(
    {"bad", "wrong", "not ok", "not okay", "not good", "not fine", "faulty", "at fault", "schlecht"}
)
"""Words for the answer that fails, where there is only one."""
_SAME = {
    **dict.fromkeys(("true", "y", "yep", "yeah", "yup", "ja"), "yes"),
    **dict.fromkeys(("false", "n", "nope", "nein"), "no"),
}

Raw = bool | str | float
"""An answer as the job holds it."""


@dataclass(frozen=True)
class Skip:
    """The question was left out on purpose."""


@dataclass(frozen=True)
class Unsure:
    """Asked, and not known."""


@dataclass(frozen=True)
class Unreadable:
    """An answer that means nothing here: what was written, and what to ask for instead."""

    written: str
    ask: str


@dataclass(frozen=True)
class AnswerFound:
    """One of a rule's options, with the facts that its sentence is filled in with."""

    option: str
    facts: dict[str, object] = field(default_factory=dict, compare=False)


@dataclass(frozen=True)
class AtOdds:
    """One check answered differently under two of its names: each name with its answer."""

    answers: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Contradicted:
    """An answer beside a circumstance that was told and that contradicts it: the title of what was
    told, and the option that was answered."""

    heard: str
    answered: str


Answer = AnswerFound | Skip | Unsure | Unreadable | AtOdds | Contradicted | Length
"""A length is not an option yet: an evaluator turns it into one."""


def words_of(raw: Raw) -> str:
    """The answer as lower-case words."""
    text = f"{raw:g}" if isinstance(raw, float) else str(raw)
    words = " ".join(text.casefold().split()).rstrip(".,;!")
    return _SAME.get(words, words)


def read_answer(rule: Rule, name: str, raw: Raw) -> Answer:
    """`raw`, stored under `name`, as this rule understands it."""
    also = rule.also.get(name, {})
    if isinstance(raw, str) and raw not in also and any(raw == one.id for one in rule.options):
        return AnswerFound(raw)  # before words are read: one rule's “true” is another's “yes”
    words = words_of(raw)
    words = also.get(words, words)
    if words in SKIPPED:
        return Skip()
    if words in UNKNOWN:
        return Unsure()
    option = _option_called(rule, words)
    if option is not None:
        return AnswerFound(option.id)
    return _number_or_text(rule, words)


def _option_called(rule: Rule, words: str) -> Option | None:
    for option in rule.options:
        if words in (option.id.casefold(), option.label.casefold(), *option.also):
            return option
    return _option_meant(rule, words) or _option_spoken_of(rule, words)


def _option_meant(rule: Rule, words: str) -> Option | None:
    """The option that a word of praise or blame stands for."""
    offered = [option for option in rule.options if option.label]
    passing = [option for option in offered if option.state is GateState.PASSED]
    failing = [option for option in offered if option.state is not GateState.PASSED]
    if words in GOOD and passing:
        return passing[0]
    return failing[0] if words in BAD and len(failing) == 1 else None


def _option_spoken_of(rule: Rule, words: str) -> Option | None:
    """The one option a word of which begins some word of a longer answer; None where none does, or
    several."""
    found = [
        option
        for option in rule.options
        if any(re.search(rf"\b{re.escape(word)}", words) for word in option.within)
    ]
    return found[0] if len(found) == 1 else None


def _number_or_text(rule: Rule, words: str) -> Answer:
    if rule.numbers and words.replace(".", "", 1).isdigit():
        return AnswerFound(rule.numbers)
    if rule.kind == "length":
        return _length(rule, words)
    if rule.free:
        return AnswerFound(rule.free)
    return Unreadable(words, ask(rule))


def _length(rule: Rule, words: str) -> Answer:
    try:
        length = parse_gauge(words) if rule.gauge else Length.parse(words)
    except LengthError as error:
        either = say("{this}, or {that}", this=ask(rule), that=error.ask)
        return Unreadable(words, either)
    if length.exact_mm < 0 and not rule.signed:
        return Unreadable(words, say("this cannot be less than nothing"))
    return length


def ask(rule: Rule) -> str:
    """The answers that this rule understands, in a line."""
    offered = [option.id for option in rule.options if option.label]
    if not offered:
        return say("this is not answered, it is found")
    return say("say {answers}", answers=", ".join(offered))

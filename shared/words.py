"""What the tool says, in the language, unit and decimal mark of the bench.

Every sentence is written once, in English, where it is said. A catalogue in gettext's form turns it
into another language, whole sentences at a time: facts stand in the sentence by name
(`say("String {name} first.", name="5")`), so that another language may order them as it likes, and
a sentence is never put together from pieces of grammar.

A length is handed to `say` as what it is (a `Amount`, such as `shared.units.Length`) and becomes
words there, once, in the unit that is asked for; a float gets the decimal mark that is asked for.

Language and style are the one thing that rules and screens take from around them. They change no
decision, only words, and everybody in one process reads the same ones. What is remembered in words
is remembered for one `Speech` (`current()`).
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Protocol


class Catalogue(Protocol):
    """What `gettext.NullTranslations` and its kin can do."""

    def __hash__(self) -> int: ...

    def gettext(self, message: str) -> str:
        """`message` in the catalogue's language; itself where it is not listed."""

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The form of a sentence that goes with the count `n`."""

    def pgettext(self, context: str, message: str) -> str:
        """`message` as it is meant in `context`."""


class English:
    """The language that the sentences are written in."""

    def gettext(self, message: str) -> str:
        """The sentence itself."""
        return message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """One or many, as in English."""
        return msgid1 if n == 1 else msgid2

    def pgettext(self, context: str, message: str) -> str:
        """The sentence itself, whatever is meant."""
        return message


@dataclass(frozen=True)
class FigureStyle:
    """How figures are written where they are read."""

    unit: str = ""
    """The unit of lengths, by its sign; empty: each in the unit that it was stated in."""
    places: int | None = None
    """Decimals of a length in `unit`; None: as many as a bench can tell apart in it."""
    decimal_mark: str = "."
    bare_inches: bool = False
    """Whether inches drop the nought before the mark: .018 in."""
    notes: str = "B"
    """What the note between A and C is called: "B" as in English, or "H", with B for B♭."""


class Amount(ABC):
    """A fact that becomes words only where it is said, in the unit that is asked for there."""

    @abstractmethod
    def in_words(self, style: FigureStyle) -> str:
        """The amount with its unit, as `style` has it."""


class _Number(float):
    """A number in a sentence whose language does not write a decimal point."""

    def __format__(self, spec: str) -> str:
        return super().__format__(spec).replace(".", _speech.style.decimal_mark)


@dataclass(frozen=True)
class Speech:
    """What everything said in this process is said in."""

    catalogue: Catalogue
    style: FigureStyle = FigureStyle()


_speech = Speech(English())


def use(catalogue: Catalogue | None = None, style: FigureStyle | None = None) -> None:
    """From now on, speak as `catalogue` does and write figures in `style`; None: as before."""
    global _speech
    _speech = Speech(
        _speech.catalogue if catalogue is None else catalogue,
        _speech.style if style is None else style,
    )


@contextmanager
def speaking(
    catalogue: Catalogue | None = None, style: FigureStyle | None = None
) -> Iterator[None]:
    """Speak so for a while."""
    before = _speech
    use(catalogue, style)
    try:
        yield
    finally:
        use(before.catalogue, before.style)


def in_words(fact: object) -> object:
    """A fact as it stands in a sentence: a quantity in the unit asked for, a number with the
    decimal mark; everything else as it is."""
    if isinstance(fact, Amount):
        return fact.in_words(_speech.style)
    if isinstance(fact, float) and _speech.style.decimal_mark != ".":
        return _Number(fact)
    return fact


def _all_in_words(facts: Mapping[str, object]) -> dict[str, object]:
    return {name: in_words(fact) for name, fact in facts.items()}


def say(message: str, /, **facts: object) -> str:
    """`message` in the bench's language, with `facts` in their places."""
    words = _speech.catalogue.gettext(message) if message else ""
    return words.format(**_all_in_words(facts)) if facts else words


def say_known(message: str, facts: Mapping[str, object], /) -> str:
    """Like `say`, for a sentence of a table: what is not among `facts` is left out of it."""
    return say(message).format_map(_OrNothing(_all_in_words(facts)))


class _OrNothing(dict[str, object]):
    def __missing__(self, _name: str) -> str:
        return ""


def say_as(meant: str, message: str, /, **facts: object) -> str:
    """Like `say`, for a word that another language needs to be told the meaning of."""
    words = _speech.catalogue.pgettext(meant, message)
    return words.format(**_all_in_words(facts)) if facts else words


def say_many(one: str, many: str, count: int, /, **facts: object) -> str:
    """The sentence that goes with `count`, which stands in it as `{count}`."""
    words = _speech.catalogue.ngettext(one, many, count)
    return words.format(count=count, **_all_in_words(facts))


def numeral(amount: float, spec: str) -> str:
    """A number by itself, without its unit, formatted as `spec` has it, with the decimal mark."""
    return format(_Number(amount), spec)


def listed(names: Iterable[object]) -> str:
    """Names as a sentence lists them: "6", "6 and 5", "6, 5 and 4"."""
    *rest, last = (str(in_words(name)) for name in names)
    return say("{rest} and {last}", rest=", ".join(rest), last=last) if rest else last


def chosen_of(names: Iterable[object]) -> str:
    """Names to choose one from: "6", "6 or 5", "6, 5 or 4"."""
    *rest, last = (str(in_words(name)) for name in names)
    return say("{rest} or {last}", rest=", ".join(rest), last=last) if rest else last


def inside(sentence: str) -> str:
    """A sentence as it goes on after a colon or comma: English begins it small."""
    if not isinstance(_speech.catalogue, English):
        return sentence
    return f"{sentence[:1].lower()}{sentence[1:]}"


def current() -> Speech:
    """What is spoken now: what is remembered in words is remembered for one of these."""
    return _speech


def spoken_language() -> str:
    """The code (ISO 639-1) of the language in use."""
    return say_as("language", "en")


def decimal_mark() -> str:
    """What stands between whole and part of a number."""
    return say_as("decimal mark", ".")


def note_names() -> str:
    """What players of the language call the note between A and C: "B", or "H" with B for B♭."""
    return say_as("note names", "B")


def with_mark(number: str) -> str:
    """A number that is written already, or a value of a file, with the decimal mark."""
    return number.replace(".", _speech.style.decimal_mark)


def mark(message: str) -> str:
    """Note for the catalogue a sentence that is kept as it is and only said later."""
    return message

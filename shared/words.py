"""What the tool says, in the language of the bench.

Every sentence is written once, in English, where it is said. A catalogue in gettext's form turns it
into another language, whole sentences at a time: facts stand in the sentence by name
(`say("String {name} first.", name="5")`), so that another language may order them as it likes, and
a sentence is never put together from pieces of grammar.

The language is the one thing that rules and screens take from around them. It changes no decision,
only words, and everybody in one process reads the same one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Protocol

_POINT = re.compile(r"(?:(?<=[\s\d(–])|^)\.(?=\d)", re.MULTILINE)
"""The decimal point of a figure, also of one that drops its nought."""


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


class _Speaker:
    catalogue: Catalogue = English()


def use(catalogue: Catalogue) -> None:
    """From now on, speak as `catalogue` does."""
    _Speaker.catalogue = catalogue


@contextmanager
def speaking(catalogue: Catalogue) -> Iterator[None]:
    """Speak as `catalogue` does for a while."""
    before = _Speaker.catalogue
    use(catalogue)
    try:
        yield
    finally:
        use(before)


def say(message: str, /, **facts: object) -> str:
    """`message` in the bench's language, with `facts` in their places."""
    words = _Speaker.catalogue.gettext(message) if message else ""
    return words.format(**facts) if facts else words


def say_as(meant: str, message: str, /, **facts: object) -> str:
    """Like `say`, for a word that another language needs to be told the meaning of."""
    words = _Speaker.catalogue.pgettext(meant, message)
    return words.format(**facts) if facts else words


def say_many(one: str, many: str, count: int, /, **facts: object) -> str:
    """The sentence that goes with `count`, which stands in it as `{count}`."""
    return _Speaker.catalogue.ngettext(one, many, count).format(count=count, **facts)


def listed(names: Iterable[object]) -> str:
    """Names as a sentence lists them: "6", "6 and 5", "6, 5 and 4"."""
    *rest, last = (str(name) for name in names)
    return say("{rest} and {last}", rest=", ".join(rest), last=last) if rest else last


def chosen_of(names: Iterable[object]) -> str:
    """Names to choose one from: "6", "6 or 5", "6, 5 or 4"."""
    *rest, last = (str(name) for name in names)
    return say("{rest} or {last}", rest=", ".join(rest), last=last) if rest else last


def inside(sentence: str) -> str:
    """A sentence as it goes on after a colon or comma: English begins it small."""
    if not isinstance(_Speaker.catalogue, English):
        return sentence
    return f"{sentence[:1].lower()}{sentence[1:]}"


def current() -> Catalogue:
    """The catalogue in use: what is remembered in words is remembered for one of these."""
    return _Speaker.catalogue


def spoken_language() -> str:
    """The code (ISO 639-1) of the language in use."""
    return say_as("language", "en")


def decimal_mark() -> str:
    """What stands between whole and part of a number."""
    return say_as("decimal mark", ".")


def figures(text: str, decimal: str = "") -> str:
    """`text` with `decimal`, else the language's own mark, in its figures."""
    return _POINT.sub(decimal or decimal_mark(), text)


def mark(message: str) -> str:
    """Note for the catalogue a sentence that is kept as it is and only said later."""
    return message

"""A language that shows what is said: ⟦every sentence⟧ stands in brackets, whatever does not
never went through the catalogue."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

_SAID = re.compile(r"⟦[^⟦⟧]*⟧")
_WORD = re.compile(r"[^\W\d_]{3,}")


@dataclass(eq=False)
class Pseudo:
    """Says English in brackets and keeps what it was asked for, as (sentence, meant)."""

    said: set[tuple[str, str]] = field(default_factory=set)

    def gettext(self, message: str) -> str:
        """The sentence in brackets."""
        return self.pgettext("", message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """One or many, in brackets."""
        self.said.add((msgid1, ""))
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"

    def pgettext(self, context: str, message: str) -> str:
        """The sentence in brackets."""
        self.said.add((message, context))
        if message == ".":
            return message  # what stands in figures
        return f"⟦{message}⟧"


def unsaid(text: str, *known: str) -> tuple[str, ...]:
    """The words of `text` outside every bracket, three letters or more, without `known` names."""
    while (less := _SAID.sub(" ", text)) != text:
        text = less
    return tuple(word for word in _WORD.findall(text) if word not in known)

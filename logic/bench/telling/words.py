"""Words of a telling, folded so that spelling does not matter."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

_WORD = re.compile(r"[^\W_]+[#♯♭]?")
_APOSTROPHES = str.maketrans("", "", "'’‘`´")
_SPELLED_OUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ø": "oe", "æ": "ae"})
_ORDINAL = re.compile(r"\b([0-9]{1,2})\.(?=\s*(?:saite|bund|bünd|lage|string|fret))", re.IGNORECASE)


@dataclass(frozen=True)
class Word:
    """One word: as it was written, and folded to be compared."""

    written: str
    folded: str


def fold(text: str) -> str:
    """Lower case, umlauts and ß spelled out, no other accents."""
    if text.isascii():
        return text.lower()
    spelled = unicodedata.normalize("NFC", text).casefold().translate(_SPELLED_OUT)
    plain = unicodedata.normalize("NFKD", spelled)
    return "".join(sign for sign in plain if not unicodedata.combining(sign))


def prepared(text: str) -> str:
    """The text without apostrophes (won't is one word), with 3. Saite as 3te Saite."""
    return _ORDINAL.sub(r"\1te ", text.translate(_APOSTROPHES))


def words_in(text: str, compounds: tuple[str, ...] = ()) -> tuple[Word, ...]:
    """The words of `text`, hyphens apart. A word that ends in one of `compounds` is two words:
    Leersaite is leer and saite."""
    return tuple(
        word for found in _WORD.finditer(text) for word in _split(found.group(), compounds)
    )


def _split(written: str, compounds: tuple[str, ...]) -> Iterator[Word]:
    folded = fold(written)
    end = next((e for e in compounds if folded.endswith(e) and len(folded) > len(e)), "")
    if end:
        yield Word(written[: len(written) - len(end)], folded[: -len(end)])
    yield Word(end or written, end or folded)

"""Helvetica and Helvetica-Bold, the two fonts that every PDF reader has: their signs and widths.

Text is set in their own encoding (Windows code page 1252); what that does not hold is written with
the nearest signs that it does, Cyrillic and Greek letters with Latin ones. What has no such sign is
left out: an ellipsis stands for it, and `pdf` says so on the page.
"""

from __future__ import annotations

import unicodedata

UNITS_PER_EM = 1000
_NEAREST = {
    "♯": "#",
    "♭": "b",
    "−": "-",
    "≤": "<=",
    "≥": ">=",
    "→": "->",
    "\u202f": " ",
    "\u2009": " ",
    "Ł": "L",
    "ł": "l",
    "Đ": "D",
    "đ": "d",
    "ı": "i",
}
# fmt: off
_CYRILLIC = {
    "а": "a", "б": "b", "в": "v", "г": "g", "д": "d", "е": "e", "ё": "ë", "ж": "ž", "з": "z",
    "и": "i", "й": "j", "к": "k", "л": "l", "м": "m", "н": "n", "о": "o", "п": "p", "р": "r",
    "с": "s", "т": "t", "у": "u", "ф": "f", "х": "h", "ц": "c", "ч": "č", "ш": "š", "щ": "ŝ",
    "ъ": "’", "ы": "y", "ь": "’", "э": "è", "ю": "û", "я": "â", "і": "i", "ї": "ï", "є": "ê",
    "ґ": "g", "ј": "j", "љ": "l", "њ": "n", "ћ": "ć", "ђ": "d", "џ": "d", "ў": "u",
}
"""One Latin letter for each (ISO 9:1995, from memory), less the accents that the fonts lack."""
_GREEK = {
    "α": "a", "β": "v", "γ": "g", "δ": "d", "ε": "e", "ζ": "z", "η": "i", "θ": "th", "ι": "i",
    "κ": "k", "λ": "l", "μ": "m", "ν": "n", "ξ": "x", "ο": "o", "π": "p", "ρ": "r", "σ": "s",
    "ς": "s", "τ": "t", "υ": "y", "φ": "f", "χ": "ch", "ψ": "ps", "ω": "o",
}
"""As passports spell names (ISO 843, from memory)."""
# fmt: on
_ELLIPSIS = "…".encode("cp1252")


def encoded(text: str) -> bytes:
    """`text` in the fonts' encoding, one byte a sign; an ellipsis stands for what neither font has,
    and signs without a picture are left out."""
    written = b""
    for sign in unicodedata.normalize("NFC", text):
        if sign.isprintable() and not _is_mark(sign):
            found = _encoded_sign(sign)
            lost = found is None and not written.endswith(_ELLIPSIS)
            written += found if found is not None else _ELLIPSIS if lost else b""
    return written


def leaves_out(text: str) -> bool:
    """Whether `text` holds a sign that neither font has, nor one that is near it."""
    return any(sign.isprintable() and _encoded_sign(sign) is None for sign in text)


def text_width_em(text: str, bold: bool = False) -> float:
    """Advance width of one line of `text` as it is set, in multiples of the type size."""
    widths = _BOLD if bold else _REGULAR
    return sum(widths[byte - 32] for byte in encoded(text)) / UNITS_PER_EM


def _encoded_sign(sign: str) -> bytes | None:
    """The sign, or what is nearest to it; empty for a mark alone, None where nothing is near."""
    if _is_mark(sign):
        return b""
    bare = unicodedata.normalize("NFKD", sign)[:1]
    for candidate in (sign, _NEAREST.get(sign, ""), _latin(sign), bare, _latin(bare)):
        near = candidate and _in_encoding(candidate)
        if near:
            return near
    return None


def _is_mark(sign: str) -> bool:
    """Whether it only marks the sign before it: an accent, or how that sign is to be drawn."""
    return unicodedata.category(sign).startswith("M")


def _in_encoding(candidate: str) -> bytes:
    """`candidate` in the encoding, without accents that it lacks; empty where it cannot be."""
    for form in (candidate, unicodedata.normalize("NFKD", candidate)[:1]):
        try:
            return form.encode("cp1252")
        except UnicodeEncodeError:
            continue
    return b""


def _latin(sign: str) -> str:
    """A Cyrillic or Greek letter in Latin letters, as large as it is; empty for any other sign."""
    small = sign.lower()
    spelled = _CYRILLIC.get(small) or _GREEK.get(small) or ""
    return spelled if sign == small else spelled.capitalize()


# fmt: off
_REGULAR = (
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, 0,
    556, 0, 222, 556, 333, 1000, 556, 556, 333, 1000, 667, 333, 1000, 0, 611, 0,
    0, 222, 222, 333, 333, 350, 556, 1000, 333, 1000, 500, 333, 944, 0, 500, 667,
    278, 333, 556, 556, 556, 556, 260, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 556, 537, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 500, 556, 556, 556, 556, 278, 278, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 584, 611, 556, 556, 556, 556, 500, 556, 500,
)
_BOLD = (
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
    975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
    333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
    611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584, 0,
    556, 0, 278, 556, 500, 1000, 556, 556, 333, 1000, 667, 333, 1000, 0, 611, 0,
    0, 278, 278, 500, 500, 350, 556, 1000, 333, 1000, 556, 333, 944, 0, 500, 667,
    278, 333, 556, 556, 556, 556, 280, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 611, 556, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    722, 722, 722, 722, 722, 722, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 556, 556, 556, 556, 556, 278, 278, 278, 278,
    611, 611, 611, 611, 611, 611, 611, 584, 611, 611, 611, 611, 611, 556, 611, 556,
)
# fmt: on
# Advance widths in thousandths of the type size, byte 32 to byte 255 of code page 1252, from the
# Adobe Core 14 font metrics (AFM). Bytes without a sign are 0.

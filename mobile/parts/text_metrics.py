"""Our type's measures, so that words can be set as large as their place allows.

In parts of the size that type is set in. What belongs to the type itself is read from
`assets/fonts/metrics.json`, which the publisher takes from the font files
(mobile/publish/font_metrics.py).
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

_METRICS = json.loads(
    (Path(__file__).parents[2] / "assets" / "fonts" / "metrics.json").read_bytes()
)
_UNITS: int = _METRICS["units_per_em"]
CAPITAL: float = _METRICS["capital"] / _UNITS
"""Height of a capital letter; figures are a hair taller."""
LINE: float = _METRICS["line"] / _UNITS
"""Height of a line as the type itself asks."""
RUNNING = max(LINE, 1.43)
"""Height of a line of running text, to which the client's own style gives more than the type asks
(measured on its pictures)."""
TIGHT = 0.9
"""Height of a line in a block of words of which every line starts with a capital or is short."""
CLOSE = 0.02
"""How much closer large letters stand than in running text, in parts of their size."""
_ADVANCES: dict[str, float] = {
    letter: int(units) / _UNITS
    for units, letters in _METRICS["advances"].items()
    for letter in letters
}
_NOT_OURS = 1.0
"""Advance taken for a character that our type lacks and another draws: as wide as a square."""
SPACED = 0.5
"""What running text may add to each letter, logical pixels."""
SPACED_OUT = 1.06
"""How much wider running text stands than the sum of its letters, taken roughly."""
FRAMED = 19.0
"""What a frame and the gap to the next take beside the words in it."""


def em(text: str, close: float = 0.0) -> float:
    """The width of `text` on one line, each letter `close` nearer to the next."""
    return sum(_ADVANCES.get(letter, _NOT_OURS) - close for letter in text)


def fitting(text: str, width: float, most: float, close: float = 0.0) -> float:
    """The largest size up to `most` in which `text` fits `width` on one line."""
    return min(most, width / em(text, close)) if text else most


def whole(text: str, width: float, most: float) -> float:
    """The largest size up to `most` in which no word of `text`, spaced as running text is, is wider
    than `width`."""
    return min(on_a_line(word, width, most) for word in text.split() or [""])


def wrapped(text: str, width: float, lines: int, most: float) -> float:
    """The largest size up to `most`, in steps of a half, in which `text` runs over so many lines
    of `width` at most; 1 where none does."""
    size = most
    while size > 1 and len(run_over(text, width / size)) > lines:
        size -= 0.5
    return max(size, 1.0)


def run_over(text: str, ems: float) -> list[str]:
    """The lines that `text` takes where each holds so many ems; a word too wide counts twice."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if em(longer) <= ems:
            lines[-1] = longer
        else:
            lines += [word] if em(word) <= ems else [word, ""]
    return lines


def in_a_row(texts: Iterable[str], size: float, width: float) -> bool:
    """Whether these words stand beside each other in `width`, each in a frame of its own."""
    return sum(em(text) * size + FRAMED for text in texts) <= width


def row_size(texts: Iterable[str], width: float, most: float) -> float:
    """The largest size up to `most` in which these words stand beside each other in `width`."""
    said = list(texts)
    spaced = SPACED * sum(map(len, said))
    return min(most, (width - FRAMED * len(said) - spaced) / sum(map(em, said)))


def on_a_line(text: str, width: float, most: float) -> float:
    """The largest size up to `most` in which `text`, spaced as running text is, fits `width`."""
    return fitting(text, width - SPACED * len(text), most)


def share_of(text: str) -> int:
    """What part of a row a button takes by the width of its words."""
    return round(10 * em(text)) + 12


def broken(
    text: str, width: float, height: float, most: float, line: float = TIGHT
) -> tuple[str, float]:
    """`text` broken between words so that it can be set largest in this place, its letters close
    and each line so high in parts of its size; and that size."""
    options = {lines: _in_lines(text, lines) for lines in range(1, len(text.split()) + 1)}
    sizes = {
        "\n".join(option): min(
            height / (line * lines), *(fitting(line, width, most, CLOSE) for line in option)
        )
        for lines, option in options.items()
    }
    return max(sizes.items(), key=lambda pair: pair[1])


def _in_lines(text: str, lines: int) -> list[str]:
    """The words in so many lines, the widest as narrow as can be."""
    words = text.split()
    if lines == 1:
        return [text]
    ways = (
        [" ".join(words[:first]), *_in_lines(" ".join(words[first:]), lines - 1)]
        for first in range(1, len(words) - lines + 2)
    )
    return min(ways, key=lambda way: max(em(line, CLOSE) for line in way))

"""How the walk's words are set as large as the screen allows.

Read from a metre away, a capital letter must be seen under 20 minutes of arc, 5.8 mm (common
practice for text that is worked by; ISO 9241-303 asks for 16 at least and recommends 20 to 22;
from memory). A logical pixel is nominally 1/96 inch at arm's length (CSS Values and Units 4,
section 6.2), and everything on the walk is 5.8 mm high by that measure. On a phone it is smaller:
390 pixels are 65 mm on one six inches across, 360 are 58 mm on one of five, 320 are 50 mm on one of
four (common figures, no source). What is asked and answered is 5.8 mm high on the glass itself, the
leaf twice that.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from mobile.parts.contact import HEIGHT
from mobile.parts.large import FIGURE
from mobile.parts.text_metrics import CAPITAL, CLOSE, TIGHT, em
from mobile.parts.theme import Theme
from mobile.screens.answers import BUZZ_ANSWERS, LEAF_ANSWERS
from shared.words import Catalogue, current, say

LEGIBLE_MM = 5.82
READ = 22.0 / CAPITAL
"""Size of what supports: 22 pixels of capital height are 5.82 mm at 96 to the inch."""
PAD = 1.0
"""Between an answer's words and its edge, where every pixel counts."""
EDGE = 1.0
SIDE_BY_SIDE = 0.99
"""What the answers' words get of the legible size where the narrowest phone lies on its side: what
is asked beside them is as much short of it."""
SPACIOUS = 78.0
"""The least height of such an answer."""
EASY = 0.98
"""Height of a line in an answer where there is room: nothing touches what hangs above it."""
HANGS = 0.06
"""What a p or g hangs below the last line of an answer, in parts of its size."""
LARGE = 1.0
"""Height of a line of large words."""
NOTE = 1.0
"""Height of a line of what supports."""
SPOKEN_ONLY = 1.0
"""Height, in pixels, of a line that is there for screen readers alone."""
NARROW = 340.0
"""A phone whose shorter side has fewer pixels is one of the narrowest."""
BESIDE = 6.0
"""Between what is asked and the answers beside it."""


@dataclass(frozen=True)
class LongestWords:
    """The widest word of the answers in one language, in parts of the size that it is set in."""

    to_a_leaf: float
    """Of the answers to a leaf."""
    of_all: float
    """Of the answers to a leaf and by ear."""
    alone: float
    """Of the single words that tell answers apart on the narrowest phones."""


@dataclass(frozen=True)
class Insets:
    """What stands around the words whatever their size."""

    margin: float
    gap: float
    top: float
    """Height of the row of strings."""
    foot: float
    """Height of the row under the answers."""


@dataclass(frozen=True)
class WalkLayout:
    """The measures of the walk on one screen; the same whatever string and leaf are asked."""

    edges: Insets
    across: bool
    """Whether the row of strings goes over the whole width, where answers stand beside."""
    words: float
    """Size of every word that is needed while measuring."""
    legible: float
    """The size that is read from a metre on the glass of a phone; `words` where that is less."""
    notes: float
    """Size of what only supports it."""
    note_lines: int
    asked_width: float
    block_width: float
    """Of the answers and the row under them."""
    answer_height: float
    line: float
    """Height of a line of an answer's words, in parts of their size."""
    drawn: bool
    """Whether each answer has room for its drawing."""
    number_height: float
    """What is left for the leaf's number, with what stands over or under it."""

    @property
    def answer_width(self) -> float:
        """Of one of two beside each other."""
        return (self.block_width - self.edges.gap) / 2

    @property
    def inner(self) -> float:
        """The width of an answer's words; a rounded pixel is left free."""
        return _inner(self.block_width, self.edges) - 1

    @property
    def top_width(self) -> float:
        """Of the row of strings."""
        return self.asked_width + (BESIDE + self.block_width if self.across else 0.0)


def walk_layout(theme: Theme) -> WalkLayout:
    """The measures for this screen in the language spoken, the same for every string and leaf."""
    return _room_of(theme, longest_words(current().catalogue))


@lru_cache(maxsize=8)
def _room_of(theme: Theme, longest: LongestWords) -> WalkLayout:
    """Worked out once for each way the screen is held."""
    return _on_its_side(theme, longest) if theme.landscape else _upright(theme, longest)


@lru_cache(maxsize=4)
def longest_words(language: Catalogue) -> LongestWords:
    """Of the answers as they are said now; `language` is the one in use, to remember them by."""
    to_a_leaf = _widest(say(answer.label) for answer in LEAF_ANSWERS)
    by_ear = _widest(say(answer.label) for answer in BUZZ_ANSWERS)
    alone = _widest(answer.narrow() for answer in (*LEAF_ANSWERS, *BUZZ_ANSWERS))
    return LongestWords(to_a_leaf, max(to_a_leaf, by_ear), alone)


def _widest(texts: Iterable[str]) -> float:
    return max(em(word, CLOSE) for text in texts for word in text.split())


def _legible(theme: Theme) -> float:
    """The size whose capitals are high enough on the glass of a phone with this many pixels."""
    pixels_a_mm = 390 / 65
    if theme.shorter < 380:
        pixels_a_mm = 360 / 58 if theme.shorter >= NARROW else 320 / 50
    return LEGIBLE_MM * pixels_a_mm / CAPITAL


def _most(theme: Theme) -> float:
    return max(_legible(theme), min(64.0, theme.shorter / 8))


def _notes(theme: Theme) -> float:
    """Of what supports: it grows with the text chosen, but never until a line has to go."""
    return max(READ, min(theme.text_size, READ * max(1.0, min(1.3, theme.height / 770))))


def _inner(block: float, edges: Insets) -> float:
    return (block - edges.gap) / 2 - 2 * (PAD + EDGE)


def _words_height(words: float, inner: float, line: float, least: float) -> float:
    """Of an answer's two lines at the size `words`; of one where its longest word, `least` wide at
    the smallest size that is legible, would have to be smaller."""
    lines = 2 if least <= inner else 1
    return (line * lines + HANGS) * words + 2 * (PAD + EDGE)


def _upright(theme: Theme, longest: LongestWords) -> WalkLayout:
    """Two by two under the thumb; whatever height is left goes to drawings, then to the number."""
    small = theme.height < 700
    margin, gap = (2.0, 3.0) if theme.width < 360 else (8.0, 6.0)
    edges = Insets(margin, gap, *((48.0, 48.0) if small else (52.0, 56.0)))
    width = min(theme.width - 2 * margin, 720.0)
    notes, lines = _notes(theme), 3
    free = theme.height - 2 * margin - edges.top - edges.foot - 4 * gap
    free -= lines * NOTE * notes + SPOKEN_ONLY
    line = TIGHT if small else EASY
    words, answer = _words_and_answer(
        theme, _inner(width, edges), line, free, longest.to_a_leaf * _legible(theme)
    )
    left = free - 2 * answer - 2 * LARGE * words
    drawn = left - 2 * HEIGHT >= 2 * FIGURE * words + NOTE * notes
    return WalkLayout(
        edges=edges,
        across=False,
        words=words,
        legible=min(words, _legible(theme)),
        notes=notes,
        note_lines=lines,
        asked_width=width,
        block_width=width,
        answer_height=answer + HEIGHT * drawn,
        line=line,
        drawn=drawn,
        number_height=left - 2 * HEIGHT * drawn,
    )


def _words_and_answer(
    theme: Theme, inner: float, line: float, free: float, longest: float
) -> tuple[float, float]:
    """The largest words with which string, side, leaf and answers share the `free` height, and the
    height of an answer; `longest` is the width of its longest word at the least legible size."""
    least, words = max(SPACIOUS, theme.shorter / 5), _most(theme)
    while True:
        answer = max(least, _words_height(words, inner, line, longest))
        if words <= READ or 2 * (LARGE + FIGURE) * words + 2 * answer <= free:
            return words, answer
        words -= 0.25


def _on_its_side(theme: Theme, longest: LongestWords) -> WalkLayout:
    """Two by two under the thumb; string, side and leaf beside it."""
    small = theme.height < 360
    edges = Insets(2.0, 2.5, 48.0, 48.0) if small else Insets(8.0, 6.0, 52.0, 52.0)
    height = theme.height - 2 * edges.margin
    block = _answers_width(theme, edges, longest)
    above = edges.top + edges.gap if small else 0.0
    answer = min((height - above - edges.foot - 2 * edges.gap) / 2, 240.0)
    notes, lines = _notes(theme), (2 if small else 3)
    left = height - edges.top - edges.gap - lines * NOTE * notes - SPOKEN_ONLY
    most = min(left / (2 * (LARGE + FIGURE)), (answer - 2 * (PAD + EDGE)) / (2 * TIGHT))
    words, inner = min(_most(theme), most), _inner(block, edges)
    word = longest.to_a_leaf * min(words, _legible(theme))
    line = EASY if answer >= HEIGHT + _words_height(words, inner, EASY, word) else TIGHT
    return WalkLayout(
        edges=edges,
        across=small,
        words=words,
        legible=min(words, _legible(theme)),
        notes=notes,
        note_lines=lines,
        asked_width=theme.width - 2 * edges.margin - BESIDE - block,
        block_width=block,
        answer_height=answer,
        line=line,
        drawn=answer >= HEIGHT + _words_height(words, inner, line, word),
        number_height=left - 2 * LARGE * words,
    )


def _answers_width(theme: Theme, edges: Insets, longest: LongestWords) -> float:
    """The width of the answers beside what is asked: enough for the longest word, little more than
    half at most; on the narrowest phones enough for single words."""
    narrow = theme.shorter < NARROW
    word = SIDE_BY_SIDE * longest.alone if narrow else longest.of_all
    wanted = 2 * (word * _legible(theme) + 2 * (PAD + EDGE) + 0.5) + edges.gap
    if narrow:
        return wanted
    return min(0.56 * theme.width, max(0.45 * theme.width, wanted))

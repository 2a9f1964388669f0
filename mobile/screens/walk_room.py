"""How the walk's words are set as large as the screen allows.

Read from a metre away, a capital letter must be seen under 20 minutes of arc, 5.8 mm (common
practice for text that is worked by; ISO 9241-303 asks for 16 at least and recommends 20 to 22;
from memory). On a phone six inches across, 390 logical pixels are 65 mm wide: 36 pixels of capital
height for every word needed while measuring, and twice that for the leaf.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from mobile.letters import LINE, TIGHT, em
from mobile.look import Look
from mobile.parts.contact import HEIGHT, WIDTH

PAD = 3.0
"""Between an answer's words and its edge, where every pixel counts."""
EDGE = 1.0
NARROWEST = "contact"
"""The longest word that may not be broken in an answer."""
HOLDS = 7.2
"""What must fit beside the answers in landscape, in the size of the words: string and pitch."""
SMALL_PRINT = 2
"""Lines under the leaf's number: what was answered, and what follows from it."""


@dataclass(frozen=True)
class Room:
    """The measures of the walk on one screen; the same whatever string and leaf are asked."""

    margin: float
    gap: float
    top: float
    foot: float
    """Height of the row under the answers; in landscape the width of the strip beside them."""
    words: float
    """Size of every word that is needed while measuring."""
    notes: float
    """Size of what only supports it."""
    asked_width: float
    answer_width: float
    answer_height: float
    drawn: bool
    """Whether each answer has room for its drawing."""
    number_height: float
    """What is left for the leaf's number."""


@lru_cache(maxsize=8)
def room_of(look: Look) -> Room:
    """The measures for this screen; worked out once for each way it is held."""
    return _on_its_side(look) if look.landscape else _upright(look)


def _base(look: Look) -> float:
    return 17.0 if look.shorter < 360 else 19.0


def _most(look: Look) -> float:
    return max(48.5, min(64.0, look.shorter / 8))


def _notes_height(notes: float) -> float:
    return SMALL_PRINT * LINE * notes + 4


def _upright(look: Look) -> Room:
    """Two by two under the thumb; whatever height is left goes to drawings, then to the number."""
    small = look.height < 600
    margin, gap = (8.0, 4.0) if small else (12.0, 8.0)
    top, foot = (48.0, 48.0) if small else (52.0, 56.0)
    width = min(look.width - 2 * margin, 720.0)
    cell = (width - gap) / 2
    notes = min(look.text_size, _base(look) * 1.5)
    fixed = 2 * margin + top + foot + 4 * gap + LINE * notes + _notes_height(notes)
    free = look.height - fixed
    least = max(72.0, look.shorter / 5)
    by_height = min(free / (2 * LINE + 2.3 + 4 * TIGHT), (free - 2 * least) / (2 * LINE + 2.3))
    words = min(_most(look), (cell - 2 * (PAD + EDGE)) / em(NARROWEST), by_height)
    answer = max(least, 2 * TIGHT * words + 2 * (PAD + EDGE))
    left = free - 2 * answer - 2 * LINE * words
    drawn = left - 2 * HEIGHT >= 2.3 * words
    if drawn:
        answer, left = answer + HEIGHT, left - 2 * HEIGHT
    return Room(margin, gap, top, foot, words, notes, width, cell, answer, drawn, left)


def _on_its_side(look: Look) -> Room:
    """One column of four under the thumb; string, side and leaf beside it."""
    small = look.width < 700
    margin, gap = (8.0, 3.0) if small else (10.0, 4.0)
    foot = 64.0 if small else 84.0
    answer = (look.height - 2 * margin - 3 * gap) / 4
    words = min(_most(look), (answer - 2 * EDGE) / (2 * TIGHT))
    free = look.width - 2 * margin - foot - 16 - HOLDS * words
    bare = em(NARROWEST) * words + 2 * (PAD + EDGE)
    drawn = free >= bare + WIDTH + 24
    thumb = max(bare, min(free, 0.38 * look.width))
    asked = look.width - 2 * margin - foot - 16 - thumb
    notes = min(look.text_size, _base(look) * 1.25)
    used = 2 * margin + 52 + 2 * gap + 2 * LINE * words + LINE * notes + _notes_height(notes)
    left = look.height - used
    return Room(margin, gap, 52.0, foot, words, notes, asked, thumb, answer, drawn, left)

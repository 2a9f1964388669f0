"""What the hand feels, drawn with three lines: the crown, the leaf, the string.

Of bars and bows alone (`mobile/parts/lines.py`), as this screen is drawn anew while a hand waits
for it.
"""

from __future__ import annotations

import flet.canvas as cv

from mobile.parts.lines import bar, bow, post
from mobile.parts.theme import Theme

WIDTH, HEIGHT = 76.0, 52.0
_CROWN_TOP = 36.0
_CROWN_FOOT = HEIGHT - 4
_LEAF = 27.0
_MIDDLE = WIDTH / 2


def contact_drawing(kind: str, theme: Theme, ink: str | None = None) -> cv.Canvas:
    """`kind` is none, light, heavy, buzz or rule."""
    ink = ink or theme.palette.text
    draw = {"none": _gap, "light": _touch, "heavy": _pushed, "buzz": _blur, "rule": _rule}[kind]
    return cv.Canvas([_crown(theme), *draw(theme, ink)], width=WIDTH, height=HEIGHT)


def _crown(theme: Theme) -> cv.Shape:
    return bow(_MIDDLE, 16, _CROWN_FOOT, _CROWN_FOOT - _CROWN_TOP, theme.palette.quiet, 3)


def _leaf(theme: Theme) -> cv.Shape:
    return bar(14, _CROWN_TOP - 5, WIDTH - 28, theme.palette.brass, 4)


def _string(y: float, ink: str) -> cv.Shape:
    return bar(2, y, WIDTH - 4, ink, 3)


def _gap(theme: Theme, ink: str) -> list[cv.Shape]:
    return [_leaf(theme), _string(12, ink)]


def _touch(theme: Theme, ink: str) -> list[cv.Shape]:
    return [_leaf(theme), _string(_LEAF - 0.5, ink)]


def _pushed(theme: Theme, ink: str) -> list[cv.Shape]:
    return [_leaf(theme), bow(_MIDDLE, _MIDDLE - 2, 34, 11, ink, 3)]


def _blur(theme: Theme, ink: str) -> list[cv.Shape]:
    return [bow(_MIDDLE, _MIDDLE - 2, 22, rise, ink, 2) for rise in (13, 4.5, -4.5, -13)]


def _rule(theme: Theme, ink: str) -> list[cv.Shape]:
    """A rule that stands on the crown beside the string, its longer marks at every other place."""
    marks = [
        bar(_MIDDLE + 4, _CROWN_TOP - 4 - 6 * place, 10 - 4 * (place % 2), theme.palette.brass, 2)
        for place in range(5)
    ]
    return [_string(12, ink), post(_MIDDLE + 3, 5, _CROWN_TOP, theme.palette.brass, 3), *marks]

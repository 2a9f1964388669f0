"""The look of the bench: palette, type and measures. No screen invents its own."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import cast

import flet as ft
from flet.controls.base_control import value

FONT = "Bench"
TAP = 48.0
"""The least height and width of anything that is touched, logical pixels."""
GAP = 8.0


@dataclass(frozen=True)
class Palette:
    """Colours by what they are for."""

    ground: str
    surface: str
    hairline: str
    text: str
    quiet: str
    brass: str
    on_brass: str
    window: str
    alarm: str
    nut: str


NIGHT = Palette(
    ground="#14110D",
    surface="#211C15",
    hairline="#726757",
    text="#F0E7D6",
    quiet="#B8AB94",
    brass="#E0AE55",
    on_brass="#1B1408",
    window="#8CC4B8",
    alarm="#F08A6B",
    nut="#342C20",
)
PAPER = Palette(
    ground="#F3EDE0",
    surface="#FBF8F1",
    hairline="#918673",
    text="#1D1912",
    quiet="#5C5242",
    brass="#7A4E00",
    on_brass="#FFFDF7",
    window="#1C5F55",
    alarm="#9A2A12",
    nut="#E2D8C3",
)
SUN = Palette(
    ground="#FFFFFF",
    surface="#FFFFFF",
    hairline="#000000",
    text="#000000",
    quiet="#000000",
    brass="#000000",
    on_brass="#FFFFFF",
    window="#000000",
    alarm="#000000",
    nut="#FFFFFF",
)
PALETTES = {"night": NIGHT, "paper": PAPER, "sun": SUN}


@dataclass(frozen=True)
class Theme:
    """How to draw on this screen now: its palette, its size, the hand that holds it."""

    palette: Palette = NIGHT
    width: float = 390.0
    height: float = 844.0
    left_handed: bool = False
    scale: float = 1.0
    """How much larger than usual text is set."""
    lit: str = ""
    """The mark of what a switch has lit."""
    language: str = "en"
    """Whose words are drawn: what is kept drawn in another language does not hold."""
    decimal: str = "."
    """What stands between whole and part of a number."""
    announced: str = ""
    """What is said above the screen, or over the title of one that is low."""
    announced_height: float = 0.0
    """What that takes above `height`, which is left for the screen."""

    @property
    def landscape(self) -> bool:
        """Wider than high."""
        return self.width > self.height

    @property
    def shorter(self) -> float:
        """The shorter side, logical pixels."""
        return min(self.width, self.height)

    @property
    def margin(self) -> float:
        """Space to the screen's edge."""
        return 10.0 if self.shorter < 360 else 16.0

    @property
    def answer_height(self) -> float:
        """Of one answer: a fifth of the shorter side, 72 at least, more where there is room."""
        least = max(72.0, self.shorter / 5)
        return least if self.landscape else max(least, min(92.0, self.height * 0.1))

    @property
    def text_size(self) -> float:
        """Body text."""
        return (17.0 if self.shorter < 360 else 19.0) * self.scale

    @property
    def column(self) -> float:
        """Widest comfortable column of text and rows."""
        return min(self.width - 2 * self.margin, 720.0)

    def abreast(self, most: int, least: float = 110.0) -> int:
        """How many of `most` go in a row of cells `least` wide at the usual text size."""
        fit = max(1, int(self.column / (least * self.scale)))
        return next(count for count in range(min(fit, most), 0, -1) if most % count == 0)

    @property
    def thumb_width(self) -> float:
        """Of the column of answers in landscape."""
        return min(430.0, self.width * 0.44)


@value
class Colours:
    """What of the client's colour scheme is ours."""

    primary: str
    surface: str
    outline: str
    on_primary: str = field(metadata={"event": False})
    on_surface: str = field(metadata={"event": False})


@value
class FletTheme:
    """What of the client's theme is ours: flat, square, in one type family.

    Flet's own class of that name brings the classes of forty controls that no first screen shows.
    """

    font_family: str
    color_scheme: Colours
    scaffold_bgcolor: str


def flet_theme(palette: Palette) -> ft.Theme:
    """The theme behind our own parts, as Flet sends one to its client."""
    colours = Colours(
        primary=palette.brass,
        on_primary=palette.on_brass,
        surface=palette.ground,
        on_surface=palette.text,
        outline=palette.hairline,
    )
    ours = FletTheme(font_family=FONT, color_scheme=colours, scaffold_bgcolor=palette.ground)
    return cast("ft.Theme", ours)

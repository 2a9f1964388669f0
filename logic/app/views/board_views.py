"""What is shown of a board: where its frets are, drawn to scale, and what can be changed of it."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views.pieces import Choice


@dataclass(frozen=True)
class FretPlace:
    """One place along the board, with a fret or without; shares of the scale from the nut."""

    semitones: float
    number: int
    """Counted from the nut; 0 where no fret is."""
    figure: str
    """What the fret is called; empty where none is."""
    name: str
    away: str
    """How far from the nut."""
    begins: float
    """Where the place before it lies."""
    ends: float
    said: str

    @property
    def there(self) -> bool:
        """Whether a fret is there."""
        return self.number > 0


@dataclass(frozen=True)
class BoardView:
    """Where the frets of one instrument are."""

    instrument: str
    title: str
    spacings: tuple[Choice, ...]
    halves: tuple[Choice, ...]
    """Half frets, on a diatonic board."""
    tied: Choice | None
    """None on a bare board."""
    count: str
    first: str
    """How far the first fret is from the nut."""
    octave: int
    """The fret an octave up."""
    places: tuple[FretPlace, ...]
    """From the nut up; empty on a bare board."""
    picture: str
    """The drawing in words."""
    left_handed: bool
    said: str = ""
    """What the last change makes of what was read, or why it was not made."""

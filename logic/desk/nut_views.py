"""What the screens of the nut as a whole show."""

from __future__ import annotations

from dataclasses import dataclass

from logic.desk.pieces import Choice


@dataclass(frozen=True)
class WayColumn:
    """One way of raising the nut beside the others; `facts` stand in the order of the rows."""

    method: str
    name: str
    facts: tuple[str, ...]
    recommended: bool
    chosen: bool


@dataclass(frozen=True)
class WaysView:
    """The ways side by side, and the chosen one in full."""

    job: str
    title: str
    advice: str
    rows: tuple[str, ...]
    """What is compared: a name for each fact."""
    ways: tuple[WayColumn, ...]
    heading: str
    why: str
    steps: tuple[tuple[str, str], ...]
    """What the chosen way asks for: a name and its figures."""
    cautions: tuple[str, ...]
    lays_out: bool
    """Whether a new nut can be laid out here."""


@dataclass(frozen=True)
class MarginLine:
    """One distance of the new nut, to be stepped."""

    key: str
    label: str
    value: str


@dataclass(frozen=True)
class NewNutView:
    """A new nut in figures."""

    job: str
    title: str
    spacings: tuple[Choice, ...]
    margins: tuple[MarginLine, ...]
    rows: tuple[tuple[str, ...], ...]
    """String by string, the head row first; empty where it cannot be laid out."""
    lines: tuple[str, ...]
    trouble: str = ""
    """Why it cannot be laid out, and what would do."""
    note: str = ""

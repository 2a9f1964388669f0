"""How strings stay and move between visits: `assets/quick_check.json`."""

from __future__ import annotations

from shared.table import Figure, SourcedRow, Table


class TonightTexts(SourcedRow):
    """What to look at before it plays, by what the check found."""

    lower: str
    together: str
    higher: str


class QuickCheckTable(Table):
    """How a string stands that nobody touched, and how one that moved."""

    settles_mm: Figure[float]
    moved_from_mm: Figure[float]
    moved_by_mm: Figure[float]
    moved_probability: Figure[float]
    lower_share_of_moved: Figure[float]
    sure_from_probability: Figure[float]
    least_nats: Figure[float]
    tonight: TonightTexts

"""What a whole set-up aims at, and how its reading is led: `assets/setup.json`."""

from __future__ import annotations

from typing import Annotated

from shared.table import EACH_KIND_ONCE, Figure, SourcedRow, Table


class ReliefWindow(SourcedRow):
    """The relief that a neck is set to, between the standard holds, millimetres."""

    low_mm: float
    target_mm: float
    high_mm: float


class ReliefWindowFamily(ReliefWindow):
    """The working window of these kinds."""

    kinds: tuple[str, ...]


class ReliefWindows(SourcedRow):
    """The working window of relief of each kind of instrument."""

    families: Annotated[tuple[ReliefWindowFamily, ...], EACH_KIND_ONCE]
    otherwise: ReliefWindow

    def of(self, kind: str) -> ReliefWindow:
        """The working window of this kind."""
        return next((row for row in self.families if kind in row.kinds), self.otherwise)


class SetupTable(Table):
    """What a whole set-up aims at, and how its reading is led. What has no unit in its name is a
    share or a probability."""

    relief_windows: ReliefWindows
    own_relief_within_mm: Figure[float]
    """How far either side of an own target relief is inside its window."""
    action_low_share: Figure[float]
    """Of the usual action: what is lower is too low."""
    action_high_share: Figure[float]
    own_action_within_share: Figure[float]
    relief_prior_sd_mm: Figure[float]
    """How far relief is expected from the middle of its window before anything is measured."""
    sides_differ_sd_mm: Figure[float]
    action_prior_sd_share: Figure[float]
    """How far action is expected from the usual before anything is measured, as a share of it."""
    strings_differ_sd_mm: Figure[float]
    """How far an unread string is expected from what the outer strings predict."""
    uneven_mm: Figure[float]
    """Between the two sides: from here on it is said."""
    uneven_refer_mm: Figure[float]
    off_the_parabola_mm: Figure[float]
    look: Figure[tuple[str, ...]]
    """The checks of the one-minute look, by the id of their rule."""

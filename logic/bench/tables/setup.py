"""What a whole set-up aims at, and how its reading is led: `assets/setup.json`."""

from __future__ import annotations

from typing import Annotated

from shared.instrument import Attack
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
    action_attack_share: Figure[dict[Attack, float]]
    """How much more than a medium hand each one is usually given, as a share of it."""
    own_action_within_share: Figure[float]
    relief_known_within_mm: Figure[float]
    """How far the relief that an instrument is entered with may have moved since."""
    relief_prior_sd_mm: Figure[float]
    """How far relief is expected from the middle of its window before anything is measured."""
    side_own_sd_mm: Figure[float]
    """How far either side of a neck departs from what both have in common."""
    alone_probability: Figure[float]
    """How often a side or string has nothing to do with the others."""
    action_level_share: Figure[float]
    """How far all strings together are expected from the usual action, as a share of it."""
    action_tilt_share: Figure[float]
    """The same of either outer string against the middle, as a bridge leans."""
    middle_lift_sd_mm: Figure[float]
    """How far the middle strings are expected from where the curve of the board puts them."""
    string_own_sd_mm: Figure[float]
    """How far one string departs from all that it has in common with the others."""
    nut_spread_share: Figure[float]
    """Between the outer strings at the nut, as a share of that at the saddle."""
    deep_share: Figure[float]
    """Of the deepest gap: where less is left, a leaf tells more of the neck's shape than of its
    relief."""
    straight_within_mm: Figure[float]
    uneven_mm: Figure[float]
    """Between the two sides: from here on it is said."""
    uneven_refer_mm: Figure[float]
    crown_off_sd_mm: Figure[float]
    """How far a single crown stands off the line of the others."""
    bent_off_sd_mm: Figure[float]
    """How far the board stands off the parabola where it bends in an S."""
    most_relief_touches: Figure[int]
    most_action_touches: Figure[int]
    off_the_parabola_mm: Figure[float]
    look: Figure[tuple[str, ...]]
    """The checks of the one-minute look, by the id of their rule."""

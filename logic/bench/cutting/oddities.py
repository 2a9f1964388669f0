"""What a pass may have done when it was not what strokes do, and what is asked then.

A pass can take nothing (the file rides on the walls), far too much (a slip, a wrong file), or seem
to have raised the string (it sits beside its slot). Each is held beside the ordinary explanation,
as chances over the clearance grid, until readings tell them apart.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from itertools import accumulate
from typing import TYPE_CHECKING

from logic.bench.measuring.grid import CLEARANCE, Curve
from shared.words import mark

if TYPE_CHECKING:
    from logic.bench.tables.cutting import CuttingTable


class Oddity(StrEnum):
    """What a pass seems to have done, when it was not what strokes do."""

    NOTHING = "nothing removed"
    FAR_TOO_MUCH = "far too much removed"
    HIGHER = "reads higher than before the cut"


ODDITY_QUESTIONS = {
    Oddity.NOTHING: mark(
        "That pass seems to have taken nothing. Is the file bearing at the front edge, "
        "and the string down in its slot?"
    ),
    Oddity.FAR_TOO_MUCH: mark(
        "That pass seems to have taken far more than strokes of this file do. "
        "Check the file, the count and the reading before another stroke."
    ),
    Oddity.HIGHER: mark(
        "It reads higher than before the cut. Is the string seated, at pitch, and the "
        "slot free of dust?"
    ),
}


def odd_explanations(before: Curve, table: CuttingTable) -> tuple[tuple[Oddity, Curve], ...]:
    """Where the string would stand if the pass took nothing, took any depth, or it reads higher;
    each curve sums to how likely its explanation is against the ordinary one."""
    return (
        (Oddity.NOTHING, _scaled(before, table.nothing_removed_probability)),
        (Oddity.FAR_TOO_MUCH, _scaled(_deeper(before), table.far_too_much_probability)),
        (
            Oddity.HIGHER,
            _scaled(_higher(before, table.reads_higher_up_to_mm), table.reads_higher_probability),
        ),
    )


def _deeper(before: Curve) -> Iterable[float]:
    """Every depth below where it stood, all equally likely."""
    share = [m / (i + 1) for i, m in enumerate(before)]
    return list(accumulate(reversed(share)))[::-1]


def _higher(before: Curve, up_to_mm: float) -> Iterable[float]:
    """Every height up to `up_to_mm` above where it stood, all equally likely."""
    cells = round(up_to_mm / CLEARANCE.step)
    reach = list(accumulate([*before, *(0.0,) * cells]))
    return [
        (reach[i - 1] - (reach[i - 1 - cells] if i > cells else 0.0)) / cells if i else 0.0
        for i in range(len(before))
    ]


def _scaled(curve: Iterable[float], share: float) -> Curve:
    return tuple(share * m for m in curve)

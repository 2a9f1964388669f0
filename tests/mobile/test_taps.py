"""How many taps the loops of a day may take at the most, on screens as they are drawn."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.mobile import loops
from tests.mobile.thumb import Thumb


@pytest.mark.parametrize(
    ("loop", "most"),
    [
        (loops.to_first_call, 6),
        (lambda thumb: loops.to_first_call(thumb, "0.2"), 8),
        (loops.to_first_leaf_of_a_buzz, 10),
        (loops.to_plan, 32),
        (loops.kit_of_eight_and_six, 17),
        (loops.common_kit, 5),
        (loops.quick_check, 7),
        (loops.plan_reopened, 1),
    ],
    ids=[
        *("first call", "first call with relief typed", "buzz to first leaf", "six high to plan"),
        *("kit", "common kit", "quick check", "plan reopened"),
    ],
)
def test_a_loop_takes_no_more_taps_than_it_may(loop: Callable[[Thumb], int], most: int) -> None:
    """Every tap is one button that the screen shows when it is touched."""
    thumb = Thumb()
    assert loop(thumb) <= most, thumb.taps


def test_a_slot_takes_its_readings_its_passes_and_three_taps() -> None:
    """From the plan to the proof of one slot."""
    thumb = Thumb()
    made = loops.slot_to_proof(thumb)
    assert made.readings > 0 and made.passes > 0
    assert made.others <= 3, thumb.taps

"""How many taps the loops of a day take: `python -m tests.benchmarks.bench_taps`.

A thumb does each loop on the screens of a phone as they are drawn now (`tests/mobile/loops.py`): a
tap is a button that is shown, a number that is typed and saved is one, scrolling is none. Beside it
stand the taps that the same thumb needed before these loops were shortened, and what a person had
counted then, who answered more of what was asked.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass

from tests.mobile import loops
from tests.mobile.thumb import Thumb


@dataclass(frozen=True)
class Loop:
    """One loop, and what it took before."""

    name: str
    taps: Callable[[Thumb], object]
    thumb_before: str
    counted_before: str


def _slot(thumb: Thumb) -> str:
    made = loops.slot_to_proof(thumb)
    return f"{made.all} ({made.readings} readings, {made.passes} passes, {made.others})"


LOOPS = (
    Loop("first call from a preset", loops.to_first_call, "7", "8"),
    Loop("the same, relief typed", lambda thumb: loops.to_first_call(thumb, "0.2"), "8", ""),
    Loop("buzz on one string to its first leaf", loops.to_first_leaf_of_a_buzz, "9", "18"),
    Loop("six high slots to their plan", loops.to_plan, "30", "32"),
    Loop("one slot from the plan to its proof", _slot, "13 (6 readings, 4 passes, 3)", "17"),
    Loop("kit of 8 leaves and 6 files", loops.kit_of_eight_and_six, "36", "34"),
    Loop("common kit", loops.common_kit, "", ""),
    Loop("quick check of six strings", loops.quick_check, "7", "7"),
    Loop("plan of six strings reopened", loops.plan_reopened, "1", ""),
)


def main() -> None:
    """Print the table."""
    argparse.ArgumentParser(description=__doc__).parse_args()
    print(f"{'':38}{'now':32}{'this thumb before':32}counted before")
    for loop in LOOPS:
        now = str(loop.taps(Thumb()))
        print(f"{loop.name:38}{now:32}{loop.thumb_before:32}{loop.counted_before}".rstrip())


if __name__ == "__main__":
    main()

"""The order of the walk: which string next, and what is asked of it."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

from logic.bench.plan.plan import StringState
from shared.instrument import Instrument
from shared.job import Job
from shared.measurements import Side
from shared.reasons import CallReason


class WalkQuestion(StrEnum):
    """What the walk asks of one string."""

    LEAF = "leaf"
    BUZZ = "buzz"
    NOTHING = "nothing"


def walk_order(instrument: Instrument) -> tuple[int, ...]:
    """Strings in the order they are read: from the bass side, as they lie across the nut."""
    return tuple(sorted((spec.string for spec in instrument.strings), reverse=True))


def walk_on(job: Job, here: int) -> tuple[int, ...]:
    """The strings among which the walk goes on from `here`: those alone that the last work touched
    while one of them is at hand, else all."""
    order = walk_order(job.instrument)
    if not job.rounds or here not in job.rounds[-1].work.strings:
        return order
    return tuple(string for string in order if string in job.rounds[-1].work.strings)


def question_of(state: StringState) -> WalkQuestion:
    """A leaf while one tells more about the call or its amount, then the ear where it decides."""
    if state.advice.leaves:
        return WalkQuestion.LEAF
    if state.call.reason == CallReason.PLAY_IT_OPEN:
        return WalkQuestion.BUZZ
    return WalkQuestion.NOTHING


def next_string(
    order: tuple[int, ...], here: int, state_of: Callable[[int], StringState]
) -> int | None:
    """The first string after `here`, round the nut, of which something is still asked."""
    place = order.index(here)
    for string in (*order[place + 1 :], *order[:place], here):
        if question_of(state_of(string)) is not WalkQuestion.NOTHING:
            return string
    return None


def reach_from(order: tuple[int, ...], string: int) -> Side:
    """The side a leaf is easiest slid in from: the nearer edge of the board."""
    return Side.BASS if order.index(string) < len(order) / 2 else Side.TREBLE

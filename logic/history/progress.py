"""How far a long piece of work has come, reported between its steps.

Folding the records of years takes a while. The work itself is written once, as a generator that
stops now and then to say how far it is; who has a page to keep alive awaits something at each stop.
"""

from __future__ import annotations

import asyncio
import gc
from collections.abc import Awaitable, Callable, Generator, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeVar

STEP = 1000
"""Entries between two stops: well under a second on a phone (common practice, no source)."""
Result = TypeVar("Result")


@dataclass(frozen=True)
class Progress:
    """Entries dealt with so far (`done`), and about how many there are (`of`)."""

    done: int
    of: int


Steps = Generator[Progress, None, Result]
OnProgress = Callable[[Progress], Awaitable[None]]


async def yield_to_event_loop(_: Progress) -> None:
    """Give the event loop one turn, so that a touch or a frame is dealt with; reports nothing."""
    await asyncio.sleep(0)


@contextmanager
def without_gc() -> Iterator[None]:
    """No garbage collection within a step: what it makes either stays or is freed by reference
    count, and collecting among thousands of entries again and again takes a fifth of the time."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()


def _next(steps: Steps[Result]) -> Progress:
    with without_gc():
        return next(steps)


def run_at_once(steps: Steps[Result]) -> Result:
    """What `steps` come to, without a stop."""
    while True:
        try:
            _next(steps)
        except StopIteration as end:
            result: Result = end.value
            return result


async def run_in_steps(steps: Steps[Result], on_progress: OnProgress) -> Result:
    """What `steps` come to, with `on_progress` awaited at each stop."""
    while True:
        try:
            progress = _next(steps)
        except StopIteration as end:
            result: Result = end.value
            return result
        await on_progress(progress)

"""How far a long piece of work has come, told between its steps.

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
    """Entries that are seen to, and about how many there are: an estimate until the end."""

    done: int
    of: int


Steps = Generator[Progress, None, Result]
Told = Callable[[Progress], Awaitable[None]]


async def let_through(_: Progress) -> None:
    """Let a touch or a frame through, and tell nobody."""
    await asyncio.sleep(0)


@contextmanager
def unswept() -> Iterator[None]:
    """Within a step nothing is swept: what it makes either stays or goes by itself, and looking
    through thousands of entries again and again would take a fifth of the time."""
    swept = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if swept:
            gc.enable()


def _next(steps: Steps[Result]) -> Progress:
    with unswept():
        return next(steps)


def at_once(steps: Steps[Result]) -> Result:
    """What `steps` come to, without a stop."""
    while True:
        try:
            _next(steps)
        except StopIteration as end:
            result: Result = end.value
            return result


async def by_steps(steps: Steps[Result], told: Told) -> Result:
    """What `steps` come to, with `told` awaited at each stop."""
    while True:
        try:
            progress = _next(steps)
        except StopIteration as end:
            result: Result = end.value
            return result
        await told(progress)

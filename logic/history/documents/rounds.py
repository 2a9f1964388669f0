"""What came before each piece of work: everything by the one order of events, so that any merge of
devices comes to the same rounds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Protocol, TypeVar

from shared.events import COUNTS_AS, Stamp, place_of
from shared.work import Work

Order = tuple[Stamp, str, int]
"""As `Event.order`."""


class Written(Protocol):
    """Something that an event wrote."""

    @property
    def order(self) -> Order:
        """When, in the one order of events."""


class ReportedWork(Written, Protocol):
    """A piece of work that an event reported."""

    @property
    def work(self) -> Work:
        """What was done."""


Item = TypeVar("Item", bound=Written)


def order_of(author: Mapping[str, Any]) -> Order:
    """`Authorship.order` of what a raw document says of an author."""
    device, _, seq = author["event"].rpartition(":")
    return place_of(author["time"], author.get(COUNTS_AS)), device, int(seq)


def round_of(order: Order, works: Sequence[ReportedWork], string: int | None = None) -> int:
    """Which of `works`, oldest first, ended what was written at `order`: the first after it, of a
    string the first that touched it. The number of works where it still stands."""
    for place, done in enumerate(works):
        if order < done.order and (string is None or string in done.work.strings):
            return place
    return len(works)


def in_rounds(
    items: Iterable[Item], works: Sequence[ReportedWork], string_of: Callable[[Item], int | None]
) -> list[tuple[Item, ...]]:
    """`items` by the work that ended them; last those that still stand."""
    rounds: list[list[Item]] = [[] for _ in range(len(works) + 1)]
    for item in items:
        rounds[round_of(item.order, works, string_of(item))].append(item)
    return [tuple(each) for each in rounds]


def answers_since(
    name: str, answers: Mapping[str, Any], marks: Mapping[str, Any], since: Order | None
) -> dict[str, Any]:
    """Those of `answers` that were given after `since` (None: all there are), by their marks, raw
    or models; `name` is what they stand under. One without a mark is older than marks are."""

    def later(gate: str) -> bool:
        mark = marks.get(f"{name}.{gate}")
        if since is None or mark is None:
            return since is None
        order: Order = order_of(mark) if isinstance(mark, Mapping) else mark.order
        return order > since

    kept: dict[str, Any] = {}
    for gate, answer in answers.items():
        if not isinstance(answer, Mapping):
            if later(gate):
                kept[gate] = answer
        elif own := {key: one for key, one in answer.items() if later(f"{gate}.{key}")}:
            kept[gate] = own
    return kept

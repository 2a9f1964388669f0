"""Rebasing: when a number was given out twice, the branch that others hold stays, the other moves.

A device that wrote after an old copy of it was put back has given out numbers a second time. What
it wrote is no less true, so it is recorded again under a device name of its own, made from the
branch itself: every device that holds the branch replays it to the same bytes, and the union is
what it would be had the device taken a new name in time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from shared.events import Event, Kind

BRANCH_LETTERS = 31


def branch_name(first: Event) -> str:
    """The device name of the branch that begins with `first`."""
    return "r" + first.digest[:BRANCH_LETTERS]


def losing_branch(mine: Mapping[int, Event], theirs: Mapping[int, Event]) -> list[Event]:
    """Which of `mine`, events of one device by number, are to be rebased because of `theirs`.

    All that differ, and all after the first that does unless theirs is the same. One that does not
    follow on from theirs differs, and so does one that theirs does not follow on from.
    """
    differing = [n for n in mine if n in theirs and mine[n].digest != theirs[n].digest]
    broken = [
        n
        for n in mine
        if n not in theirs
        and (
            (n - 1 in theirs and mine[n].prev != theirs[n - 1].digest)
            or (n + 1 in theirs and theirs[n + 1].prev != mine[n].digest)
        )
    ]
    first = min(differing + broken, default=None)
    if first is None:
        return []
    return [
        mine[n]
        for n in sorted(mine)
        if n >= first and not (n in theirs and theirs[n].digest == mine[n].digest)
    ]


def gives_way(mine: Mapping[int, Event], theirs: Mapping[int, Event]) -> bool:
    """Whether, of two branches of one device that nobody vouches for, the one held here gives way.

    `theirs` is unbroken and was not taken in. What does not follow on from what is here gives way;
    so does what does not follow on from it; of two entries of one number, the one with the larger
    digest. So every device comes to the same branch, in whichever order it hears of them.
    """
    first = min(theirs)
    before = mine.get(first - 1)
    if before is not None and theirs[first].prev != before.digest:
        return False
    for n in sorted(theirs):
        if (here := mine.get(n)) is not None:
            if here.digest != theirs[n].digest:
                return theirs[n].digest < here.digest
        elif (after := mine.get(n + 1)) is not None and after.prev != theirs[n].digest:
            return True
    return False


def unbroken_runs(events: Iterable[Event]) -> list[list[Event]]:
    """Events of devices, sorted by device and number, in runs that follow on from each other."""
    runs: list[list[Event]] = []
    for event in events:
        last = runs[-1][-1] if runs else None
        if last and last.device == event.device and event.prev == last.digest:
            runs[-1].append(event)
        else:
            runs.append([event])
    return runs


def replay(branch: list[Event]) -> list[Event]:
    """The events of a losing branch, by number, under its own name.

    `was` says which they were at first. Where numbers are missing, what comes after them is a
    branch of its own; should another device replay it as part of a longer one, the fold counts what
    `was` the same event once.
    """
    return [again for piece in unbroken_runs(replayable(branch)) for again in _replayed(piece)]


def replayable(branch: Iterable[Event]) -> list[Event]:
    """Those of a branch that `replay` tells again: a redacted event has nothing to tell, and what
    comes after it follows on from none of these."""
    return [event for event in branch if event.kind != Kind.REDACTED]


def _replayed(piece: list[Event]) -> Iterator[Event]:
    name, prev = branch_name(piece[0]), ""
    names = {event.id: f"{name}:{at}" for at, event in enumerate(piece, start=1)}
    for at, event in enumerate(piece, start=1):
        was = {"event": event.id, "digest": event.digest}
        wire = {"was": was} | event.wire() | {"device": name, "seq": at, "prev": prev}
        again = Event.read(wire | {"body": _renamed_body(event, names)})
        prev = again.digest
        yield again


def _renamed_body(event: Event, names: Mapping[str, str]) -> dict[str, Any]:
    """The body of `event`; an undo within the branch names what it takes back by its new name."""
    if event.kind == Kind.UNDONE and (name := names.get(str(event.body.get("event")))):
        return event.body | {"event": name}
    return event.body

"""Erasing content that its owner wants gone: promised by an event, gone for good some days later.

Until then anybody of the bench calls the promise back. Afterwards each event's place is taken by a
redacted one, which keeps number, time and digest, so that every chain and every comparison holds.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, chain

from logic.history.clock import FOLLOWED_MS
from logic.history.documents.bodies import ERASURES, document_key, understood
from logic.history.documents.fold import replayed_from
from logic.history.journal.spans import Spans
from shared.events import Event, Kind, Stamp, redacted

DAY_MS = 86_400_000
GRACE_DAYS = 7
"""How long a promise stands on each device before anything goes there. The app's own row for it
(`assets/keeping.json`, `erased_gone_after_days`) is the same, and a test compares the two: a
history is opened before the tables of the trade are read."""
GRACE_MS = GRACE_DAYS * DAY_MS
MOST_RUNS_PROVEN = 500
"""Runs of one promise that are proven one by one: 60 kB, of the 262 that an event may have."""
Number = tuple[str, int]
Order = tuple[Stamp, str, int]
Digests = Mapping[Number, str]
"""The digests of events that are here, by device and number."""


def spans_of(events: Iterable[Event]) -> Spans:
    """The numbers of `events`, as spans."""
    runs = Spans()
    for event in events:
        runs.add(event.device, event.seq)
    return runs


# --- which promises stand ---


def standing_erasures(events: Iterable[Event]) -> dict[str, Event]:
    """The promises to erase among `events` that nobody called back, by id.

    A call-back is final and counts whatever the stamps say: devices end alike once they have met,
    in whichever order they heard of it, and taking a call-back back cannot erase at once.
    """
    return _erasures(events)[0]


def called_back_erasures(events: Iterable[Event]) -> dict[str, Event]:
    """The promises among `events` that somebody called back, by id."""
    return _erasures(events)[1]


def _erasures(events: Iterable[Event]) -> tuple[dict[str, Event], dict[str, Event]]:
    """Those that stand, and those that were called back."""
    known = list(filter(understood, events))
    named = {event.body["event"] for event in known if event.kind == Kind.UNDONE}
    promises = {event.id: event for event in known if event.kind == Kind.CONTENT_ERASED}
    back = {name: each for name, each in promises.items() if named.intersection(ids_of(each))}
    return {name: each for name, each in promises.items() if name not in back}, back


def ids_of(promise: Event) -> Iterator[str]:
    """What a call-back may name: its id, and that before its branch was told again."""
    yield promise.id
    if was := replayed_from(promise):
        yield str(was.get("event"))


# --- what a promise covers ---


@dataclass(frozen=True)
class Part:
    """What one promise covers: the numbers in `runs`, of them only events before `before`, and of
    the device in `own` none past its number."""

    runs: Spans
    before: Order | None = None
    own: Number = ("", 0)

    def __contains__(self, event: Event) -> bool:
        if (event.device, event.seq) not in self.runs:
            return False
        if self.before is None:
            return True
        device, upto = self.own
        return event.order < self.before and not (event.device == device and event.seq > upto)


@dataclass(frozen=True)
class Cover:
    """What several promises cover together."""

    parts: tuple[Part, ...] = ()

    def __contains__(self, event: Event) -> bool:
        return any(True for _ in self.parts_with(event))

    def __bool__(self) -> bool:
        return any(part.runs for part in self.parts)

    def parts_with(self, event: Event) -> Iterator[int]:
        """Which of the parts cover `event`, without a look at those that name no number near it."""
        firsts, runs = self._runs_of.get(event.device, ([], []))
        for at in range(bisect_right(firsts, event.seq) - 1, -1, -1):
            last, furthest, part = runs[at]
            if furthest < event.seq:
                return
            if last >= event.seq and event in self.parts[part]:
                yield part

    @cached_property
    def _runs_of(self) -> dict[str, tuple[list[int], list[tuple[int, int, int]]]]:
        """Per device, by their first numbers, the runs of all parts: the last number of each, the
        furthest of any up to there, and the part."""
        named: dict[str, list[tuple[int, int, int]]] = {}
        for at, part in enumerate(self.parts):
            for device, first, last in part.runs:
                named.setdefault(device, []).append((first, last, at))
        found = {}
        for device, runs in named.items():
            runs.sort()
            furthest = accumulate((last for _, last, _ in runs), max)
            rows = [(run[1], most, run[2]) for run, most in zip(runs, furthest, strict=True)]
            found[device] = ([run[0] for run in runs], rows)
        return found

    def runs(self) -> Spans:
        """All numbers that may be covered: where to look for what is."""
        runs = Spans()
        for part in self.parts:
            runs.update(part.runs)
        return runs


def part_of(promise: Event, held: Spans, digests: Digests, seen: Seen) -> Part:
    """What `promise` covers where `held` is here.

    A promise says in `have` what its author held: runs, each with the digest of its last event. As
    each event names the digest of the one before, only somebody who has seen an entry can name it
    so; and it is compared with the entry that is here. What comes later is in no run.
    """
    named = Spans(promise.body["events"])
    if promise.body.get("have") is not None:
        return Part(_within(named, _proven(promise, held, digests)))
    return Part(named, min(promise.order, seen.latest()), seen.own)


@dataclass(frozen=True)
class Seen:
    """When and where a promise was first seen: the device's clock, in milliseconds since 1970, and
    the last number that it had then written itself."""

    at_ms: int
    own: Number = ("", 0)

    def latest(self) -> Order:
        """A promise without `have` reaches no further than this."""
        return Stamp(self.at_ms + FOLLOWED_MS, 0), "", 0


def have_of(events: Iterable[Event], held: Spans) -> dict[str, list[tuple[int, int, str]]]:
    """`have` of a promise that names `events`: for each run of them the first number of the run
    held here that it lies in, its last number, and the digest of that: where a branch gives way
    later, what was before it is proven all the same. Of very many runs only the last of each run
    held here is told, so that the promise fits into an event."""
    by_number = {(event.device, event.seq): event for event in events}
    runs = list(Spans.of_numbers(by_number))
    last: dict[tuple[str, int, int], Event] = {}
    for run in runs:
        first = _first_of_run(held, run.device, run.last)
        key = (run.device, first, run.last if len(runs) <= MOST_RUNS_PROVEN else 0)
        last[key] = by_number[run.device, run.last]
    have: dict[str, list[tuple[int, int, str]]] = {}
    for (device, first, _), event in sorted(last.items(), key=lambda each: each[0]):
        have.setdefault(device, []).append((first, event.seq, event.digest))
    return have


def proofs_named(promises: Iterable[Event]) -> set[Number]:
    """The numbers whose digests are needed to see what these promises cover."""
    haves = ((each.body.get("have") or {}).items() for each in promises)
    return {(device, run[1]) for device, runs in chain(*haves) for run in runs}


def _proven(promise: Event, held: Spans, digests: Digests) -> Spans:
    proven = Spans()
    for device, runs in promise.body["have"].items():
        for first, last, digest in runs:
            if first <= last and digests.get((device, last)) == digest:
                proven.add(device, max(first, _first_of_run(held, device, last)), last)
    return proven


def _first_of_run(held: Spans, device: str, seq: int) -> int:
    """The first number of the unbroken run of `held` that holds this one, or else itself."""
    found = (first for first, last in held.of_device(device) if first <= seq <= last)
    return next(found, seq)


def _within(named: Spans, allowed: Spans) -> Spans:
    found = Spans()
    for run in named.intersection(allowed):
        found.add(*run)
    return found


# --- carrying it out, and bringing back ---


def without_content(event: Event, cover: Cover) -> Event:
    """`event`, or its redacted form where `cover` covers it. Erasures stay, for other devices to
    carry out, and so does what calls them back."""
    return redacted(event) if is_content(event) and event in cover else event


def is_content(event: Event) -> bool:
    """Whether `event` has content that can be erased. What calls a promise back has none: were it
    gone, the promise would stand again."""
    if event.kind == Kind.UNDONE:
        touches = event.body.get("touches")
        return not (isinstance(touches, list) and document_key(("setting", ERASURES)) in touches)
    return event.kind not in (Kind.REDACTED, Kind.CONTENT_ERASED)


def erased_or_refilled(cover: Cover, refills: Mapping[str, Event]) -> Callable[[Event], Event]:
    """What is to stand in an event's place: its redacted form where `cover` covers it, and the
    event that a redacted one stands for where that is among `refills`, by id."""

    def change(event: Event) -> Event:
        full = refills.get(event.id)
        found = full if full and full.digest == event.digest else event
        return without_content(found, cover)

    return change

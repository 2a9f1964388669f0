"""Documents cost what comes into them, whatever the order, the undoes and the corrections.

Work is counted, not timed, so that a busy machine changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import pytest

from logic.history import MemoryDirectory
from logic.history.documents import fold
from logic.history.documents import projection as projections
from logic.history.documents.projection import Projection
from logic.history.snapshots import snapshot as snapshots
from logic.history.storage.store import ByteStore
from shared.events import Event
from tests.logic.history.factory import documents, open_history, opened, reading

FEW = 1000


class Applied:
    """Counts the events that are folded into documents."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.count = 0
        for kind, change in fold._APPLY.items():
            monkeypatch.setitem(fold._APPLY, kind, self._counting(change))

    def _counting(self, change: Callable[[Any, Event], None]) -> Callable[[Any, Event], None]:
        def counted(document: Any, event: Event) -> None:
            self.count += 1
            change(document, event)

        return counted


def events_of_one_visit(count: int, device: str = "d", begin_ms: int = 10**12) -> list[Event]:
    """A visit and its readings, a second apart."""
    kinds = [opened(), *(reading(6 - at % 6) for at in range(count - 1))]
    return [
        Event("b", device, at, f"{begin_ms + 1000 * at}.0", str(kind), body)
        for at, (kind, body) in enumerate(kinds, start=1)
    ]


ARRIVALS: dict[str, Callable[[list[Event]], list[Event]]] = {
    "in order": list,
    "latest first": lambda events: events[::-1],
    "in no order": lambda events: Random(1).sample(events, len(events)),
    "twice": lambda events: events + events,
}


@pytest.mark.parametrize("arrival", ARRIVALS)
def test_one_document_is_folded_once_in_whatever_order_its_entries_come(
    arrival: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Thousands of entries of one visit, some at a time: each is applied once, at the end."""
    applied, projection = Applied(monkeypatch), Projection()
    monkeypatch.setattr(projections, "WAITING", 100)
    events = ARRIVALS[arrival](events_of_one_visit(FEW))
    for start in range(0, len(events), 10):
        projection.add(events[start : start + 10])
    found = projection.document(("job", "j1"))
    assert found and len(found["readings"]) == FEW - 1
    assert applied.count <= 1.2 * len(events)


def test_undo_of_undo_of_undo_is_folded_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A chain of thousands, opened: the document is folded when all of it is there."""
    applied, projection = Applied(monkeypatch), Projection()
    monkeypatch.setattr(projections, "WAITING", 100)
    for event in events_of_one_visit(2):
        projection.add([event])
    for at in range(3, FEW):
        body = {"event": f"d:{at - 1}", "touches": ["job/j1"]}
        projection.add([Event("b", "d", at, f"{10**12 + 1000 * at}.0", "undone", body)])
    found = projection.document(("job", "j1"))
    assert found and len(found["readings"]) == FEW % 2
    assert applied.count < 10


def test_an_undo_takes_back_nothing_that_comes_after_it() -> None:
    """It names an entry with a later time: that stands, whether it comes before it or after it,
    alone or with it."""
    visit = events_of_one_visit(3)
    early = Event(
        "b", "e", 1, f"{10**12 + 2500}.0", "undone", {"event": "d:3", "touches": ["job/j1"]}
    )
    orders = ([*visit, early], [*visit[:2], early, visit[2]], [early, *visit])
    for events in orders:
        for at_once in (1, 2, 4):
            projection = Projection()
            for start in range(0, 4, at_once):
                projection.add(events[start : start + at_once])
                projection.settle()
            found = projection.document(("job", "j1"))
            assert found and len(found["readings"]) == 2 and not found["undone"]


def test_a_correction_finds_its_place_without_a_look_at_every_reading(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As many readings put right as there are: each costs a search by halves."""
    looked = 0
    place_of = fold._place_of

    def counting(taken: Any) -> Any:
        nonlocal looked
        looked += 1
        return place_of(taken)

    monkeypatch.setattr(fold, "_place_of", counting)
    events = events_of_one_visit(FEW)
    instead = {"event": "d:2", "device": "d", "time": events[1].time}
    for at in range(FEW + 1, 2 * FEW):
        body = reading()[1] | {"instead": instead}
        events.append(Event("b", "d", at, f"{10**12 + 1000 * at}.0", "reading.taken", body))
    found = fold.fold(("job", "j1"), events)
    assert len(found["readings"]) == 2 * FEW - 2
    assert looked < 15 * FEW


class CountedName(str):
    """A name that counts how often it is compared."""

    compared = 0
    __hash__ = str.__hash__

    def __eq__(self, other: object) -> bool:
        CountedName.compared += 1
        return str.__eq__(self, other)


def test_an_instrument_with_thousands_of_visits_takes_each_in_without_a_search() -> None:
    """Names of visits are compared a few times each, however many there are."""
    CountedName.compared = 0
    document = fold.empty(("instrument", "i1"))
    for at in range(FEW):
        kind, body = opened(CountedName(f"job-{at}"))
        fold.apply(document, Event("b", "d", at + 1, f"{10**12 + at}.0", kind, body))
    assert len(document["jobs"]) == FEW
    assert CountedName.compared <= 5 * FEW


def bytes_put_on_file(jobs: int, rounds: int) -> float:
    """How much the first fold of visits worked on in turn writes, beside the journal's own size."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record_all([opened(f"j{job}", f"i{job}") for job in range(jobs)])
    for _ in range(rounds):
        history.record_all([reading(job=f"j{job}") for job in range(jobs)])
    files = {n: bytearray(d) for n, d in directory.files.items() if n.startswith("journal")}
    written = 0

    class Watched(MemoryDirectory):
        def open(self, name: str) -> ByteStore:
            store = super().open(name)

            class Counting:
                def __getattr__(self, what: str) -> Any:
                    return getattr(store, what)

                def append(self, data: bytes) -> int:
                    nonlocal written
                    written += len(data)
                    return store.append(data)

            return Counting()

    size = sum(map(len, files.values()))
    again = open_history(Watched(files))
    again.save_snapshot()
    assert documents(again) == documents(history)
    return written / size


def test_visits_worked_on_in_turn_are_not_written_again_and_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Little memory, many visits, an answer to each in turn: what the first fold puts on file
    grows as the journal does."""
    monkeypatch.setattr(snapshots, "SPILL_DOCUMENTS", 5)
    monkeypatch.setattr(projections, "WAITING", 20)
    monkeypatch.setattr("logic.history.journal.opening.STEP", 20)
    few, many = bytes_put_on_file(20, 50), bytes_put_on_file(20, 200)
    assert many <= 1.2 * few

"""What every store promises about events, on memory, SQLite and PostgreSQL alike."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from logic.history.journal.spans import Run, Spans
from logic.sync.hub.accounts import Accounts
from logic.sync.hub.archive import check
from logic.sync.hub.database import Database, Transaction
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.migrations import applied, migrate, steps
from logic.sync.hub.open_database import open_database
from logic.sync.hub.verification import VerifiedEvent, verify
from shared.errors import HubStoreError, NewerFormat
from shared.events import Event
from tests.hub.stores import events_of


def chain(device: str, count: int, note: str = "") -> list[VerifiedEvent]:
    """A device's first `count` events, each naming the one before it."""
    made: list[VerifiedEvent] = []
    for seq in range(1, count + 1):
        event = Event(
            bench="b",
            device=device,
            seq=seq,
            time=f"{seq}.0",
            kind="setting.changed",
            prev=made[-1].digest if made else "",
            body={"name": note or "unit", "value": seq},
        )
        verified = verify(event.wire())
        assert isinstance(verified, VerifiedEvent)
        made.append(verified)
    return made


def ledger_of(database: Database, *names: str) -> tuple[EventStore, list[str]]:
    """A ledger with benches of these names, and their ids."""
    migrate(database)
    accounts = Accounts(database)
    return EventStore(database), [accounts.make_bench(name, 0).bench for name in names]


def everything(event_store: EventStore, bench: str) -> list[str]:
    """All texts of a bench, by device and number."""
    return event_store.missing(bench, list(event_store.held(bench).spans), 10**6, 0)


def test_what_is_taken_is_held_and_given_out(database: Database) -> None:
    """Events come back as they were, in the order of their numbers, with the last one's digest."""
    event_store, [bench] = ledger_of(database, "one")
    events = chain("d1", 5)
    taken = event_store.keep(bench, events, "k", 0)
    held = event_store.held(bench)
    assert (taken.taken, taken.known, taken.forks) == (5, 0, [])
    assert held.spans == Spans({"d1": [(1, 5)]})
    assert held.heads == {"d1": events[-1].digest}
    assert everything(event_store, bench) == [event.text for event in events]


def test_doubles_change_nothing(database: Database) -> None:
    """A batch that comes twice, whole or within itself, is kept once."""
    event_store, [bench] = ledger_of(database, "one")
    events = chain("d1", 3)
    event_store.keep(bench, events + events, "k", 0)
    again = event_store.keep(bench, events, "k", 0)
    assert (again.taken, again.known) == (0, 3)
    assert len(events_of(database, bench)) == 3


def test_order_of_arrival_does_not_matter(database: Database) -> None:
    """Later numbers may come first; the hole is told of until it is filled."""
    event_store, [bench] = ledger_of(database, "one")
    events = chain("d1", 6)
    event_store.keep(bench, events[4:], "k", 0)
    event_store.keep(bench, events[1:2], "k", 0)
    assert event_store.held(bench).spans == Spans({"d1": [(2, 2), (5, 6)]})
    assert event_store.held(bench).heads == {}
    ends = {"d1": [(2, events[1].digest), (6, events[5].digest)]}
    assert event_store.held(bench).ends == ends
    event_store.keep(bench, [events[3], events[0], events[2]], "k", 0)
    assert event_store.held(bench).spans == Spans({"d1": [(1, 6)]})
    assert event_store.held(bench).ends == {}
    assert not check(database, bench).wrong


def test_another_event_of_the_same_number_is_kept_aside(database: Database) -> None:
    """The first one stays; the other, and all that follows on from it, in this batch or a later
    one, is kept aside and named as a fork."""
    event_store, [bench] = ledger_of(database, "one")
    events, other = chain("d1", 3), chain("d1", 5, "other")
    event_store.keep(bench, events, "k", 0)
    taken = event_store.keep(bench, other[2:4], "k", 0)
    event_store.keep(bench, other[2:4], "k", 0)
    later = event_store.keep(bench, other[4:], "k", 0)
    assert (taken.taken, taken.forks, later.forks) == (0, ["d1:3", "d1:4"], ["d1:5"])
    assert everything(event_store, bench) == [event.text for event in events]
    quarantined = database.run(lambda now: now.rows("SELECT seq, text FROM aside ORDER BY seq"))
    assert (3, other[2].text) in quarantined


def test_an_event_between_two_others_must_fit_both(database: Database) -> None:
    """One that does not name its predecessor, or is not named by its successor, is a fork."""
    event_store, [bench] = ledger_of(database, "one")
    events, other = chain("d1", 3), chain("d1", 3, "other")
    event_store.keep(bench, [events[0], events[2]], "k", 0)
    assert event_store.keep(bench, [other[1]], "k", 0).forks == ["d1:2"]
    assert event_store.keep(bench, [events[1]], "k", 0).taken == 1


def test_benches_share_nothing(database: Database) -> None:
    """The same device names at two benches are two histories."""
    event_store, [one, two] = ledger_of(database, "one", "two")
    event_store.keep(one, chain("d1", 2), "k", 0)
    event_store.keep(two, chain("d1", 1, "other"), "k", 0)
    assert event_store.held(one).spans == Spans({"d1": [(1, 2)]})
    assert everything(event_store, two) == [chain("d1", 1, "other")[0].text]


def test_a_page_is_limited_by_count_and_by_size(database: Database) -> None:
    """No more than was asked for, and not much past a message's size; an event always fits."""
    event_store, [bench] = ledger_of(database, "one")
    big = chain("d1", 12, "x" * 200_000)
    event_store.keep(bench, big + chain("d2", 700), "k", 0)
    runs = list(event_store.held(bench).spans)
    assert len(event_store.missing(bench, runs, 3, 0)) == 3
    assert 4 <= len(event_store.missing(bench, runs, 1000, 0)) <= 6
    assert len(event_store.missing(bench, [Run("d2", 1, 700)], 1000, 0)) == 700
    assert event_store.missing(bench, [Run("d2", 690, 700)], 4, 0) == [
        event.text for event in chain("d2", 700)[689:693]
    ]


def test_work_that_fails_leaves_nothing(database: Database) -> None:
    """An error in the middle of a transaction undoes all of it."""
    event_store, [bench] = ledger_of(database, "one")

    def half(now: Transaction) -> None:
        now.change("UPDATE benches SET head = 99 WHERE bench = ?", (bench,))
        raise RuntimeError("power cut")

    with pytest.raises(RuntimeError):
        database.run(half)
    with pytest.raises(HubStoreError):
        database.run(lambda now: now.rows("SELECT nothing FROM nowhere"))
    event_store.keep(bench, chain("d1", 1), "k", 0)
    assert database.run(lambda now: now.rows("SELECT hub_seq FROM events")) == [(1,)]


def test_the_epoch_stays_until_a_restore_is_told_of(database: Database) -> None:
    """Every reader sees one epoch; `new_epoch` begins another."""
    event_store, _ = ledger_of(database)
    first = event_store.epoch()
    assert event_store.epoch() == EventStore(database).epoch() == first
    assert event_store.new_epoch() == event_store.epoch() != first


def test_steps_are_applied_once_and_a_newer_store_is_left_alone(database: Database) -> None:
    """Migrating twice changes nothing, and a store from the future is refused untouched."""
    assert migrate(database) == migrate(database) == max(steps(database.kind))
    database.run(lambda now: now.change("UPDATE meta SET value = '99' WHERE name = 'version'"))
    with pytest.raises(NewerFormat):
        migrate(database)
    assert applied(database) == 99


def test_hubs_that_start_at_the_same_moment_both_come_up(url: str) -> None:
    """Of four that find an empty store, each ends with the tables in place."""
    stores = [open_database(url) for _ in range(4)]
    with ThreadPoolExecutor(4) as pool:
        assert set(pool.map(migrate, stores)) == {max(steps(stores[0].kind))}
    for store in stores:
        store.close()


def test_no_reader_ever_misses_a_row_of_concurrent_writers(url: str) -> None:
    """Writers in several hubs, a reader that only asks for what it lacks: it ends with all, and
    numbers of arrival are given out without a gap and never appear behind one already seen."""
    stores = [open_database(url) for _ in range(4)]
    event_store, [bench] = ledger_of(stores[0], "one")
    writing = threading.Event()
    writing.set()

    def write(number: int) -> None:
        mine = EventStore(stores[number])
        for event in chain(f"d{number}", 40):
            mine.keep(bench, [event], "k", 0)

    def arrived_in_order() -> bool:
        sql = "SELECT hub_seq FROM events ORDER BY hub_seq"
        numbers = [row[0] for row in event_store.database.run(lambda now: now.rows(sql))]
        return numbers == list(range(1, len(numbers) + 1))

    def read() -> tuple[Spans, bool]:
        have, in_order = Spans(), True
        while writing.is_set() or list(event_store.held(bench).spans.difference(have)):
            in_order = in_order and arrived_in_order()
            for run in list(event_store.held(bench).spans.difference(have)):
                texts = event_store.missing(bench, [run], 10, 0)
                if texts:
                    have.add(run.device, run.first, run.first + len(texts) - 1)
        return have, in_order and arrived_in_order()

    with ThreadPoolExecutor(4) as pool:
        reader = pool.submit(read)
        list(pool.map(write, (1, 2, 3)))
        writing.clear()
        assert reader.result() == (Spans({f"d{n}": [(1, 40)] for n in (1, 2, 3)}), True)
    assert not check(stores[0], bench).wrong
    for store in stores:
        store.close()

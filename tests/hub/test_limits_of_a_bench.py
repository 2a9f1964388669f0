"""What an operator allows a bench, and what a person is told when it is reached."""

from __future__ import annotations

import pytest

from logic.app.presenters.hub import hub_view
from logic.sync.hub.archive import check, export
from logic.sync.hub.bench_limits import (
    DAY_MS,
    EVERY_BENCH,
    BenchLimits,
    LimitName,
    limits_of,
    set_limit,
)
from logic.sync.hub.database import Database
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.migrations import migrate, steps
from logic.sync.hub.purging import purge
from logic.sync.hub.verification import VerifiedEvent, size_of, verify
from logic.sync.refusals import why_in_words
from logic.sync.wire import Code, Refused
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, new_key
from tests.hub.stores import events_of
from tests.hub.test_event_store import chain
from tests.logic.history.factory import open_history, opened, reading
from tests.logic.sync.test_agent import Bench


def limited(database: Database, name: LimitName, value: int, bench: str = EVERY_BENCH) -> None:
    """A limit of the operator's."""
    set_limit(database, bench, name, value, NOW_MS, "mira")


def bytes_of(database: Database, bench: str) -> int:
    """What the hub counts for a bench."""
    sql = "SELECT bytes FROM benches WHERE bench = ?"
    return int(database.run(lambda now: now.rows(sql, (bench,)))[0][0])


def test_a_bench_s_own_limit_comes_before_that_of_all(database: Database) -> None:
    """Also where it says that there is none, and whatever order they were set in."""
    migrate(database)
    limited(database, LimitName.ENTRIES, 5, "b1")
    limited(database, LimitName.ENTRIES, 9)
    limited(database, LimitName.KEY_DAYS, 100)
    limited(database, LimitName.KEY_DAYS, 0, "b2")
    found = {name: database.run(lambda now, b=name: limits_of(now, b)) for name in ("b1", "b2")}  # type: ignore[misc]
    assert found["b1"] == BenchLimits(entries=5, key_days=100)
    assert found["b2"] == BenchLimits(entries=9)
    limited(database, LimitName.ENTRIES, 6, "b1")
    assert database.run(lambda now: limits_of(now, "b1")).entries == 6


def test_a_bench_keeps_as_many_entries_as_it_may(database: Database) -> None:
    """The rest is refused by name, what is here already stays known, and more room lets it in."""
    hub = make_hub(database)
    bench = hub.accounts.make_bench("Alder Row Strings", NOW_MS).bench
    limited(database, LimitName.ENTRIES, 3)
    events = chain("d1", 5)
    receipt = hub.event_store.keep(bench, events, "k", NOW_MS)
    assert (receipt.taken, receipt.full) == (3, ["d1:4", "d1:5"])
    again = hub.event_store.keep(bench, events, "k", NOW_MS)
    assert (again.taken, again.known, again.full) == (0, 3, ["d1:4", "d1:5"])
    limited(database, LimitName.ENTRIES, 10, bench)
    assert hub.event_store.keep(bench, events, "k", NOW_MS).taken == 2
    assert check(database, bench).wrong == []


def test_bytes_are_counted_as_they_come_and_go(database: Database) -> None:
    """After any batch, doubles and a purge the count is that of the texts; a megabyte is full at a
    million bytes."""
    hub = make_hub(database)
    bench = hub.accounts.make_bench("Alder Row Strings", NOW_MS).bench
    limited(database, LimitName.MEGABYTES, 1)
    big = chain("d1", 9, "ü" * 60_000)
    receipt = hub.event_store.keep(bench, big, "k", NOW_MS)
    assert 0 < receipt.taken < 9 and len(receipt.full) == 9 - receipt.taken
    hub.event_store.keep(bench, big[:2], "k", NOW_MS)
    hub.event_store.keep(bench, [_erasure({"d1": [[1, 1]]})], "k", NOW_MS)
    kept = sum(size_of(event.text) for event in events_of(database, bench))
    assert bytes_of(database, bench) == kept <= 1_000_000
    assert purge(database, bench, NOW_MS) == 1
    kept = sum(size_of(event.text) for event in events_of(database, bench))
    assert bytes_of(database, bench) == kept < 900_000


def _erasure(runs: dict[str, list[list[int]]], due_ms: int = NOW_MS) -> VerifiedEvent:
    event = {"bench": "b", "device": "e1", "seq": 1, "time": f"{NOW_MS + DAY_MS}.0", "prev": ""}
    body = {"events": runs, "due": due_ms}
    found = verify(event | {"kind": "content.erased", "version": 1, "body": body})
    assert isinstance(found, VerifiedEvent)
    return found


def test_an_erasure_finds_room_in_a_full_bench(database: Database) -> None:
    """Whoever wants something gone is not told that there is no room for that."""
    hub = make_hub(database)
    bench = hub.accounts.make_bench("Alder Row Strings", NOW_MS).bench
    hub.event_store.keep(bench, chain("d1", 3), "k", NOW_MS)
    limited(database, LimitName.ENTRIES, 3)
    receipt = hub.event_store.keep(bench, [_erasure({"d1": [[2, 2]]})], "k", NOW_MS)
    assert (receipt.taken, receipt.full) == (1, [])
    assert purge(database, bench, NOW_MS) == 1


def test_a_database_from_before_there_were_limits_is_counted(database: Database) -> None:
    """Brought up to date, an older hub's database knows how many bytes each bench holds."""
    script = "CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT NOT NULL);"
    script += steps(database.kind)[1] + ";" + steps(database.kind)[2]
    script += ";INSERT INTO meta VALUES ('version', '2');"
    script += "INSERT INTO benches (bench, name, made_ms) VALUES ('b1', 'Alder Row Strings', 1),"
    database.script(script + " ('b2', 'Quay Street Frets', 1)")
    event = chain("d1", 1, "größer")[0]
    columns = "bench, device, seq, prev, digest, text, hub_seq, received_ms, received_from"
    row = ("b1", event.device, event.seq, event.prev, event.digest, event.text, 1, NOW_MS, "k")
    database.run(lambda now: now.insert_all("events", columns, [row]))
    migrate(database)
    assert bytes_of(database, "b1") == len(event.text.encode())
    assert bytes_of(database, "b2") == 0


async def test_a_person_is_told_that_the_bench_is_full() -> None:
    """On the phone's page of its hub, in its own words; everything stays on the phone."""
    bench = Bench()
    await bench.join()
    limited(bench.hub.database, LimitName.ENTRIES, 1)
    bench.history.record_all([opened(), reading(), reading()])
    await bench.agent.sync_now()
    view = hub_view(bench.agent, bench.history, "")
    assert "no room left there" in str(view.refused)
    assert "no room left there" in bench.agent.status.message
    assert {each.code for each in bench.agent.pairing.refused} == {Code.FULL}  # type: ignore[union-attr]
    assert sum(bench.history.vector.values()) == 3
    limited(bench.hub.database, LimitName.ENTRIES, 0)
    outcome = await bench.agent.sync_now()
    assert outcome is not None and outcome.agreed


def test_a_reason_of_a_later_hub_is_told_in_its_own_words() -> None:
    """A code that this version does not know is no blank."""
    assert why_in_words(Refused(event="d1:1", code="eclipse", why="the moon")) == "the moon"


def test_entries_that_were_set_aside_go_after_their_days(database: Database) -> None:
    """Where the operator limits that; else they stay."""
    hub = make_hub(database)
    bench = hub.accounts.make_bench("Alder Row Strings", NOW_MS).bench
    hub.event_store.keep(bench, chain("d1", 3), "k", NOW_MS)
    hub.event_store.keep(bench, chain("d1", 3, "other")[1:2], "k", NOW_MS)
    later = NOW_MS + 30 * DAY_MS
    count = "SELECT count(*) FROM aside"
    purge(database, bench, later + 1)
    assert database.run(lambda now: now.rows(count)) == [(1,)]
    limited(database, LimitName.ASIDE_DAYS, 30)
    purge(database, bench, later)
    assert database.run(lambda now: now.rows(count)) == [(1,)]
    purge(database, bench, later + 1)
    assert database.run(lambda now: now.rows(count)) == [(0,)]


SECRET = "Miss Larkspur's fiddle"


def given_out(database: Database, bench: str, now_ms: int) -> str:
    """Everything that the hub would give a fresh device."""
    store = EventStore(database)
    return "".join(store.missing(bench, list(store.held(bench).spans), 10**6, now_ms))


async def test_due_content_is_given_to_nobody_for_one_moment_more(database: Database) -> None:
    """A millisecond before it is due a fresh device gets it, at that moment it gets what stands in
    its place, though nothing was purged yet; what an old device brings later is given to nobody."""
    hub = make_hub(database)
    history, away = open_history(), open_history(letter="w")
    kind, body = opened("secret", None)
    history.record(kind, body | {"complaint": SECRET})
    history.record(*reading(job="secret"))
    file = history.export()
    due_ms = NOW_MS + DAY_MS
    history.erase(("job", "secret"), due_ms=due_ms)
    await meet(history, Direct(hub), new_key(hub))
    bench = hub.accounts.benches()[0].bench
    assert SECRET in given_out(database, bench, due_ms - 1)
    assert SECRET not in given_out(database, bench, due_ms)
    assert purge(database, bench, due_ms) == 2
    assert SECRET not in given_out(database, bench, due_ms)
    away.merge(file)
    other = hub.accounts.make_bench("Quay Street Frets", NOW_MS).bench
    hub.event_store.keep(other, [_erasure({"d1": [[1, 2]]})], "k", NOW_MS)
    assert purge(database, other, NOW_MS) == 0
    late = [verify(event.wire()) for event in away.events_after({})]
    hub.event_store.keep(
        other, [each for each in late if isinstance(each, VerifiedEvent)], "k", NOW_MS
    )
    assert SECRET not in given_out(database, other, NOW_MS)
    assert purge(database, other, NOW_MS) == 2
    assert check(database, bench).wrong == check(database, other).wrong == []


async def test_a_minimum_grace_keeps_what_an_erasure_names(database: Database) -> None:
    """A member erases everything, due at once. With seven days' grace nobody is given the content
    any more and the hub still holds it, counted from when the erasure arrived there; an export
    without erasures brings it back on a fresh device. After that time it is gone."""
    hub = make_hub(database)
    limited(database, LimitName.ERASURE_DAYS, 7)
    history = open_history()
    kind, body = opened("secret", None)
    history.record(kind, body | {"complaint": SECRET})
    history.erase(("job", "secret"), due_ms=NOW_MS - 90 * DAY_MS)
    await meet(history, Direct(hub), new_key(hub))
    bench = hub.accounts.benches()[0].bench
    end = NOW_MS + 7 * DAY_MS
    assert purge(database, bench, end - 1) == 0
    assert SECRET not in given_out(database, bench, NOW_MS)
    parts = list[bytes]()
    export(database, bench, NOW_MS, parts.append, erasures=False)
    fresh = open_history(letter="z")
    fresh.merge(b"".join(parts))
    fresh.purge()
    saved = fresh.job("secret")
    assert saved is not None and saved.complaint == SECRET
    assert purge(database, bench, end) == 1
    assert not any(SECRET in event.text for event in events_of(database, bench))


@pytest.mark.parametrize("text", ["plain", "größer", "🎸"])
def test_the_size_of_a_text_is_that_of_its_bytes(text: str) -> None:
    """Whatever letters it has."""
    assert size_of(text) == len(text.encode())

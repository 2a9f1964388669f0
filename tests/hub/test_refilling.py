"""Content that was gone comes back over the hub once the promise to erase it was called back."""

from __future__ import annotations

import pytest

from logic.history import History, MemoryDirectory
from logic.history.journal.spans import Spans
from logic.sync.hub.app import Hub
from logic.sync.hub.archive import check
from logic.sync.hub.database import Database
from logic.sync.hub.purging import purge
from logic.sync.hub.verification import size_of
from logic.sync.wire import ExchangeRequest, Role
from shared.events import Kind
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, new_key
from tests.hub.stores import events_of
from tests.logic.history.factory import documents, open_history, opened, reading
from tests.logic.history.promising import SECRET


def worked(letter: str = "a", grace_ms: int = 0) -> History:
    """A device that recorded a job with a few readings."""
    history = open_history(MemoryDirectory(), letter, grace_ms=grace_ms)
    history.record(*opened("j1", "i1"))
    history.record_all([reading(string) for string in (6, 5, 4, 3)])
    return history


def content_at(hub: Hub) -> int:
    """How many entries the hub holds with their content."""
    bench = hub.accounts.benches()[0].bench
    return sum(SECRET in e.text or '"reading"' in e.text for e in events_of(hub.database, bench))


@pytest.mark.parametrize("batch", [1000, 2])
async def test_what_was_called_back_comes_back_over_the_hub(database: Database, batch: int) -> None:
    """Gone at the hub and on the device that promised it; the one that called it back in its own
    grace gives it to the hub, and the hub to the other, however little a message holds."""
    hub = make_hub(database)
    early, late = worked(), open_history(letter="b")
    keys = [new_key(hub) for _ in "ab"]
    await meet(early, Direct(hub), keys[0])
    await meet(late, Direct(hub), keys[1])
    promise = early.erase(("job", "j1"), due_ms=NOW_MS)
    assert early.purge()
    await meet(early, Direct(hub), keys[0])
    await meet(late, Direct(hub), keys[1])
    bench = hub.accounts.benches()[0].bench
    assert purge(database, bench, NOW_MS) == 5 and content_at(hub) == 0
    assert not late.purge() and late.job("j1") is not None
    late.undo(promise.id)
    assert (await meet(late, Direct(hub), keys[1], batch=batch)).agreed
    assert content_at(hub) == 5
    assert (await meet(early, Direct(hub), keys[0], batch=batch)).agreed
    assert early.purge() and early.job("j1") is not None and not early.purge()
    assert documents(early) == documents(late)
    assert purge(database, bench, NOW_MS) == 0
    fresh = open_history(letter="z")
    await meet(fresh, Direct(hub), new_key(hub))
    assert documents(fresh) == documents(late)
    assert check(database, bench).wrong == []
    kept = sum(size_of(event.text) for event in events_of(database, bench))
    rows = database.run(lambda now: now.rows("SELECT bytes FROM benches WHERE bench = ?", (bench,)))
    assert rows[0][0] == kept


async def test_while_a_promise_stands_the_hub_takes_no_content_again(database: Database) -> None:
    """A device that still holds it sends it in vain, and one that may only read gives nothing."""
    hub = make_hub(database)
    history, reader = worked(grace_ms=10**12), open_history(letter="r")
    key, read_only = new_key(hub), new_key(hub, role=Role.READ_ONLY)
    await meet(history, Direct(hub), key)
    await meet(reader, Direct(hub), read_only)
    promise = history.erase(("job", "j1"), due_ms=NOW_MS)
    await meet(history, Direct(hub), key)
    bench = hub.accounts.benches()[0].bench
    purge(database, bench, NOW_MS)
    other = history.erase(("job", "j1"), due_ms=NOW_MS)
    history.undo(promise.id)
    assert (await meet(history, Direct(hub), key)).agreed
    assert content_at(hub) == 0
    history.undo(other.id)
    reader.merge_events(e for e in history.events_after({}) if e.kind == Kind.UNDONE)
    await meet(reader, Direct(hub), read_only)
    assert content_at(hub) == 0
    assert (await meet(history, Direct(hub), key)).agreed
    assert content_at(hub) == 5


async def test_a_device_that_says_nothing_of_it_is_answered_as_ever(database: Database) -> None:
    """Versions before this one: the hub looks for nothing, and wants nothing."""
    hub = make_hub(database)
    history, key = worked(), new_key(hub)
    history.undo(history.erase(("job", "j1"), due_ms=NOW_MS).id)
    await meet(history, Direct(hub), key)
    bench = hub.accounts.benches()[0].bench
    state = hub.event_store.state(bench, Spans.of_held(history.journal.held), 100, NOW_MS)
    assert not state.wants and ExchangeRequest(have={}).wants is None

"""Content that its owner wants gone is gone, on devices and hub, and every chain still holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from logic.history import MemoryDirectory
from logic.sync.hub.archive import check
from logic.sync.hub.database import Database
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.purging import forget_bench, purge
from logic.sync.hub.sqlite import SqliteDatabase
from shared.errors import InputError
from shared.events import Event, redacted
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, new_key
from tests.hub.stores import events_of
from tests.logic.history.factory import (
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
)

LATER = NOW_MS + 30 * 86_400_000
SECRET = "Miss Larkspur's fiddle"


def secret_job() -> list[tuple[object, dict[str, object]]]:
    """A job whose complaint names somebody, and one that does not."""
    kind, body = opened("secret", None)
    return [(kind, body | {"complaint": SECRET}), reading(job="secret"), opened("j2", None)]


def anywhere(directory: MemoryDirectory, text: str = SECRET) -> bool:
    """Whether the storage of a device holds this text in any file."""
    return any(text.encode() in bytes(data) for data in directory.files.values())


async def test_once_due_it_is_gone_everywhere_and_nobody_disagrees(database: Database) -> None:
    """From the device that erased, from the hub, from another that had it, and a fresh device gets
    husks; before that, everybody still has it."""
    hub = make_hub(database)
    directories = [MemoryDirectory() for _ in "abc"]
    a, b, fresh = (open_history(d, c, grace_ms=0) for d, c in zip(directories, "abc", strict=True))
    keys = [new_key(hub) for _ in "abc"]
    a.record_all(secret_job())  # type: ignore[arg-type]
    for history, key in ((a, keys[0]), (b, keys[1])):
        await meet(history, Direct(hub), key)
    a.erase(("job", "secret"), due_ms=NOW_MS)
    assert all(map(anywhere, directories[:2]))
    assert a.purge() and not a.purge()
    await meet(a, Direct(hub), keys[0])
    await meet(b, Direct(hub), keys[1])
    assert b.purge()
    bench = hub.accounts.benches()[0].bench
    assert purge(database, bench, NOW_MS) == 2
    assert purge(database, bench, NOW_MS) == 0
    for history, key in ((a, keys[0]), (b, keys[1]), (fresh, keys[2])):
        assert (await meet(history, Direct(hub), key)).agreed
    assert not any(map(anywhere, directories))
    assert not any(SECRET in event.text for event in events_of(database, bench))
    assert check(database, bench).wrong == []
    assert documents(a) == documents(b) == documents(fresh)
    assert [line.id for line in fresh.jobs()] == ["j2"]
    assert reopened(directories[0]).report.clean


async def test_until_it_is_due_it_can_be_taken_back(database: Database) -> None:
    """Neither device nor hub erases before its time, nor what was taken back in time."""
    hub = make_hub(database)
    directory = MemoryDirectory()
    history, key = open_history(directory), new_key(hub)
    history.record_all(secret_job())  # type: ignore[arg-type]
    promise = history.erase(("job", "secret"), due_ms=LATER)
    await meet(history, Direct(hub), key)
    bench = hub.accounts.benches()[0].bench
    assert not history.purge() and purge(database, bench, NOW_MS) == 0
    history.undo(promise.id)
    await meet(history, Direct(hub), key)
    assert purge(database, bench, LATER + 1) == 0
    assert history.job("secret") is not None and anywhere(directory)


async def test_what_is_gone_does_not_come_back_by_file_or_by_an_old_device() -> None:
    """A file made before, and a phone that was away, hold the content; merging brings none back."""
    hub = make_hub()
    directory = MemoryDirectory()
    history = open_history(directory, grace_ms=0)
    away = open_history(letter="w", grace_ms=0)
    history.record_all(secret_job())  # type: ignore[arg-type]
    file = history.export()
    away.merge_events(all_events(history))
    history.erase(("job", "secret"), due_ms=NOW_MS)
    history.purge()
    assert history.merge(file).added == 0
    late = open_history(letter="l", grace_ms=0)
    late.merge_events([event for event in all_events(history) if event.kind == "content.erased"])
    late.merge(file)
    assert late.job("secret") is None
    await meet(history, Direct(hub), new_key(hub))
    assert (await meet(away, Direct(hub), new_key(hub))).agreed
    assert not anywhere(directory)


async def test_a_promise_that_makes_no_sense_harms_nobody(database: Database) -> None:
    """Malformed or boundless promises are kept as entries; purging goes on beside them."""
    hub = make_hub(database)
    history, key = open_history(grace_ms=0), new_key(hub)
    history.record_all(secret_job())  # type: ignore[arg-type]
    nonsense = [{}, {"events": {"d1": [[0, 9]]}, "due": 0}, {"events": 7, "due": "x"}]
    nonsense += [{"events": {"d1": [["1", "9"]]}, "due": 0}, {"events": {}, "due": "0"}]
    boundless = {"events": {"x1": [[1, 2**53 - 1]]}, "due": 0}
    prev, made = "", list[Event]()
    for seq, body in enumerate([*nonsense, boundless], start=1):
        event = {"bench": "b", "device": "x2", "seq": seq, "time": f"{seq}.0", "prev": prev}
        made.append(Event.read(event | {"kind": "content.erased", "body": body}))
        prev = made[-1].digest
    history.merge_events(made)
    history.erase(("job", "secret"), due_ms=NOW_MS)
    assert (await meet(history, Direct(hub), key)).agreed
    assert purge(database, hub.accounts.benches()[0].bench, NOW_MS) == 2
    assert history.purge()
    assert history.job("j2") is not None


async def test_a_call_back_after_it_was_gone_keeps_it_where_it_still_is() -> None:
    """Whoever had not let it go keeps it, and from there it comes back to whoever had."""
    directories = [MemoryDirectory() for _ in "ab"]
    a = open_history(directories[0], "a", grace_ms=0)
    b = open_history(directories[1], "b")
    a.record_all(secret_job())  # type: ignore[arg-type]
    b.merge_events(all_events(a))
    promise = a.erase(("job", "secret"), due_ms=NOW_MS)
    assert a.purge() and not anywhere(directories[0])
    a.undo(promise.id)
    b.merge(a.export())
    b.purge()
    a.merge(b.export())
    assert all(map(anywhere, directories))
    assert documents(a) == documents(b)


def test_a_husk_keeps_the_place_and_the_digest_of_what_it_stands_for() -> None:
    """So the next event's link still holds; and a husk of a husk is the same."""
    first, second = _two()
    husk = redacted(first)
    assert (husk.id, husk.time, husk.digest) == (first.id, first.time, first.digest)
    assert second.prev == husk.digest
    assert redacted(husk) == husk
    assert set(husk.body) == {"digest"}


def _two() -> list[Event]:
    history = open_history()
    history.record_all([opened(), reading()])
    return all_events(history)


def test_a_bench_can_be_forgotten_and_no_other_with_it(database: Database) -> None:
    """Everything of it goes, keys too; the bench beside it keeps all."""
    hub = make_hub(database)
    new_key(hub), new_key(hub, "Quay Street Frets")
    one, two = hub.accounts.benches()
    forget_bench(database, one.bench, NOW_MS, "mira")
    assert [each.bench for each in hub.accounts.benches()] == [two.bench]
    assert hub.accounts.devices(one.bench) == [] and len(hub.accounts.devices(two.bench)) == 1
    with pytest.raises(InputError):
        hub.accounts.bench(one.name)


async def test_a_purged_file_of_a_hub_holds_no_trace(tmp_path: Path) -> None:
    """Not even in the free pages of the database or in its log."""
    database = SqliteDatabase(tmp_path / "hub.sqlite")
    hub = make_hub(database)
    history = open_history()
    history.record_all(secret_job())  # type: ignore[arg-type]
    history.erase(("job", "secret"), due_ms=NOW_MS)
    await meet(history, Direct(hub), new_key(hub))
    whole = b"".join(path.read_bytes() for path in tmp_path.iterdir())
    assert SECRET.encode() in whole
    purge(database, hub.accounts.benches()[0].bench, NOW_MS)
    whole = b"".join(path.read_bytes() for path in tmp_path.iterdir())
    assert SECRET.encode() not in whole
    assert (
        EventStore(database).held(hub.accounts.benches()[0].bench).spans.vector() == history.vector
    )
    database.close()

"""A hub is copied while it works, and comes back from the copy; nothing confirmed is lost."""

from __future__ import annotations

import asyncio
import errno
import hashlib
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from logic.history import History
from logic.sync.hub import backup
from logic.sync.hub.accounts import Accounts
from logic.sync.hub.archive import check
from logic.sync.hub.audit import Act, entries
from logic.sync.hub.backup import back_up, digest_file, restore
from logic.sync.hub.database import Database, Transaction
from logic.sync.hub.migrations import migrate, steps
from logic.sync.hub.open_database import open_database
from logic.sync.hub.sqlite import SqliteDatabase
from logic.sync.wire import Role
from shared.errors import HubStoreError, InputError
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, new_key
from tests.hub.stores import KINDS, events_of, fresh_store
from tests.logic.history.factory import open_history, opened, reading

LATER = NOW_MS + 86_400_000


def busy(letter: str, count: int) -> History:
    """A phone after some work."""
    history = open_history(letter=letter)
    history.record_all([opened(), *(reading(1 + n % 6) for n in range(count - 1))])
    return history


def tables_of(database: Database) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table, but for the notes and for what backing up wrote down itself."""
    names = (
        "benches",
        "events",
        "runs",
        "aside",
        "keys",
        "codes",
        "erasures",
        "bench_limits",
        "names",
    )
    columns = dict.fromkeys(names, "*") | {"names": "bench, device, key_id, came_from"}
    return database.snapshot(
        lambda now: {
            name: sorted(now.rows(f"SELECT {those} FROM {name}"), key=str)
            for name, those in columns.items()
        }
    )


@pytest.mark.parametrize("target", KINDS)
async def test_the_drill_of_backup_and_restore(
    database: Database, target: str, tmp_path: Path
) -> None:
    """Members write while the copy is made; the hub is lost; the copy is played into an empty place
    of any kind; devices meet it: nothing that was confirmed before the copy is missing, what came
    after it comes back from the devices, and each notices the new epoch."""
    hub, copy = make_hub(database), tmp_path / "copy.sqlite"
    phones, keys = [busy(letter, 30) for letter in "ab"], [new_key(hub) for _ in "ab"]
    await meet(phones[0], Direct(hub), keys[0])
    confirmed = {event.id for event in events_of(database, hub.accounts.benches()[0].bench)}
    writer = threading.Thread(
        target=lambda: asyncio.run(_meet_in_pieces(phones[1], Direct(hub), keys[1]))
    )
    writer.start()
    report = back_up(database, copy, NOW_MS, "operator")
    writer.join()
    phones[0].record(*reading(2))
    before = await meet(phones[0], Direct(hub), keys[0])
    with fresh_store(target) as place:
        migrate(place)
        restored = restore(place, copy, LATER, "operator")
        assert (restored.entries, restored.digest_known) == (report.entries, True)
        bench = Accounts(place).benches()[0].bench
        assert confirmed <= {event.id for event in events_of(place, bench)}
        again = make_hub(place)
        for phone, key in zip(phones, keys, strict=True):
            outcome = await meet(phone, Direct(again), key)
            assert outcome.agreed and outcome.epoch == restored.epoch != before.epoch
        assert len(events_of(place, bench)) == 61
        assert check(place, bench).wrong == []
        assert [each.what for each in entries(place)][-1] == Act.RESTORED


async def _meet_in_pieces(phone: History, direct: Direct, key: str) -> None:
    await meet(phone, direct, key, batch=3)


async def test_every_row_of_a_hub_comes_back(database: Database, tmp_path: Path) -> None:
    """Benches, keys, codes, what was set aside, promises, limits: table by table the same."""
    hub = make_hub(database)
    bench = hub.accounts.make_bench("Alder Row Strings", NOW_MS).bench
    hub.accounts.new_code(bench, Role.READ_ONLY, NOW_MS)
    history, key = busy("a", 2300), new_key(hub)
    history.erase(("job", "j1"), due_ms=LATER)
    await meet(history, Direct(hub), key)
    back_up(database, tmp_path / "copy.sqlite", NOW_MS, "operator")
    with closing(SqliteDatabase(None)) as place:
        migrate(place)
        restore(place, tmp_path / "copy.sqlite", LATER, "operator")
        assert tables_of(place) == tables_of(database)
        assert make_hub(place).accounts.device_of(key, NOW_MS) is not None


def test_a_copy_is_one_file_for_its_owner_with_its_digest_beside_it(
    database: Database, tmp_path: Path
) -> None:
    """Nothing half-made lies about; others on the machine cannot read it; `sha256sum` agrees."""
    new_key(make_hub(database))
    copy = tmp_path / "copy.sqlite"
    report = back_up(database, copy, NOW_MS, "operator")
    assert sorted(path.name for path in tmp_path.iterdir() if "hub" not in path.name) == [
        "copy.sqlite",
        "copy.sqlite.sha256",
    ]
    assert copy.stat().st_mode & 0o077 == 0
    digest = hashlib.sha256(copy.read_bytes()).hexdigest()
    assert digest_file(copy).read_text() == f"{digest}  copy.sqlite\n"
    assert report.sha256 == digest


def test_a_copy_never_takes_the_place_of_another(database: Database, tmp_path: Path) -> None:
    """The second one is refused before anything is written, and the first stays as it was."""
    new_key(make_hub(database))
    copy = tmp_path / "copy.sqlite"
    back_up(database, copy, NOW_MS, "operator")
    kept = copy.read_bytes()
    with pytest.raises(InputError, match="there already"):
        back_up(database, copy, NOW_MS, "operator")
    with pytest.raises(InputError, match="name a new file"):
        back_up(database, tmp_path / "nowhere" / "copy.sqlite", NOW_MS, "operator")
    assert copy.read_bytes() == kept


def test_a_copy_lands_where_a_file_has_but_one_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a memory stick, whose file system knows no second name for a file: whole, its digest
    beside it, and still over no other file, not even one that appeared meanwhile."""
    copy = tmp_path / "copy.sqlite"

    def no_links(*_given: object) -> None:
        raise PermissionError(errno.EPERM, "not permitted")

    monkeypatch.setattr(backup.os, "link", no_links)
    with closing(SqliteDatabase(None)) as database:
        new_key(make_hub(database))
        report = back_up(database, copy, NOW_MS, "operator")
        assert hashlib.sha256(copy.read_bytes()).hexdigest() == report.sha256
        monkeypatch.setattr(backup, "_refuse_to_overwrite", lambda _file: None)
        with pytest.raises(InputError, match="name a new file"):
            back_up(database, copy, NOW_MS, "operator")
    assert hashlib.sha256(copy.read_bytes()).hexdigest() == report.sha256
    assert len(list(tmp_path.iterdir())) == 2


async def test_a_copy_that_is_not_right_gets_no_name(database: Database, tmp_path: Path) -> None:
    """Reading back finds an entry that was altered in the hub's own database; no file is left."""
    hub = make_hub(database)
    await meet(busy("a", 3), Direct(hub), new_key(hub))
    spoilt = "UPDATE events SET text = replace(text, '\"seq\":2', '\"seq\":7') WHERE seq = 2"
    database.run(lambda now: now.change(spoilt))
    with pytest.raises(HubStoreError, match="does not match its digest"):
        back_up(database, tmp_path / "copy.sqlite", NOW_MS, "operator")
    assert not list(tmp_path.glob("*copy*"))


async def test_only_an_empty_place_is_restored_into(database: Database, tmp_path: Path) -> None:
    """A hub that holds a bench, or only an audit log, is left as it is."""
    hub = make_hub(database)
    await meet(busy("a", 3), Direct(hub), new_key(hub))
    copy = tmp_path / "copy.sqlite"
    back_up(database, copy, NOW_MS, "operator")
    before = tables_of(database)
    with pytest.raises(InputError, match="empty place"):
        restore(database, copy, LATER, "operator")
    assert tables_of(database) == before


@pytest.mark.parametrize("spoil", ["cut short", "one byte", "no hub", "in use", "not there"])
def test_a_copy_that_cannot_be_trusted_is_refused(spoil: str, tmp_path: Path) -> None:
    """With its digest beside it or without, and the empty place stays empty."""
    source, copy = SqliteDatabase(None), tmp_path / "copy.sqlite"
    new_key(make_hub(source))
    back_up(source, copy, NOW_MS, "operator")
    source.close()
    data = bytearray(copy.read_bytes())
    if spoil == "cut short":
        digest_file(copy).unlink()
        copy.write_bytes(data[: len(data) // 2])
    elif spoil == "one byte":
        data[len(data) // 2] ^= 1
        copy.write_bytes(data)
    elif spoil == "no hub":
        digest_file(copy).unlink()
        copy.write_bytes(b"a shopping list")
    elif spoil == "in use":
        copy.with_name("copy.sqlite-wal").touch()
    else:
        copy.unlink()
    with closing(SqliteDatabase(None)) as place:
        migrate(place)
        with pytest.raises(InputError) as refused:
            restore(place, copy, LATER, "operator")
        assert str(refused.value).startswith("file: cannot use")
        assert Accounts(place).benches() == []


def test_a_copy_from_an_earlier_version_comes_back(tmp_path: Path) -> None:
    """A hub's file of the second step is brought up to date on the way, and left as it was."""
    old = tmp_path / "old.sqlite"
    with closing(sqlite3.connect(old)) as database:
        for number in (1, 2):
            database.executescript(steps("sqlite")[number])
        database.executescript(
            "CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT NOT NULL);"
            "INSERT INTO meta VALUES ('version', '2'), ('epoch', 'e1');"
            "INSERT INTO benches (bench, name, made_ms) VALUES ('b1', 'Alder Row Strings', 1)"
        )
    kept = old.read_bytes()
    with closing(SqliteDatabase(None)) as place:
        migrate(place)
        report = restore(place, old, LATER, "operator")
        assert (report.benches, report.digest_known) == (1, False)
        assert report.epoch not in ("", "e1")
    assert old.read_bytes() == kept


def test_a_snapshot_sees_one_moment_and_keeps_nobody_waiting(url: str) -> None:
    """What is written while it is open is not in it, is confirmed at once, and is there after."""
    with closing(open_database(url)) as database:
        migrate(database)
        accounts = Accounts(database)
        accounts.make_bench("Alder Row Strings", NOW_MS)
        counted: list[int] = []

        def look(now: Transaction) -> None:
            count = "SELECT count(*) FROM benches"
            counted.append(now.rows(count)[0][0])
            accounts.make_bench("Quay Street Frets", NOW_MS)
            counted.append(now.rows(count)[0][0])

        database.snapshot(look)
        assert (counted, len(accounts.benches())) == ([1, 1], 2)


def test_a_backup_and_a_restore_are_written_down(database: Database, tmp_path: Path) -> None:
    """Who made a copy, and when."""
    new_key(make_hub(database))
    back_up(database, tmp_path / "copy.sqlite", NOW_MS, "mira")
    last = list(entries(database))[-1]
    assert (last.at_ms, last.what, last.actor) == (NOW_MS, Act.BACKED_UP, "mira")

"""What is done at a hub is written down: once, by whom, without a secret, and never changed."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from logic.sync.hub.accounts import Accounts
from logic.sync.hub.audit import THE_HUB, Act, entries, note
from logic.sync.hub.database import Database, Transaction
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.hub.purging import forget_bench, purge
from logic.sync.wire import Role
from shared.errors import HubStoreError, InputError
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet
from tests.logic.history.factory import open_history, opened


async def test_a_bench_s_life_is_written_down(database: Database) -> None:
    """Made, a code, a device joins, its owner erases, it leaves, another is shut out: who and when,
    in order, by number without a gap."""
    hub = make_hub(database)
    accounts = Accounts(database, "mira")
    bench = accounts.make_bench("Alder Row Strings", NOW_MS).bench
    admitted = [
        accounts.admit(accounts.new_code(bench, Role.FULL, NOW_MS), label, NOW_MS + 1)
        for label in ("Bench phone", "Touring phone")
    ]
    assert admitted[0] and admitted[1]
    history = open_history()
    history.record(*opened("j1", None))
    history.erase(("job", "j1"), due_ms=NOW_MS)
    await meet(history, Direct(hub), admitted[0].key)
    purge(database, bench, NOW_MS + 2)
    hub.leave(admitted[0].device)
    accounts.revoke(bench, "Touring phone", NOW_MS + 3)
    one, two = (each.device.key_id for each in admitted if each)
    found = list(entries(database))
    assert [each.nr for each in found] == list(range(1, 9))
    assert [(each.what, each.key_id, each.actor, each.detail) for each in found] == [
        (Act.BENCH_MADE, "", "mira", ""),
        (Act.CODE_MADE, "", "mira", "full"),
        (Act.JOINED, one, one, "full"),
        (Act.CODE_MADE, "", "mira", "full"),
        (Act.JOINED, two, two, "full"),
        (Act.ERASED, "", THE_HUB, "1"),
        (Act.LEFT, one, one, ""),
        (Act.REVOKED, two, "mira", ""),
    ]
    assert {each.bench for each in found} == {bench}
    assert [each.at_ms - NOW_MS for each in found] == [0, 0, 1, 0, 1, 2, 0, 3]


def test_no_row_is_changed_or_taken_out(database: Database) -> None:
    """The database itself refuses, whoever asks, and the row stands as it was."""
    migrate(database)
    Accounts(database, "mira").make_bench("Alder Row Strings", NOW_MS)
    before = list(entries(database))
    for sql in ("UPDATE audit SET actor = 'somebody'", "DELETE FROM audit"):
        with pytest.raises(HubStoreError, match="only added to"):
            database.run(lambda now, sql=sql: now.change(sql))  # type: ignore[misc]
    assert list(entries(database)) == before != []


def test_what_is_undone_is_not_written_down(database: Database) -> None:
    """An act and its row are one transaction: a bench that failed to be made left no trace."""
    migrate(database)
    accounts = Accounts(database, "mira")
    accounts.make_bench("Alder Row Strings", NOW_MS)
    with pytest.raises(InputError, match="already"):
        accounts.make_bench("Alder Row Strings", NOW_MS)
    assert len(list(entries(database))) == 1


def test_it_holds_no_secret_and_no_name(database: Database) -> None:
    """Neither key nor code, nor a label that somebody typed: a bench that is forgotten leaves
    numbers and dates."""
    migrate(database)
    accounts = Accounts(database, "mira")
    bench = accounts.make_bench("Alder Row Strings", NOW_MS).bench
    code = accounts.new_code(bench, Role.FULL, NOW_MS)
    admitted = accounts.admit(code, "Miss Larkspur's phone", NOW_MS)
    assert admitted is not None
    forget_bench(database, bench, NOW_MS, "mira")
    told = str(list(entries(database)))
    for secret in (code, code.replace("-", ""), admitted.key.rsplit(".", 1)[1], "Larkspur", "Row"):
        assert secret not in told
    assert [each.what for each in entries(database, bench)][-1] == Act.FORGOTTEN


def test_two_hubs_that_write_at_once_number_their_rows_one_after_the_other(url: str) -> None:
    """No number is given out twice and none is left out."""
    databases = [open_database(url) for _ in range(2)]
    migrate(databases[0])
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda n: _write_one(databases[n % 2], n), range(24)))
    assert [each.nr for each in entries(databases[0])] == list(range(1, 25))
    for database in databases:
        database.close()


def _write_one(database: Database, number: int) -> None:
    database.run(lambda now: note(now, number, Act.RESTORED, "mira"))


def test_more_rows_than_a_page_are_read_in_order(database: Database) -> None:
    """Of one bench or of all, and since a day."""
    migrate(database)

    def write(now: Transaction) -> None:
        for number in range(1, 1103):
            note(now, number, Act.JOINED, "k", bench=f"b{number % 2}")

    database.run(write)
    assert [each.nr for each in entries(database)] == list(range(1, 1103))
    assert len(list(entries(database, "b1", since_ms=1100))) == 1

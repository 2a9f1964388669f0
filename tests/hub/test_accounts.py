"""Who may in, on every kind of store."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from logic.sync.hub.accounts import CODE_MINUTES, SEEN_EVERY_MS, Accounts, Admitted
from logic.sync.hub.database import Database
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.wire import CODE_LETTERS, Role
from shared.errors import InputError

NOON = 1_700_000_000_000
MINUTE = 60_000


def doors_of(database: Database) -> tuple[Accounts, str]:
    """Doors with one bench."""
    migrate(database)
    accounts = Accounts(database)
    return accounts, accounts.make_bench("Alder Row Strings", NOON).bench


def joined(
    accounts: Accounts, bench: str, label: str = "Bench phone", role: Role = Role.FULL
) -> Admitted:
    """A device that has just joined."""
    admitted = accounts.admit(accounts.new_code(bench, role, NOON), label, NOON)
    assert admitted is not None
    return admitted


def test_a_code_lets_one_device_in_once(database: Database) -> None:
    """The first to show it gets a key; the second gets nothing."""
    accounts, bench = doors_of(database)
    code = accounts.new_code(bench, Role.FULL, NOON)
    admitted = accounts.admit(code, "Bench phone", NOON)
    assert admitted is not None and admitted.bench_name == "Alder Row Strings"
    assert accounts.admit(code, "Somebody", NOON) is None
    device = accounts.device_of(admitted.key, NOON)
    assert device is not None and (device.bench, device.role) == (bench, "full")


def test_a_code_expires(database: Database) -> None:
    """It works to the end of its time and not a moment longer."""
    accounts, bench = doors_of(database)
    first, second = (accounts.new_code(bench, Role.FULL, NOON) for _ in "ab")
    end = NOON + CODE_MINUTES * MINUTE
    assert accounts.admit(first, "late", end + 1) is None
    assert accounts.admit(second, "just in time", end) is not None


def test_a_code_is_understood_however_it_is_typed(database: Database) -> None:
    """Small letters, no hyphen and spaces do; its letters survive being read aloud."""
    accounts, bench = doors_of(database)
    code = accounts.new_code(bench, Role.READ_ONLY, NOON)
    assert set(code.replace("-", "")) <= set(CODE_LETTERS)
    assert not set("01ILO") & set(CODE_LETTERS)
    typed = f" {code[:4].lower()} {code[5:].lower()} "
    admitted = accounts.admit(typed, "Tablet", NOON)
    assert admitted is not None and admitted.device.role == "read-only"


@pytest.mark.parametrize(
    ("label", "listed"),
    [("\x1b[2J\0Phone\n2", "[2J Phone 2"), ("\ud800", "a device"), ("Zoë’s 📱", "Zoë’s 📱")],
)
def test_a_label_cannot_harm_whoever_reads_the_list(
    database: Database, label: str, listed: str
) -> None:
    """Control characters, half characters and line feeds do not reach a terminal or the store."""
    accounts, bench = doors_of(database)
    joined(accounts, bench, label)
    assert accounts.devices(bench)[0].label == listed


def test_of_many_who_show_one_code_at_once_one_gets_in(url: str) -> None:
    """Eight devices race through two hubs with the same code."""
    stores = [open_database(url) for _ in range(2)]
    accounts, bench = doors_of(stores[0])
    code = accounts.new_code(bench, Role.FULL, NOON)
    with ThreadPoolExecutor(8) as pool:
        tries = pool.map(
            lambda n: Accounts(stores[n % 2]).admit(code, f"phone {n}", NOON), range(8)
        )
        assert sum(each is not None for each in tries) == 1
    for store in stores:
        store.close()


def test_no_secret_is_kept(database: Database) -> None:
    """Neither the key nor an unused code can be found anywhere in the store."""
    accounts, bench = doors_of(database)
    secret = joined(accounts, bench).key.rsplit(".", 1)[1]
    code = accounts.new_code(bench, Role.FULL, NOON).replace("-", "")
    tables = ("keys", "codes", "benches", "meta")
    found = database.run(lambda now: [now.rows(f"SELECT * FROM {table}") for table in tables])
    assert all(found) and secret not in str(found) and code not in str(found)


@pytest.mark.parametrize("change", [lambda k: k[:-1], lambda k: k + "a", lambda k: k.upper()])
def test_a_key_must_be_exact(database: Database, change: object) -> None:
    """A key that lacks a letter, has one more or is spelled otherwise opens nothing."""
    accounts, bench = doors_of(database)
    key = joined(accounts, bench).key
    assert callable(change)
    assert accounts.device_of(change(key), NOON) is None
    for nonsense in ("", ".", "nw1", "nw1..", "nw1.a.b", "nw1.é.ü", "x" * 5000):
        assert accounts.device_of(nonsense, NOON) is None
    assert accounts.device_of(key, NOON) is not None


def test_a_revoked_key_opens_nothing_at_once(database: Database) -> None:
    """The next look at it fails, and the other devices of the bench notice nothing."""
    accounts, bench = doors_of(database)
    lost, other = joined(accounts, bench, "Touring phone"), joined(accounts, bench, "Tablet")
    assert accounts.revoke(bench, "Touring phone", NOON)[0].key_id == lost.device.key_id
    assert accounts.device_of(lost.key, NOON) is None
    assert accounts.device_of(other.key, NOON) is not None
    states = {each.label: each.revoked_ms for each in accounts.devices(bench)}
    assert states == {"Touring phone": NOON, "Tablet": None}


def test_one_bench_cannot_revoke_the_devices_of_another(database: Database) -> None:
    """Names and ids are looked up within the bench only."""
    accounts, bench = doors_of(database)
    other = accounts.make_bench("Quay Street Frets", NOON).bench
    phone = joined(accounts, bench)
    with pytest.raises(InputError, match="devices that may in: none"):
        accounts.revoke(other, phone.device.key_id, NOON)
    assert accounts.device_of(phone.key, NOON) is not None


def test_devices_of_one_name_must_be_told_apart(database: Database) -> None:
    """Revoking by a label that two devices carry names both ids instead of choosing."""
    accounts, bench = doors_of(database)
    one, two = joined(accounts, bench), joined(accounts, bench)
    with pytest.raises(InputError, match=f"{one.device.key_id}|{two.device.key_id}"):
        accounts.revoke(bench, "Bench phone", NOON)


def test_when_a_device_was_last_seen_is_listed(database: Database) -> None:
    """To the minute, and without a write for every message."""
    accounts, bench = doors_of(database)
    key = joined(accounts, bench).key
    for moment in (NOON, NOON + 1, NOON + SEEN_EVERY_MS + 1):
        accounts.device_of(key, moment)
    assert accounts.devices(bench)[0].seen_ms == NOON + SEEN_EVERY_MS + 1


def test_bench_names_are_unique_and_found(database: Database) -> None:
    """A second bench of one name is refused, and one that is not there names those that are."""
    accounts, bench = doors_of(database)
    with pytest.raises(InputError, match="here already"):
        accounts.make_bench("  Alder  Row Strings ", NOON)
    with pytest.raises(InputError):
        accounts.make_bench("   ", NOON)
    with pytest.raises(InputError, match="Alder Row Strings"):
        accounts.bench("Elder Row")
    assert accounts.bench(bench).name == "Alder Row Strings"

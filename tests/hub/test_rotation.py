"""A key is replaced without joining again, and no answer that gets lost locks a device out."""

from __future__ import annotations

from pathlib import Path

import pytest

from logic.sync.agent import Phase
from logic.sync.hub.accounts import Accounts, Admitted
from logic.sync.hub.audit import Act, entries
from logic.sync.hub.backup import back_up, restore
from logic.sync.hub.bench_limits import DAY_MS, EVERY_BENCH, LimitName, set_limit
from logic.sync.hub.database import Database
from logic.sync.hub.migrations import migrate
from logic.sync.pairing import PairingFile
from logic.sync.wire import Role
from shared.errors import HubRefused, InputError
from tests.hub.hubs import NOW_MS, Direct, make_hub
from tests.hub.stores import fresh_store
from tests.logic.history.factory import opened
from tests.logic.sync.test_agent import Bench


def joined(database: Database, label: str = "Bench phone") -> tuple[Accounts, Admitted]:
    """A device that has just joined a bench."""
    migrate(database)
    accounts = Accounts(database, "mira")
    benches = accounts.benches() or [accounts.make_bench("Alder Row Strings", NOW_MS)]
    code = accounts.new_code(benches[0].bench, Role.FULL, NOW_MS)
    admitted = accounts.admit(code, label, NOW_MS)
    assert admitted is not None
    return accounts, admitted


def test_the_old_key_is_good_until_the_new_one_is_shown(database: Database) -> None:
    """Both open while the new one was only told; from its first use on the old one opens nothing.
    The key keeps its id, role, label and bench."""
    accounts, admitted = joined(database)
    new = accounts.rotate(admitted.device)
    assert accounts.device_of(admitted.key, NOW_MS) is not None
    device = accounts.device_of(new, NOW_MS + 5)
    assert device is not None and device.rotated_ms == NOW_MS + 5
    assert (device.key_id, device.label) == (admitted.device.key_id, "Bench phone")
    assert accounts.device_of(admitted.key, NOW_MS + 5) is None
    assert accounts.device_of(new, NOW_MS + 6) is not None
    assert [each.what for each in entries(database)][-1] == Act.ROTATED


def test_asking_again_makes_another_new_key(database: Database) -> None:
    """The answer to the first request was lost: what it said opens nothing, the old key asks once
    more, and the second answer is good."""
    accounts, admitted = joined(database)
    lost, kept = (accounts.rotate(admitted.device) for _ in "ab")
    assert accounts.device_of(lost, NOW_MS) is None
    assert accounts.device_of(admitted.key, NOW_MS) is not None
    assert accounts.device_of(kept, NOW_MS) is not None
    assert [each.what for each in entries(database)].count(Act.ROTATED) == 1


def test_a_key_that_was_revoked_is_not_rotated(database: Database) -> None:
    """Neither before its successor was shown nor after: shut out is shut out."""
    accounts, admitted = joined(database)
    new = accounts.rotate(admitted.device)
    accounts.revoke(admitted.device.bench, "Bench phone", NOW_MS)
    later = accounts.rotate(admitted.device)
    assert all(accounts.device_of(key, NOW_MS) is None for key in (admitted.key, new, later))


def test_a_key_past_its_time_opens_nothing(database: Database) -> None:
    """With a limit of 100 days a device is asked to rotate after 75 and shut out after 100; one
    that rotated begins anew; without a limit nothing ages."""
    accounts, admitted = joined(database)
    assert accounts.device_of(admitted.key, NOW_MS + 9999 * DAY_MS) is not None
    set_limit(database, EVERY_BENCH, LimitName.KEY_DAYS, 100, NOW_MS, "mira")
    found = accounts.device_of(admitted.key, NOW_MS)
    assert found is not None and found.expires_ms == NOW_MS + 100 * DAY_MS
    assert not found.should_rotate(NOW_MS + 75 * DAY_MS - 1)
    assert found.should_rotate(NOW_MS + 75 * DAY_MS)
    new = accounts.rotate(found)
    assert accounts.device_of(admitted.key, NOW_MS + 100 * DAY_MS) is None
    assert accounts.device_of(new, NOW_MS + 100 * DAY_MS - 1) is not None
    assert accounts.device_of(new, NOW_MS + 199 * DAY_MS) is not None
    assert accounts.device_of(new, NOW_MS + 200 * DAY_MS) is None
    set_limit(database, admitted.device.bench, LimitName.KEY_DAYS, 0, NOW_MS, "mira")
    assert accounts.device_of(new, NOW_MS + 200 * DAY_MS) is not None


def test_only_a_device_that_is_in_is_asked(database: Database) -> None:
    """By label or id, as with revoking; of another bench's devices none is found."""
    accounts, admitted = joined(database)
    other = accounts.make_bench("Quay Street Frets", NOW_MS).bench
    with pytest.raises(InputError, match="devices that may in"):
        accounts.ask_to_rotate(other, "Bench phone", NOW_MS)
    accounts.ask_to_rotate(admitted.device.bench, "Bench phone", NOW_MS)
    assert accounts.devices(admitted.device.bench)[0].rotation_asked_ms == NOW_MS


async def test_a_phone_rotates_when_the_operator_asks() -> None:
    """At its next meeting, by itself: new key kept and in use, old one worthless, asked no more."""
    bench = Bench()
    await bench.join()
    old = bench.agent.pairing
    assert old is not None
    bench.hub.accounts.ask_to_rotate(old.bench, "Bench phone", NOW_MS)
    bench.history.record(*opened())
    assert await bench.agent.sync_now()
    assert bench.agent.status.phase is Phase.IN_STEP
    kept = await PairingFile(bench.directory).load()
    assert kept is not None and kept.key != old.key and kept.former_key == old.key
    assert bench.hub.accounts.device_of(kept.key, NOW_MS) is not None
    assert bench.hub.accounts.device_of(old.key, NOW_MS) is None
    outcome = await bench.agent.sync_now()
    assert outcome is not None and not outcome.rotate


@pytest.mark.parametrize("request_lost", [1, 2])
async def test_a_rotation_that_is_cut_off_is_made_good_at_the_next_meeting(
    request_lost: int,
) -> None:
    """Whether the asking or the first showing fails, the meeting itself counts, and the next one
    ends with a new key in use."""
    bench = Bench()
    await bench.join()
    old = bench.agent.pairing
    assert old is not None
    await bench.agent.sync_now()
    before = bench.signal.tries
    await bench.agent.sync_now()
    messages = bench.signal.tries - before
    bench.hub.accounts.ask_to_rotate(old.bench, "Bench phone", NOW_MS)
    bench.signal.fails_at = bench.signal.tries + messages + request_lost
    assert await bench.agent.sync_now() is not None
    assert bench.agent.status.phase is Phase.IN_STEP
    assert await bench.agent.sync_now() is not None
    assert bench.agent.pairing is not None
    assert bench.hub.accounts.device_of(bench.agent.pairing.key, NOW_MS) is not None
    assert bench.hub.accounts.device_of(old.key, NOW_MS) is None


async def test_a_hub_played_back_from_before_a_rotation_lets_the_phone_in(tmp_path: Path) -> None:
    """It knows the old key alone; the phone shows that one once the new one is unknown, and goes on
    without joining again. A phone that was revoked is shut out by both."""
    bench = Bench()
    await bench.join()
    old = bench.agent.pairing
    assert old is not None
    back_up(bench.hub.database, tmp_path / "copy.sqlite", NOW_MS, "mira")
    await bench.agent.rotate_key()
    assert bench.agent.pairing is not None and bench.agent.pairing.key != old.key
    with fresh_store("memory") as place:
        again = make_hub(place)
        restore(place, tmp_path / "copy.sqlite", NOW_MS, "mira")
        bench.signal.inner = Direct(again)
        assert await bench.agent.sync_now() is not None
        assert bench.agent.pairing.key == old.key
        again.accounts.revoke(old.bench, "Bench phone", NOW_MS)
        assert await bench.agent.sync_now() is None
        assert bench.agent.status.phase is Phase.SHUT_OUT


async def test_a_stolen_key_that_was_rotated_by_the_thief_shows() -> None:
    """Of two who hold one key only one comes along: the owner's phone is shut out and says so."""
    bench = Bench()
    await bench.join()
    assert bench.agent.pairing is not None
    stolen = bench.hub.accounts.device_of(bench.agent.pairing.key, NOW_MS)
    assert stolen is not None
    assert bench.hub.accounts.device_of(bench.hub.accounts.rotate(stolen), NOW_MS)
    assert await bench.agent.sync_now() is None
    assert bench.agent.status.phase is Phase.SHUT_OUT
    with pytest.raises(HubRefused):
        await bench.agent.rotate_key()

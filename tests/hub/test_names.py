"""No device of a bench can write as another, and what came by file is told as such."""

from __future__ import annotations

import json
import time
from typing import Any

import pytest

from logic.history import History
from logic.sync.hub import event_store, names, room
from logic.sync.hub.app import Hub
from logic.sync.hub.database import Database
from logic.sync.hub.names import MOST_NAMES, MOST_NAMES_OF_KEY
from logic.sync.session import SyncSession
from logic.sync.wire import Code, ReceivedReply, Role
from tests.hub.hubs import Direct, InProcess, make_hub, meet, message, new_key, wires
from tests.hub.test_app import exchange, said
from tests.logic.history.factory import all_events, open_history, opened, reading

BENCH = "Alder Row Strings"


def busy(letter: str, count: int = 3) -> History:
    """A phone after some work."""
    history = open_history(letter=letter)
    history.record_all([opened(f"job of {letter}"), *(reading(n % 6 + 1) for n in range(1, count))])
    return history


def key_called(hub: Hub, label: str, role: Role = Role.FULL) -> str:
    """A key of a device that calls itself so."""
    found = {each.name: each.bench for each in hub.accounts.benches()}
    bench = found.get(BENCH) or hub.accounts.make_bench(BENCH, hub.now_ms()).bench
    admitted = hub.accounts.admit(
        hub.accounts.new_code(bench, role, hub.now_ms()), label, hub.now_ms()
    )
    assert admitted is not None
    return admitted.key


async def sent(hub: Hub, key: str, events: list[Any], **more: Any) -> dict[str, Any]:
    """The hub's reply to a message with these events."""
    found: dict[str, Any] = said(await exchange(InProcess.of(hub), key, message(events, **more)))
    return found


def codes_of(reply: dict[str, Any]) -> dict[str, str]:
    """Why each event was refused."""
    return {each["event"]: each["code"] for each in reply["refused"]}


@pytest.mark.parametrize("says_its_name", [True, False])
async def test_nobody_writes_under_another_members_name(
    database: Database, says_its_name: bool
) -> None:
    """Not further entries that follow on, and not in a gap; whether or not the owner's version
    says its name. The owner goes on writing."""
    hub = make_hub(database)
    owner, other = new_key(hub), new_key(hub)
    events = wires(all_events(busy("a", 6)))
    told = {"device": "a1"} if says_its_name else {}
    assert (await sent(hub, owner, events[:3], **told))["taken"] == 3
    forged = await sent(hub, other, [events[3], events[5]], device="b1")
    assert codes_of(forged) == {"a1:4": "name-taken", "a1:6": "name-taken"}
    assert forged["have"] == {"a1": [[1, 3]]}
    assert (await sent(hub, owner, events[3:], **told))["taken"] == 3


async def test_what_a_later_entry_proves_is_taken_from_anybody(database: Database) -> None:
    """A gap below an entry of the owner's own is filled by whoever holds what belongs there."""
    hub = make_hub(database)
    owner, other = new_key(hub), new_key(hub)
    events = wires(all_events(busy("a", 6)))
    await sent(hub, owner, events[5:], device="a1")
    reply = await sent(hub, other, events[2:5], device="b1")
    assert (reply["taken"], reply["via"]) == (3, {})
    changed = events[1] | {"body": {"job": "another"}}
    assert codes_of(await sent(hub, other, [changed], device="b1")) == {"a1:2": "name-taken"}


async def test_what_came_by_file_is_taken_and_told_as_such(database: Database) -> None:
    """A device that never joined is brought by a member, and every member hears by whom; once it
    joins, its name is its own."""
    hub = make_hub(database)
    member, other = key_called(hub, "Bench phone"), key_called(hub, "Desk")
    events = wires(all_events(busy("c", 5)))
    reply = await sent(hub, member, events[:2], device="a1")
    assert (reply["taken"], reply["via"]) == (2, {"c1": "Bench phone"})
    assert (await sent(hub, other, [], device="b1"))["via"] == {"c1": "Bench phone"}
    joined = key_called(hub, "Cellar phone")
    assert (await sent(hub, joined, events[2:4], device="c1"))["taken"] == 2
    assert codes_of(await sent(hub, member, events[4:], device="a1")) == {"c1:5": "name-taken"}


async def test_a_device_that_may_only_read_binds_no_name(database: Database) -> None:
    """Nor does whoever claims a name that another key writes under."""
    hub = make_hub(database)
    reader, owner, thief = new_key(hub, role=Role.READ_ONLY), new_key(hub), new_key(hub)
    events = wires(all_events(busy("a", 3)))
    await sent(hub, reader, [], device="a1")
    assert (await sent(hub, owner, events[:2], device="a1"))["taken"] == 2
    assert codes_of(await sent(hub, thief, events[2:], device="a1")) == {"a1:3": "name-taken"}


async def test_a_name_is_free_once_its_key_is_revoked_or_the_store_was_played_back(
    database: Database,
) -> None:
    """A broken phone's last entries come by file; and after a restore all names are bound anew."""
    hub = make_hub(database)
    owner, other = new_key(hub), key_called(hub, "Desk")
    events = wires(all_events(busy("a", 6)))
    await sent(hub, owner, events[:2], device="a1")
    bench = hub.accounts.bench(BENCH).bench
    hub.accounts.revoke(bench, owner.split(".")[1], hub.now_ms())
    reply = await sent(hub, other, events[2:4], device="b1")
    assert (reply["taken"], reply["via"]) == (2, {"a1": "Desk"})
    rejoined = new_key(hub)
    await sent(hub, rejoined, [], device="a1")
    assert codes_of(await sent(hub, other, events[4:5], device="b1")) == {"a1:5": "name-taken"}
    hub.event_store.new_epoch()
    assert (await sent(hub, other, events[4:5], device="b1"))["taken"] == 1


# --- devices ---


class EarlierSession(SyncSession):
    """A device of the version before: its messages say no name."""

    def _message(self, have: Any, batch: Any) -> bytes:
        said_now: dict[str, Any] = json.loads(super()._message(have, batch))
        del said_now["device"]
        return json.dumps(said_now).encode()


async def test_devices_of_the_version_before_go_on_syncing(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three of them and one of this version, over days, come to one history; what one of them was
    given by file comes through, and is told as such."""
    hub = make_hub(database)
    phones = {letter: busy(letter) for letter in "abcz"}
    phones["a"].merge(busy("x", 4).export())
    keys = {letter: key_called(hub, f"Phone {letter}") for letter in phones}
    for day in range(3):
        for letter, phone in phones.items():
            phone.record(*reading(1 + day))
            with monkeypatch.context() as earlier:
                if letter != "z":
                    earlier.setattr("tests.hub.hubs.SyncSession", EarlierSession)
                outcome = await meet(phone, Direct(hub), keys[letter])
            assert outcome.agreed and not outcome.refused, outcome
    for letter, phone in phones.items():
        await meet(phone, Direct(hub), keys[letter])
        assert phone.vector == {"a1": 6, "b1": 6, "c1": 6, "z1": 6, "x1": 4}, letter
    assert outcome.via["x1"] == "Phone a" and "z1" not in outcome.via


async def test_entries_of_another_member_wait_for_that_one(database: Database) -> None:
    """A file that passed between two phones on the road: the first to meet the hub keeps what the
    other wrote, says that it waits, and is in step; once the other met the hub, all is there."""
    hub = make_hub(database)
    a, b = busy("a"), busy("b")
    keys = {"a": new_key(hub), "b": new_key(hub)}
    await meet(b, Direct(hub), keys["b"])
    b.record(*reading(6))
    a.merge(b.export())
    outcome = await meet(a, Direct(hub), keys["a"])
    assert outcome.agreed
    assert {each: why.code for each, why in outcome.refused.items()} == {"b1:4": Code.NAME_TAKEN}
    await meet(b, Direct(hub), keys["b"])
    outcome = await meet(a, Direct(hub), keys["a"])
    assert outcome.agreed and not outcome.refused
    assert a.vector == b.vector == {"a1": 3, "b1": 4}


async def test_a_device_whose_name_was_taken_goes_on_under_another(database: Database) -> None:
    """Its entries are told again under that, so that nothing of them stays behind."""
    hub = make_hub(database)
    thief, a = new_key(hub), busy("a", 4)
    await sent(hub, thief, [], device="a1")
    outcome = await meet(a, Direct(hub), new_key(hub))
    assert outcome.agreed and not outcome.refused and len(outcome.rebased) == 4
    assert a.device != "a1" and "a1" not in a.vector
    fresh = open_history(letter="z")
    await meet(fresh, Direct(hub), new_key(hub))
    assert len(fresh.jobs()) == 1 and fresh.vector == a.vector
    a.record(*reading(2))
    assert (await meet(a, Direct(hub), new_key(hub))).agreed


async def test_a_made_up_entry_beyond_a_name_costs_nobody_an_entry(database: Database) -> None:
    """Somebody claims a name before its device came and writes further on under it: what the
    device wrote is told again, and both sides hold the same."""
    hub = make_hub(database)
    thief, a = new_key(hub), busy("a", 2)
    made_up = wires(all_events(busy("q", 4)))[3] | {"device": "a1", "prev": ""}
    assert (await sent(hub, thief, [made_up], device="a1"))["taken"] == 1
    key = new_key(hub)
    outcome = await meet(a, Direct(hub), key)
    assert outcome.agreed and not outcome.refused and outcome.rebased == ["a1:1", "a1:2"]
    fresh = open_history(letter="z")
    assert (await meet(fresh, Direct(hub), new_key(hub))).agreed
    assert fresh.vector == a.vector and len(fresh.jobs()) == 1


async def test_what_a_key_wrote_before_it_let_a_name_go_is_not_the_next_ones(
    database: Database,
) -> None:
    """A member claims a name, writes under it and claims another: the device whose name it is
    binds it, and everybody hears by whom the rest came."""
    hub = make_hub(database)
    thief, owner = key_called(hub, "Odd phone"), new_key(hub)
    events = wires(all_events(busy("a", 3)))
    await sent(hub, thief, events[:1], device="a1")
    await sent(hub, thief, [], device="x1")
    assert (await sent(hub, owner, events[1:], device="a1"))["via"] == {"a1": "Odd phone"}


# --- bounds ---


def lone_events(count: int, of: str) -> list[dict[str, Any]]:
    """As many events, each of a device of its own."""
    event = wires(all_events(busy("a", 1)))[0]
    return [event | {"device": f"{of}{number}"} for number in range(count)]


async def test_messages_full_of_new_names_lock_nobody_out() -> None:
    """Eleven thousand names: a bench takes what it can name to every device of every version,
    refuses the rest, and goes on serving its members."""
    hub = make_hub()
    way, hostile, member = InProcess.of(hub), new_key(hub), new_key(hub)
    for number in range(11):
        body = message(lone_events(1000, f"n{number}-"), limit=0)
        reply = said(await exchange(way, hostile, body))
    assert set(codes_of(reply).values()) == {"full"}
    assert len(reply["have"]) <= MOST_NAMES_OF_KEY < MOST_NAMES < 10_000
    phone = busy("m")
    outcome = await meet(phone, Direct(hub), member)
    assert outcome.agreed and not outcome.refused
    phone.record(*reading(4))
    assert (await meet(phone, Direct(hub), member)).agreed


async def test_runs_are_bounded(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every second number of a device makes a run of its own: past the bound those are refused,
    whatever lies beside something that is here is taken, and so is what closes a gap."""
    monkeypatch.setattr(room, "MOST_RUNS", 5)
    hub = make_hub(database)
    key, events = new_key(hub), wires(all_events(busy("a", 40)))
    reply = await sent(hub, key, events[::2], device="a1")
    assert (reply["taken"], set(codes_of(reply).values())) == (5, {"full"})
    await sent(hub, key, events[:10], device="a1")
    reply = await sent(hub, key, events[20:24], device="a1")
    assert reply["have"] == {"a1": [[1, 10], [21, 24]]}
    assert (await sent(hub, key, events, device="a1"))["have"] == {"a1": [[1, 40]]}


@pytest.mark.parametrize("bound", ["MOST_ENTRIES", "MOST_ENTRIES_OF_KEY", "MOST_MEGABYTES_OF_KEY"])
async def test_a_key_and_a_bench_have_their_share(
    bound: str, database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Past it, entries are refused and stay with their device; what is there can be fetched."""
    monkeypatch.setattr(room, bound, 4 if "ENTRIES" in bound else 0)
    hub = make_hub(database)
    key, events = new_key(hub), wires(all_events(busy("a", 10)))
    kept = 4 if "ENTRIES" in bound else 0
    assert (await sent(hub, key, events, device="a1"))["taken"] == kept
    reply = await sent(hub, key, events, device="a1")
    assert (reply["taken"], reply["known"], len(reply["events"])) == (0, kept, kept)
    assert set(codes_of(reply).values()) == {"full"}


async def test_what_is_set_aside_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    """A member cannot fill the store with entries whose numbers are taken."""
    monkeypatch.setattr(event_store, "MOST_ASIDE", 5)
    hub = make_hub()
    key, events = new_key(hub), wires(all_events(busy("a", 3)))
    await sent(hub, key, events)
    for number in range(10):
        other = events[2] | {"body": {"job": f"another {number}"}}
        assert codes_of(await sent(hub, key, [other])) == {"a1:3": "fork"}
    counted = hub.database.run(lambda now: now.rows("SELECT COUNT(*) FROM aside"))
    assert counted == [(5,)]


def test_names_are_bounded_below_what_every_version_can_hear() -> None:
    """Ten thousand names is the most that a reply may hold for devices of the version before."""
    assert names.MOST_NAMES + 64 < 10_000


async def test_a_message_of_twenty_thousand_runs_costs_little() -> None:
    """A bench with twenty thousand runs, asked by a device that names as many others: the answer
    takes the hub at most a fifth of a second of work."""
    hub = make_hub()
    key = new_key(hub)
    bench = hub.accounts.bench(BENCH).bench
    runs = [(bench, "a1", 3 * n, 3 * n) for n in range(1, 20_001)]
    hub.database.run(lambda now: now.insert_all("runs", "bench, device, first_seq, last_seq", runs))
    have = {"a1": [[3 * n + 1, 3 * n + 1] for n in range(20_000)]}
    body = json.dumps({"have": have, "limit": 0}).encode()
    device = hub.accounts.device_of(key, hub.now_ms())
    assert device is not None
    took = []
    for _ in range(5):
        began = time.thread_time()
        reply = hub.exchange_message(device, body, packs=True)
        took.append(time.thread_time() - began)
        assert reply.status_code == 200
    assert min(took) < 0.2


async def test_a_device_that_names_too_many_runs_is_refused() -> None:
    """Past fifty thousand of them, on one device or many, the message is none."""
    hub = make_hub()
    for have in (
        {"a1": [[2 * n, 2 * n] for n in range(1, 50_002)]},
        {f"d{n}": [[1, 1]] for n in range(50_001)},
    ):
        answer = await exchange(InProcess.of(hub), new_key(hub), message([], have))
        assert (answer.status, said(answer)["error"]["code"]) == (400, "malformed")


async def test_what_the_hub_says_every_version_can_hear() -> None:
    """A bench that an earlier hub let grow past what its own description allowed is still told to
    its devices, which take it and are understood when they name all of it."""
    hub = make_hub()
    key = new_key(hub)
    bench = hub.accounts.bench(BENCH).bench
    runs = [(bench, f"n{number}", 1, 1) for number in range(12_000)]
    hub.database.run(lambda now: now.insert_all("runs", "bench, device, first_seq, last_seq", runs))
    answer = await exchange(InProcess.of(hub), key, message([], limit=0))
    heard = ReceivedReply.model_validate_json(answer.body)
    assert len(heard.have) == 12_000
    named = message([], said(answer)["have"], limit=0)
    assert (await exchange(InProcess.of(hub), key, named)).status == 200

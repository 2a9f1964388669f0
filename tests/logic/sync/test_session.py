"""A meeting with the hub brings both sides to the same history."""

from __future__ import annotations

from logic.history import MemoryDirectory
from logic.sync.session import SyncSession
from logic.sync.transport import HubClient
from logic.sync.wire import Role
from shared.events import redacted
from tests.hub.hubs import Direct, InProcess, make_hub, meet, new_key
from tests.logic.history.factory import documents, open_history, opened, reading


async def test_two_phones_come_to_the_same_history_through_the_hub() -> None:
    """Each records apart; after each has met the hub twice, both show the same documents."""
    hub = make_hub()
    a, b = open_history(letter="a"), open_history(letter="b")
    a.record_all([opened(), reading(6), reading(5)])
    b.record_all([opened("j2", None), reading(6, "0.020 in", "none", job="j2")])
    way = InProcess.of(hub)
    for history in (a, b, a):
        outcome = await meet(history, way, new_key(hub), batch=2)
        assert outcome.agreed, outcome
    assert documents(a) == documents(b)
    assert len(documents(a)["job"]) == 2
    assert a.vector == b.vector == {"a1": 3, "b1": 2}


async def test_a_fresh_device_gets_everything() -> None:
    """A phone that joins last holds what all the others recorded."""
    hub = make_hub()
    first, fresh = open_history(letter="a"), open_history(letter="z")
    first.record_all([opened(), *(reading(s, job="j1") for s in range(1, 7))])
    await meet(first, Direct(hub), new_key(hub))
    outcome = await meet(fresh, Direct(hub), new_key(hub), batch=3)
    assert (outcome.received, outcome.agreed) == (7, True)
    assert documents(fresh) == documents(first)


async def test_meeting_again_moves_nothing() -> None:
    """When both sides are in step, a meeting sends and brings no event."""
    hub = make_hub()
    history = open_history()
    history.record_all([opened(), reading()])
    key = new_key(hub)
    await meet(history, Direct(hub), key)
    again = await meet(history, Direct(hub), key)
    assert (again.sent, again.received, again.agreed) == (0, 0, True)


async def test_a_read_only_device_reads_and_its_entries_stay_with_it() -> None:
    """It gets the bench's history; its own entry is refused with the reason, and kept here."""
    hub = make_hub()
    writer, reader = open_history(letter="a"), open_history(letter="r")
    writer.record_all([opened(), reading()])
    await meet(writer, Direct(hub), new_key(hub))
    reader.record(*opened("j9", None))
    outcome = await meet(reader, Direct(hub), new_key(hub, role=Role.READ_ONLY))
    assert outcome.received == 2
    assert {event: why.code for event, why in outcome.refused.items()} == {"r1:1": "read-only"}
    assert reader.event("r1:1") is not None
    assert not outcome.agreed and outcome.disagree == ["r1"]


async def test_a_phone_brought_back_from_a_backup_writes_under_a_new_name() -> None:
    """Meeting its own later events, a restored device takes a new name and loses nothing."""
    hub = make_hub()
    directory = MemoryDirectory()
    phone = open_history(directory, "p")
    phone.record_all([opened(), reading(6)])
    backup = {name: bytearray(data) for name, data in directory.files.items()}
    phone.record(*reading(5))
    await meet(phone, Direct(hub), new_key(hub))
    restored = open_history(MemoryDirectory(backup), "q")
    assert (await meet(restored, Direct(hub), new_key(hub))).agreed
    assert restored.device != "p1"
    restored.record(*reading(4))
    assert (await meet(restored, Direct(hub), new_key(hub))).agreed
    await meet(phone, Direct(hub), new_key(hub))
    assert documents(phone) == documents(restored)


async def test_what_is_erased_while_the_hub_works_is_not_sent_after_all() -> None:
    """Entries made ready ahead are let go of where the journal was written anew meanwhile."""
    hub = make_hub()
    history = open_history()
    history.record_all([opened(), *(reading(s, job="j1") for s in range(1, 5))])
    client, session = HubClient(Direct(hub), new_key(hub)), SyncSession(history, batch=2)
    session.handle_reply(await client.exchange(session.next_message() or b""))
    message = session.next_message() or b""
    assert message.count(b"reading.taken") == 1
    session.prepare_next_batch()
    history.rewrite(lambda event: redacted(event) if event.seq == 3 else event)
    session.handle_reply(await client.exchange(message))
    after = session.next_message() or b""
    assert (after.count(b"reading.taken"), after.count(b"husk")) == (1, 1)


async def test_more_is_asked_for_before_a_reply_is_taken_in() -> None:
    """The early message names what the reply brings, so nothing comes twice; where this device
    has something to send, the next message is not known yet."""
    hub = make_hub()
    writer, fresh = open_history(letter="a"), open_history(letter="z")
    writer.record_all([opened(), *(reading(s, job="j1") for s in range(1, 7))])
    await meet(writer, Direct(hub), new_key(hub))
    client, session = HubClient(Direct(hub), new_key(hub)), SyncSession(fresh, batch=3)
    first = await client.exchange(session.next_message() or b"")
    second = await client.exchange(session.early_message(first) or b"")
    assert [each["seq"] for each in (*first.events, *second.events)] == [1, 2, 3, 4, 5, 6]
    fresh.record(*opened("j2", None))
    assert session.early_message(second) is None
    for reply in (first, second):
        session.handle_reply(reply)
    assert fresh.vector == {"a1": 6, "z1": 1}

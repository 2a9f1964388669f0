"""A promise to erase that came in a file goes to no hub before a person has said yes to it."""

from __future__ import annotations

import pytest

from logic.history import History
from logic.sync.hub.archive import check
from logic.sync.hub.database import Database
from logic.sync.hub.purging import purge
from logic.sync.session import SyncSession
from logic.sync.wire import ExchangeReply
from shared.events import Event, Kind, redacted
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, new_key
from tests.hub.stores import events_of
from tests.hub.test_refilling import content_at, worked
from tests.logic.history.factory import all_events, documents, open_history, setting
from tests.logic.history.promising import file_of, rivals


def strangers_file(history: History) -> list[Event]:
    """Entries of one device, the middle one a promise, long due, to erase all of this history."""
    heads = history.journal.heads
    have = {name: [[1, head.seq, head.digest]] for name, head in heads.items()}
    body = {"events": {name: [[1, 5]] for name in heads}, "due": 0, "have": have}
    entries = [setting("unit", "in"), (Kind.CONTENT_ERASED, body), setting("unit", "mm")]
    made = list[Event]()
    for seq, (kind, each) in enumerate(entries, start=1):
        prev = made[-1].digest if made else ""
        made.append(Event("bench", "x", seq, f"{seq}.0", str(kind), each, prev=prev))
    return made


@pytest.mark.parametrize("batch", [1000, 1])
async def test_nothing_is_erased_at_a_hub_by_a_file_that_nobody_said_yes_to(
    database: Database, batch: int
) -> None:
    """One member takes in a stranger's file: all but the promise is sent, both sides agree, and the
    hub keeps and gives all. After a yes it is sent, and does there what any promise does."""
    hub = make_hub(database)
    writer, fresh = worked(grace_ms=10**12), open_history(letter="z")
    key, fresh_key = new_key(hub), new_key(hub)
    first, promise, last = strangers_file(writer)
    assert writer.merge(file_of(first, promise, last)).asked == [promise.id]
    for _ in range(2):
        outcome = await meet(writer, Direct(hub), key, batch=batch)
        assert outcome.agreed and not outcome.refused
    bench = hub.accounts.benches()[0].bench
    assert purge(database, bench, NOW_MS) == 0 and content_at(hub) == 5
    sent = {event.text for event in events_of(database, bench)}
    assert not any("content.erased" in text for text in sent)
    assert (await meet(fresh, Direct(hub), fresh_key, batch=batch)).agreed
    assert fresh.job("j1") == writer.job("j1") and fresh.setting("unit") == "mm"
    assert fresh.promised() == ()

    writer.agree_to_erase(promise.id)
    assert (await meet(writer, Direct(hub), key, batch=batch)).agreed
    assert purge(database, bench, NOW_MS) == 5
    assert (await meet(fresh, Direct(hub), fresh_key, batch=batch)).agreed
    assert [each.event.id for each in fresh.promised()] == [promise.id]
    assert check(database, bench).wrong == []


async def test_what_had_nothing_left_to_erase_here_erases_nothing_at_the_hub(
    database: Database,
) -> None:
    """The file also holds what it would erase, without its content, so a new device is not asked.
    The hub is not told for that; nor where another entry of its number comes by file later."""
    hub = make_hub(database)
    writer, fresh = worked(grace_ms=10**12), open_history(letter="z")
    key, fresh_key = new_key(hub), new_key(hub)
    await meet(writer, Direct(hub), key)
    entries = strangers_file(writer)
    empty = [redacted(event) for event in all_events(writer)]
    assert fresh.merge(file_of(*empty, *entries)).asked == [] and fresh.promised() == ()
    bench = hub.accounts.benches()[0].bench
    for entry in (entries[1], rivals(entries[1])[0]):
        fresh.merge(file_of(entry))
        outcome = await meet(fresh, Direct(hub), fresh_key)
        assert outcome.agreed and not outcome.refused
        assert purge(database, bench, NOW_MS) == 0 and content_at(hub) == 5


def test_a_file_that_comes_while_a_session_goes_on_is_no_way_in() -> None:
    """A person takes in a file between two messages: the next holds nothing of its promise."""
    writer = worked(grace_ms=10**12)
    session = SyncSession(writer)
    session.next_message()
    session.handle_reply(ExchangeReply(epoch="e", now_ms=NOW_MS, have={}))
    writer.merge(file_of(*strangers_file(writer)))
    message = session.next_message()
    assert message and b"opened" in message and b"content.erased" not in message


async def test_a_no_is_sent_with_what_it_says_no_to(database: Database) -> None:
    """So it counts on every device; whoever has the file too hears of it."""
    hub = make_hub(database)
    writer, other = worked(grace_ms=10**12), open_history(letter="z", grace_ms=0)
    keys = [new_key(hub), new_key(hub)]
    entries = strangers_file(writer)
    await meet(writer, Direct(hub), keys[0])
    await meet(other, Direct(hub), keys[1])
    for history in (writer, other):
        history.merge(file_of(*entries))
    writer.undo(entries[1].id)
    assert (await meet(writer, Direct(hub), keys[0])).agreed
    assert (await meet(other, Direct(hub), keys[1])).agreed
    assert other.promised() == () and not other.purge()
    assert purge(database, hub.accounts.benches()[0].bench, NOW_MS) == 0 and content_at(hub) == 5
    assert documents(other) == documents(writer)


async def test_where_another_member_said_yes_both_sides_agree(database: Database) -> None:
    """The hub has the promise by then; a device that is still asked is in step with it, and its
    own copy waits on."""
    hub = make_hub(database)
    writer, other = worked(grace_ms=10**12), open_history(letter="z", grace_ms=0)
    keys = [new_key(hub), new_key(hub)]
    await meet(writer, Direct(hub), keys[0])
    await meet(other, Direct(hub), keys[1])
    entries = strangers_file(writer)
    for history in (writer, other):
        history.merge(file_of(*entries))
    writer.agree_to_erase(entries[1].id)
    assert (await meet(writer, Direct(hub), keys[0])).agreed
    assert (await meet(other, Direct(hub), keys[1])).agreed
    (told,) = other.promised()
    assert told.waits and not other.purge() and other.job("j1") is not None

"""A branch that gives way loses no entry, and the journal is written anew without losing one."""

from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.rebase import losing_branch, replay
from logic.history.journal.quarantine import Quarantine
from logic.history.storage.store import StoreError
from shared.errors import JournalPoisoned
from shared.events import Event
from tests.logic.history.factory import (
    Faults,
    FaultyDirectory,
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
)


def two_branches(common: int, mine: int, theirs: int) -> tuple[History, History, MemoryDirectory]:
    """A phone, and the same phone as it went on from an old copy of itself."""
    directory = MemoryDirectory()
    phone = open_history(directory)
    phone.record_all([opened(), *(reading(1 + n % 6) for n in range(common - 1))])
    copy = MemoryDirectory({name: bytearray(data) for name, data in directory.files.items()})
    other = open_history(copy, step=777)
    for history, count, contact in ((phone, mine, "light"), (other, theirs, "none")):
        history.record_all([reading(1 + n % 6, contact=contact) for n in range(count)])
    return phone, other, directory


def by_number(history: History) -> dict[int, Event]:
    """Events of the first device by number."""
    return {event.seq: event for event in all_events(history) if event.device == "d1"}


@settings(deadline=None, max_examples=40)
@given(common=st.integers(1, 4), mine=st.integers(1, 4), theirs=st.integers(1, 4))
def test_every_entry_of_both_branches_is_in_the_job_afterwards(
    common: int, mine: int, theirs: int
) -> None:
    """Giving way keeps the readings of both, tells the losers again in order, and sets them aside;
    the next start finds the same."""
    phone, other, directory = two_branches(common, mine, theirs)
    lost = losing_branch(by_number(phone), by_number(other))
    assert [event.seq for event in lost] == list(range(common + 1, common + mine + 1))
    told = phone.rebase(lost, all_events(other))
    job = phone.job("j1")
    assert job is not None and len(job.readings) == common - 1 + mine + theirs
    assert [event.body for event in told] == [event.body for event in lost]
    assert [event.time for event in told] == [event.time for event in lost]
    assert by_number(phone) == by_number(other)
    assert phone.device != "d1"
    assert len(Quarantine(directory).entries()) == mine
    assert documents(reopened(directory)) == documents(phone)
    assert reopened(directory).report.clean


def test_whoever_holds_the_branch_tells_it_in_the_same_words() -> None:
    """Two devices that held it end with the same events, so their union holds it once."""
    phone, other, _ = two_branches(2, 3, 1)
    witness = open_history(letter="w")
    witness.merge_events(all_events(phone))
    for history in (phone, witness):
        lost = losing_branch(by_number(history), by_number(other))
        history.rebase(lost, all_events(other))
    assert phone.vector == witness.vector
    assert documents(phone) == documents(witness)


def test_told_in_different_company_it_counts_once() -> None:
    """One who held only the end of a branch tells it under another name; the job shows it once."""
    phone, other, _ = two_branches(2, 3, 1)
    branch = losing_branch(by_number(phone), by_number(other))
    both = open_history(letter="z")
    both.merge_events([*all_events(other), *replay(branch), *replay(branch[1:])])
    job = both.job("j1")
    assert job is not None and len(job.readings) == 1 + 3 + 1


def test_an_undo_within_a_branch_follows_what_it_takes_back() -> None:
    """After giving way it still takes back the same entry, and not the other branch's."""
    phone, other, _ = two_branches(2, 1, 1)
    phone.undo("d1:3")
    phone.rebase(losing_branch(by_number(phone), by_number(other)), all_events(other))
    job = phone.job("j1")
    assert job is not None
    assert [taken.reading.contact for taken in job.readings] == ["light", "none"]


def test_what_is_the_same_does_not_give_way() -> None:
    """A branch that is only longer or shorter than the other loses nothing."""
    phone, other, _ = two_branches(3, 2, 1)
    same = by_number(phone)
    short = {seq: event for seq, event in same.items() if seq < 3}
    assert (
        losing_branch(same, short) == losing_branch(short, same) == losing_branch(same, same) == []
    )
    assert losing_branch(same, {}) == losing_branch({}, by_number(other)) == []


def test_rewriting_that_fails_anywhere_loses_nothing() -> None:
    """At whatever write the storage fails, the next start finds every entry."""
    for at in itertools.count(1):
        directory = MemoryDirectory()
        history = open_history(directory)
        history.record_all([opened(), reading(6), reading(5)])
        before = documents(history)
        faults = Faults(at, "refused")
        failing = FaultyDirectory(faults)
        failing.files = directory.files
        history = open_history(failing)
        try:
            history.rewrite(lambda event: event)
        except (JournalPoisoned, StoreError):
            assert history.trouble is not None
        assert documents(reopened(directory)) == before
        if not faults.happened:
            break
    assert at > 2


def test_rewriting_leaves_out_what_it_is_told_to() -> None:
    """What is left out is nowhere in the files any more; the rest is as it was."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record_all([opened(), opened("secret"), reading(6)])
    history.save_snapshot()
    history.rewrite(lambda event: None if event.body["job"] == "secret" else event)
    assert [line.id for line in history.jobs()] == ["j1"]
    assert not any(b"secret" in bytes(data) for data in directory.files.values())
    assert [line.id for line in reopened(directory).jobs()] == ["j1"]

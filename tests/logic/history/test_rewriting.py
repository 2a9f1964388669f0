"""The journal is written anew step by step, with work going on between the steps."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

import pytest

from logic.history import History, MemoryDirectory, loading
from logic.history.progress import Progress, run_in_steps
from logic.history.snapshots.snapshot import SLOTS
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

SECRET = b"stays with nobody"


def years(directory: MemoryDirectory) -> History:
    """Small files with a job in each that is to be gone and one that stays, and a snapshot."""
    history = open_history(directory, grace_ms=0)
    history.journal.segment_bytes = 4000
    kind, body = opened("secret", None)
    for number in range(6):
        history.record(*opened(f"kept {number}", "i1"))
        history.record(kind, body | {"job": f"gone {number}", "complaint": SECRET.decode()})
        history.record_all([reading(1 + n % 6, job=f"kept {number}") for n in range(8)])
    history.save_snapshot()
    for number in range(6):
        history.erase(("job", f"gone {number}"), due_ms=1)
    return history


async def nothing(_: Progress) -> None:
    """Do nothing between two steps."""


def anywhere(directory: MemoryDirectory) -> bool:
    """Whether any file still holds the content."""
    return any(SECRET in bytes(data) for data in directory.files.values())


@pytest.mark.parametrize("settles", [False, True])
async def test_work_between_the_steps_of_a_purge_is_kept(
    monkeypatch: pytest.MonkeyPatch, settles: bool
) -> None:
    """Entries recorded at each stop, while writing and while reading again, stand in the same
    documents as without a purge; nothing of what is to be gone is left in any file."""
    monkeypatch.setattr("logic.history.journal.opening.STEP", 5)
    monkeypatch.setattr("logic.history.operations.durability.SNAPSHOT_EVERY", 2)
    directory = MemoryDirectory()
    history = years(directory)
    history.journal.segment_bytes = 4000
    before = len(history.journal.segments)
    stops: list[Progress] = []

    async def work(progress: Progress) -> None:
        stops.append(progress)
        history.record(*reading(2, "0.020 in", job="kept 3"))
        if settles:
            await history.settled()

    assert await history.purge_by_steps(work) and not await history.purge_by_steps(work)
    assert len(stops) > before + 5 and any(each.done > 0 for each in stops)
    job = history.job("kept 3")
    assert job is not None and len(job.readings) == 8 + len(stops)
    assert not anywhere(directory)
    assert history.job("gone 3") is None and history.job("kept 0") is not None
    again = reopened(directory)
    assert all_events(again) == all_events(history) and again.report.clean
    assert documents(again) == documents(history)


async def test_a_snapshot_made_after_a_purge_holds_at_the_next_start(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The files before it are gone, and still not everything has to be read again."""
    directory = MemoryDirectory()
    history = years(directory)
    assert history.purge()
    history.save_snapshot()
    history.record(*reading(2, job="kept 3"))
    taken: list[Event] = []
    fold = loading.LoadedHistory.fold

    def noted(loaded: loading.LoadedHistory, events: Sequence[Event]) -> None:
        taken.extend(events)
        fold(loaded, events)

    monkeypatch.setattr(loading.LoadedHistory, "fold", noted)
    again = reopened(directory)
    assert len(taken) == 1 and not again.report.rebuilt
    assert documents(again) == documents(history)


async def test_long_work_waits_for_long_work() -> None:
    """Two purges and a merge at the same time come one after the other, to what each comes to
    alone."""
    directory = MemoryDirectory()
    history = years(directory)
    there = open_history(letter="b")
    there.record_all(
        [opened("theirs", "i2"), *(reading(1 + n % 6, job="theirs") for n in range(9))]
    )

    async def rest(_: Progress) -> None:
        await asyncio.sleep(0)

    both = history.purge_by_steps(rest), history.purge_by_steps(rest)
    first, second, report = await asyncio.gather(
        *both, history.merge_by_steps(there.export(), rest)
    )
    assert (first, second, report.added) == (True, False, 10)
    assert not anywhere(directory)
    assert documents(reopened(directory)) == documents(history)


@pytest.mark.parametrize("way", ["refused", "torn"])
async def test_a_purge_that_fails_at_any_step_loses_nothing(way: str) -> None:
    """Whatever was kept or recorded between the steps is there at the next start, which can purge
    again."""
    at, happened = 1, True
    while happened:
        directory = MemoryDirectory()
        years(directory)
        failing = FaultyDirectory(Faults(at, way))
        failing.files = directory.files
        history = open_history(failing, grace_ms=0, now=1_800_000_000_000)
        said = {event.id for event in all_events(history)}

        async def work(_: Progress, history: History = history, said: set[str] = said) -> None:
            said.add(history.record(*reading(2, job="kept 3")).id)

        try:
            await history.purge_by_steps(work)
        except (JournalPoisoned, StoreError):
            assert history.trouble is not None
        again = reopened(directory, grace_ms=0, now=1_800_000_000_000)
        assert said <= {event.id for event in all_events(again)}
        again.purge()
        assert again.job("kept 3") is not None and again.job("gone 3") is None
        at, happened = at + 7, failing.faults.happened
    assert at > 20


async def test_a_branch_gives_way_by_steps_as_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work between the steps stands beside what was told again."""
    monkeypatch.setattr("logic.history.journal.opening.STEP", 3)
    directory = MemoryDirectory()
    history = open_history(directory, grace_ms=0)
    history.record_all([opened(), *(reading(1 + n % 6) for n in range(6))])
    copy = MemoryDirectory({name: bytearray(data) for name, data in directory.files.items()})
    other = open_history(copy, step=777)
    lost = [history.record(*reading(6, contact="none"))]
    theirs = [other.record(*reading(1, contact="heavy"))]
    stops = 0

    async def work(_: Progress) -> None:
        nonlocal stops
        stops += 1
        history.record(*reading(3, "0.020 in"))

    told = await run_in_steps(history.rebase_steps(lost, theirs), work)
    assert [event.body for event in told] == [event.body for event in lost] and stops > 2
    job = history.job("j1")
    assert job is not None and len(job.readings) == 6 + 2 + stops
    assert documents(reopened(directory)) == documents(history)
    assert all(slot not in directory.names() for slot in SLOTS)

"""Long work told of between its steps comes to the same as work done at once."""

from __future__ import annotations

import pytest

from logic.history import History, MemoryDirectory
from logic.history.journal import opening, segment
from logic.history.progress import Progress
from tests.logic.history.factory import (
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
)


def worked(letter: str = "a", entries: int = 40) -> tuple[History, MemoryDirectory]:
    """A device after some work, and its storage without a snapshot."""
    directory = MemoryDirectory()
    history = open_history(directory, letter)
    job = f"job of {letter}"
    history.record(*opened(job))
    for number in range(entries - 1):
        history.record(*reading(1 + number % 6, job=job))
    return history, directory


async def test_the_first_fold_stops_and_says_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Entries rise from stop to stop up to about all there are, and the history is the same."""
    monkeypatch.setattr(opening, "STEP", 10)
    history, directory = worked()
    told: list[Progress] = []

    async def note(progress: Progress) -> None:
        told.append(progress)

    again = await History.open_by_steps(directory, note)
    assert [each.done for each in told] == [10, 20, 30, 40]
    assert told[-1].of == 40 and all(each.of >= each.done for each in told)
    assert documents(again) == documents(history)


async def test_work_between_the_steps_of_a_merge_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """An entry recorded at each stop stands beside all that the file brings, also after a
    restart."""
    monkeypatch.setattr(segment, "LINE_BYTES", 1500)
    there, _ = worked("b")
    here, directory = worked("a", 3)
    stops = 0

    async def work(progress: Progress) -> None:
        nonlocal stops
        stops += 1
        assert 0 < progress.done <= progress.of == 40
        here.record(*reading(2, job="job of a"))

    report = await here.merge_by_steps(there.export(), work)
    assert report.added == 40 and stops > 3
    assert here.vector == {"a1": 3 + stops, "b1": 40}
    assert all_events(reopened(directory)) == all_events(here)


async def test_a_restored_device_that_works_during_a_merge_gives_no_number_twice(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The file holds its own lost entries: what it records meanwhile has a new name already."""
    monkeypatch.setattr(segment, "LINE_BYTES", 1500)
    before, storage = worked("a")
    copy = MemoryDirectory()
    copy.files.update({name: bytearray(data) for name, data in storage.files.items()})
    for _ in range(20):
        before.record(*reading(3, job="job of a"))
    restored = open_history(copy, "z")

    async def work(_: Progress) -> None:
        restored.record(*reading(4, job="job of a"))

    report = await restored.merge_by_steps(before.export(), work)
    assert (report.added, report.forks) == (20, [])
    assert restored.vector["a1"] == 60 and restored.device != "a1"
    assert before.merge_events(all_events(restored)).forks == []
    assert documents(before)["job"] == documents(restored)["job"]


async def test_what_comes_twice_at_the_same_time_is_kept_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A hub brings during a merge what the file holds too: one line each in the journal."""
    monkeypatch.setattr(segment, "LINE_BYTES", 1500)
    there, _ = worked("b")
    here, directory = worked("a", 3)

    async def meet(_: Progress) -> None:
        here.merge_events(all_events(there))

    await here.merge_by_steps(there.export(), meet)
    assert here.vector == {"a1": 3, "b1": 40} and not here.journal.held.beyond
    assert sum(segment.events for segment in here.journal.segments) == 43
    assert all_events(reopened(directory)) == all_events(here)

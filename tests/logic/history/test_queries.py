"""Lists and questions against a plain look at every document, however the events came."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.documents.index import DocumentIndex, in_order
from shared.events import Kind, Stamp
from tests.logic.history.factory import (
    INSTRUMENT,
    KIT,
    documents,
    open_history,
    opened,
    reading,
    reopened,
    setting,
)

STEPS = st.lists(
    st.tuples(
        st.sampled_from(["open", "read", "close", "reopen", "undo", "snapshot"]),
        st.sampled_from(["j1", "j2", "j3"]),
        st.sampled_from(["i1", "i2", None]),
    ),
    max_size=16,
)


def worked(steps: list[tuple[str, str, str | None]]) -> tuple[History, MemoryDirectory]:
    """A history after these steps, and where it is kept."""
    directory = MemoryDirectory()
    history = open_history(directory)
    last = None
    for what, job, instrument in steps:
        if what == "open":
            last = history.record(*opened(job, instrument))
        elif what == "read":
            last = history.record(*reading(6, job=job))
        elif what == "close":
            last = history.record(Kind.JOB_CLOSED, {"job": job, "reason": "done"})
        elif what == "reopen":
            last = history.record(Kind.JOB_REOPENED, {"job": job})
        elif what == "undo" and last:
            history.undo(last.id)
        elif what == "snapshot":
            history.save_snapshot()
    return history, directory


@settings(deadline=None, max_examples=80)
@given(STEPS)
def test_lists_are_what_a_look_at_every_document_gives(
    steps: list[tuple[str, str, str | None]],
) -> None:
    """Which jobs are listed, in which order, and which are open; before and after a restart."""
    history, directory = worked(steps)
    jobs = {name: job for name, job in documents(history)["job"].items() if job["opened"]}
    newest = sorted(jobs, key=lambda name: (Stamp.parse(jobs[name]["opened"]), name), reverse=True)
    for each in (history, reopened(directory, "x")):
        assert [line.id for line in each.jobs()] == newest
        assert [line.id for line in each.open_jobs()] == [n for n in newest if jobs[n]["open"]]
        for line in each.jobs():
            job = each.job(line.id)
            assert job is not None
            assert (line.opened, line.changed, line.open) == (job.opened, job.changed, job.open)


@settings(deadline=None, max_examples=50)
@given(STEPS)
def test_the_job_worked_on_last_is_the_one_that_changed_last(
    steps: list[tuple[str, str, str | None]],
) -> None:
    """Of the open jobs; none when none is open."""
    history, _ = worked(steps)
    changed = {line.id: line.changed_at for line in history.open_jobs()}
    last = history.last_touched()
    assert (last is None) is (not changed)
    if last is not None:
        assert changed[last.id] == max(changed.values())


@settings(deadline=None, max_examples=50)
@given(STEPS)
def test_an_instrument_knows_its_jobs(steps: list[tuple[str, str, str | None]]) -> None:
    """The jobs opened on it, and how many the list says there are."""
    history, _ = worked(steps)
    for line in history.instruments():
        found = history.instrument(line.id)
        assert found is not None and line.jobs == len(found.jobs)
        for name in found.jobs:
            document = documents(history)["job"][name]
            assert document["id"] == name


def test_what_is_not_here_is_none() -> None:
    """Questions about documents that never were, or that no event opened."""
    history = open_history()
    history.record(*reading(6, job="never opened"))
    assert history.job("never opened") is None and history.job("nowhere") is None
    assert history.instrument("nowhere") is None
    assert (list(history.jobs()), history.kits(), history.last_touched()) == ([], (), None)
    assert history.last_readings("nowhere") == {}


def test_kits_and_instruments_are_in_the_order_of_their_names() -> None:
    """Without regard to capitals."""
    history = open_history()
    for name in ("berlin", "Alder", "alder 2"):
        history.record(Kind.KIT_SAVED, {"kit": name, "value": KIT | {"name": name}})
        value = INSTRUMENT | {"label": name}
        history.record(Kind.INSTRUMENT_SAVED, {"instrument": name, "value": value})
    assert [kit.value.name for kit in history.kits()] == ["Alder", "alder 2", "berlin"]
    assert [line.label for line in history.instruments()] == ["Alder", "alder 2", "berlin"]


@pytest.mark.parametrize("first", range(4))
@pytest.mark.parametrize("most", range(4))
def test_a_page_of_a_search_is_a_slice_of_all(first: int, most: int) -> None:
    """From any place on, up to any number, with the count of all."""
    history = open_history()
    for number in range(3):
        value = INSTRUMENT | {"label": f"Blue {number}"}
        history.record(Kind.INSTRUMENT_SAVED, {"instrument": f"i{number}", "value": value})
    lines, count = history.find_instruments("blue", first, most)
    assert count == 3
    assert [line.id for line in lines] == [f"i{n}" for n in range(3)][first : first + most]


def test_lines_are_read_one_at_a_time() -> None:
    """A slice of a list of jobs is a list of jobs; places count from either end."""
    history, _ = worked([("open", job, None) for job in ("j1", "j2", "j3")])
    jobs = history.jobs()
    assert len(jobs) == 3 and [line.id for line in jobs[1:]] == ["j2", "j1"]
    assert jobs[0].id == "j3" and jobs[-1].id == "j1"
    assert jobs[0].stamp > jobs[1].stamp
    with pytest.raises(IndexError):
        jobs[3]


def test_a_setting_follows_every_change() -> None:
    """The default until it is set, what was set then, and the default again when taken back."""
    history = open_history()
    assert history.setting("unit", "mm") == "mm"
    event = history.record(*setting("unit", "thou"))
    assert history.setting("unit", "mm") == "thou"
    history.record(*setting("unit", "inch"))
    assert history.setting("unit", "mm") == "inch"
    for each in (event, *history.projection.events_of(("setting", "unit"))[1:]):
        history.undo(each.id)
    assert history.setting("unit", "mm") == "mm"


@given(st.dictionaries(st.text("abc", min_size=1, max_size=2), st.integers(1, 50), max_size=8))
def test_jobs_are_ordered_by_opening_and_then_by_id(opened_ms: dict[str, int]) -> None:
    """The latest first; two of one moment in one order on every device."""
    lines: list[dict[str, Any]] = [
        {"id": name, "opened": f"{ms}.0"} for name, ms in opened_ms.items()
    ]
    names = in_order(lines)
    assert names == sorted(names, key=lambda name: (opened_ms[name], name), reverse=True)
    assert names == in_order(reversed(lines))


def test_an_empty_index_holds_nothing() -> None:
    """And says so before any list was asked for."""
    index = DocumentIndex()
    assert (len(index), index.newest(), index.newest_open()) == (0, [], [])
    index.update(("setting", "unit"), {"value": 1})
    assert len(index) == 0

"""The note of a visit in the history: kept, taken back, passed on by older versions."""

from __future__ import annotations

from typing import Any, Literal

import pytest

from logic.history import History
from logic.history.documents import bodies, fold
from logic.history.snapshots import snapshot
from shared.events import Kind
from shared.record import Record
from tests.logic.history.factory import all_events, documents, open_history, opened, reopened
from tests.logic.history.golden import GOLDEN
from tests.logic.history.test_golden import journal

FOLDER = GOLDEN / "v1-note"
NOTED: dict[str, Any] = {"job": "j1", "field": "note", "value": "Fret 3 is flat; next time. ♯"}


class JobFieldBeforeNotes(Record):
    """Body of `job.changed` as it was before a note could be written."""

    job: str
    field: Literal["instrument", "player", "kit", "complaint", "to_my_target", "ticket"]
    value: Any


@pytest.fixture
def older_rules(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """The rules of an app from before; `undo` of the fixture brings today's back."""
    monkeypatch.setitem(bodies._BODIES, Kind.JOB_CHANGED, JobFieldBeforeNotes)
    earlier = {k: v for k, v in fold.LATER_JOB_FIELDS.items() if k != "note"}
    monkeypatch.setattr(fold, "LATER_JOB_FIELDS", earlier)
    monkeypatch.setattr(fold, "FOLD_VERSION", fold.FOLD_VERSION - 1)
    monkeypatch.setattr(snapshot, "FOLD_VERSION", snapshot.FOLD_VERSION - 1)
    return monkeypatch


def note_of(history: History, job: str = "j1") -> str:
    """What is noted for the sheets of a visit."""
    found = history.job(job)
    assert found is not None
    return found.as_job().note


def test_it_reaches_the_job_and_is_taken_back() -> None:
    """It is a step of the job like any other; a job without one is the document it was."""
    history = open_history()
    history.record(*opened())
    assert "note" not in documents(history)["job"]["j1"]
    said = history.record(Kind.JOB_CHANGED, NOTED)
    assert note_of(history) == NOTED["value"]
    history.undo(said.id)
    assert note_of(history) == ""


def test_an_older_app_keeps_it_and_an_update_folds_it(older_rules: pytest.MonkeyPatch) -> None:
    """The older app says what it does not understand and hands it on byte for byte; once it is
    updated, its own snapshot does not hide the note."""
    directory = journal(FOLDER)
    older = open_history(directory, "x")
    assert older.report.not_understood == 3
    assert note_of(older) == ""
    kept = {event.id: event.digest for event in all_events(older)}
    assert kept == {e.id: e.digest for e in all_events(open_history(journal(FOLDER), "y"))}
    older.save_snapshot()
    older_rules.undo()
    updated = reopened(directory, "x")
    assert (note_of(updated), note_of(updated, "j2")) == (NOTED["value"], "Case is broken")
    assert updated.report.not_understood == 0

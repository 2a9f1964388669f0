"""The wish for every slot to come down to its target, in the history: kept, folded, taken back."""

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

FOLDER = GOLDEN / "v1-to-target"
ASKED = (Kind.JOB_CHANGED, {"job": "j1", "field": "to_my_target", "value": True})


class OlderJobChanged(Record):
    """Body of `job.changed` as it was before the wish could be said."""

    job: str
    field: Literal["instrument", "player", "kit", "complaint"]
    value: Any


@pytest.fixture
def older_rules(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """The rules of an app from before; `undo` of the fixture brings today's back."""
    monkeypatch.setitem(bodies._BODIES, Kind.JOB_CHANGED, OlderJobChanged)
    monkeypatch.setattr(fold, "LATER_JOB_FIELDS", {})
    monkeypatch.setattr(fold, "FOLD_VERSION", fold.FOLD_VERSION - 1)
    monkeypatch.setattr(snapshot, "FOLD_VERSION", snapshot.FOLD_VERSION - 1)
    return monkeypatch


def asked_for(history: History, job: str = "j1") -> bool:
    """Whether the job asks for it."""
    found = history.job(job)
    assert found is not None
    return found.as_job().to_my_target


def test_it_is_said_taken_back_and_brought_again() -> None:
    """It is a step of the job like any other, and reaches what a plan is made from."""
    history = open_history()
    history.record(*opened())
    assert not asked_for(history)
    said = history.record(*ASKED)
    assert asked_for(history)
    history.undo(said.id)
    assert not asked_for(history)
    history.redo(said.id)
    assert asked_for(history)


def test_a_job_that_never_said_it_is_the_document_it_was() -> None:
    """Nothing is added to jobs in which nobody asked."""
    history = open_history()
    history.record(*opened())
    assert "to_my_target" not in documents(history)["job"]["j1"]


def test_what_another_value_replaced_is_kept() -> None:
    """Asked for as the job was opened and put back later: the first value stays on the timeline."""
    history = open_history(journal(FOLDER), "x")
    assert (asked_for(history, "j1"), asked_for(history, "j2")) == (True, False)
    found = history.job("j2")
    assert found is not None
    assert [(one.field, one.value) for one in found.timeline] == [("to_my_target", True)]


def test_an_older_app_keeps_it_and_an_update_folds_it(older_rules: pytest.MonkeyPatch) -> None:
    """The older app says what it does not understand and hands it on byte for byte; once it is
    updated, its own snapshot does not hide the wish."""
    directory = journal(FOLDER)
    older = open_history(directory, "x")
    assert older.report.not_understood == 2
    assert not asked_for(older)
    kept = {event.id: event.digest for event in all_events(older)}
    assert kept == {e.id: e.digest for e in all_events(open_history(journal(FOLDER), "y"))}
    older.save_snapshot()
    older_rules.undo()
    updated = reopened(directory, "x")
    assert (asked_for(updated), updated.report.not_understood) == (True, 0)

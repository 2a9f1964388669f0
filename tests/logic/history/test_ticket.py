"""The ticket of a visit in the history: kept, listed, taken back, passed on by older versions."""

from __future__ import annotations

from typing import Any, Literal

import pytest

from logic.history import History
from logic.history.documents import bodies, fold
from logic.history.snapshots import snapshot
from shared.errors import InputError
from shared.events import Kind
from shared.job import LONGEST_TICKET
from shared.record import Record
from tests.logic.history.factory import all_events, documents, open_history, opened, reopened
from tests.logic.history.golden import GOLDEN
from tests.logic.history.test_golden import journal

FOLDER = GOLDEN / "v1-ticket"
BOOKED: dict[str, Any] = {"job": "j1", "field": "ticket", "value": "2041"}


class OlderJobField(Record):
    """Body of `job.changed` as it was before a visit could have a ticket."""

    job: str
    field: Literal["instrument", "player", "kit", "complaint", "to_my_target"]
    value: Any


@pytest.fixture
def older_rules(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """The rules of an app from before; `undo` of the fixture brings today's back."""
    monkeypatch.setitem(bodies._BODIES, Kind.JOB_CHANGED, OlderJobField)
    monkeypatch.setattr(fold, "LATER_JOB_FIELDS", {"to_my_target": False})
    monkeypatch.setattr(fold, "FOLD_VERSION", fold.FOLD_VERSION - 1)
    monkeypatch.setattr(snapshot, "FOLD_VERSION", snapshot.FOLD_VERSION - 1)
    return monkeypatch


def tickets(history: History) -> dict[str, str]:
    """By job, the ticket that its visit was booked under."""
    return {line.id: line.ticket for line in history.jobs()}


def test_it_reaches_the_job_and_the_list_and_is_taken_back() -> None:
    """It is a step of the job like any other, and lists show it without reading the document."""
    history = open_history()
    history.record(*opened())
    assert "ticket" not in documents(history)["job"]["j1"]
    said = history.record(Kind.JOB_CHANGED, BOOKED)
    found = history.job("j1")
    assert found is not None and found.as_job().ticket == "2041"
    assert tickets(history) == {"j1": "2041"}
    history.undo(said.id)
    assert tickets(history) == {"j1": ""}


@pytest.mark.parametrize("value", [7, None, True, "7" * (LONGEST_TICKET + 1)])
def test_what_is_no_ticket_is_refused(value: Any) -> None:
    """A number, nothing at all and a whole letter are no ticket: nothing is recorded."""
    history = open_history()
    history.record(*opened())
    with pytest.raises(InputError):
        history.record(Kind.JOB_CHANGED, BOOKED | {"value": value})
    assert tickets(history) == {"j1": ""}


def test_an_older_app_keeps_it_and_an_update_folds_it(older_rules: pytest.MonkeyPatch) -> None:
    """The older app says what it does not understand and hands it on byte for byte; once it is
    updated, its own snapshot does not hide the ticket."""
    directory = journal(FOLDER)
    older = open_history(directory, "x")
    assert older.report.not_understood == 3
    assert tickets(older) == {"j1": "", "j2": ""}
    kept = {event.id: event.digest for event in all_events(older)}
    assert kept == {e.id: e.digest for e in all_events(open_history(journal(FOLDER), "y"))}
    older.save_snapshot()
    older_rules.undo()
    updated = reopened(directory, "x")
    assert tickets(updated) == {"j1": "2041", "j2": "blue slip ♯ 7"}
    assert updated.report.not_understood == 0


def test_a_line_says_whether_work_was_begun() -> None:
    """A visit with answers alone was not begun; one string read, and it was."""
    history = open_history()
    history.record(*opened())
    history.record(Kind.CHECK_ANSWERED, {"job": "j1", "gate": "relief", "answer": "ok"})
    assert [line.begun for line in history.jobs()] == [False]
    reading = {"string": 6, "leaf": "0.018 in", "contact": "none"}
    history.record(Kind.READING_TAKEN, {"job": "j1", "reading": reading})
    assert [line.begun for line in history.jobs()] == [True]

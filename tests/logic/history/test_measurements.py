"""Measurements of the instrument in the history: kept, folded, undone, strange to older apps."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from logic.history import History, MemoryDirectory
from logic.history.documents import bodies, fold
from logic.history.snapshots import snapshot
from shared.errors import InputError
from shared.events import Event, Kind
from shared.measurements import ActionMeasurement, ReliefMeasurement
from shared.units import Length
from tests.logic.history.factory import (
    all_events,
    documents,
    measured,
    open_history,
    opened,
    reading,
    reopened,
)
from tests.logic.history.golden import GOLDEN
from tests.logic.history.test_golden import journal

FOLDER: Path = GOLDEN / "v1-measurements"
RELIEF = {"quantity": "relief", "value": "-0.05 mm"}
ACTION = {"quantity": "action", "string": 6, "fret": 12, "value": "2.4 mm"}


@pytest.fixture
def older_rules(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """The rules of an app from before measurements; `undo` of the fixture brings today's back."""
    known = {kind: model for kind, model in bodies._BODIES.items() if kind != Kind.SETUP_READ}
    monkeypatch.setattr(bodies, "_BODIES", known)
    monkeypatch.setattr(fold, "FOLD_VERSION", fold.FOLD_VERSION - 1)
    monkeypatch.setattr(snapshot, "FOLD_VERSION", snapshot.FOLD_VERSION - 1)
    return monkeypatch


def job_of(history: History) -> Any:
    """The one job."""
    found = history.job("j1")
    assert found is not None
    return found.as_job()


def test_measurements_are_part_of_the_job_and_no_readings() -> None:
    """What was measured of the instrument is in the job's own list, in order; its strings have
    their readings alone."""
    history = open_history()
    history.record(*opened())
    history.record(*measured(RELIEF))
    history.record(*reading())
    history.record(*measured(ACTION))
    job = job_of(history)
    assert job.measurements == (
        ReliefMeasurement(value=Length.parse("-0.05 mm")),
        ActionMeasurement(string=6, fret=12, value=Length.parse("2.4 mm")),
    )
    assert [one.string for one in job.readings] == [6]


def test_a_measurement_is_taken_back_and_brought_again() -> None:
    """Undo and redo are those of any other step."""
    history = open_history()
    history.record(*opened())
    taken = history.record(*measured(RELIEF))
    history.undo(taken.id)
    assert job_of(history).setup is None
    history.redo(taken.id)
    assert len(job_of(history).measurements) == 1


def test_a_job_without_measurements_is_the_document_it_was() -> None:
    """Nothing is added to jobs in which nothing but strings was read."""
    history = open_history()
    history.record(*opened())
    history.record(*reading())
    assert "measurements" not in documents(history)["job"]["j1"]
    assert job_of(history).setup is None


def test_an_older_app_keeps_them_and_folds_the_rest(older_rules: pytest.MonkeyPatch) -> None:
    """It says that something is not understood, shows the job as its own rules have it, and hands
    every entry on byte for byte."""
    older = open_history(journal(FOLDER), "x")
    assert older.report.not_understood == 6
    job = documents(older)["job"]["j1"]
    assert "measurements" not in job and len(job["readings"]) == 2
    older.record(*reading(6, "0.020 in", "none"))
    handed_on = {event.id: event for event in all_events(older)}
    for event in all_events(open_history(journal(FOLDER), "y")):
        assert handed_on[event.id].digest == event.digest


def test_an_update_folds_what_the_older_app_kept(older_rules: pytest.MonkeyPatch) -> None:
    """The snapshot that the older app left does not hide them."""
    directory = journal(FOLDER)
    older = open_history(directory, "x")
    older.save_snapshot()
    assert any(name.startswith("snapshot") for name in directory.names())
    older_rules.undo()
    updated = reopened(directory, "x")
    assert len(updated.job("j1").as_job().measurements) == 5  # type: ignore[union-attr]
    assert updated.report.not_understood == 0


def test_a_quantity_of_a_newer_version_waits_for_it() -> None:
    """An entry about a quantity that is not known here is kept and changes nothing; recording one
    is refused."""
    history = open_history()
    history.record(*opened())
    kind, body = measured({"quantity": "rock", "fret": 9})
    with pytest.raises(InputError, match="no quantity is known as rock"):
        history.record(kind, body)
    newer = open_history(letter="n")
    newer.record(*opened())
    strange = Event(
        bench=newer.bench, device="z1", seq=1, time="1800000000000.0", kind=str(kind), body=body
    )
    newer.merge_events([strange])
    assert strange.id in {event.id for event in all_events(newer)}
    assert job_of(newer).setup is None
    assert documents(newer)["job"]["j1"]["changed"] != strange.time


@pytest.mark.parametrize(
    "measurement",
    [
        RELIEF | {"leaf": "0.010 in", "contact": "none", "at": 7, "holds": [1, 14]},
        {"quantity": "relief", "leaf": "0.010 in", "contact": "none"},
        ACTION | {"value": "-2.4 mm"},
        ACTION | {"string": 25},
        {"quantity": "humidity", "percent": 101},
        {"quantity": ""},
        "relief",
    ],
)
def test_a_measurement_that_means_nothing_is_not_recorded(measurement: Any) -> None:
    """Two ways at once, half a way, what no instrument has: nothing is half-saved."""
    history = open_history(MemoryDirectory())
    history.record(*opened())
    with pytest.raises(InputError):
        history.record(*measured(measurement))
    assert len(all_events(history)) == 1

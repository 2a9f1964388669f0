"""The whole visit in the history: chosen, done, put right, taken back, merged, strange to older
apps."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.history import History
from logic.history.documents import bodies, fold
from logic.history.snapshots import snapshot
from shared.errors import InputError
from shared.events import Event, Kind
from shared.job import Job
from shared.setup import Scope, SetupStep, TurnStep
from tests.logic.history.entries import put_right
from tests.logic.history.factory import (
    all_events,
    chosen,
    documents,
    measured,
    open_history,
    opened,
    reading,
    reopened,
    stepped,
)
from tests.logic.history.golden import GOLDEN
from tests.logic.history.test_golden import journal

FOLDER = GOLDEN / "v1-visit"
NEW_KINDS = (Kind.SETUP_CHOSEN, Kind.SETUP_STEP)
RELIEF = {"quantity": "relief", "value": "0.3 mm", "posture": "on its back"}
TURN = {"step": "turn", "eighths": -1}


def work(*strings: int) -> tuple[Kind, dict[str, Any]]:
    """A slot eased."""
    return Kind.WORK_DONE, {"job": "j1", "work": {"what": "slot eased", "strings": list(strings)}}


def history_with(*entries: tuple[Kind, dict[str, Any]]) -> History:
    """A job in which these were recorded."""
    history = open_history()
    history.record(*opened())
    for entry in entries:
        history.record(*entry)
    return history


def job_of(history: History) -> Job:
    """The one job."""
    found = history.job("j1")
    assert found is not None
    return found.as_job()


def places(steps: tuple[SetupStep, ...]) -> list[tuple[str, int | None, int | None, bool]]:
    """Each step with how much was measured and read before it, and whether of an earlier round."""
    return [(s.step, s.after, s.after_readings, s.of_an_earlier_round) for s in steps]


@pytest.fixture
def older_rules(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """The rules of an app from before the visit; `undo` of the fixture brings today's back."""
    known = {kind: model for kind, model in bodies._BODIES.items() if kind not in NEW_KINDS}
    monkeypatch.setattr(bodies, "_BODIES", known)
    monkeypatch.setattr(fold, "FOLD_VERSION", fold.FOLD_VERSION - 1)
    monkeypatch.setattr(snapshot, "FOLD_VERSION", snapshot.FOLD_VERSION - 1)
    return monkeypatch


def test_what_was_chosen_and_done_is_part_of_the_job() -> None:
    """The later choice stands, a null takes it back, and a step knows how much came before it."""
    history = history_with(
        chosen("scope", "check"),
        chosen("due", "Friday"),
        chosen("scope", "whole"),
        chosen("overnight", True),
        measured(RELIEF),
        reading(6),
        reading(1),
        stepped(TURN),
        chosen("overnight", None),
    )
    setup = job_of(history).setup
    assert setup is not None
    assert (setup.scope, setup.due, setup.overnight) == (Scope.WHOLE, "Friday", None)
    assert places(setup.steps) == [("turn", 1, 2, False)]
    replaced = [each.value for each in history.job("j1").timeline]  # type: ignore[union-attr]
    assert replaced == ["check", True]


def test_a_step_is_taken_back_brought_again_and_put_right_in_its_place() -> None:
    """Undo and redo are those of any other step; what is recorded in its place stands where it
    stood, before what was read since, and a measurement likewise."""
    history = history_with(measured(RELIEF), stepped(TURN), measured(RELIEF))
    first, turn = all_events(history)[1:3]
    history.undo(turn.id)
    assert job_of(history).steps == ()
    history.redo(turn.id)
    assert places(job_of(history).steps) == [("turn", 1, 0, False)]
    more = stepped(TURN | {"eighths": -2})
    history.record_all(put_right(history, turn, *more, "a"))
    history.record_all(put_right(history, first, *measured(RELIEF | {"value": "0.4 mm"}), "b"))
    job = job_of(history)
    assert places(job.steps) == [("turn", 1, 0, False)]
    assert isinstance(job.steps[0], TurnStep) and job.steps[0].eighths == -2
    assert [str(one.value) for one in job.measurements] == ["0.4 mm", "0.3 mm"]  # type: ignore[attr-defined]


def test_a_step_before_work_on_one_string_still_moved_the_others() -> None:
    """Work that eased one slot ends no reading of the other string: the turn between stands in the
    round that it was done in and, marked so, beside the readings that it moved."""
    history = history_with(
        reading(1),
        measured(RELIEF),
        stepped(TURN),
        work(6),
        reading(6),
        stepped({"step": "saddle"}),
    )
    job = job_of(history)
    (round_,) = job.rounds
    assert round_.setup is not None and places(round_.setup.steps) == [("turn", 1, 0, False)]
    assert places(job.steps) == [("turn", 0, 1, True), ("saddle", 0, 2, False)]
    history.record(*work(1))
    assert places(job_of(history).steps) == [("saddle", 0, 1, True)]


def test_a_step_before_all_that_is_read_now_is_of_its_round_alone() -> None:
    """What no standing reading was taken before moved nothing that is believed now."""
    history = history_with(reading(6), stepped(TURN), work(6), reading(6))
    assert job_of(history).setup is None


KINDS = st.sampled_from(("measured", "read 6", "read 1", "step", "work 6"))


@given(happened=st.lists(st.tuples(KINDS, st.booleans()), max_size=12))
def test_a_steps_place_is_that_of_the_order_of_events(happened: list[tuple[str, bool]]) -> None:
    """Two devices take turns or work apart: on whichever they meet, each step of the last round
    stands after exactly the measurements and the readings before it in the one order."""
    left, right = open_history(letter="l"), open_history(letter="r", now=1_700_000_003_500)
    left.record(*opened())
    right.merge(left.export())
    entry = {
        "measured": measured(RELIEF),
        "read 6": reading(6),
        "read 1": reading(1),
        "step": stepped(TURN),
        "work 6": work(6),
    }
    for kind, here in happened:
        (left if here else right).record(*entry[kind])
    left.merge(right.export())
    right.merge_events(all_events(left))
    job = job_of(left)
    assert job == job_of(right)
    assert places(job.steps) == wanted_places(sorted(all_events(left), key=lambda e: e.order))


def wanted_places(events: list[Event]) -> list[tuple[str, int, int, bool]]:
    """Where each step of the last round stands, by counting from the front."""
    last = max((n for n, event in enumerate(events) if event.kind == Kind.WORK_DONE), default=-1)
    standing = [
        n
        for n, event in enumerate(events)
        if event.kind == Kind.READING_TAKEN and (n > last or event.body["reading"]["string"] == 1)
    ]
    found = []
    for n, event in enumerate(events):
        measurements = itertools.islice(events, last + 1, max(n, last + 1))
        before = sum(each.kind == Kind.SETUP_READ for each in measurements)
        read = sum(each < n for each in standing)
        if event.kind == Kind.SETUP_STEP and (n > last or read):
            found.append(("turn", before, read, n < last))
    return found


def test_an_older_app_keeps_the_visit_and_folds_the_rest(older_rules: pytest.MonkeyPatch) -> None:
    """It says how much it does not understand, shows the job by its own rules and hands every entry
    on byte for byte; an update folds what it kept, past the snapshot that it left."""
    directory = journal(FOLDER)
    older = open_history(directory, "x")
    kept = [event for event in all_events(older) if event.kind in NEW_KINDS]
    assert older.report.not_understood == len(kept) == 16
    job = documents(older)["job"]["j1"]
    assert not {"setup_scope", "setup_steps"} & set(job) and len(job["readings"]) == 2
    assert job["instrument"]["rod"] == {"type": "two-way", "reach": "headstock"}
    older.save_snapshot()
    handed_on = {event.id: event.digest for event in all_events(older)}
    older_rules.undo()
    updated = reopened(directory, "x")
    assert updated.report.not_understood == 0
    assert {event.id: event.digest for event in all_events(updated)} == handed_on
    assert job_of(updated).setup == job_of(open_history(journal(FOLDER), "y")).setup


def test_a_step_of_a_newer_version_waits_for_it() -> None:
    """An entry about a step that is not known here, or with a field that may change what it means,
    is kept and changes nothing; recording one is refused."""
    history = history_with()
    for step in ({"step": "board planed"}, TURN | {"twice": True}):
        with pytest.raises(InputError, match="no step is known as"):
            history.record(*stepped(step))
    kind, body = stepped({"step": "board planed"})
    strange = Event(history.bench, "z1", 1, "1800000000000.0", str(kind), body)
    history.merge_events([strange])
    assert strange.id in {event.id for event in all_events(history)}
    assert job_of(history).setup is None


@pytest.mark.parametrize(
    "entry",
    [
        chosen("scope", "everything"),
        chosen("overnight", "perhaps"),
        chosen("stage", "relief"),
        chosen("due", "d" * 121),
        stepped({"step": "turn", "eighths": 17}),
        stepped({"step": "saddle", "string": 25}),
        stepped({"step": "skip"}),
        stepped({"step": "rest", "hours": -1}),
        measured(RELIEF | {"posture": "upside down"}),
    ],
)
def test_what_means_nothing_is_not_recorded(entry: tuple[Kind, dict[str, Any]]) -> None:
    """A scope, a step or a posture that there is none of: nothing is half-saved."""
    history = history_with()
    with pytest.raises(InputError):
        history.record(*entry)
    assert len(all_events(history)) == 1

"""Work done in the history: it ends what came before it, whatever the order of arrival, and older
apps keep it and are told that their readings are stale."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.history import History
from logic.history.documents import bodies, fold
from logic.history.snapshots import snapshot
from shared.errors import InputError
from shared.events import Kind
from shared.job import Job
from shared.work import WorkKind
from tests.logic.history.entries import told_older_apps
from tests.logic.history.factory import (
    all_events,
    checked,
    documents,
    measured,
    open_history,
    opened,
    reading,
    reopened,
)
from tests.logic.history.golden import GOLDEN
from tests.logic.history.test_golden import journal

FOLDER = GOLDEN / "v1-work"


def work(*strings: int, what: str = "shim", **more: Any) -> tuple[Kind, dict[str, Any]]:
    """Work on some strings of the job."""
    return Kind.WORK_DONE, {"job": "j1", "work": {"what": what, "strings": list(strings), **more}}


def filed(string: int) -> tuple[Kind, dict[str, Any]]:
    """Three strokes in one slot."""
    return Kind.PASS_FILED, {"job": "j1", "pass": {"string": string, "strokes": 3}}


def proved(string: int) -> tuple[Kind, dict[str, Any]]:
    """One slot proved."""
    return Kind.PROOF_TAKEN, {"job": "j1", "proof": {"string": string, "buzz": "none"}}


def job_of(history: History) -> Job:
    """The one job."""
    found = history.job("j1")
    assert found is not None
    return found.as_job()


def with_job() -> History:
    """A history with the one job."""
    history = open_history()
    history.record(*opened())
    return history


@pytest.fixture
def older_rules(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """The rules of an app from before work; `undo` of the fixture brings today's back."""
    known = {kind: model for kind, model in bodies._BODIES.items() if kind != Kind.WORK_DONE}
    monkeypatch.setattr(bodies, "_BODIES", known)
    monkeypatch.setattr(fold, "FOLD_VERSION", fold.FOLD_VERSION - 1)
    monkeypatch.setattr(snapshot, "FOLD_VERSION", snapshot.FOLD_VERSION - 1)
    return monkeypatch


def test_work_ends_what_came_before_it_of_its_strings() -> None:
    """Readings, passes and proofs of the strings that it touched go into its round; those of other
    strings, and all that came after, stand."""
    history = with_job()
    for entry in (reading(6), filed(6), proved(6), reading(1), work(6), reading(6, "0.020 in")):
        history.record(*entry)
    job = job_of(history)
    (round_,) = job.rounds
    assert [r.string for r in round_.readings] == [6]
    assert ([p.string for p in round_.passes], [p.string for p in round_.proofs]) == ([6], [6])
    assert [r.string for r in job.readings] == [1, 6]
    assert (job.passes, job.proofs) == ((), ())


def test_a_pass_counts_the_readings_of_its_own_round() -> None:
    """`after` says how many readings of that string stand before the pass since the work."""
    history = with_job()
    for entry in (reading(), reading(), filed(6), work(6), reading(), filed(6)):
        history.record(*entry)
    job = job_of(history)
    assert [p.after for p in job.rounds[0].passes] == [2]
    assert [p.after for p in job.passes] == [1]


def test_each_round_holds_what_was_answered_since_the_one_before() -> None:
    """Answers and measurements belong to the work that followed them, replaced ones too; the job
    itself holds those that were given since, an equal one too."""
    history = with_job()
    entries = (
        checked("relief", "high"),
        checked("seated", "yes", 6),
        measured({"quantity": "relief", "value": "0.4 mm"}),
        work(1, 6, what="relief set"),
        checked("relief", "ok"),
        work(6, what="fill"),
        checked("seated", "yes", 6),
    )
    for entry in entries:
        history.record(*entry)
    job = job_of(history)
    first, second = job.rounds
    assert first.checks == {"relief": "high", "seated": {"6": "yes"}}
    assert first.setup is not None and len(first.setup.readings) == 1 and second.setup is None
    assert (second.checks, job.checks) == ({"relief": "ok"}, {"seated": {"6": "yes"}})
    assert job.setup is None


def test_a_second_look_belongs_to_its_round_too() -> None:
    """What a second look said before work is not what it says after it."""
    history = with_job()
    kind, body = checked("relief", "ok")
    history.record(kind, body)
    history.record(Kind.CHECK_LOOKED_AGAIN, body)
    history.record(*work(1, 6, what="relief set"))
    job = job_of(history)
    assert (job.rounds[0].looked_again, job.looked_again) == ({"relief": "ok"}, {})


def test_work_that_is_taken_back_brings_all_back() -> None:
    """Undo of the entry makes the job what it was without it, and redo ends the readings again."""
    history = with_job()
    for entry in (reading(), checked("relief", "ok"), filed(6)):
        history.record(*entry)
    before = job_of(history)
    done = history.record(*work(1, 6))
    assert job_of(history).readings == () and job_of(history).checks == {}
    history.undo(done.id)
    assert job_of(history) == before
    history.redo(done.id)
    assert len(job_of(history).rounds) == 1


def test_what_older_apps_are_told_answers_nothing_here() -> None:
    """The pair that bars an older app is no answer and no step, also once the work was undone."""
    history = with_job()
    done = history.record(*work(6))
    history.record(*told_older_apps("yes"))
    found = history.job("j1")
    assert found is not None
    assert (found.checks, found.said_to_older_apps, found.steps) == ({}, "yes", (done.id,))
    history.undo(done.id)
    assert job_of(history).checks == {}


def test_the_technicians_own_answer_to_the_same_question_stands() -> None:
    """Who answers that the saddle was moved is believed, whatever older apps were told."""
    history = with_job()
    for entry in (work(6), told_older_apps("yes"), checked("saddle_moved", "yes")):
        history.record(*entry)
    history.record(*told_older_apps("no"))
    assert job_of(history).checks == {"saddle_moved": "yes"}


def test_work_of_no_string_or_no_kind_is_refused() -> None:
    """A body without strings, of a kind that nobody knows, or of more minutes than a day at one
    thing has is not written."""
    history = with_job()
    for body in (
        {"what": "shim"},
        {"what": "polish", "strings": [1]},
        {"what": "shim", "strings": [1], "minutes": 601},
        {"what": "shim", "strings": [0]},
    ):
        with pytest.raises(InputError):
            history.record(Kind.WORK_DONE, {"job": "j1", "work": body})


def test_work_of_a_newer_kind_is_kept_and_told_to_this_version_as_to_an_older_one() -> None:
    """Work that this version does not know changes nothing here but what was said for older apps:
    the readings are stale. Nothing of it is lost, on the way to others either."""
    newer = open_history(journal(GOLDEN / "v1-newer-work"), "x")
    passed_on = open_history(letter="y")
    passed_on.merge(newer.export())
    for history in (newer, passed_on):
        (strange,) = (e for e in all_events(history) if e.kind == Kind.WORK_DONE)
        assert strange.body["work"]["what"] == "slot floor hardened"
        job = job_of(history)
        assert (len(job.readings), job.rounds) == (1, ())
        assert job.checks == {"saddle_moved": "yes"}


def test_an_older_app_keeps_it_and_an_update_folds_it(older_rules: pytest.MonkeyPatch) -> None:
    """The older app counts what it does not understand, keeps every reading and hands all on byte
    for byte; once it is updated, its own snapshot does not hide the work."""
    directory = journal(FOLDER)
    older = open_history(directory, "x")
    assert older.report.not_understood == 2
    assert [r.string for r in job_of(older).readings] == [6, 1, 6, 1]
    assert job_of(older).checks["saddle_moved"] == "no"
    kept = {event.id: event.digest for event in all_events(older)}
    older.save_snapshot()
    older_rules.undo()
    updated = reopened(directory, "x")
    assert kept == {event.id: event.digest for event in all_events(updated)}
    job = job_of(updated)
    assert [each.work.what for each in job.rounds] == [WorkKind.RELIEF_SET]
    assert updated.report.not_understood == 0
    assert [str(r.leaves[0]) for r in job.readings] == ["0.016 in", "0.014 in"]


STEPS = st.lists(
    st.tuples(
        st.booleans(),
        st.sampled_from(("read", "file", "prove", "work 6", "work 1", "work both", "undo", "meet")),
        st.sampled_from((1, 6)),
    ),
    max_size=14,
)
WORKED_ON = {"work 6": (6,), "work 1": (1,), "work both": (1, 6)}


def do(history: History, step: str, string: int) -> None:
    """One step on one device."""
    if step in WORKED_ON:
        history.record(*work(*WORKED_ON[step]))
    elif step == "undo":
        found = history.job("j1")
        if found is not None and found.steps:
            history.undo(found.steps[-1])
    elif step != "meet":
        entry = {"read": reading, "file": filed, "prove": proved}[step]
        history.record(*entry(string))


@given(STEPS)
def test_any_interleaving_of_two_devices_comes_to_the_same_rounds(
    steps: list[tuple[bool, str, int]],
) -> None:
    """Whoever merges whom first, both devices come to one document; every reading, pass and proof
    of it is either in one round or in the job, once, and none that stands is older than work on its
    string."""
    one = with_job()
    other = open_history(letter="t", now=1_700_000_000_500)
    other.merge(one.export())
    for first, step, string in steps:
        do(one if first else other, step, string)
        if step == "meet":
            one.merge(other.export())
    from_one, from_other = one.export(), other.export()
    one.merge(from_other)
    other.merge(from_one)
    afresh = open_history(letter="y")
    afresh.merge_events(list(reversed(all_events(one))))
    assert documents(one)["job"] == documents(other)["job"]
    found = one.job("j1")
    assert found is not None
    job = found.as_job()
    for of, taken in (("readings", found.readings), ("passes", found.passes)):
        in_all = [getattr(job, of), *(getattr(each, of) for each in job.rounds)]
        assert sum(map(len, in_all)) == len(taken)
    everywhere = Counter(r.string for r in job.readings)
    for each in job.rounds:
        assert {r.string for r in each.readings} <= set(each.work.strings)
        everywhere.update(r.string for r in each.readings)
    assert everywhere == Counter(taken.reading.string for taken in found.readings)
    for string in (1, 6):
        after = max((w.order for w in found.work if string in w.work.strings), default=None)
        still = [t for t in found.readings if t.reading.string == string]
        stands = [t for t in still if after is None or t.order > after]
        assert len(stands) == sum(r.string == string for r in job.readings)

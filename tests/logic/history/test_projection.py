"""Documents are a pure fold of the set of events, whatever their order, and undo is an event."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History
from logic.history.documents.projection import Projection
from shared.errors import InputError
from shared.events import Event, Kind
from shared.readings import Buzz, Contact
from tests.logic.history.factory import (
    all_events,
    checked,
    chosen,
    documents,
    measured,
    open_history,
    opened,
    reading,
    setting,
    stepped,
)


def of(projection: Projection) -> dict[str, Any]:
    """All documents of a projection."""
    tables = ("job", "instrument", "kit", "setting")
    return {name: {row.doc_id: dict(row) for row in projection.model.live(name)} for name in tables}


def two_benches_apart() -> list[Event]:
    """Two devices that meet now and then, work on one job, undo each other, and disagree."""
    left, right = open_history(letter="l"), open_history(letter="r", now=1_700_000_090_000)
    left.record(*opened())
    right.merge(left.export())
    mine = left.record(*reading(6, "0.018 in", "none"))
    theirs = right.record(*reading(1, "0.016 in", "heavy"))
    left.record(*checked("seated", "yes", 6))
    right.record(*checked("seated", "no", 6))
    left.record(Kind.CHECK_LOOKED_AGAIN, checked("seated", "yes", 6)[1])
    right.record(Kind.CHECK_LOOKED_AGAIN, checked("frets", "ok")[1])
    left.record(*checked("frets", "ok"))
    left.record(Kind.JOB_CHANGED, {"job": "j1", "field": "complaint", "value": "buzzes open"})
    right.record(Kind.JOB_CHANGED, {"job": "j1", "field": "complaint", "value": "only the low E"})
    right.merge(left.export())
    left.merge(right.export())
    first = right.undo(mine.id)
    left.undo(mine.id)
    left.undo(theirs.id)
    right.undo(first.id)
    left.record(Kind.PLACE_MOVED, {"job": "j1", "place": "walk:1"})
    left.record(*measured({"quantity": "action", "string": 6, "fret": 12, "value": "2.4 mm"}))
    right.record(*measured({"quantity": "relief", "value": "-0.05 mm"}))
    left.record(*chosen("scope", "whole"))
    right.record(*chosen("scope", "check"))
    left.record(*stepped({"step": "turn", "eighths": -1}))
    right.record(Kind.PASS_FILED, {"job": "j1", "pass": {"string": 6, "strokes": 3}})
    left.record(Kind.INSTRUMENT_SAVED, {"instrument": "i1", "value": opened()[1]["value"]})
    left.record(Kind.PLAYER_SAVED, {"instrument": "i1", "value": {"attack": "light"}})
    right.record(Kind.PLAYER_SAVED, {"instrument": "i1", "value": {"targets": {"6": "20 thou"}}})
    right.record(Kind.KIT_SAVED, {"kit": "bag", "value": opened()[1]["kit"]})
    left.record(*setting("unit", "mm"))
    right.record(*setting("unit", "thou"))
    right.record(Kind.PROOF_TAKEN, {"job": "j1", "proof": {"string": 6, "buzz": "none"}})
    left.record(Kind.WORK_DONE, {"job": "j1", "work": {"what": "slot eased", "strings": [5]}})
    right.record(*opened("j2"))
    right.record(Kind.JOB_CLOSED, {"job": "j2", "reason": "done"})
    left.merge(right.export())
    left.record(Kind.JOB_REOPENED, {"job": "j2"})
    left.record(Kind.CONTENT_ERASED, {"events": {}, "due": 0})
    return all_events(left)


EVENTS = two_benches_apart()


def folded(events: list[Event], at_once: int = 1) -> dict[str, Any]:
    """The documents that these events come to, in this order of arrival, so many at a time."""
    projection = Projection()
    for start in range(0, len(events), at_once):
        projection.add(events[start : start + at_once])
    return of(projection)


WANTED = folded(sorted(EVENTS, key=lambda event: event.order))


@settings(deadline=None, max_examples=150)
@given(
    order=st.permutations(EVENTS),
    twice=st.lists(st.sampled_from(EVENTS), max_size=12),
    at_once=st.integers(1, 50),
)
def test_any_order_and_any_doubles_come_to_the_same(
    order: list[Event], twice: list[Event], at_once: int
) -> None:
    """Every permutation and duplication of one set of events, one at a time or many, gives equal
    documents."""
    assert folded([*order, *twice], at_once) == WANTED
    assert folded([*twice, *order]) == WANTED


def test_every_kind_of_entry_is_in_that_story() -> None:
    """The law above speaks of every kind of entry that this version writes; a husk touches
    nothing."""
    assert {event.kind for event in EVENTS} == set(Kind) - {Kind.REDACTED}


def history_of(events: list[Event]) -> History:
    """A history that holds these events."""
    history = open_history(letter="x")
    report = history.merge_events(events)
    assert report.added == len(events)
    return history


def test_who_plays_it_is_a_field_of_its_own() -> None:
    """The later player stands, the other stays in the timeline, and neither touches what the
    instrument is."""
    found = history_of(EVENTS).instrument("i1")
    assert found is not None and found.player is not None
    assert str(found.player.targets[6]) == "20 thou"
    (other,) = [each.value for each in found.timeline if each.field == "player"]
    assert other == {"attack": "light"}
    assert found.marks["player"].event != found.marks["value"].event


def test_the_job_of_that_story_reads_as_it_happened() -> None:
    """Later answers win, what they replaced stays in the timeline, an undone undo is no undo."""
    job = history_of(EVENTS).job("j1")
    assert job is not None
    assert job.complaint == "only the low E"
    assert job.checks["seated"] == {"6": "no"}
    replaced = {(each.field, each.value) for each in job.timeline if each.by_another}
    others = {("checks.seated.6", "yes"), ("setup_scope", "whole")}
    assert replaced == {("complaint", "buzzes open"), *others}
    assert job.readings == ()  # one is still undone by the other device, one by its own undo
    assert len(job.undone) == 2
    assert job.passes[0].pass_.strokes == 3
    assert job.proofs[0].proof.buzz == Buzz.NONE
    assert (job.as_job().passes[0].string, job.as_job().proofs[0].string) == (6, 6)
    assert (job.place, job.open) == ("walk:1", True)
    assert job.as_job().rounds[0].checks == job.checks


def test_undo_takes_back_and_redo_brings_again() -> None:
    """A reading that was undone is gone from the job, and redo brings it back in its place."""
    history = open_history()
    history.record(*opened())
    ids = [history.record(*reading(contact=word)).id for word in ("none", "light", "heavy")]
    history.undo(ids[1])
    assert felt(history) == [Contact.NONE, Contact.HEAVY]
    history.redo(ids[1])
    assert felt(history) == [Contact.NONE, Contact.LIGHT, Contact.HEAVY]
    assert history.redo(ids[0]) == ()


def test_redo_lifts_the_undo_of_every_device() -> None:
    """Two devices undid the same reading apart; one redo brings it back everywhere."""
    left, right = open_history(letter="l"), open_history(letter="r")
    left.record(*opened())
    taken = left.record(*reading())
    right.merge(left.export())
    left.undo(taken.id)
    right.undo(taken.id)
    left.merge(right.export())
    assert felt(left) == []
    left.redo(taken.id)
    right.merge(left.export())
    assert felt(left) == felt(right) == [Contact.LIGHT]


def felt(history: History) -> list[Contact | None]:
    """The contacts that the test job holds."""
    job = history.job("j1")
    assert job
    return [taken.reading.contact for taken in job.readings]


def test_undoing_the_opening_takes_the_job_off_the_bench() -> None:
    """A job whose opening was taken back is not there, and comes back with redo."""
    history = open_history()
    event = history.record(*opened())
    history.undo(event.id)
    assert history.job("j1") is None
    assert len(history.open_jobs()) == len(history.jobs()) == 0
    assert history.instruments() == ()
    history.redo(event.id)
    assert [line.id for line in history.open_jobs()] == ["j1"]


def test_undo_of_something_unknown_is_refused() -> None:
    """Only an entry that is here can be taken back."""
    for unknown in ("d1:9", "nonsense", "d1:٣", ""):
        with pytest.raises(InputError, match="entry that this history holds"):
            open_history().undo(unknown)


def test_open_jobs_come_newest_first() -> None:
    """Jobs that are not closed, the latest opened on top."""
    history = open_history()
    for name in ("j1", "j2", "j3"):
        history.record(*opened(name))
    history.record(Kind.JOB_CLOSED, {"job": "j2", "reason": "done"})
    assert [line.id for line in history.open_jobs()] == ["j3", "j1"]
    assert [line.id for line in history.jobs()] == ["j3", "j2", "j1"]
    assert [line.id for line in history.jobs()[1:]] == ["j2", "j1"]
    history.record(*opened("j4"))
    assert history.jobs()[0].id == history.open_jobs()[0].id == "j4"
    history.record(*reading(job="j1"))
    touched = history.last_touched()
    assert touched and touched.id == "j1"
    found = history.instrument("i1")
    assert found and found.jobs == ("j1", "j2", "j3", "j4")
    assert [(line.label, line.jobs) for line in history.instruments()] == [
        ("Blue six-string of the back shelf", 4)
    ]


def test_last_readings_reach_back_to_the_job_that_read_the_string() -> None:
    """For each string, the readings of the latest job that read it."""
    history = open_history()
    history.record(*opened("j1"))
    history.record(*reading(6, "0.016 in", job="j1"))
    history.record(*reading(1, "0.016 in", job="j1"))
    history.record(*opened("j2"))
    history.record(*reading(6, "0.020 in", job="j2"))
    last = history.last_readings("i1")
    assert {string: [str(t.reading.leaf) for t in taken] for string, taken in last.items()} == {
        6: ["0.02 in"],
        1: ["0.016 in"],
    }
    assert history.last_readings("never seen") == {}


def test_documents_that_are_given_out_cannot_harm_the_record() -> None:
    """Changing what a query returned changes nothing that another query returns."""
    history = open_history()
    history.record(*opened())
    history.record(*checked("seated", "yes", 6))
    job = history.job("j1")
    assert job
    job.checks["seated"] = {"6": "no"}
    job.places["d1"] = "elsewhere"
    again = history.job("j1")
    assert again and again.checks == {"seated": {"6": "yes"}} and again.places == {}


def test_settings_answer_with_a_default_until_they_are_set() -> None:
    """A setting that nobody made is the default; false, nothing and zero are values."""
    history = open_history()
    assert history.setting("unit", "mm") == "mm"
    for value in (False, 0, None, "thou", ["a"]):
        history.record(*setting("unit", value))
        assert history.setting("unit", "mm") == value


def test_a_setting_that_was_asked_for_follows_what_comes_from_elsewhere() -> None:
    """What was asked for before is asked anew once another device changes it."""
    here, elsewhere = open_history(letter="h"), open_history(letter="e")
    here.record(*setting("unit", "mm"))
    assert here.setting("unit") == "mm"
    elsewhere.merge_events(all_events(here))
    elsewhere.record(*setting("unit", "thou"))
    here.merge_events(all_events(elsewhere))
    assert here.setting("unit") == elsewhere.setting("unit") == "thou"


def test_an_answer_to_an_unknown_job_waits_for_its_opening() -> None:
    """Entries can arrive before the job they belong to; the job appears with them all."""
    left = open_history(letter="l")
    left.record(*opened())
    left.record(*reading())
    first, second = all_events(left)
    late = open_history(letter="r")
    late.merge_events([second])
    assert late.job("j1") is None
    late.merge_events([first])
    assert documents(late) == documents(left)


def test_a_pass_keeps_its_place_when_a_reading_before_it_is_taken_back() -> None:
    """A pass stands after the readings that are still there, whatever was undone."""
    history = open_history()
    history.record(*opened())
    first = history.record(*reading(6, "0.030 in", "none"))
    history.record(*reading(6, "0.032 in", "light"))
    history.record(Kind.PASS_FILED, {"job": "j1", "pass": {"string": 6, "strokes": 3, "after": 2}})
    history.record(*reading(6, "0.029 in", "light"))
    history.undo(first.id)
    job = history.job("j1")
    assert job is not None
    assert job.as_job().passes[0].after == 1

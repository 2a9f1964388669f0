"""The rules of the fold, kind by kind: what each event does to its document, and what it leaves."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.documents.bodies import touched_documents
from logic.history.documents.fold import apply, empty, fold, replayed_from, undone_ids
from shared.events import Event, Kind
from tests.logic.history.factory import INSTRUMENT, KIT
from tests.logic.history.test_projection import EVENTS

JOB = ("job", "j1")


def event(seq: int, kind: str, body: dict[str, Any], device: str = "d1") -> Event:
    """An event of the job j1, later than those of smaller numbers."""
    return Event("bench", device, seq, f"{seq}.0", kind, {"job": "j1", **body})


def story(*events: tuple[str, dict[str, Any]]) -> list[Event]:
    """Events one after the other, beginning with the opening of the job."""
    opening = (Kind.JOB_OPENED, {"value": INSTRUMENT, "complaint": "stiff"})
    return [event(seq, kind, body) for seq, (kind, body) in enumerate((opening, *events), 1)]


def folded(*events: tuple[str, dict[str, Any]]) -> dict[str, Any]:
    """The job after these."""
    return fold(JOB, story(*events))


def test_an_opening_gives_every_field_a_value_and_an_author() -> None:
    """What the opening does not name has its plain default."""
    job = folded()
    assert (job["open"], job["complaint"], job["player"], job["kit"]) == (True, "stiff", {}, {})
    assert job["opened"] == job["changed"] == "1.0"
    for field in ("instrument", "player", "kit", "complaint", "open"):
        assert job["marks"][field]["event"] == "d1:1"
    assert job["timeline"] == [] and job["steps"] == []


@pytest.mark.parametrize(
    ("field", "value"),
    [("complaint", "buzzes"), ("player", {"attack": "light"}), ("kit", KIT)],
)
def test_a_changed_field_keeps_what_it_replaced(field: str, value: Any) -> None:
    """The timeline names who wrote the old value and who replaced it."""
    before = folded()[field]
    job = folded((Kind.JOB_CHANGED, {"field": field, "value": value}))
    assert job[field] == value
    (entry,) = job["timeline"]
    assert (entry["field"], entry["value"]) == (field, before)
    assert (entry["event"], entry["replaced_by"]) == ("d1:1", "d1:2")
    assert job["steps"] == ["d1:2"]


def test_giving_the_same_value_again_replaces_nothing() -> None:
    """The author changes, the timeline does not grow."""
    job = folded((Kind.JOB_CHANGED, {"field": "complaint", "value": "stiff"}))
    assert job["timeline"] == [] and job["marks"]["complaint"]["event"] == "d1:2"


def test_answers_stand_by_gate_and_by_string() -> None:
    """One answer for the instrument, or one a string; each has an author and a past of its own."""
    job = folded(
        (Kind.CHECK_ANSWERED, {"gate": "relief", "answer": "ok"}),
        (Kind.CHECK_ANSWERED, {"gate": "seated", "string": 6, "answer": "no"}),
        (Kind.CHECK_ANSWERED, {"gate": "seated", "string": 1, "answer": "yes"}),
        (Kind.CHECK_ANSWERED, {"gate": "seated", "string": 6, "answer": "yes"}),
    )
    assert job["checks"] == {"relief": "ok", "seated": {"6": "yes", "1": "yes"}}
    assert set(job["marks"]) >= {"checks.relief", "checks.seated.6", "checks.seated.1"}
    assert [(e["field"], e["value"]) for e in job["timeline"]] == [("checks.seated.6", "no")]


def test_an_answer_for_one_string_replaces_one_for_all() -> None:
    """A gate that was answered as a whole before is answered by string from then on."""
    job = folded(
        (Kind.CHECK_ANSWERED, {"gate": "seated", "answer": "skipped"}),
        (Kind.CHECK_ANSWERED, {"gate": "seated", "string": 6, "answer": "yes"}),
    )
    assert job["checks"] == {"seated": {"6": "yes"}}


@pytest.mark.parametrize(
    ("kind", "body", "table", "key"),
    [
        (Kind.READING_TAKEN, {"reading": {"string": 6, "leaf": "0.018 in"}}, "readings", "reading"),
        (Kind.PASS_FILED, {"pass": {"string": 6, "strokes": 3}}, "passes", "pass"),
        (Kind.PROOF_TAKEN, {"proof": {"string": 6, "buzz": "none"}}, "proofs", "proof"),
    ],
)
def test_what_is_added_is_listed_with_who_added_it(
    kind: str, body: dict[str, Any], table: str, key: str
) -> None:
    """Twice the same is two entries, each of its own event, each a step to undo."""
    job = folded((kind, body), (kind, body))
    assert [entry[key] for entry in job[table]] == [body[key]] * 2
    assert [entry["event"] for entry in job[table]] == job["steps"] == ["d1:2", "d1:3"]


def test_a_place_is_the_last_one_and_each_devices_own() -> None:
    """Where somebody stands is no step: an undo does not take it back."""
    events = story((Kind.PLACE_MOVED, {"place": "walk:1"}))
    events += [event(3, Kind.PLACE_MOVED, {"place": "plan"}, "d2")]
    job = fold(JOB, events)
    assert job["place"] == "plan" and job["places"] == {"d1": "walk:1", "d2": "plan"}
    assert job["steps"] == [] and job["timeline"] == []


def test_a_job_is_closed_with_its_reason_and_opened_again() -> None:
    """The reason stays in the document; a second closing replaces it."""
    closed = folded((Kind.JOB_CLOSED, {"reason": "done"}))
    assert (closed["open"], closed["closed_reason"]) == (False, "done")
    again = folded((Kind.JOB_CLOSED, {"reason": "done"}), (Kind.JOB_REOPENED, {}))
    assert (again["open"], again["closed_reason"]) == (True, "done")


def test_an_undo_takes_its_event_back_as_if_it_had_not_been() -> None:
    """The document is that without the event, and names what was undone."""
    change = (Kind.JOB_CHANGED, {"field": "complaint", "value": "buzzes"})
    undo = (Kind.UNDONE, {"event": "d1:2", "touches": ["job/j1"]})
    job, without = folded(change, undo), folded()
    assert job["undone"] == ["d1:2"] and job["complaint"] == "stiff"
    for field in ("complaint", "marks", "timeline", "steps", "checks", "readings"):
        assert job[field] == without[field]
    assert job["changed"] == "3.0"


CHAINS = st.lists(st.integers(1, 8), max_size=8)


@given(CHAINS)
def test_undo_of_undo_of_undo(targets: list[int]) -> None:
    """An event is undone when an undo of it stands: the definition, worked out from the end."""
    events = [event(1, "job.changed", {})]
    for seq, target in enumerate(targets, start=2):
        events.append(event(seq, Kind.UNDONE, {"event": f"d1:{target}", "touches": []}))

    def stands(seq: int) -> bool:
        return not any(
            target == seq and stands(at) for at, target in enumerate(targets, start=2) if at > seq
        )

    wanted = {f"d1:{t}" for at, t in enumerate(targets, 2) if stands(at)}
    assert undone_ids(events) == wanted


@settings(deadline=None, max_examples=60)
@given(st.sets(st.integers(0, len(EVENTS) - 1)), st.data())
def test_adding_on_is_folding_anew(numbers: set[int], data: st.DataObject) -> None:
    """Where nothing is undone, applying later events to a document gives the fold of all."""
    events = sorted((EVENTS[at] for at in numbers), key=lambda each: each.order)
    events = [each for each in events if each.kind != Kind.UNDONE]
    keys = sorted({key for each in events for key in touched_documents(each)})
    for key in keys:
        own = [each for each in events if key in touched_documents(each)]
        cut = data.draw(st.integers(0, len(own)))
        document = fold(key, own[:cut])
        for each in own[cut:]:
            apply(document, each)
        assert document == fold(key, own)


def test_what_a_rebase_repeats_counts_once() -> None:
    """Two devices that replayed the same event under different names wrote it once."""
    first = event(2, Kind.JOB_CHANGED, {"field": "complaint", "value": "buzzes"})
    was = {"event": first.id, "digest": first.digest}
    repeats = [
        Event.read(first.wire() | {"device": name, "seq": 1, "was": was}) for name in ("ra", "rb")
    ]
    assert [replayed_from(each) for each in (first, *repeats)] == [None, was, was]
    job = fold(JOB, [*story(), *repeats])
    assert len(job["steps"]) == 1 and job["complaint"] == "buzzes"


@pytest.mark.parametrize("table", ["job", "instrument", "kit", "setting"])
def test_a_document_that_nothing_happened_to_is_empty(table: str) -> None:
    """And shares nothing with the next empty one."""
    one, other = empty((table, "x")), empty((table, "x"))
    assert one == other and one["id"] == "x" and one["changed"] == ""
    one["marks"]["a"] = {}
    one["timeline"].append({})
    assert empty((table, "x")) == other


@settings(deadline=None, max_examples=40)
@given(st.permutations(EVENTS))
def test_the_fold_changes_no_event(order: list[Event]) -> None:
    """Events are read, never written: their canonical form is what it was."""
    before = [each.wire() for each in order]
    for key in {key for each in order for key in touched_documents(each)}:
        own = sorted((e for e in order if key in touched_documents(e)), key=lambda e: e.order)
        fold(key, own)
    assert [each.wire() for each in order] == before

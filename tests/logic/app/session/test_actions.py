"""What one command records belongs together, by an id that older apps keep and do not read."""

from __future__ import annotations

import pytest

from logic.app.session.actions import ACTION, Entry, of_one_action, recorded_with
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from shared.events import Kind

ANSWER: Entry = (Kind.CHECK_ANSWERED, {"job": "j", "gate": "g", "string": None, "answer": "yes"})
MOVED: Entry = (Kind.PLACE_MOVED, {"job": "j", "place": "walk:5"})
SETTING: Entry = (Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})


@pytest.mark.parametrize("entries", [(), (ANSWER,), (ANSWER, MOVED), (MOVED, MOVED), (SETTING,)])
def test_a_single_fact_needs_no_id(entries: tuple[Entry, ...]) -> None:
    """Where somebody stands is no fact about the job: with one answer it is recorded as it is."""
    assert of_one_action(entries, lambda: "never asked") == entries


@pytest.mark.parametrize("entries", [(ANSWER, ANSWER), (ANSWER, SETTING, MOVED)])
def test_several_facts_carry_one_id(entries: tuple[Entry, ...]) -> None:
    """The same on each, places included; nothing else of a body is changed."""
    marked = of_one_action(entries, lambda: "action-1")
    assert [kind for kind, _ in marked] == [kind for kind, _ in entries]
    assert {body[ACTION] for _, body in marked} == {"action-1"}
    bare = [{k: v for k, v in body.items() if k != ACTION} for _, body in marked]
    assert bare == [body for _, body in entries]


def test_what_was_recorded_together_is_found_from_any_of_it() -> None:
    """From the first, the middle and the last of an action, between two others."""
    history = History.open(MemoryDirectory())
    for name in ("a", "b", "c"):
        entries = (ANSWER, SETTING, ANSWER)
        history.record_all(of_one_action(entries, lambda name=name: name))
    written = list(history.events_after({}))
    for start in (0, 3, 6):
        action = tuple(written[start : start + 3])
        assert [recorded_with(each, history) for each in action] == [action] * 3


@pytest.mark.parametrize("action", [None, "", 7, ["a"]])
def test_an_entry_without_a_readable_id_stands_alone(action: object) -> None:
    """Of a version before ids, or written by another app in another way."""
    history = History.open(MemoryDirectory())
    kind, body = ANSWER
    extra = {} if action is None else {ACTION: action}
    first, second = (history.record(kind, body | extra) for _ in range(2))
    for each in history.events_after({}):
        assert recorded_with(each, history) == (each,)
    assert first != second


def test_the_same_id_further_off_is_another_action() -> None:
    """Entries of one action have consecutive numbers; one between them parts them."""
    history = History.open(MemoryDirectory())
    kind, body = ANSWER
    for extra in ({ACTION: "a"}, {}, {ACTION: "a"}):
        history.record(kind, body | extra)
    written = list(history.events_after({}))
    assert [recorded_with(each, history) for each in written] == [(each,) for each in written]

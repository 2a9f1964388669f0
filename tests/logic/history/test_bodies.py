"""What the body of each kind of event must hold, and which documents an event changes."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.history.documents.bodies import (
    ERASURES,
    TABLES,
    check_body,
    device_setting,
    document_key,
    touched_documents,
    understood,
)
from shared.errors import InputError
from shared.events import Event, Kind
from tests.logic.history.factory import INSTRUMENT, KIT, all_events, open_history, opened, setting
from tests.logic.history.test_projection import EVENTS

NAMES = st.text(min_size=1, max_size=64)
OF_EACH_KIND = {event.kind: event for event in EVENTS}


def made(kind: str, body: dict[str, Any]) -> Event:
    """An event with this body."""
    return Event("bench", "d1", 1, "1.0", kind, body)


@pytest.mark.parametrize("kind", sorted(OF_EACH_KIND))
def test_an_extra_field_is_kept_and_ignored(kind: str) -> None:
    """A newer version may add one to any body: it is understood, changes the same documents, and
    stands in what is kept and passed on."""
    event = OF_EACH_KIND[kind]
    more = made(kind, event.body | {"action": "a1", "mood": {"low": [1, 2]}})
    assert understood(more)
    assert touched_documents(more) == touched_documents(event)
    assert Event.read(more.wire()).body["mood"] == {"low": [1, 2]}


@pytest.mark.parametrize("kind", sorted(OF_EACH_KIND))
def test_a_field_that_is_missing_makes_it_not_understood(kind: str) -> None:
    """Of the fields a kind needs none may lack, and the error names the kind and the field."""
    body = OF_EACH_KIND[kind].body
    needed = [name for name in body if not understood(made(kind, _less(body, name)))]
    assert needed, kind
    for name in needed:
        with pytest.raises(InputError) as caught:
            check_body(kind, _less(body, name))
        assert str(caught.value.field) == f"{kind}.{name}"


def _less(body: dict[str, Any], name: str) -> dict[str, Any]:
    return {key: value for key, value in body.items() if key != name}


def test_a_kind_of_another_version_is_not_understood() -> None:
    """It is refused where it would be written, and names the kinds that can be."""
    assert not understood(made("moon.phase", {"job": "j1"}))
    with pytest.raises(InputError, match=r"job\.opened"):
        check_body("moon.phase", {})


@pytest.mark.parametrize(
    ("field", "value", "fits"),
    [
        ("instrument", INSTRUMENT, True),
        ("instrument", {"kind": 3}, False),
        ("player", {"attack": "light"}, True),
        ("player", {"attack": "telepathic"}, False),
        ("kit", KIT, True),
        ("kit", {"leaves": ["a mile"]}, False),
        ("complaint", "buzzes", True),
        ("complaint", 7, False),
        ("colour", "red", False),
    ],
)
def test_a_changed_field_must_hold_what_that_field_holds(
    field: str, value: Any, fits: bool
) -> None:
    """Each field of a job has its own form, checked before it is written."""
    event = made(Kind.JOB_CHANGED, {"job": "j1", "field": field, "value": value})
    assert understood(event) is fits


@given(st.sampled_from(TABLES), NAMES.filter(lambda name: name.isprintable()))
def test_a_document_is_named_in_text_and_found_again(table: str, name: str) -> None:
    """Whatever its id holds, slashes included, an undo's `touches` names the document."""
    key = (table, name)
    undone = made(Kind.UNDONE, {"event": "d1:1", "touches": [document_key(key)]})
    assert touched_documents(undone) == (key,)


@given(st.lists(st.text(max_size=70), max_size=8))
def test_what_names_no_document_touches_none(touches: list[str]) -> None:
    """An undo with any text in `touches` changes only documents of tables that there are."""
    undone = made(Kind.UNDONE, {"event": "d1:1", "touches": touches})
    for table, name in touched_documents(undone):
        assert table in TABLES and 0 < len(name) <= 64
        assert f"{table}/{name}" in touches


def test_an_opening_touches_the_job_and_its_instrument() -> None:
    """A job without an instrument's id touches itself alone."""
    kind, body = opened("j1", "i1")
    assert touched_documents(made(kind, body)) == (("job", "j1"), ("instrument", "i1"))
    assert touched_documents(made(kind, body | {"instrument": None})) == (("job", "j1"),)


def test_every_erasure_is_found_in_one_document() -> None:
    """Promises of all jobs stand together, so that a purge finds them without a scan."""
    erased = made(Kind.CONTENT_ERASED, {"events": {}, "due": 1})
    assert touched_documents(erased) == (("setting", ERASURES),)
    redacted = made(Kind.REDACTED, {"digest": "ab" * 32})
    assert touched_documents(redacted) == ()


@given(st.text(max_size=80), st.text("0123456789abcdef", min_size=1, max_size=20))
def test_the_name_of_a_devices_own_setting_fits_an_event(name: str, device: str) -> None:
    """However long the name, it can be recorded; short ones carry the device whole."""
    own = device_setting(name, device)
    assert len(own) <= 64
    if len(name) + 1 + len(device) <= 64:
        assert own == f"{name} {device}"


@given(st.recursive(st.none() | st.booleans() | st.integers() | st.text(), st.lists, max_leaves=5))
def test_any_value_at_all_is_answered_with_yes_or_no(value: Any) -> None:
    """Bodies from outside never raise anything but InputError."""
    for kind in Kind:
        event = made(kind, {"job": value, "value": value, "events": value, "name": value})
        assert understood(event) in (True, False)


def test_settings_take_any_plain_value() -> None:
    """Numbers, text, lists and objects are all kept as they were set."""
    history = open_history()
    for value in (1, "mm", [1, "two"], {"a": {"b": None}}, True, None):
        history.record(*setting("any", value))
        assert history.setting("any") == value
    assert len(all_events(history)) == 6

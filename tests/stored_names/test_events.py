"""What an event is called and what its body holds, as histories keep it."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

import pytest
from pydantic import BaseModel

from logic.history.documents.bodies import (
    ERASURES,
    TABLES,
    check_body,
    device_setting,
    document_key,
    touched_documents,
)
from shared.board import Board
from shared.errors import InputError
from shared.events import FIELDS, Event, Kind, Stamp, redacted
from shared.hardware import Bridge, Rod, RodReach, RodType, Saddle, SaddleType
from shared.instrument import Instrument, Nut, Player, StringSpec
from shared.job import Pass, Proof
from shared.kit import Kit, RuleClass
from shared.measurements import ActionMeasurement, Posture, ReliefMeasurement, Side
from shared.readings import BuzzReading, CentsReading, ClearanceReading, HeldGapReading, LeafReading
from shared.setup import (
    STEP_KINDS,
    ReferStep,
    RestStep,
    SaddleStep,
    Scope,
    SetBackStep,
    Setup,
    SkipStep,
    Stage,
    StringsStep,
    TurnStep,
)
from shared.work import Work, WorkKind

INSTRUMENT: dict[str, Any] = {
    "kind": "electric guitar",
    "scale": "25.5 in",
    "strings": [{"string": 1, "pitch": "E4", "gauge": "0.010 in", "make": "plain steel"}],
}
DIGEST = "0" * 64
BODIES: dict[str, tuple[dict[str, Any], dict[str, Any], set[tuple[str, str]]]] = {
    "instrument.saved": (
        {"instrument": "i1", "value": INSTRUMENT},
        {},
        {("instrument", "i1")},
    ),
    "player.saved": (
        {"instrument": "i1", "value": {"attack": "heavy"}},
        {},
        {("instrument", "i1")},
    ),
    "kit.saved": ({"kit": "k1", "value": {"leaves": ["0.010 in"]}}, {}, {("kit", "k1")}),
    "job.opened": (
        {"job": "j1", "value": INSTRUMENT},
        {"instrument": "i1", "player": {}, "kit": {}, "complaint": "stiff"},
        {("job", "j1"), ("instrument", "i1")},
    ),
    "job.changed": (
        {"job": "j1", "field": "complaint", "value": "stiff"},
        {},
        {("job", "j1")},
    ),
    "check.answered": (
        {"job": "j1", "gate": "seated", "answer": "yes"},
        {"string": 6},
        {("job", "j1")},
    ),
    "reading.taken": (
        {"job": "j1", "reading": {"string": 1, "leaf": "0.010 in", "contact": "light"}},
        {},
        {("job", "j1")},
    ),
    "setup.read": (
        {"job": "j1", "measurement": {"quantity": "relief", "value": "-0.05 mm"}},
        {},
        {("job", "j1")},
    ),
    "setup.chosen": ({"job": "j1", "field": "scope"}, {"value": "whole"}, {("job", "j1")}),
    "setup.step": ({"job": "j1", "step": {"step": "turn", "eighths": -1}}, {}, {("job", "j1")}),
    "pass.filed": ({"job": "j1", "pass": {"string": 1, "strokes": 3}}, {}, {("job", "j1")}),
    "proof.taken": ({"job": "j1", "proof": {"string": 1}}, {}, {("job", "j1")}),
    "work.done": (
        {"job": "j1", "work": {"what": "shim", "strings": [1, 2]}},
        {},
        {("job", "j1")},
    ),
    "place.moved": ({"job": "j1", "place": "walk:5"}, {}, {("job", "j1")}),
    "job.closed": ({"job": "j1"}, {"reason": "done"}, {("job", "j1")}),
    "job.reopened": ({"job": "j1"}, {}, {("job", "j1")}),
    "setting.changed": ({"name": "unit", "value": "mm"}, {}, {("setting", "unit")}),
    "content.erased": (
        {"events": {"d1": [[1, 7]]}, "due": 1_700_000_000_000},
        {},
        {("setting", "content erased")},
    ),
    "husk": ({"digest": DIGEST}, {}, set()),
    "undone": ({"event": "d1:3", "touches": ["job/j1"]}, {}, {("job", "j1")}),
}
"""By kind: what its body must hold, what it may, and which documents the whole touches."""

STORED_FIELDS: dict[type[BaseModel], set[str]] = {
    Instrument: {
        *("label", "owner", "kind", "scale", "scale_bass", "fretted", "left_handed", "relief"),
        *("action_12", "a4_hz", "nut", "strings", "board", "rod", "saddle", "bridge", "pickups"),
    },
    Board: {"semitones", "frets", "tied", "radius", "join"},
    Rod: {"type", "reach"},
    Saddle: {"type", "travel", "screw_pitch", "spread", "setback"},
    Nut: {"type", "material", "width", "shim", "original", "glued"},
    StringSpec: {
        *("string", "pitch", "gauge", "make", "core", "course", "octave", "from_fret"),
        *("grams_per_metre", "whole_tone_stretch", "scale"),
    },
    Player: {"attack", "bowed", "targets", "budget_cents", "likes", "never_change"},
    Kit: {
        *("name", "leaves", "files", "shims", "fills", "blanks"),
        *("worn_files", "lost_leaves", "lost_files", "lost_shims"),
        *("shanks", "straightedge", "rule"),
    },
    LeafReading: {"string", "leaf", "contact", "buzz"},
    ClearanceReading: {"string", "clearance", "buzz"},
    HeldGapReading: {"string", "held_at", "gap", "buzz"},
    CentsReading: {"string", "fret", "cents", "buzz"},
    BuzzReading: {"string", "buzz"},
    ReliefMeasurement: {
        *("quantity", "side", "string", "holds", "at", "leaf", "contact", "value", "posture"),
    },
    ActionMeasurement: {
        *("quantity", "string", "fret", "leaf", "shank", "contact", "value", "posture"),
    },
    TurnStep: {"step", "eighths", "settled"},
    SaddleStep: {"step", "string", "height"},
    SetBackStep: {"step", "string", "move"},
    StringsStep: {"step", "what"},
    RestStep: {"step", "hours"},
    SkipStep: {"step", "stage", "why"},
    ReferStep: {"step", "why"},
    Setup: {"scope", "due", "overnight", "readings", "steps"},
    Pass: {"string", "strokes", "half_strokes", "file", "material", "technician", "after"},
    Work: {"what", "strings", "amount", "minutes", "usual_minutes", "technician"},
    Proof: {"string", "buzz", "clearance", "cents", "unproven"},
}
"""The fields of everything that bodies hold; all but `Pass.after` are written there, `half_strokes`
of half strokes alone."""


def event(kind: str, body: dict[str, Any]) -> Event:
    """An event of `kind` as a journal holds it."""
    return Event(bench="b1", device="d1", seq=1, time="1700000000000.0", kind=kind, body=body)


def test_every_kind_keeps_its_name() -> None:
    """The kinds that histories hold are all known by exactly these words."""
    assert set(map(str, Kind)) >= set(BODIES)


@pytest.mark.parametrize("kind", BODIES)
def test_bodies_keep_their_fields(kind: str) -> None:
    """A body of these fields is taken, one that lacks a needed field is not."""
    needed, optional, _ = BODIES[kind]
    check_body(kind, needed | optional)
    check_body(kind, needed)
    for name in needed:
        with pytest.raises(InputError):
            check_body(kind, {key: value for key, value in needed.items() if key != name})


@pytest.mark.parametrize("kind", BODIES)
def test_bodies_name_their_documents(kind: str) -> None:
    """Which documents an event belongs to is read from the same fields as ever."""
    needed, optional, wanted = BODIES[kind]
    assert set(touched_documents(event(kind, needed | optional))) == wanted


def test_a_second_look_is_written_as_an_answer_is() -> None:
    """`check.looked_again` has the fields of `check.answered` and belongs to the same job."""
    needed, optional, wanted = BODIES["check.answered"]
    check_body("check.looked_again", needed | optional)
    assert set(touched_documents(event("check.looked_again", needed))) == wanted
    for name in needed:
        with pytest.raises(InputError):
            check_body("check.looked_again", {k: v for k, v in needed.items() if k != name})


@pytest.mark.parametrize("kind", ["reading.taken", "pass.filed", "proof.taken"])
def test_what_puts_something_right_names_what_was_struck_out(kind: str) -> None:
    """Beside all that it ever held `instead` may stand: an event, its device and its time."""
    needed, optional, _ = BODIES[kind]
    instead = {"event": "d1:2", "device": "d1", "time": "1700000000000.0"}
    check_body(kind, needed | optional | {"instead": instead})
    for name in instead:
        with pytest.raises(InputError):
            check_body(kind, needed | {"instead": {**instead, name: ""}})


def test_what_is_said_for_older_apps_alone_says_so() -> None:
    """`check.answered` may hold three flags for older apps, true or false, beside all that it ever
    held."""
    needed, optional, _ = BODIES["check.answered"]
    for flag in ("for_older_apps", "for_apps_without_boards", "for_apps_without_visits"):
        check_body("check.answered", needed | optional | {flag: True})
        with pytest.raises(InputError):
            check_body("check.answered", needed | {flag: "saddle"})


def test_a_visit_keeps_its_words() -> None:
    """What a visit is for, its stages, its steps, how the instrument lay, and the parts that it is
    adjusted by are known by exactly these words."""
    assert {kind.named() for kind in STEP_KINDS} >= {
        *("turn", "saddle", "set-back", "strings", "rest", "skip", "refer"),
    }
    words: dict[type[StrEnum], set[str]] = {
        Scope: {"nut", "whole", "check"},
        Stage: {
            *("strings", "relief", "action", "saddle", "frets", "nut", "intonation", "proof"),
            "done",
        },
        Side: {"bass", "treble"},
        Posture: {"as played", "on its back", "on its side", "propped under its head"},
        RodType: {"one-way", "two-way", "none"},
        RodReach: {"headstock", "body", "neck off"},
        SaddleType: {"individual", "two ends", "one piece", "fixed"},
        Bridge: {"fixed", "tremolo", "floating", "loose", "tie-on"},
        RuleClass: {"I", "II"},
    }
    for enum, known in words.items():
        assert set(map(str, enum)) >= known


def test_every_kind_of_work_keeps_its_name() -> None:
    """Each kind of work that a history may hold is known by exactly these words."""
    assert set(map(str, WorkKind)) >= {
        *("strip", "fill", "shim", "shim out", "wedge", "base", "new nut"),
        *("fret seated", "relief set", "action set", "strings changed"),
        *("slot eased", "slot widened"),
    }


def test_changes_of_a_job_name_the_same_four_fields() -> None:
    """`job.changed` speaks of instrument, player, kit or complaint, and of nothing that has a kind
    of entry of its own."""
    values = {"instrument": INSTRUMENT, "player": {}, "kit": {}, "complaint": "stiff"}
    for name, value in values.items():
        check_body("job.changed", {"job": "j1", "field": name, "value": value})
    with pytest.raises(InputError):
        check_body("job.changed", {"job": "j1", "field": "checks", "value": {}})


def test_the_wish_for_the_target_is_yes_or_no() -> None:
    """`to_my_target` is a field of `job.changed` and `job.opened`, true or false and no word."""
    for wanted in (True, False):
        check_body("job.changed", {"job": "j1", "field": "to_my_target", "value": wanted})
    with pytest.raises(InputError):
        check_body("job.changed", {"job": "j1", "field": "to_my_target", "value": "yes"})
    check_body("job.opened", {"job": "j1", "value": INSTRUMENT, "to_my_target": True})


def test_the_ticket_of_a_visit_is_text() -> None:
    """`ticket` is a field of `job.changed`, words or figures as text."""
    check_body("job.changed", {"job": "j1", "field": "ticket", "value": "2041"})
    with pytest.raises(InputError):
        check_body("job.changed", {"job": "j1", "field": "ticket", "value": 2041})


def test_the_note_of_a_visit_is_text() -> None:
    """`note` is a field of `job.changed`: up to a thousand letters, as text."""
    body = {"job": "j1", "field": "note"}
    check_body("job.changed", body | {"value": "Strings settle; come back in a week ♯"})
    for wrong in (7, None, "n" * 1001):
        with pytest.raises(InputError):
            check_body("job.changed", body | {"value": wrong})


@pytest.mark.parametrize("model", STORED_FIELDS, ids=lambda model: str(model.__name__))
def test_what_bodies_hold_keeps_its_fields(model: type[BaseModel]) -> None:
    """Instruments, players, bags, readings, passes and proofs are spelled with these fields."""
    names = {each.alias or name for name, each in model.model_fields.items()}
    assert names >= STORED_FIELDS[model]


def test_an_event_keeps_its_own_fields() -> None:
    """An event on file or on its way has these eight fields, and `was` where it was told again."""
    fields = {"bench", "device", "seq", "time", "kind", "version", "prev", "body"}
    assert fields == FIELDS
    assert set(event("job.reopened", {"job": "j1"}).wire()) == fields
    told_again = event("job.reopened", {"job": "j1"})
    told_again.unknown_fields = {"was": {"event": "d9:4", "digest": DIGEST}, "other": 1}
    assert set(redacted(told_again).wire()) == fields | {"was"}


def test_ids_times_and_documents_are_spelled_as_ever() -> None:
    """`device:seq`, milliseconds and a counter with a full stop between, `table/name`."""
    assert event("job.reopened", {"job": "j1"}).id == "d1:1"
    assert str(Stamp(1_700_000_000_000, 2)) == "1700000000000.2"
    assert TABLES == ("job", "instrument", "kit", "setting")
    assert document_key(("job", "j1")) == "job/j1"
    assert ERASURES == "content erased"
    assert device_setting("rack", "d1") == "rack d1"


def test_a_complaint_can_say_more_beside_its_text() -> None:
    """`job.changed` of a complaint may hold `complaints`: `is`, `strings`, `since` and `said`."""
    more = {"is": "buzz", "strings": [3], "since": "new strings", "said": "it buzzes"}
    body = {"job": "j1", "field": "complaint", "value": "it buzzes", "complaints": [more]}
    check_body("job.changed", body)
    with pytest.raises(InputError):
        check_body("job.changed", body | {"complaints": [{"strings": [3]}]})

"""What this version does not understand is held and said, never read as if the rest stood alone."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.plan import make_plan
from logic.jobfiles.reading import read_job
from logic.testing import TRADE, job
from shared.errors import JobFileError
from shared.job import CallKind
from shared.readings import CentsReading, LeafReading, Press, Reading, UnknownReading

FAR_UP = {"string": 6, "leaf": "1.5 mm", "contact": "light", "at": "fret 12"}
BARE = {"kind": "bass guitar", "fretted": False}


def plan_of(*readings: dict[str, Any], **parts: Any) -> Any:
    """The plan of a job with these readings."""
    return make_plan(job(readings=list(readings), **parts), TRADE)


def call_of(plan: Any, string: int = 6) -> Any:
    """The call of one string."""
    return next(call for call in plan.strings if call.string == string)


def test_a_leaf_at_another_fret_is_no_first_fret_clearance() -> None:
    """A field that nobody here knows holds the whole reading: nothing is measured, and it is said
    which field it was."""
    plan = plan_of(FAR_UP)
    assert call_of(plan).call is CallKind.READ_AGAIN
    assert call_of(plan).clearance_mm is None
    assert any("held" in line and "`at`" in line for line in plan.cautions)


@pytest.mark.parametrize(
    "harmless", [{"note": "third try"}, {"x-rig": {"port": 3}}, {"heard": [98, 97]}], ids=str
)
def test_a_note_changes_nothing(harmless: dict[str, Any]) -> None:
    """A note, a device's own field and what was heard leave a reading what it is."""
    leaf = {"string": 6, "leaf": "0.020 in", "contact": "light", "buzz": "none"}
    assert plan_of(leaf | harmless) == plan_of(leaf)


def test_a_held_reading_is_kept_as_it_came() -> None:
    """Through a job and back: every field with its value, and no field more."""
    kept = Reading.model_validate(FAR_UP)
    assert isinstance(kept, UnknownReading)
    assert kept.model_dump(mode="json") == FAR_UP
    assert json.loads(kept.model_dump_json()) == FAR_UP
    assert kept.unknown == ("at",)
    assert hash(kept) == hash(Reading.model_validate(dict(FAR_UP)))


@pytest.mark.parametrize("leaf", ["1.5 mm", "oops"])
def test_it_can_be_shown_as_far_as_it_is_known(leaf: str) -> None:
    """A list of readings shows what of it is understood; where that is nothing, it stays held."""
    shown = UnknownReading.model_validate(FAR_UP | {"leaf": leaf}).as_far_as_known()
    assert isinstance(shown, LeafReading) is (leaf != "oops")


def test_the_buzz_of_a_held_reading_is_held_too() -> None:
    """What it says of the open string does not count either."""
    assert call_of(plan_of(FAR_UP | {"buzz": "soft"})).reason == "not read yet"


def test_the_others_stand_beside_it() -> None:
    """A reading that is understood counts as it would alone."""
    leaf = {"string": 6, "leaf": "0.020 in", "contact": "light", "buzz": "none"}
    assert call_of(plan_of(leaf, FAR_UP)) == call_of(plan_of(leaf))


def test_a_measurement_among_the_readings_of_strings_is_held() -> None:
    """Relief that stands in the wrong list is never read as a clearance; one that names no string
    is sent where it belongs."""
    relief = {"quantity": "relief", "string": 6, "leaf": "0.010 in", "contact": "light"}
    plan = plan_of(relief)
    assert call_of(plan).clearance_mm is None
    assert any("`quantity`" in line for line in plan.cautions)
    with pytest.raises(JobFileError, match="setup"):
        job(readings=[{"quantity": "relief", "value": "0.2 mm"}])


def test_a_measurement_with_an_unknown_field_is_held() -> None:
    """Relief `under` something that this version does not know is not used as relief."""
    measured = {"quantity": "relief", "value": "0.2 mm", "under": "a load"}
    plan = plan_of(setup={"readings": [measured]})
    assert any("relief" in line and "`under`" in line for line in plan.cautions)
    plain = plan_of(setup={"readings": [measured | {"under": None}]})
    assert not any("held" in line for line in plain.cautions)


@pytest.mark.parametrize(
    "needs_frets",
    [{"fret": 1, "cents": 14}, {"held_at": 3, "gap": "0.1 mm"}],
    ids=["cents", "held at fret 3"],
)
def test_what_needs_frets_is_held_on_a_bare_board(needs_frets: dict[str, Any]) -> None:
    """Cents at fret 1 and a gap while held at fret 3 say nothing of a board without frets, whether
    it is listed so or answered so."""
    reading = {"string": 4, **needs_frets}
    for made in (
        job(BARE, readings=[reading]),
        job({"kind": "bass guitar"}, readings=[reading], checks={"board": "bare board"}),
    ):
        plan = make_plan(made, TRADE)
        assert call_of(plan, 4).clearance_mm is None
        assert any("no fret on this board" in line for line in plan.cautions)


def test_press_and_doubt_belong_to_cents_alone() -> None:
    """How hard a note was pressed and how far its cents may be off are read; a press on a leaf is
    nothing that anybody knows."""
    cents = Reading.model_validate(
        {"string": 1, "fret": 1, "cents": 7, "press": "hard", "doubt_cents": 3}
    )
    assert isinstance(cents, CentsReading)
    assert (cents.press, cents.doubt_cents) == (Press.HARD, 3)
    leaf = {"string": 1, "leaf": "0.4 mm", "contact": "none"}
    assert isinstance(Reading.model_validate(leaf | {"press": "hard"}), UnknownReading)
    assert isinstance(Reading.model_validate(leaf | {"doubt_cents": 3}), LeafReading)


names = st.text(st.characters(categories=("Ll",)), min_size=1, max_size=12).filter(
    lambda name: (
        name
        not in {
            *Reading.model_fields,
            "leaf",
            "contact",
            "clearance",
            "gap",
            "fret",
            "cents",
            "press",
        }
        and name not in {"note", "heard", "held"}
    )
)


@given(names, st.one_of(st.integers(-9, 99), st.sampled_from(("fret 12", "")), st.booleans()))
@settings(deadline=None, max_examples=30)
def test_no_unknown_field_ever_gives_a_height(name: str, value: object) -> None:
    """Whatever the field is called and holds, nothing is taken off a slot because of it."""
    written = {"string": 6, "leaf": "0.050 in", "contact": "none", name: value}
    text = json.dumps({"instrument": {"kind": "electric guitar"}, "readings": [written]})
    call = call_of(make_plan(read_job(text, TRADE)[0], TRADE))
    assert call.call is CallKind.READ_AGAIN

"""What a command records where that takes more than a line to say."""

from __future__ import annotations

from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.session.places import Place
from logic.app.views import views
from logic.bench.raising.nut_layout import Spacing
from logic.bench.what_if.dial import Dial
from logic.testing import TRADE, instrument, usual_kit
from shared.events import Kind
from shared.instrument import Instrument, Make, Player
from shared.kit import Kit
from shared.units import Length
from tests.logic.app.apps import (
    fresh_app,
    kinds_recorded,
    open_document,
    recording,
    start,
)
from tests.logic.app.handlers.test_what_is_recorded import (
    INSTRUMENT,
    JOB,
    answered,
    at_cut,
    at_home,
    at_intake,
    at_plan,
    at_questions,
    at_strings,
    at_walk,
    before_measuring,
    moved,
)


def test_taking_an_instrument_in_records_the_preset_the_player_and_the_kit_at_hand() -> None:
    """Everything that a job begins with is written down at once, so that no later change of a
    table changes what it began with."""
    shown, recorded = recording(fresh_app(), do.StartJob("mandolin"))
    assert isinstance(shown, views.IntakeView)
    (opened, body), place = recorded
    assert opened == Kind.JOB_OPENED and place == moved("intake")
    assert Instrument.model_validate(body["value"]) == instrument("mandolin")
    assert Kit.model_validate(body["kit"]) == usual_kit()
    assert Player.model_validate(body["player"]) == Player()
    assert (body["job"], body["instrument"], body["complaint"]) == (JOB, INSTRUMENT, "")


def test_the_sample_records_its_answers_and_readings_as_one_action() -> None:
    """Opening, answers, readings and place of the sample carry one id: they are one touch."""
    app = fresh_app()
    app.do(do.StartSample())
    written = list(app.history.events_after({}))
    assert {each.body.get("action") for each in written[:-1]} == {"name-3"}
    kinds = [each.kind for each in written]
    assert kinds[0] == Kind.JOB_OPENED and Kind.READING_TAKEN in kinds
    assert kinds.count(Kind.READING_TAKEN) == len(open_document(app).readings)


@pytest.mark.parametrize(
    ("fact", "value", "found", "answers"),
    [
        ("hand", "left", {"left_handed": True}, False),
        ("material", "brass", {"material": "brass"}, False),
        ("nut_type", "zero fret", {"type": "zero fret"}, True),
        ("board", "bare board", {"fretted": False}, True),
        ("valuable", "consent", {"original": True}, True),
        ("valuable", "no", {"original": False}, True),
    ],
)
def test_putting_a_fact_right_changes_the_instrument_and_answers_its_rule(
    fact: str, value: str, found: dict[str, Any], answers: bool
) -> None:
    """Where a rule asks for the fact, change and answer are one action; where none asks, only the
    instrument changes. What is right of the visit is right of the instrument from then on."""
    app = at_intake()
    _, recorded = recording(app, do.SayDifferent(fact, value))
    changed = recorded[0][1]["value"]
    flat = changed | changed["nut"]
    assert {name: flat[name] for name in found} == found
    saved = [(Kind.INSTRUMENT_SAVED, {"instrument": INSTRUMENT, "value": changed})]
    known = fact == "valuable" and value == "no"  # as its kind has it
    assert recorded[1:] == [
        *([answered(fact, value)] if answers else []),
        *([] if known else saved),
    ]
    assert recorded[0][0] == Kind.JOB_CHANGED and recorded[0][1]["field"] == "instrument"


def test_one_tap_answers_every_precondition_as_one_action() -> None:
    """The good answer to each, all with one id: one undo takes them back together."""
    app = before_measuring()
    _, recorded = recording(app, do.AnswerAllYes())
    answers = [body["gate"] for kind, body in recorded if kind == Kind.CHECK_ANSWERED]
    assert len(answers) == len(set(answers)) >= 5
    app.do(do.Undo())
    assert not {"at_pitch", "tuning", "capo"} & set(open_document(app).as_job().checks)


def test_skipping_preconditions_records_a_skip_for_each() -> None:
    """What was not answered is on record as skipped; nothing is taken as right without a word."""
    app = before_measuring()
    app.do(do.AnswerGate("at_pitch", "yes"))
    _, recorded = recording(app, do.SkipGates())
    skipped = {body["gate"]: body["answer"] for kind, body in recorded if "gate" in body}
    assert set(skipped.values()) == {"skipped"} and "at_pitch" not in skipped


@pytest.mark.parametrize(
    ("kind", "text", "reading"),
    [
        ("clearance", "24 thou", {"clearance": "24 thou"}),
        ("clearance", "0,6 mm", {"clearance": "0.6 mm"}),
        ("held 2", "0.2 mm", {"held_at": 2, "gap": "0.2 mm"}),
        ("held 3", "6 thou", {"held_at": 3, "gap": "6 thou"}),
        ("cents 1", "12", {"fret": 1, "cents": "12"}),
        ("cents 1", "-3,5", {"fret": 1, "cents": "-3.5"}),
    ],
)
def test_a_typed_number_is_kept_as_it_was_typed(
    kind: str, text: str, reading: dict[str, Any]
) -> None:
    """Each pad keeps its own kind of reading, in the unit that was typed, on the string at hand."""
    app = at_walk()
    app.do(do.TypeNumber(kind))
    _, recorded = recording(app, do.NumberTyped(text))
    body = recorded[0][1]["reading"]
    assert recorded[0][0] == Kind.READING_TAKEN
    assert {name: body[name] for name in reading} == reading and body["string"] == 6


def test_a_pass_is_recorded_with_all_that_the_next_pass_learns_from() -> None:
    """Strokes, file, nut, and after how many readings of the string, so that what a stroke took
    can be told from the readings around it."""
    app = at_cut()
    taken = sum(each.string == 6 for each in open_document(app).as_job().readings)
    _, ((kind, body),) = recording(app, do.Filed(3))
    assert kind == Kind.PASS_FILED
    made = body["pass"]
    assert (made["string"], made["strokes"], made["after"]) == (6, 3, taken)
    assert (made["file"], made["material"], made["technician"]) == ("0.046 in", "bone", "")


@pytest.mark.parametrize(
    ("command", "field", "value"),
    [
        (ido.StepPitch(-2), "pitch", "D2"),
        (ido.StepPitch(12), "pitch", "E3"),
        (ido.StepGauge(2), "gauge", "0.048 in"),
        (ido.StepGauge(-6), "gauge", "0.04 in"),
        (ido.SetMake(Make.FLATWOUND), "make", "flatwound"),
    ],
)
def test_a_step_on_one_string_changes_that_string_alone(
    command: do.Command, field: str, value: str
) -> None:
    """The others are as they were, and one undo brings the string back."""
    app = at_strings()
    before = {spec.string: spec for spec in app.session.instrument.strings}
    assert kinds_recorded(app, command) == [Kind.INSTRUMENT_SAVED]
    after = {spec.string: spec for spec in app.session.instrument.strings}
    assert after[6].model_dump(mode="json")[field] == value
    assert {s: spec for s, spec in after.items() if s != 6} == {
        s: spec for s, spec in before.items() if s != 6
    }
    app.do(do.Undo())
    assert {spec.string: spec for spec in app.session.instrument.strings} == before


def test_a_change_of_the_kit_goes_into_the_jobs_that_work_out_of_it() -> None:
    """The open job follows; a job that was closed keeps the kit that it was done with."""
    app = at_plan()
    app.do(do.CloseJob())
    start(app)
    (opened,) = app.history.open_jobs()
    _, recorded = recording(app, do.ToggleLeaf("0.02 in"))
    assert [kind for kind, _ in recorded] == [Kind.KIT_SAVED, Kind.JOB_CHANGED]
    assert recorded[0][1]["value"] == recorded[1][1]["value"]
    assert recorded[1][1]["job"] == opened.id
    closed = app.history.job(JOB)
    assert closed is not None and Length.parse("0.02 in") in closed.as_job().kit.leaves


def test_trying_out_records_nothing_but_the_place() -> None:
    """Dials, spacings, margins, raising options and an opened line leave no trace in a job."""
    app = at_plan()
    tried: tuple[do.Command, ...] = (
        *(do.WhatIf(), do.Turn(Dial.RELIEF, 2), do.Turn(Dial.ATTACK, 1), do.ForgetWhatIf()),
        *(do.SeeRaising(), do.SeeRaising("shim"), do.SeeNewNut()),
        *(do.SetSpacing(Spacing.EQUAL_CENTRES.value), do.TurnMargin("bass", 3), do.SeePlan(6)),
    )
    before = open_document(app).as_job()
    assert [kinds_recorded(app, command) for command in tried] == [[]] * len(tried)
    assert open_document(app).as_job() == before


@pytest.mark.parametrize("screen", ["plan", "walk", "hand over", "cut", "raise"])
def test_home_remembers_where_a_job_was_left(screen: str) -> None:
    """Wherever it was left, the job opens there again, with what is shown there."""
    app = at_plan()
    app.session.stand(Place(screen, JOB, 6))  # type: ignore[arg-type]  # a name of the table
    left = app.view()
    app.do(do.GoHome())
    document = app.history.job(JOB)
    assert document is not None and document.place == f"left {screen}:6"
    assert app.do(do.OpenJob(JOB)) == left


def test_an_instrument_taken_in_again_brings_its_relief_as_a_question() -> None:
    """Relief is measured anew at each visit; what it was stands beside the question."""
    app = at_questions()
    app.do(do.TypeNumber("question relief"))
    app.do(do.NumberTyped("0.2 mm"))
    app.do(do.CloseJob())
    _, recorded = recording(app, ido.NewJobOn(INSTRUMENT))
    (opened, body), (answer, said), _ = recorded
    assert (opened, answer) == (Kind.JOB_OPENED, Kind.CHECK_ANSWERED)
    assert (said["gate"], said["answer"]) == ("relief_before", "0.2 mm")
    assert "relief" not in body["value"]


def test_the_tables_are_those_of_the_app() -> None:
    """The doubles and the app decide by one set of tables."""
    assert at_home().trade is TRADE

"""Command by command: what exactly is recorded, what is shown, and where one stands afterwards."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.views import views
from shared.events import Kind
from shared.instrument import Attack, Make, NutType
from shared.readings import Buzz, Contact
from shared.work import WorkKind
from tests.logic.app.apps import (
    DiscApp,
    Recorded,
    fresh_app,
    measured_at,
    recording,
    start,
    walking,
)

JOB, INSTRUMENT = "name-1", "name-2"
"""What the first job of a fresh app and its instrument are called: ids are counted in tests."""
MIXED = {6: 0.9, 5: 0.5, 4: 0.2, 3: 0.45, 2: 0.7, 1: 0.1}


@dataclass(frozen=True)
class Step:
    """A command given where `state` leads to, and what comes of it."""

    state: str
    command: do.Command
    view: type
    place: str
    recorded: Recorded = field(default_factory=list)


def moved(place: str) -> tuple[str, dict[str, Any]]:
    """That somebody stands at another screen of the job."""
    return Kind.PLACE_MOVED, {"job": JOB, "place": place}


def answered(gate: str, answer: str, string: int | None = None) -> tuple[str, dict[str, Any]]:
    """One answer to one question."""
    return Kind.CHECK_ANSWERED, {"job": JOB, "gate": gate, "string": string, "answer": answer}


def read(**reading: Any) -> tuple[str, dict[str, Any]]:
    """One reading as it is written."""
    return Kind.READING_TAKEN, {"job": JOB, "reading": reading}


def at_home() -> DiscApp:
    """An empty bench."""
    return fresh_app()


def at_intake() -> DiscApp:
    """A job that was taken in."""
    app = fresh_app()
    start(app)
    return app


def before_measuring() -> DiscApp:
    """A job at the page of what must be true."""
    app = at_intake()
    app.do(do.Ask())
    return app


def at_questions() -> DiscApp:
    """A job at its first question."""
    app = before_measuring()
    app.do(do.AnswerAllYes())
    return app


def at_walk() -> DiscApp:
    """A job at its first string."""
    app = fresh_app()
    walking(app)
    return app


def typing() -> DiscApp:
    """The number pad over the first string."""
    app = at_walk()
    app.do(do.TypeNumber())
    return app


def at_plan() -> DiscApp:
    """A job with its plan made."""
    return measured_at(MIXED, Buzz.NORMAL)


def at_cut() -> DiscApp:
    """String 6 under the file."""
    app = at_plan()
    app.do(do.CutSlot(6))
    return app


def at_proof() -> DiscApp:
    """String 6 filed once and about to be played."""
    app = at_cut()
    app.do(do.Filed(3))
    app.do(do.Prove(6))
    return app


def on_page() -> DiscApp:
    """The page of an instrument whose one job is closed."""
    app = at_plan()
    app.do(do.CloseJob())
    app.do(ido.SeeInstrument(INSTRUMENT))
    return app


def at_strings() -> DiscApp:
    """The page of its strings, string 6 at hand."""
    app = on_page()
    app.do(ido.SeeStrings(6))
    return app


def at_kit() -> DiscApp:
    """The kit, with no job on the bench."""
    app = fresh_app()
    app.do(do.SeeKit())
    return app


STATES = {
    made.__name__: made
    for made in (
        *(at_home, at_intake, before_measuring, at_questions, at_walk, typing, at_plan, at_cut),
        *(at_proof, on_page, at_strings, at_kit),
    )
}
STEPS = (
    # --- home, and a job taken in ---
    Step("at_home", do.NewJob(), views.KindsView, "kinds"),
    Step("at_home", do.SeeKit(), views.KitView, "kit"),
    Step("at_home", do.SeeSettings(), views.SettingsView, "settings"),
    Step("at_home", do.SeeRecords(), views.RecordsView, "records"),
    Step("at_home", ido.SeeInstruments(), views.InstrumentsView, "instruments"),
    Step("at_home", ido.CheckOne(), views.InstrumentsView, "instruments"),
    Step("at_home", do.GoOn(), views.HomeView, "home"),
    Step("at_home", do.Undo(), views.HomeView, "home"),
    Step("at_home", do.OpenJob("none"), views.HomeView, "home"),
    Step("at_home", ido.SeeInstrument("none"), views.HomeView, "home"),
    # --- the intake ---
    Step(
        "at_intake",
        do.SetAttack(Attack.HEAVY),
        views.IntakeView,
        "intake",
        [
            (
                Kind.JOB_CHANGED,
                {"job": JOB, "field": "player", "value": {"attack": "heavy", "targets": {}}},
            )
        ],
    ),
    Step("at_intake", do.SetAttack(Attack.MEDIUM), views.IntakeView, "intake"),
    Step(
        "at_intake",
        do.SetComplaint("buzz open"),
        views.IntakeView,
        "intake",
        [(Kind.JOB_CHANGED, {"job": JOB, "field": "complaint", "value": "buzz open"})],
    ),
    Step(
        "at_intake",
        do.AnswerGate("time", "tonight"),
        views.IntakeView,
        "intake",
        [answered("time", "tonight")],
    ),
    Step(
        "at_intake",
        do.Ask(),
        views.PreconditionsView,
        "before",
        [answered("nut_type", "slotted"), moved("before")],
    ),
    Step(
        "at_intake",
        do.Measure(),
        views.WalkView,
        "walk:6",
        [answered("nut_type", "slotted"), moved("walk:6")],
    ),
    Step("at_intake", ido.SeeStrings(), views.StringsView, "job strings", [moved("job strings")]),
    Step("at_intake", ido.SeeNut(), views.NutView, "job nut", [moved("job nut")]),
    Step("at_intake", ido.SeeName(), views.NameView, "job name", [moved("job name")]),
    Step("at_intake", do.TypeNumber("scale"), views.TypeView, "intake"),
    Step("at_intake", do.SeeTargets(4), views.TargetsView, "targets:4", [moved("targets:4")]),
    # --- questions ---
    Step("before_measuring", do.Back(), views.IntakeView, "intake", [moved("intake")]),
    Step(
        "before_measuring",
        do.AnswerGate("at_pitch", "no"),
        views.PreconditionsView,
        "before",
        [answered("at_pitch", "no")],
    ),
    Step(
        "at_questions",
        do.AnswerGate("relief", "ok"),
        views.QuestionView,
        "ask",
        [answered("relief", "ok")],
    ),
    Step("at_questions", do.PointAt(3), views.QuestionView, "ask:3", [moved("ask:3")]),
    Step(
        "at_questions",
        do.SkipRest(),
        views.WalkView,
        "walk:6",
        [answered("relief", "skipped"), answered("frets", "skipped"), moved("walk:6")],
    ),
    Step("at_questions", do.TypeNumber("question relief"), views.TypeView, "ask"),
    # --- measuring ---
    Step(
        "at_walk",
        do.Feel(Contact.NONE),
        views.WalkView,
        "walk:6",
        [read(string=6, leaf="0.02 in", contact="none", buzz="unknown")],
    ),
    Step(
        "at_walk",
        do.Feel(Contact.LIGHT),
        views.WalkView,
        "walk:5",
        [read(string=6, leaf="0.02 in", contact="light", buzz="unknown"), moved("walk:5")],
    ),
    Step(
        "at_walk",
        do.Hear(Buzz.HARD),
        views.WalkView,
        "walk:6",
        [read(string=6, buzz="hard")],
    ),
    Step("at_walk", do.Walk(2), views.WalkView, "walk:2", [moved("walk:2")]),
    Step("at_walk", do.Walk(6), views.WalkView, "walk:6"),
    Step("at_walk", do.SeePlan(1), views.PlanView, "plan:1", [moved("plan:1")]),
    Step("at_walk", do.SeeRecords(), views.RecordsView, "records"),
    Step(
        "typing",
        do.NumberTyped("0.9 mm"),
        views.WalkView,
        "walk:5",
        [read(string=6, clearance="0.9 mm", buzz="unknown"), moved("walk:5")],
    ),
    Step("typing", do.NumberTyped("18 mm"), views.TypeView, "walk:6"),
    Step("typing", do.NumberTyped("thick"), views.TypeView, "walk:6"),
    Step("typing", do.TypeNumber("held 2"), views.TypeView, "walk:6"),
    Step("typing", do.Back(), views.WalkView, "walk:6"),
    # --- the plan and what is tried out beside it ---
    Step("at_plan", do.WhatIf(3), views.WhatIfView, "what if:3", [moved("what if:3")]),
    Step("at_plan", do.SeeRaising(), views.RaisingView, "raise", [moved("raise")]),
    Step("at_plan", do.SeeNewNut(), views.NewNutView, "new nut", [moved("new nut")]),
    Step("at_plan", do.SeeSheet(), views.HandOverView, "hand over", [moved("hand over")]),
    Step(
        "at_plan",
        do.NoteMinutes("fill", 35),
        views.PlanView,
        "plan",
        [(Kind.SETTING_CHANGED, {"name": f"took {JOB} fill", "value": "35 of 37"})],
    ),
    Step(
        "at_plan",
        do.ReportWork(WorkKind.FILL, (3,), minutes=25),
        views.WalkView,
        "walk:3",
        [
            (
                Kind.WORK_DONE,
                {
                    "job": JOB,
                    "work": {
                        "what": "fill",
                        "strings": [3],
                        "minutes": "25",
                        "usual_minutes": "37",
                        "technician": "",
                    },
                },
            ),
            (
                Kind.CHECK_ANSWERED,
                {
                    "job": JOB,
                    "gate": "saddle_moved",
                    "string": None,
                    "answer": "yes",
                    "for_older_apps": True,
                },
            ),
            moved("walk:3"),
        ],
    ),
    Step("at_plan", do.ReportWork(WorkKind.SHIM, minutes=601), views.PlanView, "plan"),
    Step("at_plan", do.TurnAmount("shim", 1), views.PlanView, "plan"),
    Step("at_plan", do.NoteMinutes("fill", 601), views.PlanView, "plan"),
    Step("at_plan", do.NoteMinutes("fill", -5), views.PlanView, "plan"),
    Step("at_plan", do.NoteMinutes("prayer", 5), views.PlanView, "plan"),
    Step(
        "at_plan",
        do.CloseJob(),
        views.HomeView,
        "home",
        [(Kind.JOB_CLOSED, {"job": JOB, "reason": "done"})],
    ),
    # --- cutting and proving ---
    Step("at_cut", do.Back(), views.PlanView, "plan:6", [moved("plan:6")]),
    Step("at_cut", do.Filed(0), views.CutView, "cut:6"),
    Step("at_cut", do.Filed(61), views.CutView, "cut:6"),
    Step(
        "at_proof",
        do.Hear(Buzz.NONE),
        views.PlanView,
        "plan",
        [
            (
                Kind.PROOF_TAKEN,
                {"job": JOB, "proof": {"string": 6, "buzz": "none", "unproven": ""}},
            ),
            moved("plan"),
        ],
    ),
    Step("at_proof", do.CloseJob(), views.HandOverView, "hand over", [moved("hand over")]),
    # --- instruments ---
    Step("on_page", ido.SeeName(), views.NameView, "name"),
    Step("on_page", ido.SeeNut(), views.NutView, "nut"),
    Step("on_page", ido.SeeStrings(), views.StringsView, "strings"),
    Step("on_page", do.SeeTargets(2), views.TargetsView, "own targets:2"),
    Step("on_page", kdo.SeeErasure(), views.ErasureView, "erasure"),
    Step("on_page", kdo.SeeChanges(), views.ChangesView, "changes"),
    Step("on_page", kdo.AskErase("job", JOB), views.SureView, "erase"),
    Step("on_page", ido.SetNutType(NutType.SLOTTED), views.InstrumentView, "instrument"),
    Step("on_page", ido.SetNutMaterial("bone"), views.InstrumentView, "instrument"),
    Step("on_page", ido.PutOnSet("fishing line"), views.InstrumentView, "instrument"),
    Step("on_page", ido.Retune("out of tune"), views.InstrumentView, "instrument"),
    Step("on_page", ido.QuickCheck("none"), views.TroubleView, "instrument"),
    Step("at_strings", ido.SetMake(Make.WOUND_STEEL), views.StringsView, "strings:6"),
    Step("at_strings", ido.PutOnSet("10 to 46"), views.StringsView, "strings:6"),
    Step("at_strings", ido.Retune("Standard"), views.StringsView, "strings:6"),
    # --- the kit and the settings ---
    Step("at_kit", do.SetMarking("lost"), views.KitView, "kit"),
    Step("at_kit", do.AdviseKit(), views.KitView, "kit"),
    Step("at_kit", do.ToggleStock("hopes", "high"), views.KitView, "kit"),
    Step("at_kit", do.MarkTool("leaf", "0.038 in", "lost"), views.KitView, "kit"),
    Step("at_kit", do.MarkTool("leaf", "0.02 in", "worn"), views.KitView, "kit"),
    Step(
        "at_kit",
        do.SetSetting("unit", "mm"),
        views.KitView,
        "kit",
        [(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})],
    ),
)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: f"{step.state}: {step.command}")
def test_a_command_records_exactly_what_it_says(step: Step) -> None:
    """Kinds and bodies of all entries, the view, and the place, for one command in one state."""
    app = STATES[step.state]()
    shown, recorded = recording(app, step.command)
    assert type(shown) is step.view
    assert app.session.place.kept == step.place
    assert recorded == step.recorded

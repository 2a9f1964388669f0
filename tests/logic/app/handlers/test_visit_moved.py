"""What a step has moved is said wherever it is read, and the plan leads back into the visit."""

from __future__ import annotations

from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.app.commands import visit_commands as vdo
from logic.app.views import views
from shared.setup import Scope
from tests.logic.app.apps import fresh_app, start
from tests.logic.app.visits import standing, whole


def test_a_turned_rod_makes_the_nuts_readings_stale_in_words() -> None:
    """Walk, plan, card and stages say before what it was read, and the visit asks for the nut
    again; a reading after it settles that."""
    app = fresh_app()
    whole(app)
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.5 mm"))
    app.do(vdo.SeeStepDone("turn"))
    app.do(vdo.TurnedRod())
    app.do(vdo.InTune())
    said = "Read before the rod was turned"
    walk = app.do(do.Walk(6))
    assert isinstance(walk, views.WalkView) and walk.status == said and not walk.estimate
    card = app.do(sdo.SeeString(6))
    assert isinstance(card, views.StringCardView) and card.stands == said
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    assert [line.headline for line in plan.lines if line.string == 6] == [said]
    page = app.do(vdo.SeeStages())
    assert isinstance(page, views.StagesView)
    nut = next(line for line in page.lines if line.part == "nut")
    assert nut.standing is views.PartStanding.STALE and nut.detail == said
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.4 mm"))
    card = app.do(sdo.SeeString(6))
    assert isinstance(card, views.StringCardView) and card.stands != said


def test_the_plan_of_a_whole_visit_leads_back_to_the_stage_that_bars() -> None:
    """While relief is not read every slot waits, and the one button goes where the visit goes on;
    a plan of the nut alone knows of no stages."""
    app = fresh_app()
    whole(app)
    for part in ("player", "look", "as it came", "strings"):
        app.do(vdo.SkipPart(part))
    app.do(do.AnswerAllYes())
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.9 mm"))
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView) and plan.by_stages and plan.next
    assert plan.next.step is views.NextStep.STAGE and "relief" in plan.next.label
    app.do(vdo.SeeVisit())
    app.do(vdo.ChooseScope(Scope.NUT))
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView) and not plan.by_stages
    assert plan.next and plan.next.step is not views.NextStep.STAGE


def test_back_leads_to_the_stages_of_a_whole_visit() -> None:
    """From walk and preconditions; in a visit for the nut alone to the screen above, as ever."""
    app = fresh_app()
    whole(app)
    app.do(do.Walk(6))
    assert isinstance(app.do(do.Back()), views.StagesView)
    app.do(do.Ask())
    assert isinstance(app.do(do.Back()), views.StagesView)
    app = fresh_app()
    start(app)
    app.do(do.Walk(6))
    assert isinstance(app.do(do.Back()), views.PreconditionsView)


def test_the_frets_are_asked_on_their_card_and_lead_back_into_the_visit() -> None:
    """One question, and what comes next follows by itself."""
    app = fresh_app()
    whole(app)
    for part in ("player", "look", "as it came", "strings"):
        app.do(vdo.SkipPart(part))
    for part in ("relief", "action"):
        app.do(vdo.SkipPart(part, sure=True))
    app.do(do.AnswerAllYes())
    app.do(vdo.SeeStages())
    card = app.do(vdo.OpenPart("frets"))
    assert isinstance(card, views.QuestionView) and card.question.gate == "frets"
    app.do(do.AnswerGate("frets", card.question.choices[0].key))
    assert standing(app, "frets") is views.PartStanding.DONE

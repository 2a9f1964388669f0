"""A visit of the whole instrument: what is chosen, left out and done is recorded, and leads on."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import visit_commands as vdo
from logic.app.presenters.questions import skipped_cards
from logic.app.presenters.visit_parts import (
    AS_IT_CAME,
    STRINGS_STAY,
    VisitPart,
    left_as_it_came,
)
from logic.app.views import views
from shared.events import Kind
from shared.readings import Buzz
from shared.setup import RestStep, SaddleStep, Scope, SkipStep, Stage, StringsStep, TurnStep
from shared.units import Length
from tests.logic.app.apps import Disc, DiscApp, Technician, events, fresh_app, restarted, start
from tests.logic.app.visits import standing, whole

HOUR_MS = 3_600_000


def shown_at(app: DiscApp) -> str:
    """The screen that is shown."""
    return app.session.place.screen


def kinds_since(app: DiscApp, before: int) -> list[Kind | str]:
    """What was recorded after so many entries, without where somebody stood."""
    return [each.kind for each in events(app)[before:] if each.kind != Kind.PLACE_MOVED]


# --- what it is for ---


def test_the_nut_alone_is_what_a_visit_is_for_and_one_tap_away() -> None:
    """Nobody chooses anything: the intake leads straight to the first string, and nothing is
    recorded of a scope, chosen anew or not."""
    app = fresh_app()
    intake = start(app)
    assert isinstance(intake, views.IntakeView) and not intake.whole
    assert [choice.key for choice in intake.scopes if choice.chosen] == ["nut"]
    app.do(vdo.ChooseScope(Scope.NUT))
    assert isinstance(app.do(do.Measure()), views.WalkView)
    assert Kind.SETUP_CHOSEN not in {each.kind for each in events(app)}
    assert app.session.work.job.setup is None


def test_choosing_the_whole_goes_on_with_the_player() -> None:
    """The intake says so, and its one button leads there."""
    app = fresh_app()
    start(app)
    intake = app.do(vdo.ChooseScope(Scope.WHOLE))
    assert isinstance(intake, views.IntakeView) and intake.whole
    assert isinstance(app.do(vdo.GoOnVisit()), views.PlayerView)


def test_changing_ones_mind_loses_nothing_and_comes_back() -> None:
    """What was read stays when the visit is for the nut alone after all, and for the whole again;
    Undo takes the last choice back."""
    app = fresh_app()
    whole(app)
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.5 mm"))
    readings = app.session.work.job.readings
    app.do(vdo.SeeVisit())
    app.do(vdo.ChooseScope(Scope.NUT))
    assert app.session.work.job.readings == readings
    assert isinstance(app.view(), views.WalkView | views.PlanView)
    app.do(do.Undo())
    assert app.session.work.document.setup_scope is Scope.WHOLE
    assert app.session.work.job.readings == readings


@pytest.mark.parametrize("scope", [Scope.WHOLE, Scope.CHECK])
def test_a_visit_for_more_begins_on_the_instruments_page(scope: Scope) -> None:
    """One touch there opens it with that scope; left as it was, it is no visit."""
    app = fresh_app()
    start(app)
    app.do(ido.SaveName("Red one", "Marlow"))
    app.do(do.GoHome())
    (only,) = app.history.instruments()
    intake = app.do(ido.NewJobOn(only.id, scope))
    assert isinstance(intake, views.IntakeView) and intake.whole
    assert app.session.work.document.setup_scope is scope
    jobs = len(app.history.open_jobs())
    app.do(do.GoHome())
    assert len(app.history.open_jobs()) == jobs - 1


# --- player and look ---


def test_the_player_is_kept_as_one_and_all_of_it_may_be_passed_over() -> None:
    """Likes, never change, when and overnight in one action that one Undo takes back; with nothing
    said it is still gone through and not asked again."""
    app = fresh_app()
    whole(app)
    app.do(vdo.SavePlayer("low  action", "its nut", "Friday", True))
    document = app.session.work.document
    assert (document.player.likes, document.player.never_change) == ("low action", "its nut")
    assert (document.setup_due, document.setup_overnight) == ("Friday", True)
    app.do(do.Undo())
    document = app.session.work.document
    assert (document.player.likes, document.setup_due, document.setup_overnight) == (None,) * 3
    app.do(vdo.SavePlayer())
    assert app.session.work.document.setup_due == ""
    assert standing(app, "player") is views.PartStanding.DONE


def test_the_look_is_answered_in_one_tap_and_a_fault_says_to_stop() -> None:
    """Everything as it should be is one answer each; one that is not stands on the page and on the
    stages, and the visit can go on from there."""
    app = fresh_app()
    whole(app)
    page = app.do(vdo.OpenPart("look"))
    assert isinstance(page, views.LookView)
    assert page.unanswered == len(page.questions) > 0
    app.do(vdo.AllAsItShould())
    assert standing(app, "look") is views.PartStanding.DONE
    page = app.do(vdo.OpenPart("look"))
    assert isinstance(page, views.LookView) and page.unanswered == 0 and not page.stop
    page = app.do(do.AnswerGate("cracks", "found"))
    assert isinstance(page, views.LookView) and page.stop
    assert standing(app, "look") is views.PartStanding.OUT
    app.do(vdo.AllAsItShould())
    assert shown_at(app) == "stages"


# --- left out, and taken up again ---


def test_a_part_is_left_out_on_record_and_taken_up_again() -> None:
    """One that no cut waits for in one tap; taken up, its skip is undone."""
    app = fresh_app()
    whole(app)
    app.do(vdo.SkipPart("frets"))
    assert app.session.work.job.steps[-1] == SkipStep(stage=Stage.FRETS, after=0, after_readings=0)
    assert standing(app, "frets") is views.PartStanding.SKIPPED
    app.do(vdo.ReopenPart("frets"))
    assert app.session.work.job.steps == ()
    assert standing(app, "frets") is not views.PartStanding.SKIPPED


@pytest.mark.parametrize("part", ["relief", "action"])
def test_what_a_cut_waits_for_is_asked_back_before_it_is_left_out(part: str) -> None:
    """The first tap records nothing; the second does."""
    app = fresh_app()
    page = whole(app)
    page = app.do(vdo.SkipPart(part))
    assert isinstance(page, views.StagesView) and app.session.work.job.steps == ()
    assert [line.part for line in page.lines if line.sure] == [part]
    app.do(vdo.SkipPart(part, sure=True))
    assert standing(app, part) is views.PartStanding.SKIPPED


def test_as_it_came_and_the_strings_are_left_out_each_by_itself() -> None:
    """They share the first stage; the record tells them apart."""
    app = fresh_app()
    whole(app)
    app.do(vdo.SkipPart("as it came"))
    assert standing(app, "as it came") is views.PartStanding.SKIPPED
    assert standing(app, "strings") is not views.PartStanding.DONE
    app.do(vdo.OpenPart("strings"))
    app.do(vdo.KeepStrings())
    skips = [step for step in app.session.work.job.steps if isinstance(step, SkipStep)]
    assert [(each.stage, each.why) for each in skips] == [
        (Stage.STRINGS, AS_IT_CAME),
        (Stage.STRINGS, STRINGS_STAY),
    ]
    app.do(do.AnswerGate("at_pitch", "yes"))
    assert standing(app, "strings") is views.PartStanding.DONE


# --- what was done ---


@dataclass(frozen=True)
class Done:
    """What was touched on the screen of what was done, and the step that is to be recorded."""

    touched: tuple[do.Command, ...]
    step: object


TURN = Done(
    (vdo.SeeStepDone("turn"), vdo.CountEighths(-1), vdo.CountEighths(-1), vdo.TurnedRod()),
    TurnStep(eighths=-2),
)
UNCOUNTED = Done((vdo.SeeStepDone("turn"), vdo.TurnedRod()), TurnStep())
BACK_AND_FORTH = Done(
    (vdo.SeeStepDone("turn"), vdo.CountEighths(1), vdo.CountEighths(-1), vdo.TurnedRod()),
    TurnStep(),
)
SADDLE = Done(
    (vdo.SeeStepDone("saddle"), vdo.SaddleAt(6), vdo.MoveSaddle(-1), vdo.MovedSaddle()),
    SaddleStep(string=6, height=Length.parse("-5 thou")),
)
ALL_SADDLES = Done((vdo.SeeStepDone("saddle"), vdo.MovedSaddle()), SaddleStep())
NEW = Done((vdo.SeeStepDone("strings"), vdo.StringsDone("changed")), StringsStep())
TUNED = Done((vdo.StringsDone("retuned"),), StringsStep(what="retuned"))
RESTED = Done((vdo.SeeStepDone(), vdo.Rested()), RestStep())
EVERY = (TURN, UNCOUNTED, BACK_AND_FORTH, SADDLE, ALL_SADDLES, NEW, TUNED, RESTED)
MOVES_TENSION = EVERY[:-1]


@pytest.mark.parametrize("done", EVERY)
def test_what_was_done_is_a_step_and_one_undo_takes_it_back(done: Done) -> None:
    """It is recorded as it was said, apps that do not know it are told what it means, and all of it
    is one action."""
    app = fresh_app()
    whole(app)
    for command in done.touched[:-1]:
        app.do(command)
    before = len(events(app))
    app.do(done.touched[-1])
    (step,) = app.session.work.job.steps
    assert step.model_copy(update={"after": None, "after_readings": None}) == done.step
    assert kinds_since(app, before)[0] == Kind.SETUP_STEP
    view = app.do(do.Undo())
    assert app.session.work.job.steps == ()
    assert app.announced
    assert not isinstance(view, views.InTuneView)


@pytest.mark.parametrize("done", MOVES_TENSION)
def test_after_each_change_of_tension_it_is_asked_once_whether_it_is_in_tune(done: Done) -> None:
    """The question follows at once, stands first on the stages until it is answered, and is not
    asked again until something else moves."""
    app = fresh_app()
    whole(app)
    app.do(do.AnswerGate("at_pitch", "yes"))
    for command in done.touched:
        app.do(command)
    assert shown_at(app) == "in tune"
    page = app.do(vdo.SeeStages())
    assert isinstance(page, views.StagesView) and page.next and "tune" in page.next.label
    assert isinstance(app.do(vdo.GoOnVisit()), views.InTuneView)
    app.do(vdo.InTune())
    assert shown_at(app) != "in tune"
    page = app.do(vdo.SeeStages())
    assert isinstance(page, views.StagesView) and "Retuned 1 time" in page.about
    for command in TURN.touched:
        app.do(command)
    assert shown_at(app) == "in tune"


def test_a_pass_in_a_whole_visit_asks_for_the_tuning_and_leads_back_to_the_slot() -> None:
    """The nut alone is filed as ever."""
    for scope, then in ((Scope.NUT, "cut"), (Scope.WHOLE, "in tune")):
        app = fresh_app()
        start(app)
        if scope is Scope.WHOLE:
            app.do(vdo.ChooseScope(scope))
        app.do(do.CutSlot(6))
        app.do(do.Filed(2))
        assert shown_at(app) == then
    app.do(vdo.InTune())
    assert (shown_at(app), app.session.place.string) == ("cut", 6)


# --- left for hours, and killed in the middle ---


@dataclass
class Clock:
    """A clock that is set by hand."""

    ms: int = 1_700_000_000_000

    def now_ms(self) -> int:
        """As it was set."""
        return self.ms


def test_after_a_night_the_stages_offer_that_it_rested() -> None:
    """Opened again after more than eight hours, the visit shows its stages and for how long it has
    lain; one tap records that, with the hours, and it is not offered again."""
    clock = Clock()
    app = DiscApp(Disc(), 1, clock)
    whole(app)
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.5 mm"))
    job = app.session.place.job
    app.do(do.GoHome())
    clock.ms += 7 * HOUR_MS
    assert not isinstance(app.do(do.OpenJob(job)), views.StagesView)
    app.do(do.GoHome())
    clock.ms += 7 * HOUR_MS
    page = app.do(do.OpenJob(job))
    assert isinstance(page, views.StagesView) and "14" in page.lain
    app.do(vdo.Rested())
    (step,) = app.session.work.job.steps
    assert isinstance(step, RestStep) and step.hours == 14
    page = app.do(vdo.SeeStages())
    assert isinstance(page, views.StagesView) and not page.lain


@pytest.mark.parametrize("screen", ["visit", "player", "look", "stages", "step done", "in tune"])
def test_a_visit_killed_in_the_middle_opens_where_it_was(screen: str) -> None:
    """The power is cut at each of its screens."""
    app = fresh_app()
    whole(app)
    ways: dict[str, do.Command] = {
        "visit": vdo.SeeVisit(),
        "player": vdo.OpenPart("player"),
        "look": vdo.OpenPart("look"),
        "stages": vdo.SeeStages(),
        "step done": vdo.SeeStepDone(),
        "in tune": vdo.TurnedRod(),
    }
    app.do(ways[screen])
    again = restarted(app)
    again.resume()
    assert shown_at(again) == shown_at(app) == screen


# --- reading it as it came ---


def test_read_as_it_came_only_the_outer_strings_are_walked() -> None:
    """Before anything is changed the first frets of the two outer strings are read, and the visit
    goes on from there."""
    app = fresh_app()
    whole(app)
    app.do(vdo.SkipPart("player"))
    app.do(vdo.AllAsItShould())
    app.do(do.AnswerAllYes())
    shown = app.do(do.Walk(6))
    hand = Technician(dict.fromkeys(range(1, 7), 0.5), dict.fromkeys(range(1, 7), Buzz.NONE))
    walked = set()
    while shown_at(app) == "walk":
        assert isinstance(shown, views.WalkView)
        walked.add(shown.string)
        shown = app.do(hand.answer(shown))
    assert walked == {6}
    assert shown_at(app) == "relief"
    assert VisitPart.NUT in left_as_it_came(app.session.work)
    shown = app.do(do.Walk(1))
    while shown_at(app) == "walk":
        assert isinstance(shown, views.WalkView)
        walked.add(shown.string)
        shown = app.do(hand.answer(shown))
    assert walked == {6, 1} and shown_at(app) == "relief"
    assert VisitPart.NUT not in left_as_it_came(app.session.work)


def test_once_the_rod_is_turned_nothing_is_read_as_it_came() -> None:
    """What was not read before is passed over: the visit goes on to the strings."""
    app = fresh_app()
    whole(app)
    app.do(vdo.SkipPart("player"))
    app.do(vdo.AllAsItShould())
    assert standing(app, "as it came") is views.PartStanding.DUE
    app.do(vdo.SeeStepDone("turn"))
    app.do(vdo.TurnedRod())
    assert standing(app, "as it came") is views.PartStanding.SKIPPED
    assert standing(app, "strings") is views.PartStanding.DUE


def test_a_relief_that_the_visit_has_measured_is_not_asked_on_a_card() -> None:
    """Until then the card is there."""
    app = fresh_app()
    whole(app)
    app.do(vdo.AllAsItShould())
    app.do(do.AnswerAllYes())
    assert "relief" in cards_left(app)
    for string in (6, 1):
        app.do(do.MeasureRelief(string))
        app.do(do.TypeNumber("relief of a side"))
        app.do(do.NumberTyped("0.25 mm"))
    assert "relief" not in cards_left(app)


def cards_left(app: DiscApp) -> set[str]:
    """The questions that are left."""
    return {gate for gate, _, _ in skipped_cards(app.session.work)}

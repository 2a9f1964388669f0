"""Own targets at the app: set in a job or on an instrument's page, carried on, taken back."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.presenters.targets import TARGET
from logic.app.views import views
from shared.instrument import Attack, Player
from shared.job import Job
from shared.units import Length
from tests.logic.app.apps import (
    Disc,
    DiscApp,
    events,
    fresh_app,
    in_plan,
    restarted,
    said,
    start,
    walking,
)
from tests.logic.app.presenters.test_instruments import measured, only
from tests.logic.app.two_devices import Ticking


def targets(view: views.View) -> views.TargetsView:
    """The view of targets."""
    assert isinstance(view, views.TargetsView)
    return view


def player_of(app: DiscApp, job: str) -> Player:
    """Who plays in a job, by its history."""
    document = app.history.job(job)
    assert document is not None
    return document.player


def at_page() -> tuple[DiscApp, str]:
    """A measured guitar, its page's targets shown at string six."""
    app, name, _ = measured()
    app.do(ido.SeeInstrument(name))
    targets(app.do(do.SeeTargets(6)))
    return app, name


def test_an_own_target_stands_beside_the_tables_with_its_uncertainty() -> None:
    """Common practice, no source: .020 in; stepped up once it is 21 thou, own, and so said."""
    app, _ = at_page()
    before = targets(app.view())
    assert (before.target, before.whose, before.own) == ("20 thou", "The usual target", False)
    after = targets(app.do(do.SetTarget(1)))
    assert (after.target, after.whose, after.own) == (
        "21 thou",
        "Own target",
        True,
    )
    assert after.tables == before.tables
    assert (
        after.tables.startswith("Usual, by common practice: 20 thou. Window ")
        and "±" in after.tables
    )
    (line,) = [line for line in after.lines if line.string == 6]
    assert (line.target, line.whose) == ("21 thou", "own; 20 thou is usual")
    assert "Own target of this player; common practice is 20 thou." in after.notes[0]


def test_one_touch_gives_it_back_to_the_table_and_undo_takes_each_back() -> None:
    """Stepped twice, given back, and every one of the three taken back in turn."""
    app, _ = at_page()
    app.do(do.SetTarget(1))
    app.do(do.SetTarget(1))
    assert targets(app.do(do.TablesTarget())).whose == "The usual target"
    said = [targets(app.do(do.Undo())).target for _ in range(4)]
    assert said == ["22 thou", "21 thou", "20 thou", "20 thou"]


def test_all_strings_are_stepped_and_given_back_together() -> None:
    """With no string at hand every target goes a step lower, and back to the table's."""
    app, _ = at_page()
    app.do(do.SeeTargets())
    lower = targets(app.do(do.SetTarget(-1)))
    assert (lower.place, lower.target) == ("All strings", "15 to 19 thou")
    assert lower.whose == "Own targets"
    again = targets(app.do(do.TablesTarget()))
    assert (again.target, again.own) == ("16 to 20 thou", False)


@pytest.mark.parametrize(
    ("unit", "text", "shown"),
    [("thou", "22 thou", "22 thou"), ("in", ".022 in", "0.022 in"), ("mm", "0,56 mm", "0.56 mm")],
)
def test_it_is_typed_in_any_unit(unit: str, text: str, shown: str) -> None:
    """The pad asks in the bench's unit and takes what people write; then the targets show again."""
    app, _ = at_page()
    app.do(do.SetSetting("unit", unit))
    pad = app.do(do.TypeNumber(TARGET))
    assert isinstance(pad, views.TypeView)
    assert [choice.key for choice in pad.units if choice.chosen] == [unit]
    assert pad.title == "String 6"
    assert targets(app.do(do.NumberTyped(text))).target == shown


def test_what_can_hardly_be_a_target_is_asked_back_and_not_kept() -> None:
    """18 mm is a slip of the unit: nothing is recorded, and Back leads to the targets."""
    app, _ = at_page()
    count = len(events(app))
    app.do(do.TypeNumber(TARGET))
    pad = app.do(do.NumberTyped("18 mm"))
    assert isinstance(pad, views.TypeView) and "Did you mean" in pad.trouble
    assert targets(app.do(do.Back())).own is False
    assert len(events(app)) == count


def test_the_next_job_and_its_plan_use_it_and_say_so() -> None:
    """Set on the page, it is there after a power cut; the next job aims at it, and its intake and
    plan name it as this player's own."""
    app, name = at_page()
    app.do(do.SetTarget(2))
    app = restarted(app)
    page = app.do(ido.SeeInstrument(name))
    assert isinstance(page, views.InstrumentView)
    assert [(s.target, s.own) for s in page.strings if s.own] == [("22 thou", True)]
    intake = app.do(ido.NewJobOn(name))
    assert isinstance(intake, views.IntakeView)
    assert intake.targets == "Own targets of this player: 6: 22 thou"
    assert player_of(app, intake.job).targets == {6: Length.parse("22 thou")}
    plan = app.do(do.SeePlan(6))
    assert isinstance(plan, views.PlanView)
    assert plan.own == ("Own targets of this player: 6: 22 thou",)
    named = {line.string: [name for name, _ in line.numbers] for line in plan.lines}
    assert "Own target and window" in named[6] and "Target and window" in named[5]
    assert plan.slots[0].string == 6 and plan.slots[0].target_mm == pytest.approx(0.5588)


def test_set_in_a_job_it_goes_with_the_instrument() -> None:
    """A target set while planning is the page's and the next job's; undo in the job works too."""
    app = fresh_app()
    job = walking(app).job
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.5 mm"))
    app.do(do.SeePlan(6))
    app.do(do.SeeTargets(6))
    app.do(do.SetTarget(1))
    app.do(do.SetTarget(1))
    assert targets(app.do(do.Undo())).target == "21 thou"
    shown = app.do(do.Back())
    assert isinstance(shown, views.PlanView) and shown.opened == 6
    assert player_of(app, job).targets == {6: Length.parse("21 thou")}
    name = only(app)
    page = app.do(ido.SeeInstrument(name))
    assert isinstance(page, views.InstrumentView)
    assert [s.target for s in page.strings if s.own] == ["21 thou"]


def test_targets_opened_at_the_intake_lead_back_to_it() -> None:
    """Before anything is read, Back goes to where the player was named."""
    app = fresh_app()
    start(app)
    targets(app.do(do.SeeTargets()))
    assert isinstance(app.do(do.Back()), views.IntakeView)


def test_the_later_word_stands_and_neither_hides_the_other() -> None:
    """An open job's attack changed after targets were set on the page: the next job has both."""
    app = fresh_app()
    job = walking(app).job
    name = only(app)
    app.do(ido.SeeInstrument(name))
    app.do(do.SeeTargets(3))
    app.do(do.SetTarget(1))
    app.do(do.OpenJob(job))
    app.do(do.SetAttack(Attack.HEAVY))
    assert player_of(app, job).targets == {}  # it keeps what it came in with
    intake = app.do(ido.NewJobOn(name))
    assert isinstance(intake, views.IntakeView)
    player = player_of(app, intake.job)
    assert (player.attack, set(player.targets)) == (Attack.HEAVY, {3})


def test_an_attack_can_be_said_on_the_page() -> None:
    """How hard it is played is the page's as well, and moves the table's targets at once."""
    app, name = at_page()
    shown = targets(app.do(do.SetAttack(Attack.HEAVY)))
    assert shown.target == "22 thou"  # common practice, no source
    assert [choice.key for choice in shown.attacks if choice.chosen] == ["heavy"]
    assert app.session.past.player(name).attack is Attack.HEAVY


def test_a_step_that_changes_nothing_is_not_kept() -> None:
    """The table's where it aims already, and the attack that is said already, record nothing."""
    app, _ = at_page()
    count = len(events(app))
    app.do(do.TablesTarget())
    app.do(do.SetAttack(Attack.MEDIUM))
    assert len(events(app)) == count


def test_two_devices_that_set_them_see_one_and_keep_the_other() -> None:
    """Both set string six while apart: the later stands on both, the other is offered, and one
    touch lets it stand instead."""
    clock = Ticking()
    here, there = DiscApp(Disc(), 1, clock), DiscApp(Disc(), 500, clock)
    walking(here)
    name = only(here)
    there.history.merge(here.history.export())
    for app, steps in ((here, 1), (there, 3)):
        app.do(ido.SeeInstrument(name))
        app.do(do.SeeTargets(6))
        app.do(do.SetTarget(steps))
        app.do(do.SetAttack(Attack.HEAVY if app is there else Attack.LIGHT))
    here.history.merge(there.history.export())
    there.history.merge(here.history.export())
    for app in (here, there):
        app.history_changed()
        assert app.session.past.player(name) == Player(
            attack=Attack.HEAVY, targets={6: Length.parse("23 thou")}
        )
    here.do(ido.SeeInstrument(name))
    changes = here.do(kdo.SeeChanges())
    assert isinstance(changes, views.ChangesView)
    (line,) = changes.changes
    assert (line.now, line.other) == (
        "Heavy, own targets 6: 23 thou",
        "Light, own targets 6: 21 thou",
    )
    here.do(kdo.ChooseOther(line.document, line.field))
    assert here.session.past.player(name).attack is Attack.LIGHT


def job_of(app: DiscApp) -> Job:
    """The job at hand."""
    return app.session.work.job


def test_a_visit_can_ask_for_every_slot_down_to_its_target() -> None:
    """Chosen where the targets are, it reaches what the plan is made from, is said on plan, intake
    and both sheets, and is taken back by one Undo."""
    app = fresh_app()
    walking(app)
    shown = targets(app.do(do.SeeTargets()))
    assert [(each.key, each.chosen) for each in shown.wishes] == [("no", True), ("yes", False)]
    shown = targets(app.do(do.SetToTarget(True)))
    assert [each.chosen for each in shown.wishes] == [False, True]
    assert job_of(app).to_my_target
    wish = "Asked for at this visit: down to the target."
    assert in_plan(app).asked_for == (wish,)
    for for_bench, said_there in ((False, "Every slot down to its target"), (True, "Asked for: ")):
        assert any(said_there in line for line in said(app.do(do.SeeSheet(for_bench))))
    app.do(do.SeeTargets())
    app.do(do.Undo())
    assert not job_of(app).to_my_target
    assert in_plan(app).asked_for == ()


def test_asked_for_twice_it_is_recorded_once_and_survives_a_power_cut() -> None:
    """The same choice again is no entry; the next start finds what was chosen."""
    app = fresh_app()
    walking(app)
    app.do(do.SeeTargets())
    app.do(do.SetToTarget(True))
    before = len(events(app))
    app.do(do.SetToTarget(True))
    assert len(events(app)) == before
    again = restarted(app)
    again.resume()
    assert job_of(again).to_my_target


def test_an_instruments_page_asks_nothing_of_a_visit() -> None:
    """How far down is a visit's matter: its choice is not there, and the command does nothing."""
    app, _ = at_page()
    assert targets(app.view()).wishes == ()
    before = len(events(app))
    app.do(do.SetToTarget(True))
    assert len(events(app)) == before


def test_a_bench_can_ask_for_it_at_every_visit() -> None:
    """By its setting each job opens so, a new one and one on an instrument on record, and says it
    at the intake; a quick check and the sample do not, and one visit can still differ."""
    app, name, _ = measured()
    app.do(do.SetSetting("to target", "on"))
    app.do(ido.QuickCheck(name))
    assert not job_of(app).to_my_target
    app.do(do.StartSample())
    assert not job_of(app).to_my_target
    intake = app.do(ido.NewJobOn(name))
    assert job_of(app).to_my_target
    assert any("down to the target" in line for line in said(intake))
    start(app)
    assert job_of(app).to_my_target
    app.do(do.SeeTargets())
    app.do(do.SetToTarget(False))
    assert not job_of(app).to_my_target


def test_a_bass_is_bowed_at_the_intake_and_on_its_page() -> None:
    """Offered of instruments that are bowed alone; what is said goes with it to its next visit, and
    one undo takes it back."""
    app = fresh_app()
    start(app, "double bass")
    intake = app.do(do.SetBow(True))
    assert isinstance(intake, views.IntakeView)
    assert [choice.key for choice in intake.bow if choice.chosen] == ["yes"]
    name = only(app)
    assert app.session.past.player(name).bowed
    shown = targets(app.do(do.SeeTargets(None)))
    assert [choice.label for choice in shown.bow if choice.chosen] == ["With a bow"]
    app.do(do.SetBow(True))
    again = app.do(do.Undo())
    assert isinstance(again, views.IntakeView | views.TargetsView)
    assert [choice.key for choice in again.bow if choice.chosen] == ["no"]
    guitar = fresh_app()
    start(guitar, "electric guitar")
    view = guitar.view()
    assert isinstance(view, views.IntakeView) and view.bow == ()

"""Work that the plan offers to be reported done, in one touch."""

from __future__ import annotations

from logic.app.commands import commands as do
from logic.app.views import views
from shared.job import CallKind
from shared.readings import Buzz
from shared.work import WorkKind
from tests.logic.app.apps import DiscApp, in_plan, measured_at

TARGETS = {6: 0.508, 5: 0.508, 4: 0.457, 3: 0.457, 2: 0.406, 1: 0.406}
ONE_LOW = {**TARGETS, 4: 0.1}
ALL_LOW = dict.fromkeys(range(1, 7), 0.1)


def report(app: DiscApp, offer: views.WorkOffer) -> views.View:
    """Touch the button of an offer."""
    done = offer.work
    return app.do(do.ReportWork(done.what, done.strings, done.amount))


def line(plan: views.PlanView, string: int) -> views.PlanLine:
    """The line of one string."""
    return next(each for each in plan.lines if each.string == string)


def test_a_slot_to_be_raised_offers_its_fill_and_its_readings_are_then_those_of_before() -> None:
    """One touch in its line: that string alone is read again, and keeps what was read before."""
    app = measured_at(ONE_LOW, Buzz.NORMAL)
    low = line(in_plan(app, 4), 4)
    assert low.call is CallKind.RAISE
    fill = next(offer for offer in low.done if offer.work.what is WorkKind.FILL)
    assert (fill.work.strings, fill.label, fill.mark) == ((4,), "Done: Slot filled", "done-fill")
    shown = report(app, fill)
    assert isinstance(shown, views.WalkView) and shown.string == 4
    job = app.session.work.job
    assert {reading.string for reading in job.rounds[0].readings} == {4}
    assert {reading.string for reading in job.readings} == {6, 5, 3, 2, 1}


def test_a_slot_that_is_left_offers_no_work() -> None:
    """Nothing is asked of it, so nothing is done."""
    assert line(in_plan(measured_at(TARGETS)), 5).done == ()


def test_the_recommended_way_is_reported_from_the_plan_with_its_amount() -> None:
    """The first offer for the whole nut is the way that the plan recommends, as it advises it; what
    it offers besides is nothing that it asks for, and each is offered once."""
    app = measured_at(ALL_LOW, Buzz.NORMAL)
    shown = in_plan(app)
    (best,) = [o for o in app.session.work.plan.nut.options if o.recommended]
    first = shown.done[0].work
    assert first.what.value == best.method and first.strings == best.slots_touched
    kinds = [offer.work.what for offer in (*shown.done, *shown.other_work)]
    assert len(kinds) == len(set(kinds))
    assert {WorkKind.STRINGS_CHANGED, WorkKind.RELIEF_SET, WorkKind.NEW_NUT} <= set(kinds)


def test_a_failed_check_offers_the_work_that_sets_it_right() -> None:
    """Too much relief: the plan offers *relief set*, and after it relief is asked again."""
    app = measured_at(TARGETS)
    app.do(do.AnswerGate("relief", "high"))
    (offer,) = [o for o in in_plan(app).done if o.work.what is WorkKind.RELIEF_SET]
    report(app, offer)
    shown = in_plan(app)
    assert not any(o.work.what is WorkKind.RELIEF_SET for o in shown.done)
    assert set(app.session.work.job.rounds[0].work.strings) == set(range(1, 7))


def test_a_closed_job_offers_no_work() -> None:
    """What was done to it was said before."""
    app = measured_at(ALL_LOW, Buzz.NORMAL)
    job = app.session.place.job
    app.do(do.CloseJob("later"))
    app.session.stand_in(job, "plan")
    shown = app.view()
    assert isinstance(shown, views.PlanView)
    assert shown.done == shown.other_work == ()
    assert not any(each.done for each in shown.lines)

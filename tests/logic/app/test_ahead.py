"""Thinking ahead: faster answers, never other ones."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.views import views
from logic.bench.plan.plan import make_plan
from shared.readings import Buzz, Contact
from tests.logic.app.apps import fresh_app, walking


@settings(max_examples=15, deadline=None)
@given(answers=st.lists(st.sampled_from(Contact), min_size=1, max_size=8))
def test_what_was_thought_ahead_changes_no_view(answers: list[Contact]) -> None:
    """Two apps given the same answers show the same, whether or not they thought before each."""
    quick, plain = fresh_app(), fresh_app()
    shown, expected = walking(quick), walking(plain)
    for contact in answers:
        list(quick.think_ahead())
        shown, expected = quick.do(do.Feel(contact)), plain.do(do.Feel(contact))
        assert shown == expected
        if not isinstance(shown, views.WalkView):
            return


def test_thinking_ahead_records_nothing() -> None:
    """The history is as long as before, and the view is the same."""
    app = fresh_app()
    shown = walking(app)
    before = app.history.vector
    assert len(list(app.think_ahead())) == len(Contact) + 1
    assert app.history.vector == before
    assert app.view() == shown


def test_what_was_foreseen_is_taken_over() -> None:
    """After the answer that was foreseen, the checks are not judged again."""
    app = fresh_app()
    walking(app)
    list(app.think_ahead())
    foreseen = [ahead.standing for ahead in app.session.work._foreseen.values()]
    app.do(do.Feel(Contact.NONE))
    assert any(app.session.work.standing is standing for standing in foreseen)


def test_the_plan_is_there_when_the_walk_ends() -> None:
    """Every answer that would end the walk has its plan worked out before it is given, and the plan
    is the one that would be made from the beginning."""
    app = fresh_app()
    shown: views.View = walking(app)
    while isinstance(shown, views.WalkView):
        list(app.think_ahead())
        foreseen = {**app.session.work._foreseen}
        listens = shown.prompt is views.Prompt.BUZZ
        shown = app.do(do.Hear(Buzz.NONE) if listens else do.Feel(Contact.LIGHT))
    work = app.session.work
    assert isinstance(shown, views.PlanView)
    assert work.plan is foreseen[work.job.readings[-1]].plan
    assert work.plan == make_plan(work.job, work.trade)


def test_outside_the_walk_there_is_nothing_to_foresee() -> None:
    """At home and on the plan no answer is waited for."""
    app = fresh_app()
    assert list(app.think_ahead()) == []
    walking(app)
    app.do(do.SeePlan())
    assert list(app.think_ahead()) == []

"""What earlier jobs of an instrument say of its player moves the windows of the next one."""

from __future__ import annotations

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.commands.instrument_commands import NewJobOn
from logic.app.commands.string_commands import ReadAfresh
from logic.app.views import views
from shared.instrument import Attack
from shared.readings import Buzz
from tests.logic.app.apps import Technician, answer_cards, fresh_app, restarted, walking

HEIGHT_MM = 0.42


def visit(app: App, shown: views.View, buzz: Buzz) -> views.PlanView:
    """Every string read at one height, each sounding the same."""
    strings = range(1, 7)
    hand = Technician(dict.fromkeys(strings, HEIGHT_MM), dict.fromkeys(strings, buzz))
    plan, _ = hand.walk(app, shown, 80)
    for string in strings:
        app.do(do.Walk(string))
        app.do(ReadAfresh(string))
        app.do(do.Hear(buzz))
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    return plan


def again(app: App, job: str, attack: Attack = Attack.MEDIUM) -> views.PlanView:
    """The plan of a second job on the instrument of `job`, before anything is read."""
    document = app.history.job(job)
    assert document is not None and document.instrument_id is not None
    app.do(NewJobOn(document.instrument_id))
    app.do(do.SetAttack(attack))
    app.do(do.Ask())
    answer_cards(app, app.do(do.AnswerAllYes()))
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    return plan


def lows(plan: views.PlanView) -> list[float]:
    """The low edges, from bass to treble."""
    return [slot.low_mm for slot in plan.slots]


def after(buzz: Buzz, attack: Attack = Attack.MEDIUM) -> list[float]:
    """Low edges at the second job of an instrument whose strings all sounded like this."""
    app = fresh_app()
    return lows(again(app, visit(app, walking(app), buzz).job, attack))


def test_the_next_job_has_heard_how_the_player_plays() -> None:
    """Every string buzzing as played asks for more room the next time, every string clean for
    less."""
    buzzed, clean = after(Buzz.NORMAL), after(Buzz.NONE)
    assert all(low < high for low, high in zip(clean, buzzed, strict=True))


def test_what_was_heard_at_one_attack_says_nothing_of_another() -> None:
    """Another player at the same instrument gets the windows of an instrument nobody heard."""
    assert after(Buzz.NORMAL, Attack.LIGHT) == after(Buzz.NONE, Attack.LIGHT)


def test_a_job_does_not_listen_to_itself() -> None:
    """Buzzes of the open job decide its calls, not its windows: these stand until the next."""
    app = fresh_app()
    first = app.do(do.SeePlan()) if walking(app) else None
    assert isinstance(first, views.PlanView)
    app.do(do.Walk())
    assert lows(visit(app, app.view(), Buzz.NORMAL)) == lows(first)


def test_the_same_windows_are_found_after_a_restart() -> None:
    """What earlier jobs say is worked out again from the record, not remembered."""
    app = fresh_app()
    plan = again(app, visit(app, walking(app), Buzz.NORMAL).job)
    reopened = restarted(app).do(do.OpenJob(plan.job))
    assert isinstance(reopened, views.PlanView)
    assert lows(reopened) == lows(plan)

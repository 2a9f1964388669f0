"""What is shown at the screens of a visit of the whole instrument."""

from __future__ import annotations

from dataclasses import replace

from logic.app.presenters.stages import stages_view
from logic.app.presenters.visit import (
    eighths_in_words,
    in_tune_view,
    lain_in_words,
    look_view,
    player_view,
    saddle_move_in_words,
    step_done_view,
    visit_view,
)
from logic.app.routing.job_screens import job_title
from logic.app.routing.shown import Shown
from logic.app.views.views import View


def visit(shown: Shown) -> View:
    """What the visit is for."""
    return visit_view(shown.session.work, job_title(shown.session))


def player(shown: Shown) -> View:
    """Who plays it, and when it is wanted back."""
    return player_view(shown.session.work, job_title(shown.session))


def look(shown: Shown) -> View:
    """What is looked at before anything is measured."""
    session = shown.session
    return look_view(session.work, session.wording, job_title(session))


def stages(shown: Shown) -> View:
    """The visit by its parts, and what comes next."""
    session = shown.session
    skipping = session.transient.skipping
    title = job_title(session)
    return stages_view(session.work, session.history, session.wording, title, skipping)


def step_done(shown: Shown) -> View:
    """What was done: the list of it, or one kind of work."""
    session, what = shown.session, shown.session.place.step
    amount = ""
    if what == "turn":
        amount = eighths_in_words(session.transient.eighths)
    elif what == "saddle":
        amount = saddle_move_in_words(session.transient.saddle_steps, session.wording)
    string = session.place.string
    page = step_done_view(session.work, session.wording, job_title(session), what, amount, string)
    return replace(page, lain=lain_in_words(session.work, session.history.now_ms()))


def in_tune(shown: Shown) -> View:
    """Whether the strings are in tune again."""
    session = shown.session
    return in_tune_view(session.work, session.history, job_title(session))

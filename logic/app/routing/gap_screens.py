"""What is shown where relief and action are measured."""

from __future__ import annotations

from logic.app.handlers.gaps import is_afresh, manner_here, number_of, value_here
from logic.app.presenters.gap_pads import RELIEF_PAD, action_pad, relief_pad
from logic.app.presenters.gaps import GapScreen, action_view, relief_view
from logic.app.presenters.measured import measured_view
from logic.app.routing.job_screens import job_title, plan
from logic.app.routing.shown import Shown
from logic.app.session.session import Session
from logic.app.views.views import TypeView, View


def relief(shown: Shown) -> View:
    """Relief on the side at hand; the plan where this visit measures none."""
    value = value_here(shown.session)
    if value is None:
        return plan(shown)
    return relief_view(shown.session.work, value, _screen(shown.session))


def action(shown: Shown) -> View:
    """Action of the string at hand; the plan where this visit measures none."""
    value = value_here(shown.session)
    if value is None:
        return plan(shown)
    return action_view(shown.session.work, value, _screen(shown.session))


def measured(shown: Shown) -> View:
    """How it is measured, and all that was."""
    session = shown.session
    return measured_view(
        session.work,
        session.history,
        manner_here(session),
        session.place,
        session.transient.correcting,
        session.transient.saved,
    )


def _screen(session: Session) -> GapScreen:
    return GapScreen(
        session.wording,
        job_title(session),
        manner_here(session),
        session.transient.saved,
        is_afresh(session),
    )


def gap_pad(session: Session, kind: str) -> TypeView:
    """The number pad for what is at hand, or for the entry that is put right."""
    about = number_of(session, kind)
    job, title, refused = session.place.job, job_title(session), session.transient.refused
    if kind == RELIEF_PAD:
        side, holds = about["side"], about["holds"]
        return relief_pad(side, holds, job, title, session.wording, refused)
    name = session.work.job.instrument.name_of(about["string"])
    return action_pad(name, about["fret"], job, title, session.wording, refused)

"""The view of the present place: its screen, or the number pad that lies over it."""

from __future__ import annotations

from dataclasses import replace

from logic.app.handlers.gaps import value_here
from logic.app.handlers.instrument_at_hand import instrument_here
from logic.app.handlers.player import aimed_here
from logic.app.presenters.figures import figure_pad, is_figure
from logic.app.presenters.gap_pads import PADS as GAP_PADS
from logic.app.presenters.instruments import title_of
from logic.app.presenters.kit import kit_of
from logic.app.presenters.kit_sizes import PADS, kit_unit, size_pad
from logic.app.presenters.number_pad import type_view
from logic.app.presenters.targets import TARGET, target_pad
from logic.app.routing.gap_screens import gap_pad
from logic.app.routing.job_screens import job_title
from logic.app.routing.shown import Shown
from logic.app.session.route import Subject, Task
from logic.app.session.session import Session
from logic.app.views.views import CutView, View, WalkView


def show(shown: Shown) -> View:
    """What the present place shows. Nothing is recorded by looking."""
    session = shown.session
    view = _number_pad(session) if _has_number_pad(session) else session.route.show(shown)
    return _telling(view, session.transient.announced)


def _telling(view: View, announced: str) -> View:
    """While a string is measured or filed, what was taken back stands on the screen's own line; on
    all others it is said above them."""
    if announced and isinstance(view, WalkView):
        return replace(view, announced=announced, saved=announced)
    return replace(view, saved=announced) if announced and isinstance(view, CutView) else view


def _has_number_pad(session: Session) -> bool:
    """Whether the number pad is asked for, where there is something that a number can be of."""
    kind, about = session.transient.number_kind, session.route.about
    if session.place.screen == "kit":
        return kind in PADS
    if kind in GAP_PADS:
        return about is Subject.JOB and value_here(session) is not None
    of_instrument = kind == TARGET or is_figure(kind)
    return bool(kind) and (about is Subject.JOB or (of_instrument and about is Subject.INSTRUMENT))


def _number_pad(session: Session) -> View:
    kind, refused = session.transient.number_kind, session.transient.refused
    if kind in PADS:
        kit, trade = kit_of(session.history, session.trade), session.trade
        shown_in = kit_unit(session.transient.kit_unit, kit, session.wording, trade)
        return size_pad(kind, shown_in, refused)
    if kind == TARGET:
        return target_pad(aimed_here(session), session.wording, refused)
    if is_figure(kind):
        here = instrument_here(session)
        string = session.place.string
        listed = session.transient.frets_listed
        return figure_pad(kind, string, here, title_of(here), session.wording, refused, listed)
    if kind in GAP_PADS:
        return gap_pad(session, kind)
    title = job_title(session)
    shown = type_view(session.work, kind, session.here, session.wording, title, refused)
    # a proof keeps the cents of its string, and nothing of the finger
    return replace(shown, presses=()) if session.route.task is Task.PROOF else shown

"""What is shown at each screen inside a job."""

from __future__ import annotations

from dataclasses import replace

from logic.app.handlers.player import aimed_here
from logic.app.presenters.cutting import cut_of, cut_view, prove_view
from logic.app.presenters.handover import hand_over_view
from logic.app.presenters.home import kind_in_words
from logic.app.presenters.instrument_pages import others_of, shared_in_words
from logic.app.presenters.intake import first_call, intake_view
from logic.app.presenters.new_nut import new_nut_view
from logic.app.presenters.plan import plan_view
from logic.app.presenters.questions import before_view, question_view
from logic.app.presenters.quick_check import check_view, checked_view
from logic.app.presenters.raising import Turned, raising_view
from logic.app.presenters.string_card import string_card_view
from logic.app.presenters.targets import targets_view
from logic.app.presenters.walk import walk_view
from logic.app.presenters.what_if import what_if_view
from logic.app.routing.shown import Shown
from logic.app.session.pace import minutes_noted
from logic.app.session.people import hands_to_choose
from logic.app.session.rack import kept_rack
from logic.app.session.session import Session
from logic.app.views.views import View
from logic.bench.cutting.slot_cut import SlotCut
from shared.work import WorkKind


def job_title(session: Session) -> str:
    """What the job at hand is called: its instrument's label, else its kind."""
    instrument = session.work.job.instrument
    return instrument.label or kind_in_words(instrument.kind)


def intake(shown: Shown) -> View:
    """What came in, what was noticed, and what differs from the usual."""
    session, work = shown.session, shown.session.work
    owner = work.job.instrument.owner
    others = others_of(owner, work.document.instrument_id or "", session.history)
    return intake_view(
        work,
        session.wording,
        job_title(session),
        shared_in_words(owner, others),
        session.transient.follows,
    )


def targets(shown: Shown) -> View:
    """Where each string is aimed at, in a job or on an instrument's page."""
    session = shown.session
    return targets_view(aimed_here(session), session.wording, session.trade)


def before(shown: Shown) -> View:
    """What must be true before a leaf is picked up, or before the second string is read."""
    session = shown.session
    page = before_view(session.work, session.wording, job_title(session))
    return replace(page, called=first_call(session.work, session.wording))


def questions(shown: Shown) -> View:
    """The next question. Handlers go on where none is left; should the last have been answered
    elsewhere a moment ago, it is the plan until then."""
    session = shown.session
    card = question_view(session.work, session.wording, job_title(session), session.place)
    return card or plan(shown)


def walk(shown: Shown) -> View:
    """The leaf to slide in at the string at hand."""
    session = shown.session
    return walk_view(
        session.work,
        session.here,
        session.wording,
        job_title(session),
        session.transient.saved,
        afresh=session.transient.afresh == session.here,
    )


def plan(shown: Shown) -> View:
    """The calls of all strings, and what to do next."""
    session = shown.session

    def cut_at(string: int) -> SlotCut:
        return cut_of(session.work, string, session.slots_filed, session.who)

    opened, title = session.place.string, job_title(session)
    return plan_view(session.work, session.wording, title, opened, session.pace, cut_at)


def string_card(shown: Shown) -> View:
    """One string with all that was read and answered of it."""
    session = shown.session
    return string_card_view(
        session.work, session.history, session.here, session.wording, session.transient.correcting
    )


def what_if(shown: Shown) -> View:
    """What would follow if something were different."""
    session = shown.session
    return what_if_view(
        session.work,
        session.transient.what_if,
        session.place.string,
        session.wording,
        job_title(session),
    )


def raising(shown: Shown) -> View:
    """The options of raising the nut side by side."""
    session = shown.session
    return raising_view(
        session.work,
        Turned(
            session.transient.raising_method,
            session.transient.amount_steps,
            session.transient.refused,
        ),
        session.wording,
        job_title(session),
        session.pace,
        session.history,
    )


def new_nut(shown: Shown) -> View:
    """A new nut, laid out."""
    session = shown.session
    return new_nut_view(
        session.work,
        session.transient.nut_wishes,
        session.wording,
        job_title(session),
        shown.note,
        minutes=minutes_noted(session.history, session.work.id, WorkKind.NEW_NUT),
        refused=session.transient.refused,
    )


def cut(shown: Shown) -> View:
    """The next pass with the file in one slot."""
    session = shown.session
    slot = cut_of(session.work, session.here, session.slots_filed, session.who)
    said = session.transient.refused or session.transient.saved
    hands = hands_to_choose(session.history)
    title = job_title(session)
    return cut_view(session.work, slot, session.here, session.wording, title, said, hands)


def prove(shown: Shown) -> View:
    """One finished string, played open."""
    session = shown.session
    return prove_view(session.work, session.here, session.wording, job_title(session))


def hand_over(shown: Shown) -> View:
    """The sheet that goes with the instrument, or the one that stays."""
    return hand_over_view(shown.session, job_title(shown.session), shown.note)


def check(shown: Shown) -> View:
    """One string of a quick check."""
    session = shown.session
    rack, title = kept_rack(session.history), job_title(session)
    saved = session.transient.saved
    return check_view(session.work, session.here, rack, session.wording, title, saved)


def checked(shown: Shown) -> View:
    """What a quick check found."""
    session = shown.session
    rack = kept_rack(session.history)
    return checked_view(session.work, session.past, rack, session.wording, job_title(session))

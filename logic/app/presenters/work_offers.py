"""Work that a plan offers to be reported done."""

from __future__ import annotations

from collections.abc import Iterable

from logic.app.session.open_job import OpenedJob
from logic.app.views.plan_views import WorkOffer
from logic.app.wording.work import work_button, work_called
from logic.bench.plan.reportable import (
    other_work,
    reportable,
    reportable_for_gates,
    reportable_option,
)
from logic.bench.tables.work import Touches
from shared.job import StringCall
from shared.work import Work


def done_of_string(call: StringCall, work: OpenedJob) -> tuple[WorkOffer, ...]:
    """What can be said done of one string, by its call and the checks that failed."""
    found = reportable(call, work.plan.gates, work.standing.job, work.trade)
    return _offered(found, work)


def done_of_nut(work: OpenedJob) -> tuple[WorkOffer, ...]:
    """What can be said done of the whole nut: the recommended way, then what sets right a check
    that failed."""
    job, options = work.standing.job, work.plan.nut.options
    best = (reportable_option(o, job, work.trade) for o in options if o.recommended)
    mending = reportable_for_gates(work.plan.gates, job, work.trade)
    return _offered((*best, *mending), work)


def other_work_done(work: OpenedJob) -> tuple[WorkOffer, ...]:
    """What may have been done besides, of the whole instrument; what is done slot by slot is said
    in the line of its string."""
    job, trade = work.standing.job, work.trade
    offered = {offer.work.what for offer in done_of_nut(work)}
    every = other_work(job, trade, job.instrument.strings[0].string)
    whole = (each for each in every if trade.work.row(each.what).touches is not Touches.SLOTS)
    return _called((each for each in whole if each.what not in offered), work)


def other_work_of_string(call: StringCall, work: OpenedJob) -> tuple[WorkOffer, ...]:
    """All else that may have been done to one string, whatever its call asks for."""
    offered = {offer.work.what for offer in done_of_string(call, work)}
    every = other_work(work.standing.job, work.trade, call.string)
    return _called((each for each in every if each.what not in offered), work)


def _called(works: Iterable[Work], work: OpenedJob) -> tuple[WorkOffer, ...]:
    """Under a heading that says that it was done: the work alone."""
    return tuple(WorkOffer(each, work_called(each.what, work.trade)) for each in works)


def _offered(works: Iterable[Work], work: OpenedJob) -> tuple[WorkOffer, ...]:
    once = {each.what: each for each in reversed(tuple(works))}
    return tuple(WorkOffer(each, work_button(each, work.trade)) for each in reversed(once.values()))

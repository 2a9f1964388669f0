"""Work that was done: reported in one tap, and its strings are then read again."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.session.actions import Entry
from logic.app.session.older_apps import STALE, for_older_apps
from logic.app.session.session import Handler, Session
from logic.app.wording.work import work_called, work_in_words
from logic.bench.instrument.naming import strings_listed
from logic.bench.instrument.plausibility import question
from logic.bench.plan.reportable import touched
from logic.bench.plan.rounds import unread_after_work
from logic.bench.plan.walk import walk_order
from logic.bench.tables.trade_tables import TradeTables
from shared.events import Kind
from shared.job import Job
from shared.units import LengthOf
from shared.words import say
from shared.work import MOST_WORK_MINUTES, Work


def report_work(session: Session, command: commands.ReportWork) -> None:
    """Keep what was done, then stand where the first of its strings is read; what can hardly be
    meant is asked back, and nothing is kept."""
    job, trade = session.work.job, session.trade
    refused = _refused(command, job, trade)
    if refused:
        session.transient.refused = refused
        return
    done = Work(
        what=command.what,
        strings=touched(command.what, job.instrument, trade, command.strings),
        amount=command.amount,
        minutes=command.minutes or None,
        usual_minutes=_usual_minutes(command, session),
        technician=session.who,
    )
    never_read = _never_read(done, job)
    session.keep(*work_entries(session, done))
    session.transient.amount_steps = {}
    session.go_walk(first_to_read(done, job))
    session.transient.saved = _saved(done, never_read, session)


def work_entries(session: Session, done: Work) -> tuple[Entry, ...]:
    """What is recorded of work done at the job at hand."""
    job = session.place.job
    reported: Entry = (Kind.WORK_DONE, {"job": job, "work": done})
    return (reported, for_older_apps(job, STALE))


def _refused(command: commands.ReportWork, job: Job, trade: TradeTables) -> str:
    """What to ask instead of keeping it; empty where it can be meant."""
    known = {spec.string for spec in job.instrument.strings}
    if not set(command.strings) <= known:
        return say("There is no such string on this instrument; nothing was kept.")
    if not 0 <= (command.minutes or 0) <= MOST_WORK_MINUTES:
        return say("Between 1 and {most} minutes can be noted.", most=MOST_WORK_MINUTES)
    if command.amount is not None:
        odd = question(LengthOf.WORK_AMOUNT, command.amount, trade)
        if odd is not None:
            asked = odd.words if odd.words.endswith("?") else f"{odd.words}."
            return say("{question} Nothing was kept.", question=asked)
    return _said_already(command, job, trade)


def _said_already(command: commands.ReportWork, job: Job, trade: TradeTables) -> str:
    """The same work on the same strings, none of which was read since."""
    if not job.rounds:
        return ""
    last = job.rounds[-1].work
    same = set(last.strings) == set(touched(command.what, job.instrument, trade, command.strings))
    if last.what is not command.what or not same or not _all_unread(last, job):
        return ""
    return say(
        "“{work}” is kept already, and nothing was read since: read the strings, or undo it.",
        work=work_called(last.what, trade),
    )


def _all_unread(work: Work, job: Job) -> bool:
    return not any(reading.string in work.strings for reading in job.readings)


def _never_read(work: Work, job: Job) -> tuple[int, ...]:
    """Strings that had never been read when it was done, so that it has no before."""
    read = {one.string for one in job.readings}
    read |= {one.string for each in job.rounds for one in each.readings}
    return tuple(string for string in work.strings if string not in read)


def _usual_minutes(command: commands.ReportWork, session: Session) -> float | None:
    """What the table has for this work, where it was advised and minutes were given."""
    if not command.minutes:
        return None
    options = session.work.plan.nut.options
    return next((one.minutes for one in options if one.method == command.what), None)


def first_to_read(work: Work, job: Job) -> int:
    """The first string of the walk that this work has touched."""
    return next(string for string in walk_order(job.instrument) if string in work.strings)


def _saved(work: Work, never_read: tuple[int, ...], session: Session) -> str:
    """What was kept, what is to be read now, and of which strings nobody knows the before."""
    instrument, trade = session.work.job.instrument, session.trade
    said = say("Kept: {work}.", work=work_in_words(work, trade, instrument))
    left = unread_after_work(session.work.job)
    names = tuple(map(instrument.name_of, (s for s in walk_order(instrument) if s in left)))
    said = say("{said} Now read {strings}.", said=said, strings=strings_listed(names))
    if not never_read:
        return said
    unread = strings_listed(tuple(map(instrument.name_of, never_read)))
    return say("{said} Nothing was read of {strings} before it.", said=said, strings=unread)


def turn_amount(session: Session, command: commands.TurnAmount) -> None:
    """Report an option with more or less than it was advised with."""
    before = session.transient.amount_steps.get(command.method, 0)
    steps = {**session.transient.amount_steps, command.method: before + command.steps}
    session.transient.amount_steps = steps


HANDLERS: dict[type, Handler] = {
    commands.ReportWork: report_work,
    commands.TurnAmount: turn_amount,
}

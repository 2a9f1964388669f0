"""The sheets that go with the instrument, as a page and as files."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from logic.app.presenters.walk import string_named
from logic.app.session.session import Session
from logic.app.session.settings import TECHNICIAN, WORKSHOP, name_written
from logic.app.views.views import Choice, HandOverView, SheetSection
from logic.bench.visits.handover import HandOver, hand_over
from logic.bench.visits.proof import Proven, proven, unproven
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import Sheet, as_text, bench_sheet, owner_sheet
from logic.bench.visits.time_spent import minutes_worked
from logic.drawing.page import Paper
from logic.drawing.pdf import pdf
from logic.drawing.sheet import sheet_pages
from shared.words import mark, say

EXCUSES = (
    mark("No time to prove it now"),
    mark("The player will play it in"),
    mark("Its string is changed first"),
)
MONTHS = (
    *(mark("January"), mark("February"), mark("March"), mark("April"), mark("May"), mark("June")),
    *(mark("July"), mark("August"), mark("September"), mark("October")),
    *(mark("November"), mark("December")),
)
"""Why a job may be closed with a slot unproven: kept in the record as they stand here."""


def hand_over_view(session: Session, title: str, note: str) -> HandOverView:
    """The owner's or the bench's sheet, and what still has to be proved."""
    sheet, _ = _sheet_and_work(session)
    job = session.work.job
    waiting = unproven(job)
    return HandOverView(
        job=session.work.id,
        title=title,
        for_bench=session.transient.sheet_for_bench,
        heading=sheet.title,
        subtitle=sheet.subtitle,
        sections=tuple(SheetSection(s.heading, s.rows, s.lines) for s in sheet.sections),
        foot=sheet.foot,
        to_prove=tuple(
            Choice(str(s), string_named(job.instrument.name_of(s)), say(proven(job, s).value))
            for s in waiting
        ),
        readable=tuple(s for s in waiting if proven(job, s) is not Proven.READ_FIRST),
        excuses=EXCUSES if waiting else (),
        note=note,
        written=job.note,
    )


def sheet_as_text(session: Session) -> str:
    """The sheet, fit for a message."""
    return as_text(_sheet_and_work(session)[0])


def sheet_as_pdf(session: Session, paper: Paper) -> bytes:
    """The sheet, to print."""
    sheet, work = _sheet_and_work(session)
    return pdf(sheet_pages(sheet, work, paper))


def _recorded_at_ms(session: Session) -> Iterator[int]:
    """When each reading, pass and proof of the job was recorded."""
    document = session.work.document
    for kept in (*document.readings, *document.passes, *document.proofs):
        yield kept.stamp.wall_ms


def _sheet_and_work(session: Session) -> tuple[Sheet, HandOver]:
    wording, when = session.wording, datetime.fromtimestamp(session.history.now_ms() / 1000)
    month = say(MONTHS[when.month - 1])
    work = hand_over(
        session.work.job,
        session.trade,
        seen_before=session.slots_filed,
        date=say("{day} {month} {year}", day=when.day, month=month, year=when.year),
        heard_before=session.work.heard,
        last_known_mm=session.work.last_known_mm,
        bench=name_written(session.history, WORKSHOP),
        technician=name_written(session.history, TECHNICIAN) or session.who,
        minutes=minutes_worked(_recorded_at_ms(session), session.trade),
    )
    write = bench_sheet if session.transient.sheet_for_bench else owner_sheet
    return write(work, session.trade, Numbers(wording.unit, wording.decimal_mark)), work

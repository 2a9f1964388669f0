"""The instruments on record: their list, a page for each, and the pages that change one."""

from __future__ import annotations

from dataclasses import replace

from logic.app.presenters.apart import Listed, made_distinct
from logic.app.presenters.board import board_in_words
from logic.app.presenters.home import kind_in_words, when
from logic.app.presenters.intake import nut_in_words, scale_in_words
from logic.app.presenters.setup_trends import measured_quantities, recorded, setup_facts
from logic.app.presenters.targets import played_in_words
from logic.app.session.past_jobs import PastJobs, Visit
from logic.app.session.rack import Rack
from logic.app.session.transient import InstrumentList
from logic.app.views.instrument_views import (
    BuzzNote,
    InstrumentLine,
    InstrumentsView,
    InstrumentView,
    PastJob,
    StringFields,
    Trend,
)
from logic.app.wording.wording import Wording
from logic.bench.checks.answered import action_of, relief_of
from logic.bench.instrument.fret_names import octave_name
from logic.bench.plan.walk import walk_order
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.quick_check import KnownClearance
from logic.bench.window.string_window import windows
from logic.history.documents import models
from logic.history.history import History
from shared.instrument import Instrument, Player
from shared.words import say, say_many

PAGE = 20
"""Instruments on one page of the list, twice what a screen holds: a page is drawn at once, however
many there are, and anew with each letter that is written."""
MOST_PAST = 12
"""Jobs listed on an instrument's page."""
STEADY_MM = 0.03
"""Less than this between the first and the last clearance is no trend."""


def title_of(instrument: Instrument) -> str:
    """What an instrument is called."""
    return instrument.label or kind_in_words(instrument.kind)


def instruments_view(history: History, shelf: InstrumentList, rack: Rack) -> InstrumentsView:
    """One page of the list."""
    waiting = history.instrument(rack.following) if rack.following else None
    found, total = history.find_instruments(shelf.query, shelf.first, PAGE)
    return InstrumentsView(
        query=shelf.query,
        lines=tuple(
            _list_line(each, apart, shelf)
            for each, apart in zip(
                found, made_distinct([_as_listed(each, history) for each in found]), strict=True
            )
        ),
        count=_count_in_words(shelf.first, len(found), total),
        earlier=shelf.first > 0,
        later=shelf.first + len(found) < total,
        choosing=shelf.choosing,
        chosen=len(shelf.chosen),
        following=title_of(waiting.value) if waiting else "",
        checking=shelf.checking,
    )


def _as_listed(line: models.InstrumentSummary, history: History) -> Listed:
    """By what two instruments of a list read alike, and what is looked up where they do."""

    def instrument() -> Instrument | None:
        found = history.instrument(line.id)
        return found.value if found else None

    return Listed((line.label, line.kind, line.owner), line.id, instrument)


def _list_line(line: models.InstrumentSummary, apart: str, shelf: InstrumentList) -> InstrumentLine:
    jobs = say_many("{count} job", "{count} jobs", line.jobs)
    said = (say(line.kind) if line.label else "", line.owner, apart, when(line.changed), jobs)
    return InstrumentLine(
        instrument=line.id,
        title=line.label or kind_in_words(line.kind),
        detail=" · ".join(filter(None, said)),
        chosen=line.id in shelf.chosen,
    )


def _count_in_words(first: int, shown: int, total: int) -> str:
    if not total:
        return say("None found")
    if shown == total:
        return say("{count} on record", count=total)
    return say("{first} to {last} of {count}", first=first + 1, last=first + shown, count=total)


def instrument_view(
    found: models.InstrumentDocument, past: PastJobs, wording: Wording, saved: str = ""
) -> InstrumentView:
    """One instrument's page."""
    instrument, visits = found.value, past.visits(found.id)
    known = past.known(found.id)
    targets, own = targets_mm(instrument, past, found.id), past.player(found.id).targets
    listed = [visit for visit in visits if visit.document.readings or visit.document.open]
    order = walk_order(instrument)
    records = recorded(visits, past)
    return InstrumentView(
        instrument=found.id,
        title=title_of(instrument),
        about=" · ".join(filter(None, (kind_in_words(instrument.kind), instrument.owner))),
        facts=(
            *_instrument_facts(instrument, past.player(found.id), visits, wording),
            *_measured_facts(visits, instrument, measured_quantities(records), past.trade, wording),
            *setup_facts(records, instrument, wording),
        ),
        strings=tuple(
            replace(_string_fields(instrument, s, known.get(s), targets[s], wording), own=s in own)
            for s in order
        ),
        trends=tuple(
            filter(None, (_trend_of(instrument, s, visits, targets, wording) for s in order))
        ),
        past=tuple(
            PastJob(visit.document.id, _visited(visit), past.outcome(visit))
            for visit in reversed(listed[-MOST_PAST:])
        ),
        more_past=max(0, len(listed) - MOST_PAST),
        checks=any(string in known for string in order),
        saved=saved,
    )


def _visited(visit: Visit) -> str:
    """When it came in, and under which ticket."""
    opened, ticket = when(visit.document.opened), visit.document.ticket
    return f"{opened} · {ticket}" if ticket else opened


def targets_mm(instrument: Instrument, past: PastJobs, name: str) -> dict[int, float]:
    """Where each string is aimed at, for whoever played it last."""
    aims = windows(instrument, past.player(name), past.trade)
    return {string: window.target_mm for string, window in aims.items()}


def _instrument_facts(
    instrument: Instrument, player: Player, visits: tuple[Visit, ...], wording: Wording
) -> tuple[tuple[str, str], ...]:
    rows = [
        (say("Scale"), scale_in_words(instrument, wording)),
        (say("Frets"), board_in_words(instrument)),
        (say("Nut"), nut_in_words(instrument)),
    ]
    if visits:
        rows.append((say("Last seen"), when(visits[-1].document.changed)))
    rows.append((say("Played"), played_in_words(player)))
    return tuple(rows)


def _measured_facts(
    visits: tuple[Visit, ...],
    instrument: Instrument,
    elsewhere: frozenset[str],
    trade: TradeTables,
    wording: Wording,
) -> tuple[tuple[str, str], ...]:
    """Relief and action as they were measured last, at whichever visit; what of them is said
    `elsewhere` by side and string is not said twice."""
    jobs = [visit.document.as_job() for visit in reversed(visits)]
    measured = (
        ("relief", say("Relief"), (relief_of(job, trade) for job in jobs)),
        (
            "action",
            say("Action at fret {octave}", octave=octave_name(instrument.fretboard)),
            (action_of(job, trade) for job in jobs),
        ),
    )
    rows = (
        (name, next((one for one in found if one), None))
        for quantity, name, found in measured
        if quantity not in elsewhere
    )
    return tuple((name, wording.length(length)) for name, length in rows if length is not None)


def _string_fields(
    instrument: Instrument,
    string: int,
    known: KnownClearance | None,
    target_mm: float,
    wording: Wording,
) -> StringFields:
    spec = instrument.spec(string)
    return StringFields(
        string=string,
        name=instrument.name_of(string),
        spec=f"{spec.pitch.show()} · {wording.gauge(spec.gauge)} · {say(spec.make.value)}",
        known=known_in_words(known, wording) if known else say("not measured"),
        target=wording.mm(target_mm),
    )


def known_in_words(known: KnownClearance, wording: Wording) -> str:
    """A clearance on record with its 95 % interval."""
    return wording.interval(known.interval_mm)


def ends_mm(known: KnownClearance) -> tuple[float, float]:
    """The 95 % interval of a clearance on record."""
    return known.interval_mm.low, known.interval_mm.high


def _trend_of(
    instrument: Instrument,
    string: int,
    visits: tuple[Visit, ...],
    targets: dict[int, float],
    wording: Wording,
) -> Trend | None:
    """One string over the jobs that read it; None where only one did."""
    read = [
        visit.after[string]
        for visit in visits
        if string in visit.after and _was_read(visit.document, string)
    ]
    if len(read) < 2:
        return None
    name = f"{instrument.name_of(string)} · {instrument.spec(string).pitch.show()}"
    points = tuple(BuzzNote(one.clearance_mm, *ends_mm(one)) for one in read)
    said = f"{_course_in_words(points, wording)}: {_points_in_words(points, wording)}"
    return Trend(string, name, points, targets[string], said)


def _was_read(document: models.JobDocument, string: int) -> bool:
    """Whether anything was read of the string at this visit, be it the number of its proof."""
    return any(taken.reading.string == string for taken in document.readings) or any(
        taken.proof.string == string and taken.proof.clearance is not None
        for taken in document.proofs
    )


def _course_in_words(points: tuple[BuzzNote, ...], wording: Wording) -> str:
    by_mm = points[-1].clearance_mm - points[0].clearance_mm
    if abs(by_mm) < STEADY_MM:
        return say("steady")
    by = wording.mm(abs(by_mm))
    return say("up {amount}", amount=by) if by_mm > 0 else say("down {amount}", amount=by)


def _points_in_words(points: tuple[BuzzNote, ...], wording: Wording) -> str:
    return " → ".join(wording.bare_mm(point.clearance_mm) for point in points[-4:])

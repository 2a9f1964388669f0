"""The instruments on record: their list, a page for each, and the pages that change one."""

from __future__ import annotations

from dataclasses import replace

from logic.app.presenters.home import kind_in_words, when
from logic.app.presenters.intake import nut_in_words, scale_in_words
from logic.app.presenters.walk import string_named
from logic.app.session.past_jobs import PastJobs, Visit
from logic.app.session.rack import Rack
from logic.app.session.transient import InstrumentList
from logic.app.views.instrument_views import (
    BuzzNote,
    InstrumentLine,
    InstrumentsView,
    InstrumentView,
    NameView,
    NutView,
    PastJob,
    StringFields,
    StringsView,
    Trend,
)
from logic.app.views.pieces import Choice, StringMark
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.checks.odd_entries import OddTension
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.restringing import is_on, is_tuned, nut_materials, offered
from logic.bench.plan.walk import walk_order
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.quick_check import KnownClearance
from logic.bench.window.string_window import windows
from logic.history.documents import models
from logic.history.history import History
from shared.instrument import Instrument, Make, NutType, Player
from shared.job import Job
from shared.words import say, say_as, say_many

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
        lines=tuple(_list_line(each, shelf) for each in found),
        count=_count_in_words(shelf.first, len(found), total),
        earlier=shelf.first > 0,
        later=shelf.first + len(found) < total,
        choosing=shelf.choosing,
        chosen=len(shelf.chosen),
        following=title_of(waiting.value) if waiting else "",
        checking=shelf.checking,
    )


def _list_line(line: models.InstrumentSummary, shelf: InstrumentList) -> InstrumentLine:
    jobs = say_many("{count} job", "{count} jobs", line.jobs)
    said = (say(line.kind) if line.label else "", line.owner, jobs)
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
    return InstrumentView(
        instrument=found.id,
        title=title_of(instrument),
        about=" · ".join(filter(None, (kind_in_words(instrument.kind), instrument.owner))),
        facts=_instrument_facts(instrument, past.player(found.id), visits, wording),
        strings=tuple(
            replace(_string_fields(instrument, s, known.get(s), targets[s], wording), own=s in own)
            for s in order
        ),
        trends=tuple(
            filter(None, (_trend_of(instrument, s, visits, targets, wording) for s in order))
        ),
        past=tuple(
            PastJob(visit.document.id, when(visit.document.opened), past.outcome(visit))
            for visit in reversed(listed[-MOST_PAST:])
        ),
        more_past=max(0, len(listed) - MOST_PAST),
        checks=any(string in known for string in order),
        saved=saved,
    )


def targets_mm(instrument: Instrument, past: PastJobs, name: str) -> dict[int, float]:
    """Where each string is aimed at, for whoever played it last."""
    aims = windows(instrument, past.player(name), past.trade)
    return {string: window.target_mm for string, window in aims.items()}


def _instrument_facts(
    instrument: Instrument, player: Player, visits: tuple[Visit, ...], wording: Wording
) -> tuple[tuple[str, str], ...]:
    rows = [
        (say("Scale"), scale_in_words(instrument, wording)),
        (say("Nut"), nut_in_words(instrument)),
    ]
    if visits:
        rows.append((say("Last seen"), when(visits[-1].document.changed)))
    rows.append((say("Played"), say_as("attack", player.attack.value)))
    return tuple(rows)


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
        if string in visit.after
        and any(taken.reading.string == string for taken in visit.document.readings)
    ]
    if len(read) < 2:
        return None
    name = f"{instrument.name_of(string)} · {instrument.spec(string).pitch.show()}"
    points = tuple(BuzzNote(one.clearance_mm, *ends_mm(one)) for one in read)
    said = f"{_course_in_words(points, wording)}: {_points_in_words(points, wording)}"
    return Trend(string, name, points, targets[string], said)


def _course_in_words(points: tuple[BuzzNote, ...], wording: Wording) -> str:
    by_mm = points[-1].clearance_mm - points[0].clearance_mm
    if abs(by_mm) < STEADY_MM:
        return say("steady")
    by = wording.mm(abs(by_mm))
    return say("up {amount}", amount=by) if by_mm > 0 else say("down {amount}", amount=by)


def _points_in_words(points: tuple[BuzzNote, ...], wording: Wording) -> str:
    return " → ".join(wording.bare_mm(point.clearance_mm) for point in points[-4:])


# --- the pages that change one ---


def strings_view(
    name: str, instrument: Instrument, string: int | None, wording: Wording, trade: TradeTables
) -> StringsView:
    """Tuning, gauges and makes of one string or of all, and the sets that fit."""
    usual, order = offered(instrument, trade), walk_order(instrument)
    specs = [instrument.spec(s) for s in (order if string is None else (string,))]
    gauges = list(dict.fromkeys(wording.gauge(spec.gauge) for spec in specs))
    makes = {spec.make for spec in specs}
    return StringsView(
        instrument=name,
        title=title_of(instrument),
        string=string,
        marks=tuple(StringMark(s, instrument.short_name_of(s), here=s == string) for s in order),
        place=say("All strings") if string is None else string_named(instrument.name_of(string)),
        pitch=" ".join(spec.pitch.show() for spec in specs),
        gauge=gauges[0]
        if len(gauges) == 1
        else say("{low} to {high}", low=gauges[0], high=gauges[-1]),
        makes=tuple(
            Choice(make.value, begun(say(make.value)), chosen=makes == {make}) for make in Make
        ),
        sets=tuple(Choice(s.name, say(s.name), chosen=is_on(instrument, s)) for s in usual.sets),
        tunings=tuple(
            Choice(t.name, say(t.name), chosen=is_tuned(instrument, t)) for t in usual.tunings
        ),
        note=say(
            "Usual sets and tunings are common practice. Jobs that are open keep the strings "
            "they came in with."
        ),
        doubts=_doubts(instrument, [spec.string for spec in specs], trade),
    )


MOST_DOUBTS = 2
"""So many strings are named; of more it is said how many."""


def _doubts(instrument: Instrument, strings: list[int], trade: TradeTables) -> tuple[str, ...]:
    """What to look at, of the strings at hand that as they are listed pull what none does."""
    odd = RuleContext(Job(instrument=instrument), trade).odd_tensions
    here = [string for string in strings if string in odd]
    lines = tuple(_doubt(instrument.name_of(s), odd[s]) for s in here[:MOST_DOUBTS])
    more = len(here) - MOST_DOUBTS
    if more <= 0:
        return lines
    return (*lines, say_many("and {count} string more", "and {count} strings more", more))


def _doubt(name: str, odd: OddTension) -> str:
    if odd.breaks:
        return say(
            "String {name} would break before it comes up to pitch: are gauge and pitch right?",
            name=name,
        )
    return say(
        "String {name} would pull {pulls} N, where {usual} N is usual: are gauge and pitch right?",
        name=name,
        **odd.in_newtons(),
    )


def nut_view(name: str, instrument: Instrument, trade: TradeTables) -> NutView:
    """How the nut holds its strings, and what it is made of."""
    nut = instrument.nut
    materials = dict.fromkeys((*nut_materials(trade), nut.material))
    return NutView(
        instrument=name,
        title=title_of(instrument),
        types=tuple(
            Choice(each.value, begun(say(each.value)), chosen=nut.type is each) for each in NutType
        ),
        materials=tuple(
            Choice(each, begun(say(each)), chosen=nut.material == each) for each in materials
        ),
    )


def name_view(name: str, instrument: Instrument) -> NameView:
    """The label and the owner's tag, to be written."""
    return NameView(name, title_of(instrument), instrument.label, instrument.owner)

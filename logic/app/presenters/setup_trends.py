"""Relief and action of an instrument over its visits: what they were last, and how they drifted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from logic.app.presenters.home import when
from logic.app.session.past_jobs import PastJobs, Visit
from logic.app.wording.wording import Wording
from logic.bench.visits.setup_record import KnownHeight, SetupRecord
from logic.bench.visits.setup_words import POSTURES, value_said
from shared.instrument import Instrument
from shared.job import Interval
from shared.measurements import Posture
from shared.words import say

VISITS = 4
"""Visits that are looked back on: what a neck did before that tells nothing of it now."""
STEADY_MM = 0.03
"""Less than this between two visits is no drift: half the error of one measurement."""


@dataclass(frozen=True)
class _Measured:
    """One height as one visit left it."""

    height: KnownHeight
    left: Interval
    day: str
    humidity: float | None


def recorded(visits: Sequence[Visit], past: PastJobs) -> tuple[tuple[Visit, SetupRecord], ...]:
    """The latest visits that measured or did anything beside the nut, oldest first."""
    set_up = [v for v in visits if v.document.measurements or v.document.setup_steps]
    found = ((visit, past.setup_record(visit.document)) for visit in set_up[-VISITS:])
    return tuple((visit, record) for visit, record in found if record is not None)


def measured_quantities(records: Sequence[tuple[Visit, SetupRecord]]) -> frozenset[str]:
    """What of relief and action any of these visits measured."""
    return frozenset(h.quantity for _, record in records for h in record.heights)


def setup_facts(
    records: Sequence[tuple[Visit, SetupRecord]], instrument: Instrument, wording: Wording
) -> tuple[tuple[str, str], ...]:
    """A line for each side and string: where it stood last and when, and since when by how much it
    drifted; with the humidity of the room, where both visits have it."""
    by_subject: dict[tuple[object, ...], list[_Measured]] = {}
    for visit, record in records:
        for each in record.heights:
            left = each.after or each.before
            if left is not None:
                day = when(visit.document.changed)
                subject = (each.quantity, each.side, each.string, each.fret)
                measured = _Measured(each, left, day, record.humidity)
                by_subject.setdefault(subject, []).append(measured)
    return tuple(_fact(over, instrument, wording) for over in by_subject.values())


def _fact(over: list[_Measured], instrument: Instrument, wording: Wording) -> tuple[str, str]:
    last = over[-1]
    one = last.height
    name = value_said(one.quantity, one.side, one.string, one.fret, instrument)
    return name[:1].upper() + name[1:], " · ".join(_said(last, over[:-1], wording))


def _said(last: _Measured, before: list[_Measured], wording: Wording) -> Iterator[str]:
    yield say("{height}, {day}", height=wording.interval(last.left), day=last.day)
    if last.height.posture is not Posture.PLAYED:
        yield say(POSTURES[last.height.posture])
    alike = [each for each in before if each.height.posture is last.height.posture]
    if not alike:
        return
    then = alike[-1]
    yield _drift(last.left.estimate - then.left.estimate, then.day, wording)
    if None not in (then.humidity, last.humidity):
        yield say("humidity {then:g} → {now:g} %", then=then.humidity, now=last.humidity)


def _drift(by_mm: float, day: str, wording: Wording) -> str:
    if abs(by_mm) < STEADY_MM:
        return say("steady since {day}", day=day)
    amount = wording.mm(abs(by_mm))
    if by_mm > 0:
        return say("up {amount} since {day}", amount=amount, day=day)
    return say("down {amount} since {day}", amount=amount, day=day)

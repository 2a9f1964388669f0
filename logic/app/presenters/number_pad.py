"""Numbers that are typed: a clearance, a gap held at a fret, cents, or a question's own length."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.session.open_job import OpenedJob
from logic.app.views.views import Choice, TypeView
from logic.app.wording.wording import Wording
from logic.bench.instrument.plausibility import quantities, question_cents, read_length
from shared.errors import InputError, LengthError
from shared.job import Reading
from shared.units import Length, Unit
from shared.words import mark, say


@dataclass(frozen=True)
class NumberKind:
    """One way to say a height in numbers."""

    key: str
    label: str
    ask: str
    held_at: int | None = None
    fret: int | None = None

    def said(self, words: str) -> str:
        """Its label or its question, with the fret that it is about."""
        return say(words, fret=self.held_at or self.fret)


_HELD = mark("Held at {fret}")
_GAP = mark("Gap over fret 1 while held at fret {fret}")
_CENTS = mark("Cents sharp at fret {fret}, the open string in tune")
WAYS = (
    NumberKind("clearance", mark("Clearance"), mark("How high does it stand over fret 1?")),
    *(NumberKind(f"held {fret}", _HELD, _GAP, held_at=fret) for fret in (2, 3, 4)),
    NumberKind("cents 1", mark("Cents"), _CENTS, fret=1),
)
FRETS = (1, 2, 3, 5, 12)
"""Where cents are read: low frets speak of the nut, fret 12 of the saddle and the string."""
AT_FRETS = tuple(
    NumberKind(f"cents {fret}", mark("Fret {fret}"), _CENTS, fret=fret) for fret in FRETS
)
BY_QUESTION = "question "
"""Before the name of a gate: the number answers that question."""
_BY_KEY = {way.key: way for way in (*WAYS, *AT_FRETS)}
_UNITS = (Unit.THOU, Unit.INCH, Unit.MM)


def type_view(
    work: OpenedJob, way: str, string: int, wording: Wording, title: str, trouble: str
) -> TypeView:
    """What the number pad asks for; a `way` that is none of ours is a question's own length."""
    known = _BY_KEY.get(way)
    name = work.job.instrument.name_of(string)
    units = () if known and known.fret else tuple(_unit(unit, wording) for unit in _UNITS)
    return TypeView(
        job=work.id,
        title=say("String {name}", name=name) if known else title,
        ask=known.said(known.ask) if known else say("What was measured?"),
        ways=_ways(known) if known else (),
        frets=_frets(work, known, string, wording) if known and known.fret else (),
        units=units,
        unit_name="" if units else "cents",
        trouble=trouble,
    )


def _ways(chosen: NumberKind) -> tuple[Choice, ...]:
    """Every way; cents are one of them at whatever fret."""
    return tuple(
        Choice(way.key, way.said(way.label), chosen=way == chosen or bool(way.fret and chosen.fret))
        for way in WAYS
    )


def _frets(
    work: OpenedJob, chosen: NumberKind, string: int, wording: Wording
) -> tuple[Choice, ...]:
    """The frets, each with what the tuner showed there last."""
    shown = {
        reading.fret: wording.signed(reading.cents)
        for reading in work.job.readings
        if reading.string == string and reading.cents is not None
    }
    return tuple(
        Choice(way.key, way.said(way.label), shown.get(way.fret, ""), chosen=way == chosen)
        for way in AT_FRETS
    )


def next_number_kind(way: str) -> str:
    """Where the pad goes once a number is kept: along the frets with a tuner, else away."""
    keys = [each.key for each in AT_FRETS]
    following = keys[keys.index(way) + 1 :] if way in keys else []
    return following[0] if following else ""


def _unit(unit: Unit, wording: Wording) -> Choice:
    return Choice(unit.value, unit.value, chosen=unit is wording.unit)


def typed_reading(work: OpenedJob, way: str, string: int, text: str) -> Reading:
    """The reading that `text` is; InputError asks back where it can hardly be meant."""
    known = _BY_KEY[way]
    if known.fret:
        return Reading(string=string, fret=known.fret, cents=_cents(text, work))
    quantity = "gap" if known.held_at else "clearance"
    length = read_length(quantity, text, work.trade, work.job.instrument.kind)
    if known.held_at:
        return Reading(string=string, held_at=known.held_at, gap=length)
    return Reading(string=string, clearance=length)


def typed_answer(work: OpenedJob, gate: str, text: str) -> str:
    """The length that answers the question `gate`, as written down."""
    if gate in quantities(work.trade):
        return str(read_length(gate, text, work.trade, work.job.instrument.kind))
    return str(Length.parse(text))


def _cents(text: str, work: OpenedJob) -> float:
    try:
        cents = float(text.removesuffix("cents").strip().replace(",", "."))
    except ValueError as error:
        ask = say("type what the tuner shows, such as 8 or -3")
        raise InputError("cents", text, ask) from error
    doubt = question_cents(cents, work.trade)
    if doubt:
        raise LengthError("", text, doubt, what=say("that is far"))
    return cents

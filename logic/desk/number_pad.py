"""Numbers that are typed: a clearance, a gap held at a fret, cents, or a question's own length."""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.plausible import quantities, question_cents, read_length
from logic.desk.open_job import OpenJob
from logic.desk.views import Choice, TypeView
from logic.desk.wording import Wording
from shared.errors import InputError, LengthError
from shared.job import Reading
from shared.units import Length, Unit


@dataclass(frozen=True)
class Way:
    """One way to say a height in numbers."""

    key: str
    label: str
    ask: str
    held_at: int | None = None
    fret: int | None = None


WAYS = (
    Way("clearance", "Clearance", "How high does it stand over fret 1?"),
    Way("held 2", "Held at 2", "Gap over fret 1 while held at fret 2", held_at=2),
    Way("held 3", "Held at 3", "Gap over fret 1 while held at fret 3", held_at=3),
    Way("held 4", "Held at 4", "Gap over fret 1 while held at fret 4", held_at=4),
    Way("cents 1", "Cents", "Cents sharp at fret 1, the open string in tune", fret=1),
)
BY_QUESTION = "question "
"""Before the name of a gate: the number answers that question."""
_BY_KEY = {way.key: way for way in WAYS}
_UNITS = (Unit.THOU, Unit.INCH, Unit.MM)


def type_view(
    work: OpenJob, way: str, string: int, wording: Wording, title: str, trouble: str
) -> TypeView:
    """What the number pad asks for; a `way` that is none of ours is a question's own length."""
    known = _BY_KEY.get(way)
    name = work.job.instrument.name_of(string)
    units = () if known and known.fret else tuple(_unit(unit, wording) for unit in _UNITS)
    return TypeView(
        job=work.id,
        title=f"String {name}" if known else title,
        ask=known.ask if known else "What was measured?",
        ways=tuple(Choice(w.key, w.label, chosen=w.key == way) for w in WAYS) if known else (),
        units=units,
        unit_name="" if units else "cents",
        trouble=trouble,
    )


def _unit(unit: Unit, wording: Wording) -> Choice:
    return Choice(unit.value, unit.value, chosen=unit is wording.unit)


def typed_reading(work: OpenJob, way: str, string: int, text: str) -> Reading:
    """The reading that `text` is; InputError asks back where it can hardly be meant."""
    known = _BY_KEY[way]
    if known.fret:
        return Reading(string=string, fret=known.fret, cents=_cents(text, work))
    quantity = "gap" if known.held_at else "clearance"
    length = read_length(quantity, text, work.trade, work.job.instrument.kind)
    if known.held_at:
        return Reading(string=string, held_at=known.held_at, gap=length)
    return Reading(string=string, clearance=length)


def typed_answer(work: OpenJob, gate: str, text: str) -> str:
    """The length that answers the question `gate`, as written down."""
    if gate in quantities(work.trade):
        return str(read_length(gate, text, work.trade, work.job.instrument.kind))
    return str(Length.parse(text))


def _cents(text: str, work: OpenJob) -> float:
    try:
        cents = float(text.removesuffix("cents").strip().replace(",", "."))
    except ValueError as error:
        raise InputError("cents", text, "type what the tuner shows, such as 8 or -3") from error
    doubt = question_cents(cents, work.trade)
    if doubt:
        raise LengthError("", text, doubt, what="that is far")
    return cents

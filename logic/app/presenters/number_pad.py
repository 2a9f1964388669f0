"""Numbers that are typed: a clearance, a gap held at a fret, cents, or a question's own length."""

from __future__ import annotations

from typing import Any

from logic.app.session.open_job import OpenedJob
from logic.app.views.views import Choice, TypeView
from logic.app.wording.wording import Wording
from logic.bench.checks.rule_words import rule_asked
from logic.bench.instrument.fret_names import fret_names
from logic.bench.instrument.plausibility import quantities, read_length
from logic.bench.measuring import kinds
from logic.bench.measuring.kinds.kind import EntryPad, ReadingKind
from shared.instrument import Instrument
from shared.readings import CentsReading, Press, Reading
from shared.units import Length, LengthOf, Unit
from shared.words import say

BY_QUESTION = "question "
"""Before the name of a gate: the number answers that question."""
_UNITS = (Unit.THOU, Unit.INCH, Unit.MM)


def type_view(
    work: OpenedJob, key: str, string: int, wording: Wording, title: str, trouble: str
) -> TypeView:
    """What the number pad asks for; a `key` that is no pad's is a question's own length."""
    units = tuple(_unit_choice(unit, wording) for unit in _UNITS)
    found = _pad_of(key)
    if found is None:
        gate = key.removeprefix(BY_QUESTION)
        signed = _may_be_negative(gate, work)
        ask = _length_asked(gate, work)
        if signed:
            ask = say("{question} A minus is a neck that bends back.", question=ask)
        return TypeView(work.id, title, ask, ways=(), units=units, trouble=trouble, signed=signed)
    kind, pad = found
    instrument = work.job.instrument
    name, frets = instrument.name_of(string), fret_names(instrument, string)
    return TypeView(
        job=work.id,
        title=say("String {name}", name=name),
        ask=say(pad.ask, fret=frets.of(pad.fret or 0), first=frets.first),
        ways=_pad_choices(kind, pad, instrument, string),
        frets=_fret_choices(kind, pad, work, string, wording) if kind.fret_by_fret else (),
        units=() if kind.unit_name else units,
        unit_name=kind.unit_name,
        trouble=trouble,
        presses=_presses() if kind.fret_by_fret else (),
    )


def _length_asked(gate: str, work: OpenedJob) -> str:
    """What was measured, as a question: of which length the number on the pad is."""
    rule = work.trade.rules.rule(gate)
    if rule.ask_length:
        return say(rule.ask_length)
    return rule_asked(rule, work.job.instrument)


def _presses() -> tuple[Choice, ...]:
    return (
        Choice(Press.SOFT.value, say("Pressed softly")),
        Choice(Press.HARD.value, say("Pressed hard")),
    )


def _pad_of(key: str) -> tuple[ReadingKind[Any], EntryPad] | None:
    """The pad called `key` and the kind of reading it asks for."""
    for kind in kinds.KINDS:
        for pad in (*kind.pads, *kind.every_pad):
            if pad.key == key:
                return kind, pad
    return None


def _pad_choices(
    kind: ReadingKind[Any], chosen: EntryPad, instrument: Instrument, string: int
) -> tuple[Choice, ...]:
    """Every pad that is offered; one that goes along the frets is chosen at whatever fret."""
    frets = fret_names(instrument, string)
    return tuple(
        Choice(
            pad.key,
            say(pad.label, fret=frets.of(pad.fret or 0)),
            chosen=pad.key == chosen.key or (each is kind and kind.fret_by_fret),
        )
        for each in kinds.KINDS
        for pad in each.pads_on(instrument, string)
    )


def _fret_choices(
    kind: ReadingKind[Any], chosen: EntryPad, work: OpenedJob, string: int, wording: Wording
) -> tuple[Choice, ...]:
    """The frets that the pad goes along, each with what was read there last."""
    frets = fret_names(work.job.instrument, string)
    read: dict[int | None, str] = {
        reading.fret: kind.figure(reading, wording)
        for reading in work.job.readings
        if reading.string == string and isinstance(reading, CentsReading)
    }
    return tuple(
        Choice(
            pad.key,
            say(pad.label, fret=frets.of(pad.fret or 0)),
            read.get(pad.fret, ""),
            chosen=pad.key == chosen.key,
        )
        for pad in kind.pads_along(work.job.instrument, string)
    )


def goes_along_frets(key: str) -> bool:
    """Whether this is the pad of a kind that is read fret by fret."""
    found = _pad_of(key)
    return found is not None and found[0].fret_by_fret


def next_number_pad(key: str, instrument: Instrument, string: int) -> str:
    """Where the pad goes once a number is kept: along the frets with a tuner, else away."""
    for kind in kinds.KINDS:
        keys = [pad.key for pad in kind.pads_along(instrument, string)]
        if key in keys[:-1]:
            return keys[keys.index(key) + 1]
    return ""


def _unit_choice(unit: Unit, wording: Wording) -> Choice:
    return Choice(unit.value, unit.value, chosen=unit is wording.unit)


def typed_reading(work: OpenedJob, key: str, string: int, text: str, press: str = "") -> Reading:
    """The reading that `text` is; InputError asks back where it can hardly be meant, KeyError where
    no pad has this key. `press` is how hard the finger pressed, where cents were read."""
    found = _pad_of(key)
    if found is None:
        raise KeyError(key)
    kind, pad = found
    typed: Reading = kind.typed(pad, string, text, work.job.instrument, work.trade)
    if press and isinstance(typed, CentsReading):
        return typed.model_copy(update={"press": Press(press)})
    return typed


def typed_answer(work: OpenedJob, gate: str, text: str) -> str:
    """The length that answers the question `gate`, as written down."""
    quantity = f"signed {gate}" if _may_be_negative(gate, work) else gate
    if quantity in quantities(work.trade):
        return str(read_length(LengthOf(quantity), text, work.trade, work.job.instrument.kind))
    return str(Length.parse(text))


def _may_be_negative(gate: str, work: OpenedJob) -> bool:
    """Whether the length that answers the question can lie below zero."""
    return any(rule.id == gate and rule.signed for rule in work.trade.rules.rules)

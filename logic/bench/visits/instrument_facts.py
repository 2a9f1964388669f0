"""What both sheets say of the instrument: whose it is, how it is strung, how neck and saddle stand.

Relief and action are those that were measured, the latest last; where work at this visit came
between two of them, both are told.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator

from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.saddle_height import action_listed
from logic.bench.instrument.fret_names import octave_name
from logic.bench.instrument.naming import strings_listed
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.stages import rounds_and_now
from shared.instrument import Instrument
from shared.job import Job
from shared.measurements import ReliefMeasurement
from shared.units import Length
from shared.words import say

_LOWEST = None
"""Stands for whichever string is the lowest an octave up."""


def instrument_lines(
    job: Job, trade: TradeTables, numbers: Numbers, elsewhere: Container[str] = ()
) -> tuple[str, ...]:
    """A line for everything that is known; nothing stands for what is not. What of relief and
    action stands `elsewhere` on the sheet is not said twice."""
    instrument = job.instrument
    lines = (
        say("Owner: {owner}", owner=instrument.owner) if instrument.owner else "",
        say("Ticket: {ticket}", ticket=job.ticket) if job.ticket else "",
        say("Strings: {strings}", strings=_strung(instrument, numbers)),
        say("Scale: {scale}", scale=_scale(instrument, numbers)),
        *(() if "relief" in elsewhere else _relief_lines(job, trade, numbers)),
        *(() if "action" in elsewhere else _action_lines(job, trade, numbers)),
    )
    return tuple(filter(None, lines))


def _strung(instrument: Instrument, numbers: Numbers) -> str:
    """Pitch and gauge of every string, lowest first as they are tuned."""
    ordered = sorted(instrument.strings, key=lambda spec: -spec.string)
    return ", ".join(f"{spec.pitch.show()} {numbers.gauge(spec.gauge)}" for spec in ordered)


def _scale(instrument: Instrument, numbers: Numbers) -> str:
    treble, bass = numbers.laid_off(instrument.scale), instrument.scale_bass
    if bass is None or bass == instrument.scale:
        return treble
    return say("{treble} treble, {bass} bass", treble=treble, bass=numbers.laid_off(bass))


def _relief_lines(job: Job, trade: TradeTables, numbers: Numbers) -> Iterator[str]:
    found = _each_once(_relief(RuleContext(one, trade)) for one in rounds_and_now(job))
    if found:
        yield say("Relief: {relief}", relief=numbers.measured(found))


def _relief(context: RuleContext) -> Length | None:
    """The relief as it was answered for, else measured, else listed; None where nobody measured."""
    answer = context.answers(context.rule_set.rule("relief")).get(None)
    if isinstance(answer, Length):
        return answer
    measured = [
        one.value
        for one in context.job.measurements
        if isinstance(one, ReliefMeasurement) and one.value is not None and one.holds is None
    ]
    return measured[-1] if measured else context.job.instrument.relief


def _action_lines(job: Job, trade: TradeTables, numbers: Numbers) -> Iterator[str]:
    stages = [_action(RuleContext(one, trade)) for one in rounds_and_now(job)]
    known = {string for stage in stages for string in stage}
    by_string = {
        string: numbers.measured(_each_once(one.get(string) for one in stages))
        for string in sorted(known, key=lambda string: -(string or 0))
    }
    if by_string:
        said = ", ".join(
            f"{_name(string, job.instrument)} {height}" for string, height in by_string.items()
        )
        octave = octave_name(job.instrument.fretboard)
        yield say("Action at fret {octave}: {heights}", octave=octave, heights=said)


def _name(string: int | None, instrument: Instrument) -> str:
    return strings_listed((instrument.name_of(string),)) if string else say("lowest string")


def _action(context: RuleContext) -> dict[int | None, Length]:
    """The action an octave up by string, as it was listed, measured or answered."""
    strings = {spec.string for spec in context.job.instrument.strings}
    listed: dict[int | None, Length] = {
        string: length for string, length in action_listed(context).items() if string in strings
    }
    answer = context.answers(context.rule_set.rule("action")).get(None)
    if isinstance(answer, Length) and answer not in listed.values():
        return listed | {_LOWEST: answer}
    return listed


def _each_once(found: Iterable[Length | None]) -> list[Length]:
    """What was measured, in order; what was found again as it was is told once."""
    kept: list[Length] = []
    for one in found:
        if one is not None and one not in kept[-1:]:
            kept.append(one)
    return kept

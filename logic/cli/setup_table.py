"""A visit as a technician reads it at the bench: its stages, what is known, what comes next."""

from __future__ import annotations

from collections.abc import Iterable

from logic.bench.instrument.fret_names import fret_name
from logic.bench.instrument.naming import strings_listed
from logic.bench.measuring.held import held_in_words
from logic.bench.measuring.quantities.relief import standard_holds
from logic.bench.setup.measured import MeasuredValue, SetupState, WindowSource
from logic.bench.visits.setup_words import (
    SCOPES,
    STAGES,
    STATES,
    cause_said,
    postures_said,
    question_said,
    standing_said,
    value_said,
)
from logic.cli.plan_table import number, title
from logic.cli.text_layout import aligned, under
from shared.instrument import Instrument
from shared.job import Job
from shared.setup import Scope, Stage
from shared.units import Unit
from shared.words import listed, mark, say

_HEADINGS = (
    *(mark("what"), mark("believed (95 %)"), mark("window"), mark("target"), mark("stands")),
)
_SURE = 0.95


def setup_table(state: SetupState, job: Job, unit: Unit) -> str:
    """The whole of it as text, lengths in `unit`."""
    instrument = job.instrument
    head = title(instrument, unit, say(SCOPES[state.scope]))
    if state.scope is Scope.NUT:
        return "\n\n".join((head, _nut_only()))
    values = [value for value in (*state.relief, *state.action) if value.window]
    rows = [_row(value, instrument, unit) for value in values]
    sections = (
        head,
        aligned((say("stage"), say("how far")), _stages(state)),
        aligned(tuple(map(say, _HEADINGS)), rows),
        under(say("About the figures"), _notes(values, job)),
        under(say("Next"), _next(state, instrument)),
        under(say("Stale, to be measured again"), _stale(state, instrument)),
        under(say("Take care"), _cautions(state, job)),
    )
    return "\n\n".join(section for section in sections if section)


def _nut_only() -> str:
    return say(
        "This visit is for the nut alone. Of a whole set-up or a check the job says so: {example}",
        example='"setup": {"scope": "whole"}',
    )


def _stages(state: SetupState) -> list[tuple[str, str]]:
    return [(say(STAGES[stage]), say(STATES[how])) for stage, how in state.stages.items()]


def _row(value: MeasuredValue, instrument: Instrument, unit: Unit) -> tuple[str, ...]:
    window = value.window
    return (
        value_said(value.quantity, value.side, value.string, value.fret, instrument),
        _believed(value, unit),
        f"{number(window.low_mm, unit)}–{number(window.high_mm, unit)}",
        number(window.target_mm, unit),
        standing_said(value),
    )


def _believed(value: MeasuredValue, unit: Unit) -> str:
    if value.believed is None or not (value.touches or value.predicted):
        return say("not read")
    low, high = value.believed.interval(_SURE)
    found = number(value.believed.mean, unit)
    return say(
        "{middle} ({low} to {high})",
        middle=found,
        low=number(low, unit),
        high=number(high, unit),
    )


def _notes(values: list[MeasuredValue], job: Job) -> Iterable[str]:
    board = job.instrument.fretboard
    low, high = (fret_name(board, hold) for hold in standard_holds(board))
    yield say(
        "Relief is the deepest gap under a string held at {low} and {high}.", low=low, high=high
    )
    own = {value.quantity for value in values if value.window.source is WindowSource.OWN}
    if own:
        yield say("The window is the player's own: {what}.", what=listed(map(say, sorted(own))))


def _next(state: SetupState, instrument: Instrument) -> Iterable[str]:
    if state.next is None:
        yield say("Everything is done: hand it over.")
    else:
        yield f"{say(STAGES[state.next.stage])} · {question_said(state.next, instrument)}"


def _stale(state: SetupState, instrument: Instrument) -> Iterable[str]:
    """What was moved, in a line for each that moved it."""
    moved: dict[str, list[str]] = {}
    for what, causes in _stale_parts(state, instrument):
        moved.setdefault(_why(causes, instrument), []).append(what)
    for why, parts in moved.items():
        yield f"{listed(parts)} · {why}"


def _stale_parts(
    state: SetupState, instrument: Instrument
) -> Iterable[tuple[str, tuple[object, ...]]]:
    """Each side of the neck, then the action and the first-fret readings of all strings that the
    same things moved."""
    for value in state.relief:
        if value.stale:
            what = value_said(value.quantity, value.side, value.string, value.fret, instrument)
            yield what, value.moved_by
    action = [(v.string, v.moved_by) for v in state.action if v.stale and v.string]
    for moved_by, names in _by_cause(action, instrument):
        yield say("the action of {strings}", strings=names), moved_by
    for moved_by, names in _by_cause(state.stale_strings.items(), instrument):
        yield say("the first-fret readings of {strings}", strings=names), moved_by


def _by_cause(
    strings: Iterable[tuple[int, tuple[object, ...]]], instrument: Instrument
) -> Iterable[tuple[tuple[object, ...], str]]:
    named: dict[tuple[object, ...], list[str]] = {}
    for string, moved_by in strings:
        named.setdefault(moved_by, []).append(instrument.name_of(string))
    return [(moved_by, strings_listed(names)) for moved_by, names in named.items()]


def _why(moved_by: Iterable[object], instrument: Instrument) -> str:
    causes = tuple(dict.fromkeys(cause_said(cause, instrument) for cause in moved_by))
    return say("since then: {causes}", causes=listed(causes)) if causes else ""


def _cautions(state: SetupState, job: Job) -> Iterable[str]:
    if state.postures_mixed:
        yield postures_said(state.postures)
    if state.skipped:
        names = listed(say(STAGES[stage]) for stage in Stage if stage in state.skipped)
        yield say("Skipped: {stages}.", stages=names)
    yield from held_in_words(job)

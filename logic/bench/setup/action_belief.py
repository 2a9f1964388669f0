"""What is believed of the action of each string, and where that stands.

Strings share one bridge: what was measured of some tells of the others, by the curves of board and
saddle.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from statistics import fmean

from logic.bench.instrument.action import on_a_line_mm, usual_action
from logic.bench.instrument.frets import action_fret
from logic.bench.measuring.grid import Curve, Posterior, bell
from logic.bench.measuring.quantities.action import ACTION, QUANTITY
from logic.bench.measuring.quantities.touch import place, softness
from logic.bench.setup.board_curve import across, board_curve
from logic.bench.setup.counted import Counted, all_moved_by, all_stale, curves_now, of_kind
from logic.bench.setup.linked import Linked, Spreads, linked_beliefs
from logic.bench.setup.measured import MeasuredValue, MeasuredWindow, TouchAdvice, WindowStanding
from logic.bench.setup.next_touch import TouchQuestion, next_touch
from logic.bench.setup.standing import chances_of, standing_of
from logic.bench.setup.targets import action_window
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import StringSpec
from shared.job import Job
from shared.kit import Kit
from shared.measurements import ActionMeasurement, Measurement
from shared.setup import SkipStep, Stage
from shared.units import Length


@dataclass(frozen=True)
class StringAction:
    """One string at the fret over which its action is read, and what was measured there."""

    spec: StringSpec
    fret: int
    own: tuple[Counted[ActionMeasurement], ...]


def action_values(
    job: Job, counted: Iterable[Counted[Measurement]], trade: TradeTables
) -> tuple[MeasuredValue, ...]:
    """Action an octave up of every string that has a fret there, in the order of the instrument."""
    taken = of_kind(counted, ActionMeasurement)
    strings = tuple(_strings(job, taken))
    values = tuple(_linked(job, string, trade) for string in strings)
    if not values:
        return ()
    beliefs = linked_beliefs(ACTION, values, _spreads(job, trade))
    pairs = zip(strings, beliefs, strict=True)
    return tuple(
        _value(job, string, believed, _foretold_by(job, string, strings), trade)
        for string, believed in pairs
    )


def shanks_of(kit: Kit, trade: TradeTables) -> tuple[Length, ...]:
    """The shanks of a kit, or the usual ones where nobody said which it has."""
    return trade.kit_sizes.shanks if kit.shanks is None else kit.shanks


def number_spread_mm(kit: Kit, trade: TradeTables) -> float:
    """How far a number read off the rule of this kit may be off, one standard deviation.

    The error allowed to its class is a rectangular half-width a, of standard uncertainty a/√3 (GUM,
    JCGM 100:2008, 4.3.7); no rule is read better than by a good eye.
    """
    table = trade.measurements
    if kit.rule is None:
        return table.action_number_spread_mm
    return max(table.rule_error_mm[kit.rule] / math.sqrt(3.0), table.action_number_spread_mm)


def in_order_of_asking(job: Job, action: tuple[MeasuredValue, ...]) -> tuple[MeasuredValue, ...]:
    """The outer strings first; then a middle one, which alone shows a sagged bridge, and rather one
    that was complained of; then the others."""
    numbers = sorted(value.string or 0 for value in action)
    if not numbers:
        return ()
    named = {string for complaint in job.complaints for string in complaint.strings}
    inner = numbers[1:-1]
    halfway = numbers[len(numbers) // 2]
    middle = next((string for string in inner if string in named), halfway)
    first = {numbers[-1]: 0, numbers[0]: 1, middle: 2}
    return tuple(sorted(action, key=lambda v: (first.get(v.string or 0, 3), -(v.string or 0))))


def _strings(job: Job, taken: list[Counted[ActionMeasurement]]) -> Iterable[StringAction]:
    for spec in job.instrument.strings:
        fret = action_fret(spec, job.instrument)
        if fret is not None:
            own = (each for each in taken if each.measurement.string == spec.string)
            yield StringAction(spec, fret, tuple(o for o in own if o.measurement.fret == fret))


def _foretold_by(
    job: Job, string: StringAction, strings: tuple[StringAction, ...]
) -> tuple[Counted[ActionMeasurement], ...]:
    """What was measured of the others, where that is enough to go by for a string that was not
    itself: both outer strings and one between them, which alone shows a sagged bridge."""
    if string.own:
        return ()
    read = [other for other in strings if other.own]
    numbers = {other.spec.string for other in read}
    all_numbers = [other.spec.string for other in strings]
    outer = {min(all_numbers), max(all_numbers)}
    enough = outer < numbers
    return tuple(each for other in read for each in other.own) if enough else ()


def _as_predicted(job: Job) -> bool:
    """Whether somebody said that the strings that were not read are as they are foretold."""
    return any(isinstance(s, SkipStep) and s.stage is Stage.ACTION for s in job.steps)


def _linked(job: Job, string: StringAction, trade: TradeTables) -> Linked:
    instrument, spec = job.instrument, string.spec
    usual = instrument.action_12 or usual_action(instrument.kind, trade)
    part = across(spec, instrument)
    tilt, middle = 2.0 * part - 1.0, 4.0 * part * (1.0 - part)
    at = place(instrument.semitones_at(string.fret + spec.from_fret))
    lift = board_curve(instrument, trade).lift_mm(part, at)
    numbers = any(each.measurement.value is not None for each in string.own)
    return Linked(
        expected=on_a_line_mm(usual, spec.string) + lift,
        shares=(1.0, tilt, middle),
        curves=tuple(action_curves(job, string, trade)),
        shared_error=number_spread_mm(job.kit, trade) if numbers else 0.0,
    )


def action_curves(job: Job, string: StringAction, trade: TradeTables) -> Iterator[Curve]:
    """A likelihood for what was measured, as it says now."""
    return curves_now(ACTION, _said(job, string, trade))


def _said(
    job: Job, string: StringAction, trade: TradeTables
) -> Iterator[tuple[Counted[ActionMeasurement], Curve]]:
    """A likelihood for each touch, and one for all numbers: one rule errs alike every time."""
    board, numbers = job.instrument.fretboard, []
    for each in string.own:
        if each.measurement.value is not None:
            numbers.append(each)
        else:
            yield each, QUANTITY.likelihood(each.measurement, trade, board)
    if numbers:
        fresh = [each for each in numbers if not each.stale] or numbers
        read = fmean(each.measurement.value.mm for each in fresh if each.measurement.value)
        spread = number_spread_mm(job.kit, trade)
        yield fresh[-1], bell(ACTION, ACTION.within(read), spread)


def _spreads(job: Job, trade: TradeTables) -> Spreads:
    table, instrument = trade.setup, job.instrument
    usual = fmean(length.mm for length in usual_action(instrument.kind, trade).values())
    level, tilt = table.action_level_share * usual, table.action_tilt_share * usual
    return Spreads(
        hidden=(level, tilt, table.middle_lift_sd_mm),
        own=table.string_own_sd_mm,
        alone=1.5 * level,
        alone_probability=table.alone_probability,
    )


def _value(
    job: Job,
    string: StringAction,
    believed: Posterior,
    foretold_by: tuple[Counted[ActionMeasurement], ...],
    trade: TradeTables,
) -> MeasuredValue:
    window = action_window(string.spec, job.instrument, job.player, trade)
    chances, own = chances_of(believed, window), string.own
    confirmed = bool(foretold_by) and _as_predicted(job)
    counts = own or foretold_by if confirmed else own
    return MeasuredValue(
        quantity="action",
        window=window,
        standing=standing_of(chances, trade.call.sure) if counts else WindowStanding.UNREAD,
        ask=partial(action_advice, job, string, believed, window, trade),
        believed=believed,
        chances=chances,
        string=string.spec.string,
        fret=string.fret,
        touches=len(own),
        predicted=bool(foretold_by),
        confirmed=confirmed,
        moved_by=all_moved_by(own or foretold_by),
        stale=all_stale(own or foretold_by),
    )


def action_advice(
    job: Job,
    string: StringAction,
    believed: Posterior,
    window: MeasuredWindow,
    trade: TradeTables,
) -> TouchAdvice:
    """What to slide in next under a string at its fret, or why nothing."""
    fresh = [each.measurement for each in string.own if not each.stale]
    question = TouchQuestion(
        believed=believed,
        window=window,
        gap_per_unit=1.0,
        softness=softness(0.0, 1.0, place(job.instrument.semitones_at(string.fret))),
        leaves=job.kit.leaves,
        shanks=shanks_of(job.kit, trade),
        used=frozenset(tuple(sorted(m.slid_in)) for m in fresh),
        touches=len(fresh),
        most_touches=trade.setup.most_action_touches,
    )
    return next_touch(question, trade)

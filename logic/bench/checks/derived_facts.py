"""What the instrument's own entries and the readings already say, as options of a rule.

Each derived fact is found by string, or once for the whole instrument under None; a rule that none
of them speaks of finds nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeGuard

from logic.bench.checks.answers import AnswerFound, Skip
from logic.bench.checks.began_with import began_with
from logic.bench.checks.evaluators import EVALUATORS, evaluate_action, evaluate_relief
from logic.bench.checks.evidence import (
    clearance_range,
    expected_cents,
    least_touched_mm,
    open_tone,
    pitch_thresholds,
    touch_bounds,
)
from logic.bench.checks.pitch_diagnosis import (
    Cause,
    PitchDiagnosis,
    diagnose_pitch,
    hard_only,
    one_off,
    pressed_harder,
)
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.saddle_height import action_listed
from logic.bench.checks.said_and_read import NOISY, said_and_read
from logic.bench.checks.whole_visit import action_in_visit, relief_in_visit, scope_of_visit
from logic.bench.instrument.fret_names import fret_name, fret_names
from logic.bench.instrument.strung_string import scale_mm
from logic.bench.setup.staleness import measurement_staleness
from logic.bench.tables.vocabulary import OpenStringTone
from logic.physics.strings import tension_ratio
from shared.instrument import NutType
from shared.job import GateState
from shared.measurements import ReliefMeasurement
from shared.readings import Buzz, CentsReading, Press, Reading
from shared.setup import Scope
from shared.units import Length
from shared.words import say

OptionsFound = dict[int | None, AnswerFound]
DerivedFact = Callable[[RuleContext], OptionsFound]


def passes(context: RuleContext, gate: str) -> bool:
    """Whether every answer given to a gate lets it pass, and there is one."""
    rule = context.rule_set.rule(gate)
    answers = [answer for answer in context.answers(rule).values() if not isinstance(answer, Skip)]
    listed = DERIVED_FACTS[rule.derived_fact](context) if rule.derived_fact else {}
    found = [
        EVALUATORS[rule.evaluator](context, None, answer) if isinstance(answer, Length) else answer
        for answer in (*answers, *listed.values())
    ]
    return bool(found) and all(
        isinstance(one, AnswerFound) and rule.option(one.option).state is GateState.PASSED
        for one in found
    )


def nut_as_listed(context: RuleContext) -> OptionsFound:
    """A nut that is listed as anything but plain slots."""
    listed = context.job.instrument.nut.type
    return {} if listed is NutType.SLOTTED else {None: AnswerFound(listed.value)}


def short_strings(context: RuleContext) -> OptionsFound:
    """Strings that start at a small nut of their own."""
    return {
        spec.string: AnswerFound(
            "own",
            {
                "string": context.job.instrument.name_of(spec.string),
                "fret": fret_name(context.job.instrument.fretboard, spec.from_fret),
                "first": fret_names(context.job.instrument, spec.string).first,
            },
        )
        for spec in context.job.instrument.strings
        if spec.from_fret
    }


def board_as_listed(context: RuleContext) -> OptionsFound:
    """A board without frets."""
    return {} if context.job.instrument.fretted else {None: AnswerFound("bare board")}


def shim_as_listed(context: RuleContext) -> OptionsFound:
    """A shim that is listed under the nut; or, where nobody said, strings that all stand high."""
    shim, rule = context.job.instrument.nut.shim, context.rule_set.rule("shim")
    if shim is not None:
        return {None: AnswerFound("yes")} if shim.exact_mm > 0 else {}
    asked = not context.answers(rule) and context.applies(rule)
    return {None: AnswerFound("all high")} if asked and _all_high(context) else {}


def _all_high(context: RuleContext) -> bool:
    """Whether touch puts every string of several at its target or over it, as nothing felt under a
    leaf of the target's thickness does; but for one, which a slip of the hand may put lower."""
    over = [_over_target_mm(context, string) for string in context.strings]
    high = sum(each is not None and round(each, 6) >= 0.0 for each in over)
    return None not in over and high >= max(len(over) - 1, context.trade.raising.several_from)


def stands_high(context: RuleContext) -> OptionsFound:
    """Strings that touch puts over their target by more than is left alone, where nobody said
    whether they lie on the floors of their slots."""
    rule, most = context.rule_set.rule("seated"), context.trade.call.on_target_above_mm
    answered = context.answers(rule)
    if None in answered or not context.applies(rule):
        return {}
    over = {s: _over_target_mm(context, s) for s in context.strings if s not in answered}
    return {s: AnswerFound("stands high") for s, mm in over.items() if mm is not None and mm > most}


def _over_target_mm(context: RuleContext, string: int) -> float | None:
    """The least by which touch puts a string over its target; None where it was not touched."""
    bounds = touch_bounds(context, string)
    return None if bounds is None else bounds[0] - context.windows[string].target_mm


def original_part(context: RuleContext) -> OptionsFound:
    """A nut that is listed as original."""
    return {None: AnswerFound("yes")} if context.job.instrument.nut.original else {}


def glued_part(context: RuleContext) -> OptionsFound:
    """A nut that is listed as glued."""
    return {None: AnswerFound("yes")} if context.job.instrument.nut.glued else {}


def relief_as_listed(context: RuleContext) -> OptionsFound:
    """The relief that was measured, at intake or since: one that is wrong outweighs others."""
    job, read = context.job, context.measured.relief
    numbers = [
        (one.value, how.stale)
        for one, how in zip(
            job.measurements, measurement_staleness(job, context.trade), strict=True
        )
        if isinstance(one, ReliefMeasurement) and one.value is not None and one.holds is None
    ]
    fresh = [value for value, stale in numbers if not stale]
    # a number that something has moved since still says more than none, and passes nothing on
    measured = [*(fresh or [value for value, _ in numbers if read is None]), read]
    found = [
        evaluate_relief(context, None, each)
        for each in (*measured, job.instrument.relief)
        if each is not None
    ]
    wrong = (one for one in found if one.option != "ok")
    return {None: next(wrong, found[-1])} if found else {}


def all_together(context: RuleContext) -> OptionsFound:
    """Every string low at once, with nobody having found the relief in order."""
    if not context.fretted or len(context.strings) < 3 or passes(context, "relief"):
        return {}
    edges = context.windows
    touched = {string: touch_bounds(context, string) for string in context.strings}
    if any(bounds is None or bounds[1] >= edges[s].target_mm for s, bounds in touched.items()):
        return {}
    if context.answered_option("weather") == "yes":
        return {None: AnswerFound("weather")}
    buzzes = all(open_tone(context, string) in NOISY for string in context.strings)
    return {None: AnswerFound("low and buzzing" if buzzes else "low")}


def buzz_strength(context: RuleContext) -> OptionsFound:
    """How hard each open string must be played to buzz, as the readings have it."""
    buzzes = {
        reading.string: reading.buzz
        for reading in context.readings
        if reading.buzz is not Buzz.UNKNOWN
    }
    return {
        string: AnswerFound(_strength(context, string, buzz)) for string, buzz in buzzes.items()
    }


def _strength(context: RuleContext, string: int, buzz: Buzz) -> str:
    clean = open_tone(context, string) is OpenStringTone.CLEAN
    return "harder than played" if clean and buzz is not Buzz.NONE else buzz.value


def saddle_side(context: RuleContext) -> OptionsFound:
    """An action an octave up well beyond what its kind usually has; or strings that all stand high
    while nobody measured it."""
    actions = action_listed(context)
    if actions:
        return {None: _in_order(evaluate_action(context, None, max(actions.values())), context)}
    asked = not context.answers(context.rule_set.rule("action")) and context.fretted
    return {None: AnswerFound("not measured")} if asked and _all_high(context) else {}


def _in_order(found: AnswerFound, context: RuleContext) -> AnswerFound:
    """In a visit of the whole instrument the saddle comes before the nut, else after it."""
    high = found.option == "high" and context.visit.scope is not Scope.NUT
    return replace(found, option="high in a visit") if high else found


def slack_string(context: RuleContext) -> OptionsFound:
    """A string tuned so far down on its gauge that it buzzes where it used to be clean."""
    edges, found = context.windows, OptionsFound()
    for string in context.strings:
        bounds = touch_bounds(context, string)
        kept = _tension_share(context, string)
        slack = kept is not None and kept < context.rule_set.limits.slack_below_tension_share
        high_enough = bounds is not None and bounds[0] > edges[string].target_mm / 2.0
        if slack and high_enough and open_tone(context, string) in NOISY:
            found[string] = AnswerFound("slack", {"percent": round(100.0 * (kept or 0.0))})
    return found


def _tension_share(context: RuleContext, string: int) -> float | None:
    """Tension as a share of what the preset's string has: it goes with f²d²L²."""
    instrument = context.job.instrument
    usual = context.usual
    if usual is None or string not in {spec.string for spec in usual.strings}:
        return None
    here, there = instrument.spec(string), usual.spec(string)
    size = here.gauge.mm * instrument.scale.mm / (there.gauge.mm * usual.scale.mm)
    return tension_ratio(here.pitch.midi - there.pitch.midi) * size**2


def room_and_buzz(context: RuleContext) -> OptionsFound:
    """Room enough over fret 1, and still an open buzz: height is not the fault.

    A little under its target is no room, however little the model says a clean string needs: the
    hand may be harder than it is taken for.
    """
    edges, found = context.windows, OptionsFound()
    for string in context.strings:
        stands_mm = least_touched_mm(context, string)
        noise = open_tone(context, string)
        edge = edges[string]
        enough = edge.target_mm if noise is OpenStringTone.BUZZES else edge.high_mm
        if noise in NOISY and stands_mm is not None and stands_mm >= enough:
            found[string] = AnswerFound("yes")
    return found


def pitch_by_touch(context: RuleContext) -> OptionsFound:
    """What cents at a few frets say beside what touch says, string by string and of each beside its
    neighbours."""
    read = {
        string: _pitch_of(context, string)
        for string in context.strings
        if any(_is_cents_of(reading, string) for reading in context.readings)
    }
    beyond = {string: diagnosis.beyond for string, diagnosis in read.items()}
    return {
        string: _pitch_option(
            replace(diagnosis, cause=Cause.ONE_OFF, ask_for="")
            if one_off(string, beyond, pitch_thresholds(context, string))
            else diagnosis
        )
        for string, diagnosis in read.items()
    }


def _is_cents_of(reading: Reading, string: int) -> TypeGuard[CentsReading]:
    return isinstance(reading, CentsReading) and reading.string == string


def _pitch_option(diagnosis: PitchDiagnosis) -> AnswerFound:
    ask_for = f" {diagnosis.ask_for}" if diagnosis.ask_for else ""
    return AnswerFound(diagnosis.cause.value, {"found": diagnosis.found, "ask_for": ask_for})


def _pitch_of(context: RuleContext, string: int) -> PitchDiagnosis:
    """What the cents of one string point at; those under a hard finger are told apart."""
    read = [reading for reading in context.readings if _is_cents_of(reading, string)]
    hard = {r.fret: r.cents for r in read if r.press is Press.HARD}
    cents = {r.fret: r.cents for r in read if r.press is not Press.HARD}
    doubts = {r.fret: r.doubt_cents or 0.0 for r in read}
    expected = expected_cents(context, string)
    if expected is None:
        found = say("No string could be as this one is listed.")
        return PitchDiagnosis(Cause.UNDECIDED, found)
    thresholds = pitch_thresholds(context, string)
    if not cents:
        return hard_only(hard, thresholds.frets)
    instrument, standing = context.job.instrument, clearance_range(context, string)
    length_mm = scale_mm(instrument.spec(string), instrument)
    found_out = diagnose_pitch(cents, standing, expected, length_mm, thresholds, doubts)
    if found_out.cause is Cause.MOSTLY_OTHER and _high_whatever_is_heard(context, string):
        found_out = replace(found_out, cause=Cause.BOTH, ask_for="")
    finger = pressed_harder(cents, hard, thresholds)
    if not finger:
        return found_out
    cause = Cause.FINGER if found_out.cause is Cause.HEIGHT else found_out.cause
    return replace(found_out, cause=cause, found=f"{found_out.found} {finger}")


def tension_as_listed(context: RuleContext) -> OptionsFound:
    """Strings that as they are listed would pull what no such string does."""
    name_of = context.job.instrument.name_of
    return {
        string: AnswerFound(
            "odd",
            {
                "string": name_of(string),
                "pulls": f"{odd.pulls_n:.0f}",
                "usual": f"{odd.usual_n:.0f}",
            },
        )
        for string, odd in context.odd_tensions.items()
        if not odd.breaks
    }


def breaking_as_listed(context: RuleContext) -> OptionsFound:
    """Strings that as they are listed would break before they came up to pitch."""
    name_of = context.job.instrument.name_of
    return {
        string: AnswerFound("breaks", {"string": name_of(string)})
        for string, odd in context.odd_tensions.items()
        if odd.breaks
    }


def great_clearance(context: RuleContext) -> OptionsFound:
    """Strings read so high over fret 1 that it may have been over the board."""
    return {string: AnswerFound("great") for string in context.great_clearances}


def _high_whatever_is_heard(context: RuleContext, string: int) -> bool:
    """Whether every touch puts the string over its window, and the nut was found in its place: then
    its height is a fault of its own, however sharp it is besides."""
    bounds = touch_bounds(context, string)
    over = bounds is not None and bounds[0] >= context.windows[string].high_mm
    return over and passes(context, "nut_position")


DERIVED_FACTS: dict[str, DerivedFact] = {
    "nut_as_listed": nut_as_listed,
    "short_strings": short_strings,
    "board_as_listed": board_as_listed,
    "shim_as_listed": shim_as_listed,
    "stands_high": stands_high,
    "original_part": original_part,
    "glued_part": glued_part,
    "relief_as_listed": relief_as_listed,
    "all_together": all_together,
    "began_with": began_with,
    "buzz_strength": buzz_strength,
    "saddle_side": saddle_side,
    "slack_string": slack_string,
    "room_and_buzz": room_and_buzz,
    "said_and_read": said_and_read,
    "pitch_by_touch": pitch_by_touch,
    "tension_as_listed": tension_as_listed,
    "breaking_as_listed": breaking_as_listed,
    "great_clearance": great_clearance,
    "scope_of_visit": scope_of_visit,
    "relief_in_visit": relief_in_visit,
    "action_in_visit": action_in_visit,
}
"""Derived facts that a rule can name."""

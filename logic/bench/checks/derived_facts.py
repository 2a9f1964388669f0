"""What the instrument's own entries and the readings already say, as options of a rule.

Each witness answers by string, or once for the whole instrument under None. None found: silence.
"""

from __future__ import annotations

from collections.abc import Callable

from logic.bench.checks.answers import AnswerFound, Skip
from logic.bench.checks.evaluators import JUDGES, judge_relief
from logic.bench.checks.evidence import (
    ear_of,
    heard_of,
    standing_of,
    touch_bounds,
)
from logic.bench.checks.pitch_diagnosis import Cause, diagnose_pitch
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.measuring.verdict import lower_mm
from logic.bench.tables.vocabulary import OpenStringTone
from logic.physics.strings import tension_ratio
from shared.instrument import NutType
from shared.job import GateState
from shared.readings import Buzz, CentsReading
from shared.units import Length
from shared.words import say

Finds = dict[int | None, AnswerFound]
Witness = Callable[[RuleContext], Finds]


def passes(case: RuleContext, gate: str) -> bool:
    """Whether every answer given to a gate lets it pass, and there is one."""
    rule = case.book.rule(gate)
    answers = [answer for answer in case.answers(rule).values() if not isinstance(answer, Skip)]
    listed = DERIVES[rule.derive](case) if rule.derive else {}
    found = [
        JUDGES[rule.judge](case, None, answer) if isinstance(answer, Length) else answer
        for answer in (*answers, *listed.values())
    ]
    return bool(found) and all(
        isinstance(one, AnswerFound) and rule.option(one.option).state is GateState.PASSED
        for one in found
    )


def nut_as_listed(case: RuleContext) -> Finds:
    """A nut that is listed as anything but plain slots."""
    listed = case.job.instrument.nut.type
    return {} if listed is NutType.SLOTTED else {None: AnswerFound(listed.value)}


def short_strings(case: RuleContext) -> Finds:
    """Strings that start at a small nut of their own."""
    return {
        spec.string: AnswerFound("own", {"string": str(spec.string), "fret": str(spec.from_fret)})
        for spec in case.job.instrument.strings
        if spec.from_fret
    }


def board_as_listed(case: RuleContext) -> Finds:
    """A board without frets."""
    return {} if case.job.instrument.fretted else {None: AnswerFound("bare board")}


def shim_as_listed(case: RuleContext) -> Finds:
    """A shim that is listed under the nut."""
    shim = case.job.instrument.nut.shim
    return {None: AnswerFound("yes")} if shim is not None and shim.exact_mm > 0 else {}


def original_part(case: RuleContext) -> Finds:
    """A nut that is listed as original."""
    return {None: AnswerFound("yes")} if case.job.instrument.nut.original else {}


def glued_part(case: RuleContext) -> Finds:
    """A nut that is listed as glued."""
    return {None: AnswerFound("yes")} if case.job.instrument.nut.glued else {}


def relief_as_listed(case: RuleContext) -> Finds:
    """The relief that was measured at intake."""
    relief = case.job.instrument.relief
    return {None: judge_relief(case, None, relief)} if relief is not None else {}


def all_together(case: RuleContext) -> Finds:
    """Every string low at once, with nobody having found the relief in order."""
    if not case.fretted or len(case.strings) < 3 or passes(case, "relief"):
        return {}
    edges = case.windows
    touched = {string: touch_bounds(case, string) for string in case.strings}
    if any(bounds is None or bounds[1] >= edges[s].target_mm for s, bounds in touched.items()):
        return {}
    if case.said("weather") == "yes":
        return {None: AnswerFound("weather")}
    buzzes = all(heard_of(case, string) in _NOISY for string in case.strings)
    return {None: AnswerFound("low and buzzing" if buzzes else "low")}


_NOISY = (OpenStringTone.BUZZES, OpenStringTone.HIT_HARD)


def buzz_strength(case: RuleContext) -> Finds:
    """How hard each open string must be played to buzz, as the readings have it."""
    said = {
        reading.string: reading.buzz
        for reading in case.readings
        if reading.buzz is not Buzz.UNKNOWN
    }
    return {string: AnswerFound(_strength(case, string, buzz)) for string, buzz in said.items()}


def _strength(case: RuleContext, string: int, buzz: Buzz) -> str:
    clean = heard_of(case, string) is OpenStringTone.CLEAN
    return "harder than played" if clean and buzz is not Buzz.NONE else buzz.value


def saddle_side(case: RuleContext) -> Finds:
    """An action at fret 12 well beyond what its kind usually has."""
    actions = case.job.instrument.action_12.values()
    usual = case.usual.action_12.values() if case.usual is not None else ()
    if not actions or not usual:
        return {}
    most = max(usual).mm * case.book.limits.high_action_factor
    high = max(actions)
    return {None: AnswerFound("high", {"action": high})} if high.mm > most else {}


def slack_string(case: RuleContext) -> Finds:
    """A string tuned so far down on its gauge that it buzzes where it used to be clean."""
    edges, found = case.windows, Finds()
    for string in case.strings:
        bounds = touch_bounds(case, string)
        kept = _slack_below_tension_share(case, string)
        slack = kept is not None and kept < case.book.limits.slack_below_tension_share
        room = bounds is not None and bounds[0] > edges[string].target_mm / 2.0
        if slack and room and heard_of(case, string) in _NOISY:
            found[string] = AnswerFound("slack", {"percent": round(100.0 * (kept or 0.0))})
    return found


def _slack_below_tension_share(case: RuleContext, string: int) -> float | None:
    """Tension as a share of what the preset's string has: it goes with f²d²L²."""
    instrument = case.job.instrument
    usual = case.usual
    if usual is None or string not in {spec.string for spec in usual.strings}:
        return None
    here, there = instrument.spec(string), usual.spec(string)
    size = here.gauge.mm * instrument.scale.mm / (there.gauge.mm * usual.scale.mm)
    return tension_ratio(here.pitch.midi - there.pitch.midi) * size**2


def room_and_buzz(case: RuleContext) -> Finds:
    """Room enough over fret 1, and still an open buzz: height is not the fault.

    Well under its target is no room, however little the model says a clean string needs.
    """
    edges, found, table = case.windows, Finds(), case.trade.call
    for string in case.strings:
        bounds = touch_bounds(case, string)
        noise = heard_of(case, string)
        edge = edges[string]
        enough = lower_mm(edge, table) if noise is OpenStringTone.BUZZES else edge.high_mm
        if noise in _NOISY and bounds is not None and bounds[0] >= enough:
            found[string] = AnswerFound("yes")
    return found


def pitch_witness(case: RuleContext) -> Finds:
    """What cents at a few frets say beside what touch says."""
    found = Finds()
    for spec in case.job.instrument.strings:
        cents = {
            reading.fret: reading.cents
            for reading in case.readings
            if isinstance(reading, CentsReading) and reading.string == spec.string
        }
        if cents:
            found[spec.string] = _testimony(case, spec.string, cents)
    return found


def _testimony(case: RuleContext, string: int, cents: dict[int, float]) -> AnswerFound:
    ways = string_geometry(case.job.instrument, string, case.trade)
    if ways.spring is None:
        return AnswerFound(
            Cause.UNDECIDED.value, {"found": say("No string could be as this one is listed.")}
        )

    def expected(clearance_mm: float, fret: int) -> float:
        return ways.cents(clearance_mm, fret) or 0.0

    scale_mm, standing = case.job.instrument.scale.mm, standing_of(case, string)
    said = diagnose_pitch(cents, standing, expected, scale_mm, ear_of(case))
    ask_for = f" {said.ask_for}" if said.ask_for else ""
    return AnswerFound(said.cause.value, {"found": said.found, "ask_for": ask_for})


DERIVES: dict[str, Witness] = {
    "nut_as_listed": nut_as_listed,
    "short_strings": short_strings,
    "board_as_listed": board_as_listed,
    "shim_as_listed": shim_as_listed,
    "original_part": original_part,
    "glued_part": glued_part,
    "relief_as_listed": relief_as_listed,
    "all_together": all_together,
    "buzz_strength": buzz_strength,
    "saddle_side": saddle_side,
    "slack_string": slack_string,
    "room_and_buzz": room_and_buzz,
    "pitch_witness": pitch_witness,
}
"""Witnesses that a rule can name."""

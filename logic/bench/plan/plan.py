"""The plan for one job: every string's call, the whole nut, and the cautions that matter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from logic.bench.checks.answered import answered_in, gate_notes
from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.gates import gates_in, most_pressing_first
from logic.bench.checks.odd_entries import SOFT_MAKES
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.saddle_height import saddle_lifts_mm
from logic.bench.checks.second_look import second_looks, stand_high_together
from logic.bench.cutting.files import choose_file
from logic.bench.instrument.fret_names import fret_names, octave_name
from logic.bench.instrument.frets import cut_share
from logic.bench.instrument.string_geometry import StringGeometry
from logic.bench.measuring.contradictions import Contradiction, HeightEvidence, find_contradiction
from logic.bench.measuring.grid import Posterior
from logic.bench.measuring.held import held_in_words
from logic.bench.measuring.impossible import crown_yet_clean, too_high_for_its_cents
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.next_leaf import LeafAdvice, LeafQuestion, LeafReason, Stack, next_leaf
from logic.bench.measuring.verdict import lowered_above_mm, open_string_tone, split
from logic.bench.plan.before_the_file import below_the_saddle, with_looks_owed
from logic.bench.plan.call import Evidence, apply_gates, make_call
from logic.bench.plan.cautions import cautions_for
from logic.bench.plan.one_plan import in_agreement, with_shim_settled, with_walls_judged
from logic.bench.plan.one_reading import ReadSoFar, with_reading_owed
from logic.bench.plan.setup_part import setup_part
from logic.bench.plan.string_belief import StringBelief, string_belief, was_worked_on
from logic.bench.plan.tonight import Tonight, joined, tonight
from logic.bench.plan.work_and_read import amounts_in_doubt
from logic.bench.raising.nut_evidence import ONE_PIECE, NutEvidence
from logic.bench.raising.nut_words import nut_in_words
from logic.bench.raising.whole_nut import find_whole_nut
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.vocabulary import OpenStringTone
from logic.bench.window.attack import BuzzObservation
from logic.bench.window.string_window import StringWindow, windows
from shared.instrument import NutType
from shared.job import (
    IRREVERSIBLE,
    Assumed,
    CallKind,
    Gate,
    GateState,
    Job,
    NutAdvice,
    Plan,
    StringCall,
)
from shared.readings import Reading
from shared.units import Length

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.reading import ReadingTable


@dataclass(frozen=True)
class StringState:
    """Where one string stands after the answers so far."""

    string: int
    believed: Posterior
    window: StringWindow
    tone: OpenStringTone
    call: StringCall
    advice: LeafAdvice
    contradiction: Contradiction | None
    measured: bool

    @property
    def settled(self) -> bool:
        """Whether no further leaf in the kit is needed for the call."""
        return self.measured and self.contradiction is None and not self.advice.why.asks


@dataclass(frozen=True)
class JobContext:
    """One job with everything that its strings share."""

    job: Job
    trade: TradeTables
    windows: Mapping[int, StringWindow]
    gates: tuple[Gate, ...]
    last_known_mm: Mapping[int, float]
    to_target: frozenset[int]
    """Strings that there is a reason to bring down to their targets from inside their windows."""
    great: frozenset[int]
    """Strings that were read so high that it may have been over the board."""
    looked_at: RuleContext
    """The job as the rules look at it."""
    saddle_lifts_mm: float
    """How far an action over the usual lifts the open strings over fret 1."""
    reading: ReadingTable
    table: CallTable
    leaves: tuple[Length, ...]
    """The leaves of the kit, each once, thinnest first."""


def make_plan(
    job: Job,
    trade: TradeTables,
    assumed: tuple[Assumed, ...] = (),
    last_known_mm: Mapping[int, float] | None = None,
    heard_before: Iterable[BuzzObservation] = (),
) -> Plan:
    """The calls for every string of `job`, in the order in which the instrument lists them.

    `last_known_mm` are clearances on record from an earlier visit, by string; `heard_before` is
    what buzzed or rang clean under this player before.
    """
    context = job_context(job, trade, last_known_mm, heard_before)
    calls = tuple(state_in(context, spec.string).call for spec in job.instrument.strings)
    return plan_from(context, calls, assumed).plan


@dataclass(frozen=True)
class JobPlan:
    """The plan of a job, and the two parts that its one line of advice is joined from."""

    plan: Plan
    nut_advice: str
    """What to do to the nut as a whole, in words."""
    tonight: Tonight | None
    """What to do before it plays; None where nobody waits for it."""


def plan_from(
    context: JobContext, calls: tuple[StringCall, ...], assumed: tuple[Assumed, ...] = ()
) -> JobPlan:
    """The plan of all `calls`, one for each string in the order of the instrument, which stand on
    `context`."""
    job, trade = context.job, context.trade
    calls = _with_the_saddle_seen(context, calls)
    evidence = with_walls_judged(
        with_shim_settled(NutEvidence.of(job, calls, context.gates, trade))
    )
    found, gates = find_whole_nut(evidence), evidence.gates
    agreed = {call.string: call for call in in_agreement(evidence, found)}
    calls = tuple(
        agreed[call.string]
        if agreed[call.string].call is call.call
        else _with_file(context, agreed[call.string])
        for call in calls
    )
    looks = second_looks(context.looked_at, calls)
    calls = with_looks_owed(calls, looks, context.table)
    nut_advice, hurry = nut_in_words(found, job.instrument), tonight(evidence, found)
    nut = NutAdvice(advice=joined(hurry, nut_advice), options=found.options)
    plan = Plan(
        assumed=assumed,
        gates=gates,
        strings=calls,
        nut=nut,
        cautions=(
            *held_in_words(job),
            *amounts_in_doubt(job, calls, trade),
            *gate_notes(gates, calls),
            *cautions_for(job, calls, nut, trade),
            *(hurry.never if hurry else ()),
        ),
        before_the_file=looks,
        setup=setup_part(context.looked_at.visit, job, context.gates),
    )
    return JobPlan(plan, nut_advice, hurry)


def _with_the_saddle_seen(
    context: JobContext, calls: tuple[StringCall, ...]
) -> tuple[StringCall, ...]:
    """The calls with what a high saddle adds left out of them, where strings stand high together;
    one high string among others is its slot's own affair."""
    if not stand_high_together(context.looked_at, calls):
        return calls

    def edge_mm(string: int) -> float:
        window, to_target = context.windows[string], string in context.to_target
        return lowered_above_mm(window, context.table, to_target)

    octave = octave_name(context.job.instrument.fretboard)
    return below_the_saddle(calls, context.saddle_lifts_mm, edge_mm, context.table, octave)


def string_state(
    job: Job,
    string: int,
    trade: TradeTables,
    last_known_mm: Mapping[int, float] | None = None,
    heard_before: Iterable[BuzzObservation] = (),
) -> StringState:
    """Estimate, call and next leaf of one string; KeyError when there is no such string."""
    job.instrument.spec(string)
    return state_in(job_context(job, trade, last_known_mm, heard_before), string)


def job_context(
    job: Job,
    trade: TradeTables,
    last_known_mm: Mapping[int, float] | None = None,
    heard_before: Iterable[BuzzObservation] = (),
) -> JobContext:
    """What the calls of all strings of `job` stand on, worked out once for all of them."""
    looked_at = RuleContext(job, trade)
    answered = answered_in(looked_at)
    return JobContext(
        job=answered,
        trade=trade,
        windows=windows(answered.instrument, answered.player, trade, heard_before),
        gates=gates_in(looked_at),
        last_known_mm=_known_still(last_known_mm or {}, answered),
        to_target=wanted_lower(looked_at),
        great=looked_at.great_clearances,
        looked_at=looked_at,
        saddle_lifts_mm=saddle_lifts_mm(looked_at),
        reading=trade.reading,
        table=trade.call,
        leaves=tuple(sorted(set(job.kit.leaves))),
    )


def _known_still(last_known_mm: Mapping[int, float], job: Job) -> Mapping[int, float]:
    """What earlier visits left on record of the strings that no work has touched since."""
    return {s: mm for s, mm in last_known_mm.items() if not was_worked_on(job, s)}


def wanted_lower(context: RuleContext) -> frozenset[int]:
    """Strings that there is a reason to bring down to their targets though they may stand inside
    their windows: it was asked for, somebody said that they are too high, a hand needs it, their
    cut has begun, or their slots were filled to be cut again."""
    job = context.job
    for_everyone = job.to_my_target or context.answered_option("comfort") == "yes"
    begun = {done.string for done in job.passes}
    filled = context.answers(context.rule_set.rule("fill"))
    return frozenset(
        string
        for string in context.strings
        if for_everyone
        or string in begun
        or context.complained_of_height(string)
        or filled.get(string, filled.get(None)) == AnswerFound("cured")
    )


def state_in(context: JobContext, string: int) -> StringState:
    """Where one string stands; KeyError when there is no such string."""
    job, window = context.job, context.windows[string]
    belief = string_belief(job, string, context.trade, context.last_known_mm.get(string))
    readings, answers, geometry = belief.readings, belief.answers, belief.geometry
    believed = belief.believed
    tone = open_string_tone(readings, string, job.player.attack, context.trade)
    to_target = string in context.to_target
    evidence = Evidence(
        string=string,
        window=window,
        believed=believed,
        verdicts=split(believed, window, tone, context.table, to_target),
        measured=belief.measured,
        by_touch=_high_by_touch(context, string, belief),
        unconfirmed=string in context.great and not any(a.reading.leaves for a in answers),
        filed=belief.filed,
        stale=belief.stale,
        frets=fret_names(job.instrument, string),
        cut_share=cut_share(job.instrument, string),
        contradiction=find_contradiction(answers, context.table.contradiction_below)
        or crown_yet_clean(readings, believed, window, tone, context.table)
        or _too_high_for_its_cents(context, string, readings, answers, geometry),
    )
    evidence = replace(evidence, advice=_advice(context, evidence, answers))
    call = _after_checks(context, make_call(evidence, context.table), evidence, geometry)
    if not evidence.filed:
        edge = lowered_above_mm(window, context.table, to_target)
        read = ReadSoFar(answers, edge, context.leaves, geometry, context.reading)
        call = with_reading_owed(call, read, context.table)
    return StringState(
        string=string,
        believed=believed,
        window=window,
        tone=tone,
        call=call,
        advice=evidence.advice,
        contradiction=evidence.contradiction,
        measured=evidence.measured,
    )


def _high_by_touch(context: JobContext, string: int, belief: StringBelief) -> bool:
    """Whether cents only add to what touch says: by touch alone it would be lowered, or lies over
    its target at the least."""
    touched = [answer for answer in belief.answers if kind_of(answer.reading).only_height]
    if len(touched) in (0, len(belief.answers)):
        return bool(touched)
    believed, geometry = belief.after(touched), belief.geometry
    window, to_target = context.windows[string], string in context.to_target
    edge = lowered_above_mm(window, context.table, to_target)
    if 1.0 - believed.probability_below(edge) >= context.table.call_at_least:
        return True
    bounds = (
        kind_of(t.reading).bounds_mm(t.reading, context.reading, lambda: geometry) for t in touched
    )
    return (
        max((low for low, _ in filter(None, bounds)), default=0.0)
        >= window.target_mm - _ROUNDING_MM
    )


_ROUNDING_MM = 1e-6


def _too_high_for_its_cents(
    context: JobContext,
    string: int,
    readings: tuple[Reading, ...],
    answers: tuple[HeightEvidence, ...],
    geometry: StringGeometry,
) -> Contradiction | None:
    """Not of strings that stretch so far that they hardly sharpen, nor where the nut's front edge
    stands off its place, on purpose or not."""
    nut_off = any(g.gate == "nut_position" and g.state is GateState.FAILED for g in context.gates)
    compensated = context.job.instrument.nut.type is NutType.COMPENSATED
    soft = context.job.instrument.spec(string).make in SOFT_MAKES
    if nut_off or compensated or soft:
        return None
    return too_high_for_its_cents(readings, answers, geometry, context.reading, context.table)


def _advice(
    context: JobContext, evidence: Evidence, answers: tuple[HeightEvidence, ...]
) -> LeafAdvice:
    found = evidence.contradiction
    if found is not None:
        return LeafAdvice(_leaf_to_read_again(found, context.job.kit.leaves), LeafReason.AGAIN)
    # what is on record, or what a pass left, is where a leaf confirms most at once
    # what a step moved is known to start with, too
    on_record = evidence.string in context.last_known_mm or evidence.stale
    begun = evidence.filed
    question = LeafQuestion(
        believed=evidence.believed,
        verdicts=evidence.verdicts,
        target_mm=evidence.believed.median if on_record else evidence.window.target_mm,
        kit=context.leaves,
        known_within_mm=context.table.amount_interval_mm,
        used=frozenset(
            tuple(sorted(answer.reading.leaves)) for answer in answers if answer.reading.leaves
        ),
        fresh=not answers and not begun,
    )
    return next_leaf(question, context.reading, context.table)


def _leaf_to_read_again(found: Contradiction, kit: tuple[Length, ...]) -> Stack:
    """The leaf to read again: the one not just read, if the kit has it; else none."""
    both = (found.earlier.leaves, found.later.leaves)
    return next((leaves for leaves in both if leaves and set(leaves) <= set(kit)), ())


def _after_checks(
    context: JobContext, call: StringCall, evidence: Evidence, geometry: StringGeometry
) -> StringCall:
    """The call after the checks, with its file and its cents."""
    gates = most_pressing_first(context.gates, context.trade.rules)
    checked = apply_gates(call, gates, context.table)
    update: dict[str, Any] = {}
    if checked.call is not call.call:
        update["held_back"] = call
    fretted = evidence.measured and context.job.instrument.fretted
    cents = geometry.cents(evidence.believed.median, 1) if fretted else None
    if cents is not None:
        update["cents_at_fret_1"] = round(cents, 2)
    return _with_file(context, checked.model_copy(update=update))


def _with_file(context: JobContext, call: StringCall) -> StringCall:
    """The call with the file that its slot takes, where one goes into it."""
    if call.call not in IRREVERSIBLE or context.job.instrument.nut.type in ONE_PIECE:
        return call
    gauge = context.job.instrument.spec(call.string).gauge
    widen = call.call is CallKind.WIDEN
    choice = choose_file(gauge, context.job.kit.files, context.trade, widen=widen)
    file_mm = choice.file.mm if choice.file else None
    return call.model_copy(update={"file_mm": file_mm, "file_note": choice.note})

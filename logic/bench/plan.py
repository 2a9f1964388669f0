"""The plan for one job: every string's call, the whole nut, and the cautions that matter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from logic.bench.call import Evidence, apply_gates, make_call
from logic.bench.contradictions import Contradiction, find_contradiction
from logic.bench.files import choose_file
from logic.bench.next_leaf import LeafAdvice, Question, next_leaf
from logic.bench.reading import (
    Posterior,
    ReadingTable,
    kind_prior,
    last_known_prior,
    posterior,
    reading_table,
)
from logic.bench.trade import Trade
from logic.bench.verdict import CallTable, Heard, call_table, heard, split
from logic.bench.ways import string_ways
from logic.bench.whole_nut import advise_nut
from logic.bench.window import StringWindow, windows
from shared.job import Assumed, CallKind, Gate, Job, NutAdvice, Plan, Reading, StringCall


@dataclass(frozen=True)
class StringState:
    """Where one string stands after the answers so far."""

    string: int
    believed: Posterior
    window: StringWindow
    heard: Heard
    call: StringCall
    advice: LeafAdvice
    contradiction: Contradiction | None
    measured: bool

    @property
    def settled(self) -> bool:
        """Whether no further leaf is needed for the call."""
        return self.measured and self.contradiction is None and not self.call_needs_leaf

    @property
    def call_needs_leaf(self) -> bool:
        """Whether a leaf in the kit would still tell more about the call."""
        return self.advice.why.asks


@dataclass(frozen=True)
class _Bench:
    """One job with everything that its strings share."""

    job: Job
    trade: Trade
    windows: Mapping[int, StringWindow]
    gates: tuple[Gate, ...]
    last_known_mm: Mapping[int, float]
    reading: ReadingTable
    table: CallTable


def make_plan(
    job: Job,
    trade: Trade,
    assumed: tuple[Assumed, ...] = (),
    last_known_mm: Mapping[int, float] | None = None,
) -> Plan:
    """The calls for every string of `job`, bass to treble as the instrument lists them.

    `last_known_mm` are clearances on record from an earlier visit, by string.
    """
    bench = _bench(job, trade, last_known_mm)
    calls = tuple(_state(bench, spec.string).call for spec in job.instrument.strings)
    nut = advise_nut(calls, job.instrument, job.kit, trade)
    return Plan(
        assumed=assumed,
        gates=bench.gates,
        strings=calls,
        nut=nut,
        cautions=cautions_for(job, calls, nut, trade),
    )


def string_state(
    job: Job,
    string: int,
    trade: Trade,
    last_known_mm: Mapping[int, float] | None = None,
) -> StringState:
    """Estimate, call and next leaf of one string; KeyError when there is no such string."""
    job.instrument.spec(string)
    return _state(_bench(job, trade, last_known_mm), string)


def _bench(job: Job, trade: Trade, last_known_mm: Mapping[int, float] | None) -> _Bench:
    return _Bench(
        job=job,
        trade=trade,
        windows=windows(job.instrument, job.player, trade),
        gates=(),
        last_known_mm=last_known_mm or {},
        reading=reading_table(trade),
        table=call_table(trade),
    )


def _state(bench: _Bench, string: int) -> StringState:
    own = tuple(reading for reading in bench.job.readings if reading.string == string)
    ways = string_ways(bench.job.instrument, string, bench.trade)
    believed = posterior(own, string, _prior(bench, string), bench.reading, ways)
    heard_as = heard(own, string, bench.job.player.attack, bench.trade)
    verdicts = split(believed, bench.windows[string], heard_as, bench.table)
    measured = any(_measures(reading) for reading in own)
    advice = _advice(bench, string, own, believed, verdicts, measured)
    found = find_contradiction(own, string, bench.table.contradiction_below, bench.reading, ways)
    evidence = Evidence(
        string=string,
        window=bench.windows[string],
        believed=believed,
        verdicts=verdicts,
        advice=advice,
        measured=measured,
        contradiction=found,
    )
    return StringState(
        string=string,
        believed=believed,
        window=bench.windows[string],
        heard=heard_as,
        call=_finished(bench, make_call(evidence, bench.table)),
        advice=advice,
        contradiction=found,
        measured=measured,
    )


def _advice(
    bench: _Bench,
    string: int,
    own: tuple[Reading, ...],
    believed: Posterior,
    verdicts: Any,
    measured: bool,
) -> LeafAdvice:
    question = Question(
        believed=believed,
        verdicts=verdicts,
        target_mm=bench.windows[string].target_mm,
        kit=bench.job.kit.leaves,
        used=frozenset(tuple(sorted(reading.leaves)) for reading in own if reading.leaves),
        fresh=not measured and string not in bench.last_known_mm,
    )
    return next_leaf(question, bench.reading, bench.table)


def _prior(bench: _Bench, string: int) -> Posterior:
    kind = bench.job.instrument.kind
    if string in bench.last_known_mm:
        return last_known_prior(kind, bench.last_known_mm[string], bench.trade)
    return kind_prior(kind, bench.trade)


def _measures(reading: Reading) -> bool:
    """Whether a reading speaks of height at all."""
    return (reading.contact or reading.clearance or reading.gap or reading.cents) is not None


def _finished(bench: _Bench, call: StringCall) -> StringCall:
    """The call after the checks, with its file."""
    call = apply_gates(call, bench.gates, bench.table)
    if call.call not in (CallKind.LOWER, CallKind.WIDEN):
        return call
    spec = bench.job.instrument.spec(call.string)
    choice = choose_file(spec.gauge, bench.job.kit.files, bench.trade)
    width = choice.file.mm if choice.file else None
    return call.model_copy(update={"file_mm": width, "file_note": choice.note})


def cautions_for(
    job: Job, calls: tuple[StringCall, ...], nut: NutAdvice, trade: Trade
) -> tuple[str, ...]:
    """The cautions that matter to this plan, in the table's order."""
    kinds = {call.call.value for call in calls}
    methods = {option.method for option in nut.options}
    return tuple(
        row["say"]
        for row in trade.tables["cautions"]["cautions"]
        if _applies(row, kinds, methods, job)
    )


def _applies(row: dict[str, Any], kinds: set[str], methods: set[str], job: Job) -> bool:
    nut = job.instrument.nut
    if not (kinds & set(row.get("calls", ())) or methods & set(row.get("methods", ()))):
        return False
    if row.get("valuable") and not (nut.original or nut.glued):
        return False
    words = row.get("materials")
    return not words or any(word in nut.material.lower() for word in words)

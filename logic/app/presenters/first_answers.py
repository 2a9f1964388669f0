"""What the calls of a plan wait for: the one question to answer first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from logic.app.session.open_job import OpenedJob
from logic.app.views.pieces import Choice
from logic.bench.checks.gates import next_questions
from logic.bench.checks.rule_words import rule_asked
from logic.bench.checks.second_look import READ_ONCE
from shared.job import IRREVERSIBLE, CallKind, Gate, GateState, StringCall
from shared.reasons import GateReason
from shared.words import say, say_many


def awaited_gate(call: StringCall, work: OpenedJob) -> str:
    """The question that `call` waits for; empty where it waits for none that can be answered."""
    if call.call is not CallKind.CHECK_FIRST:
        return ""
    gate = call.open_check.check if call.open_check else _gate_behind(call, work.plan.gates)
    can_be_asked = any(rule.id == gate and rule.asked for rule in work.trade.rules.rules)
    return gate if can_be_asked else ""


def _gate_behind(call: StringCall, gates: Iterable[Gate]) -> str:
    """The gate whose reason the call gives."""
    for gate in gates:
        stands = gate.state is not GateState.PASSED
        speaks_of_it = not gate.strings or call.string in gate.strings
        if stands and speaks_of_it and call.reason in (gate.reason, gate.gate):
            return gate.gate
    return ""


def first_answers(work: OpenedJob) -> tuple[Choice, ...]:
    """The question that most calls wait for, with how many they are; none where none waits."""
    waiting = Counter(filter(None, (awaited_gate(call, work) for call in work.plan.strings)))
    if not waiting:
        return _makes_surer(work) or _second_look(work)
    (gate, count), *_ = waiting.most_common()
    waits = say_many(
        "{count} string waits for the answer", "{count} strings wait for the answer", count
    )
    return (_way_to(gate, work, waits),)


def _makes_surer(work: OpenedJob) -> tuple[Choice, ...]:
    """What nobody asked and what would bar a cut that is called for: without its answer the cut is
    less sure. Once a file has been at work it is too late to ask first."""
    cuts = not work.job.passes and any(c.call in IRREVERSIBLE for c in work.plan.strings)
    unasked = {g.gate for g in work.plan.gates if g.reason == GateReason.NOT_ASKED and g.weighs}
    if not cuts or not unasked:
        return ()
    left = next_questions(work.job, work.trade)
    rules = {rule.id: rule for rule in work.trade.rules.rules}
    bars = (q.gate for q in left if q.gate in unasked and CallKind.LOWER in rules[q.gate].bars)
    gate = next(bars, "")
    return (_way_to(gate, work, say("A cut is surer once this is answered")),) if gate else ()


def _second_look(work: OpenedJob) -> tuple[Choice, ...]:
    """What to look at once more before the first file, one thing after the other."""
    check = next_look(work)
    if not check:
        return ()
    ask = rule_asked(work.trade.rules.rule(check), work.job.instrument)
    return (Choice(check, ask, say("Look once more before anything is filed")),)


def next_look(work: OpenedJob, asked: tuple[str, ...] = ()) -> str:
    """The next check that a cut rests on and that was not `asked` on the way; empty where none is
    left, and once a cut has begun."""
    owed = () if work.job.passes else work.plan.before_the_file
    left = (look.check for look in owed if look.check != READ_ONCE and look.check not in asked)
    return next(left, "")


def looked_at_once(work: OpenedJob, gate: str) -> bool:
    """Whether an answer to this check would be a second look."""
    return any(look.check == gate and look.answered for look in work.plan.before_the_file)


def first_answer(call: StringCall, work: OpenedJob) -> Choice | None:
    """The question that one call waits for."""
    gate = awaited_gate(call, work)
    return _way_to(gate, work, "") if gate else None


def _way_to(gate: str, work: OpenedJob, waits: str) -> Choice:
    """The question itself, and what to know beside it."""
    again = say("Answer again once it is put right") if _was_answered(gate, work) else waits
    return Choice(gate, rule_asked(work.trade.rules.rule(gate), work.job.instrument), again)


def _was_answered(gate: str, work: OpenedJob) -> bool:
    """Whether anybody said anything but that it be skipped."""
    given = work.job.checks.get(gate, "skipped")
    return any(
        each != "skipped" for each in (given.values() if isinstance(given, dict) else [given])
    )


HEIGHT_IN_DOUBT = "measured_over"
"""The question whether a great height was read over the fret or over the board."""


def height_in_doubt(work: OpenedJob) -> bool:
    """Whether a reading is so high that this is to be asked; it is, once an instrument."""
    if HEIGHT_IN_DOUBT in work.job.checks:
        return False
    return any(
        gate.gate == HEIGHT_IN_DOUBT and gate.state is GateState.OPEN
        for gate in work.standing.gates
    )


def string_to_ask(work: OpenedJob, gate: str, asked_at: int | None) -> int | None:
    """The string that a question speaks of: all while nobody answered it string by string, else
    the one that asked, or the first whose call waits for it."""
    if not isinstance(work.job.checks.get(gate), dict):
        return None
    waiting = (call.string for call in work.plan.strings if awaited_gate(call, work) == gate)
    return asked_at or next(waiting, None)


def next_awaited(work: OpenedJob, asked_at: int | None, asked: tuple[str, ...]) -> str:
    """What the calls wait for besides, of all strings or of the one that asked: nothing that was
    `asked` on the way or ever answered, and what was skipped once more."""
    calls = (c for c in work.plan.strings if asked_at in (None, c.string))
    waiting = (awaited_gate(call, work) for call in calls)
    open_ones = (g for g in waiting if g and g not in asked and not _was_answered(g, work))
    return next(open_ones, "")

"""What a failed check says on its own card: what is wrong, by how much, and what to do."""

from __future__ import annotations

from logic.app.session.open_job import OpenedJob
from logic.app.wording.wording import Wording
from logic.bench.checks.answers import read_answer
from logic.bench.checks.beyond import beyond
from logic.bench.checks.conclusions import concluded_from
from logic.bench.plan.reportable import reportable_for_gates
from shared.job import CallKind, Gate, GateState
from shared.words import say
from shared.work import Work

_PUT_RIGHT = (CallKind.CHECK_FIRST, CallKind.EASE, CallKind.WIDEN)
"""A check that imposes one of these asks for work before the string is judged."""


def failed_gate(work: OpenedJob, gate: str, string: int | None) -> Gate | None:
    """The check as it failed, of this string or of any; None where it has not failed."""
    failed = (g for g in work.standing.gates if g.gate == gate and g.state is GateState.FAILED)
    of_it = (g for g in failed if string is None or not g.strings or string in g.strings)
    return next(of_it, None)


def speaks_at_once(work: OpenedJob, gate: str, string: int | None) -> bool:
    """Whether an answer found something that can be put right and measured again; what only says
    how to go about the work is said on the plan."""
    failed = failed_gate(work, gate, string)
    if failed is None:
        return False
    measured = any(rule.id == gate and rule.kind == "length" for rule in work.trade.rules.rules)
    return measured or failed.imposes in _PUT_RIGHT


def set_right_by(work: OpenedJob, gate: str, string: int | None, answer: str) -> Work | None:
    """The work that put a failed check right, now that it is answered with `answer`: None where it
    fails still, where no such work is known, and where none of its strings was read before it, so
    that it ends nothing."""
    failed = failed_gate(work, gate, string)
    if failed is None or not _passes(work, gate, string, answer):
        return None
    strings = failed.strings or tuple(spec.string for spec in work.job.instrument.strings)
    named = failed.model_copy(update={"strings": strings})
    done = next(iter(reportable_for_gates((named,), work.standing.job, work.trade)), None)
    read = {reading.string for reading in work.job.readings}
    return done if done is not None and read & set(done.strings) else None


def _passes(work: OpenedJob, gate: str, string: int | None, answer: str) -> bool:
    rule, context = work.trade.rules.rule(gate), work.standing.looked_at
    here = string or context.strings[0]
    found = concluded_from(rule, context, here, read_answer(rule, gate, answer))
    return found.state is GateState.PASSED


def finding_in_words(
    work: OpenedJob, gate: str, string: int | None, wording: Wording
) -> tuple[str, ...]:
    """By how much it fails, where it was measured, and what to do; nothing where it passes."""
    failed = failed_gate(work, gate, string)
    if failed is None:
        return ()
    far = beyond(work.standing.looked_at, gate, string)
    if far is None:
        return (failed.why,)
    by, limit = wording.mm(abs(far.by_mm)), wording.mm(far.limit_mm)
    if far.by_mm > 0:
        return (say("{by} too much: at most {limit}.", by=by, limit=limit), failed.why)
    return (say("{by} too little: at least {limit}.", by=by, limit=limit), failed.why)

"""An amount that was reported beside what was read before and after it: where both cannot be right,
both are kept and the plan says so."""

from __future__ import annotations

from collections.abc import Iterator

from logic.bench.instrument.naming import strings_listed
from logic.bench.plan.string_belief import string_belief
from logic.bench.tables.trade_tables import TradeTables
from shared.amounts import computed
from shared.job import Interval, Job, Round, StringCall
from shared.words import listed, say
from shared.work import Work, WorkKind

_LIFTS = (WorkKind.SHIM, WorkKind.STRIP)
"""What lifts every string that it touches by its whole thickness."""


def amounts_in_doubt(
    job: Job, calls: tuple[StringCall, ...], trade: TradeTables
) -> tuple[str, ...]:
    """A line for each piece of work whose amount its strings did not follow."""
    lines = []
    for place, done in enumerate(job.rounds):
        if done.work.amount is None:
            continue
        moved = dict(_out_of_step(job, place, calls, trade))
        if moved:
            lines.append(_in_words(done.work, moved, job, trade))
    return tuple(lines)


def _out_of_step(
    job: Job, place: int, calls: tuple[StringCall, ...], trade: TradeTables
) -> Iterator[tuple[int, float]]:
    """Strings that this work was the last to touch, with how far they rose, where that is not what
    its amount makes them."""
    done = job.rounds[place]
    later = {string for each in job.rounds[place + 1 :] for string in each.work.strings}
    for call in calls:
        if call.string not in done.work.strings or call.string in later:
            continue
        before, now = _before(job, place, call.string, trade), call.clearance_mm
        if before is None or now is None:
            continue
        low, high = expected_mm(done.work, call.cut_share)
        slack = trade.work.agrees_within_mm
        if now.low - before.high - slack > high or now.high - before.low + slack < low:
            yield call.string, now.estimate - before.estimate


def expected_mm(work: Work, share: float) -> tuple[float, float]:
    """The least and the most by which such work lifts a string over its first fret, where `share`
    of what moves at the nut arrives; millimetres. A wedge lifts one side by its thickness and the
    other hardly."""
    whole = (work.amount.mm if work.amount else 0.0) * share
    if work.what is WorkKind.BASE:
        return -whole, -whole
    return (whole if work.what in _LIFTS else 0.0), whole


def _before(job: Job, place: int, string: int, trade: TradeTables) -> Interval | None:
    """Where a string stood before this work, by what was read of it in that round."""
    done: Round = job.rounds[place]
    then = {"readings": done.readings, "passes": done.passes, "proofs": done.proofs}
    stood: Job = job.model_copy(
        update=then | {"setup": done.setup, "measured_in": None, "rounds": job.rounds[:place]}
    )
    return string_belief(stood, string, trade).clearance_mm


def _in_words(work: Work, moved: dict[int, float], job: Job, trade: TradeTables) -> str:
    names = tuple(map(job.instrument.name_of, moved))
    each = listed(
        [_moved_in_words(job.instrument.name_of(string), rose) for string, rose in moved.items()]
    )
    return say(
        "{work}, {amount}, yet {moved}: both cannot be right. Both are kept; read {strings} again.",
        work=say(trade.work.row(work.what).called),
        amount=work.amount,
        moved=each,
        strings=strings_listed(names),
    )


def _moved_in_words(name: str, rose_mm: float) -> str:
    if rose_mm < 0:
        return say("string {name} fell by {amount}", name=name, amount=computed(-rose_mm))
    return say("string {name} rose by {amount}", name=name, amount=computed(rose_mm))

"""Which work can be reported done: of a string by its call and the checks that failed, of the nut
by its options, and of anything else that may have been done."""

from __future__ import annotations

from collections.abc import Iterable

from logic.bench.raising.nut_evidence import ONE_PIECE
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.work import Touches
from shared.instrument import Instrument
from shared.job import CallKind, Gate, GateState, Job, RaiseOption, StringCall
from shared.units import Length
from shared.work import Work, WorkKind

_BY_CALL = {
    CallKind.RAISE: (WorkKind.FILL, WorkKind.STRIP),
    CallKind.EASE: (WorkKind.SLOT_EASED,),
    CallKind.WIDEN: (WorkKind.SLOT_WIDENED,),
}
"""What a call asks for that is no filing down."""
_ON_THE_BENCH_FIRST = (WorkKind.RELIEF_SET, WorkKind.FRET_SEATED, WorkKind.ACTION_SET)
"""What comes before the nut, in the order in which it is set."""


def reportable(
    call: StringCall, gates: Iterable[Gate], job: Job, trade: TradeTables
) -> tuple[Work, ...]:
    """What can be said done of one string, the likeliest first: what sets right a check that failed
    for it, then what its call asks for."""
    failed = [
        gate
        for gate in gates
        if gate.state is GateState.FAILED and (not gate.strings or call.string in gate.strings)
    ]
    mending = (each for gate in failed for each in _mending(gate, call.string, job, trade))
    in_one_piece = job.instrument.nut.type in ONE_PIECE and call.call is CallKind.RAISE
    asked_for = (WorkKind.SHIM,) if in_one_piece else _BY_CALL.get(call.call, ())
    own = (work_of(kind, job, trade, (call.string,)) for kind in asked_for)
    return _each_kind_once((*mending, *own))


def _mending(gate: Gate, string: int, job: Job, trade: TradeTables) -> Iterable[Work]:
    """The work that sets a failed check right; what a slot needs its call says."""
    for kind in (*_ON_THE_BENCH_FIRST, *WorkKind):
        if gate.gate in trade.work.row(kind).sets_right:
            yield work_of(kind, job, trade, gate.strings or (string,))


def reportable_for_gates(gates: Iterable[Gate], job: Job, trade: TradeTables) -> tuple[Work, ...]:
    """What can be said done of all checks that failed; a plan offers it with them."""
    strings = tuple(spec.string for spec in job.instrument.strings)
    failed = (gate for gate in gates if gate.state is GateState.FAILED)
    found = (
        each
        for gate in failed
        for each in _mending(gate, strings[0], job, trade)
        if gate.strings or trade.work.row(each.what).touches is not Touches.SLOTS
    )
    return _each_kind_once(found)


def reportable_option(option: RaiseOption, job: Job, trade: TradeTables, steps: int = 0) -> Work:
    """The work that one option of the whole nut is, once it is done, its amount so many steps away
    from what is advised: the steps in which shims are made."""
    kind = WorkKind(option.method)
    advised_mm = sum(option.stack_mm) or option.amount_mm
    amount = None
    if advised_mm and trade.work.row(kind).amount:
        step_mm = trade.kit.shim_step_mm
        amount = Length.of(round(max(advised_mm + steps * step_mm, min(advised_mm, step_mm)), 3))
    return work_of(kind, job, trade, option.slots_touched, amount)


def other_work(job: Job, trade: TradeTables, string: int) -> tuple[Work, ...]:
    """All that may have been done besides, whatever the plan asks for; what is done slot by slot,
    of `string`."""
    return tuple(work_of(kind, job, trade, (string,)) for kind in WorkKind)


def work_of(
    kind: WorkKind,
    job: Job,
    trade: TradeTables,
    strings: tuple[int, ...] = (),
    amount: Length | None = None,
) -> Work:
    """Work of this kind with all the strings that it touches: `strings` where they have to be
    named; else those on the common nut, or every string."""
    return Work(what=kind, strings=touched(kind, job.instrument, trade, strings), amount=amount)


def touched(
    kind: WorkKind, instrument: Instrument, trade: TradeTables, strings: tuple[int, ...] = ()
) -> tuple[int, ...]:
    """The strings that work of this kind touches."""
    specs = instrument.strings
    touches = trade.work.row(kind).touches
    if touches is Touches.SLOTS:
        return strings or tuple(spec.string for spec in specs)
    common = tuple(spec.string for spec in specs if not spec.from_fret)
    return common if touches is Touches.COMMON_NUT and common else tuple(s.string for s in specs)


def _each_kind_once(works: Iterable[Work]) -> tuple[Work, ...]:
    found: dict[WorkKind, Work] = {}
    for work in works:
        found.setdefault(work.what, work)
    return tuple(found.values())

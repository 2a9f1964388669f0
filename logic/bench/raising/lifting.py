"""The ways that move the nut as one part: shim, wedge, a shim that comes out, the base.

A shim of thickness s lifts every slot floor by s, and every first-fret clearance by s·2^(−n/12),
n semitones up.
A wedge as thick as t at one edge of the nut and nothing at the other lifts a slot by t times its
distance from the thin edge over the width of the nut. Both are similar triangles.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from logic.bench.cutting.files import choose_file
from logic.bench.raising.lifting_words import (
    base_in_words,
    from_stock,
    in_whole_shims,
    rises,
    what_it_does,
)
from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_side import edge_shares, low_side
from logic.bench.raising.positions import (
    ROUNDING_MM,
    Outcome,
    StringPosition,
    carried_out,
    outcome_of,
    shares_of,
)
from logic.bench.raising.shim_stack import stack_of, stacks_thinner_than
from logic.bench.tables.vocabulary import RaiseMethod
from shared.amounts import computed
from shared.instrument import NutType
from shared.job import LowerAfter, RaiseOption
from shared.measurements import Side
from shared.words import say

_NUT_OUT = (RaiseMethod.SHIM, RaiseMethod.SHIM_OUT, RaiseMethod.WEDGE, RaiseMethod.NEW_NUT)
"""Ways for which the nut comes out; a base is offered only once it is known that it does."""


@dataclass(frozen=True)
class Lift:
    """What the whole nut is moved by: how far each slot floor rises, and from what."""

    method: RaiseMethod
    lifts_mm: Mapping[int, float]
    amount_mm: float
    stack_mm: tuple[float, ...] = ()
    side: Side | None = None


def option_of(
    nut: NutEvidence,
    method: RaiseMethod,
    touched: tuple[int, ...],
    *,
    slots: int = 0,
    **more: Any,
) -> RaiseOption:
    """One way with what the table says that it costs; `slots` are those worked on besides."""
    costs = nut.trade.raising.methods[method]
    return RaiseOption(
        method=method,
        slots_touched=touched,
        minutes=costs.minutes + slots * nut.trade.raising.slot_minutes,
        slots_filed=slots,
        cure_hours=costs.cure_hours,
        cautions=tuple(_cautions(nut, method, costs.caution)),
        **more,
    )


def _cautions(nut: NutEvidence, method: RaiseMethod, caution: str) -> Iterator[str]:
    """What to mind with a way, and what to find out first where the nut comes out for it."""
    if method in _NUT_OUT and "glued" in nut.unasked_of_the_part and not nut.one_piece:
        yield say("Find out first whether the nut is glued in.")
    if caution:
        yield say(caution)


def outcome_on(nut: NutEvidence, option: RaiseOption) -> Outcome:
    """What an option does to the strings on the common nut whose height is known: of one that was
    never read nobody can say that it is cured or spoilt."""
    positions = {string: nut.positions[string] for string in nut.common if string in nut.read}
    return outcome_of(option, positions, nut.to_lift, nut.to_drop)


def shim_under(nut: NutEvidence, low: tuple[int, ...]) -> RaiseOption | None:
    """A shim under a slotted nut; one that is there already comes out for one that does both."""
    need = max(nut.positions[string].need_mm for string in low)
    there, table = nut.shim_mm, nut.trade.raising
    if there + need > table.thickest_mm:
        return None
    stack = stack_of(there + need, (s.mm for s in nut.job.kit.shims), table)
    lift = sum(stack) - there if stack else need
    lifts = dict.fromkeys(nut.common, lift)
    return _lifted(nut, Lift(RaiseMethod.SHIM, lifts, lift, stack))


def wedge_under(nut: NutEvidence, low: tuple[int, ...], side: Side) -> RaiseOption | None:
    """Under the whole nut, thick at the low side and nothing at the other."""
    shares = edge_shares(nut.instrument, nut.trade, side)
    thick = max(nut.positions[s].need_mm / shares[s] for s in low if s in shares)
    if thick > nut.trade.raising.thickest_mm:
        return None
    stock = (s.mm for s in nut.job.kit.shims if s.mm >= thick - ROUNDING_MM)
    sheet = min(stock, default=None)
    lifts = {s: thick * shares[s] for s in nut.common if s in shares}
    return _lifted(nut, Lift(RaiseMethod.WEDGE, lifts, thick, (sheet,) if sheet else (), side))


def shim_under_one_piece(nut: NutEvidence, low: tuple[int, ...]) -> RaiseOption:
    """Whole shims under one side of a nut that is one part, or under all of it: of all thicknesses
    that raise a low string far enough, the one that leaves most strings inside their windows."""
    side = low_side(nut.common, low)
    tried = [
        _one_piece_option(nut, need, on)
        for on in dict.fromkeys((side, None))
        for need in _needs(nut, low, on)
    ]
    return min(tried, key=lambda option: len(option.missed))


def shim_out(nut: NutEvidence) -> RaiseOption | None:
    """The known shim out, or for a thinner one: as far as no string falls below its window and
    those that stand high come nearest to their targets; None where nothing may come out."""
    if not nut.shim_mm or not nut.to_drop or not set(nut.common) <= nut.read:
        return None
    stock = [shim.mm for shim in nut.job.kit.shims]
    stacks = ((), *stacks_thinner_than(nut.shim_mm, stock, nut.trade.raising))
    tried = [option for stack in stacks if (option := _without(nut, stack)) is not None]
    return min(tried, key=lambda option: _from_targets_mm(nut, option), default=None)


def base_down(nut: NutEvidence, amount_mm: float) -> RaiseOption:
    """Filing down the nut's base, by what every slot can spare."""
    lifts = dict.fromkeys(nut.common, -round(amount_mm, 4))
    after = cuts_after(nut, lifts)
    made = option_of(
        nut,
        RaiseMethod.BASE,
        nut.common,
        amount_mm=amount_mm,
        lifts_mm=lifts,
        lower_after=after,
        why=base_in_words(after, nut.instrument),
    )
    return with_missed(nut, made)


def with_missed(nut: NutEvidence, option: RaiseOption) -> RaiseOption:
    """The option with the strings that stand outside their windows after it."""
    return option.model_copy(update={"missed": outcome_on(nut, option).missed})


def cuts_after(nut: NutEvidence, lifts: Mapping[int, float]) -> tuple[LowerAfter, ...]:
    """What is cut off again at the slots that are then too high, where they were read and a file
    may go into them. `lifts` are millimetres by string."""
    cuts = (
        after_lift(nut, nut.positions[string], lifts.get(string, 0.0))
        for string in nut.common
        if string in nut.read and nut.may_lower(string)
    )
    return tuple(cut for cut in cuts if cut is not None)


def after_lift(nut: NutEvidence, position: StringPosition, floor_mm: float) -> LowerAfter | None:
    """What must be cut off again once a slot has been lifted; None where it may stand."""
    clearance = position.lifted_mm(floor_mm)
    if clearance <= position.upper_mm + ROUNDING_MM:
        return None
    gauge = nut.instrument.spec(position.string).gauge
    file = choose_file(gauge, nut.job.kit.files, nut.trade).file
    cut = (clearance - position.target_mm) / position.cut_share
    return LowerAfter(
        string=position.string, slot_cut_mm=round(cut, 4), file_mm=file.mm if file else None
    )


def rounded(lifts: Mapping[int, float]) -> dict[int, float]:
    """Lifts in millimetres by string, as an option publishes them."""
    return {string: round(lift, 4) for string, lift in lifts.items()}


def _lifted(nut: NutEvidence, lift: Lift) -> RaiseOption:
    """A shim or wedge under a slotted nut, with what every slot is cut by afterwards."""
    after = cuts_after(nut, lift.lifts_mm)
    made = option_of(
        nut,
        lift.method,
        nut.common,
        slots=len(after),
        reversible=True,
        amount_mm=round(lift.amount_mm, 4),
        stack_mm=lift.stack_mm,
        lifts_mm=rounded(lift.lifts_mm),
        lower_after=after,
    )
    made = with_missed(nut, made)
    there = nut.shim_mm if lift.method is RaiseMethod.SHIM else 0.0
    return made.model_copy(update={"why": what_it_does(made, nut.instrument, lift.side, there)})


def _needs(nut: NutEvidence, low: tuple[int, ...], side: Side | None) -> tuple[float, ...]:
    """Thicknesses worth trying: all low strings to their targets, and each as far as is enough."""
    shares = edge_shares(nut.instrument, nut.trade, side) if side else {}
    at = {s: (nut.positions[s], shares.get(s, 1.0)) for s in low}
    least = {
        (position.enough_mm - position.clearance_mm) / position.cut_share / share
        for position, share in at.values()
    }
    target = max(position.need_mm / share for position, share in at.values())
    return (target, *sorted((need for need in least if 0 < need < target), reverse=True))


def _one_piece_option(nut: NutEvidence, need_mm: float, side: Side | None) -> RaiseOption:
    shares = edge_shares(nut.instrument, nut.trade, side) if side else {}
    stack = stack_of(need_mm, (s.mm for s in nut.job.kit.shims), nut.trade.raising)
    thick = sum(stack) or need_mm
    lifts = {s: thick * shares.get(s, 1.0) for s in nut.common}
    clamps = nut.instrument.nut.type is NutType.CLAMPING
    made = option_of(
        nut,
        RaiseMethod.SHIM,
        nut.common,
        reversible=True,
        amount_mm=round(thick, 4),
        stack_mm=stack,
        lifts_mm=rounded(lifts),
        why=in_whole_shims(side, rises(lifts, nut.instrument, 2 if clamps else 1)),
    )
    return with_missed(nut, made)


def _without(nut: NutEvidence, stack: tuple[float, ...]) -> RaiseOption | None:
    """The shim out for this stack; None where that is next to nothing, where a string would fall
    below its window by it, or where none that stands high would come into its own."""
    out = nut.shim_mm - sum(stack)
    made = option_of(
        nut,
        RaiseMethod.SHIM_OUT,
        nut.common,
        reversible=True,
        amount_mm=round(out, 4),
        stack_mm=stack,
        lifts_mm=rounded(dict.fromkeys(nut.common, -out)),
        why=_comes_out(out, stack),
    )
    made = with_missed(nut, made)
    if out < nut.trade.raising.alike_mm:
        return None
    fallen = any(mm < nut.positions[s].low_mm for s, mm in _ends(nut, made).items())
    return made if not fallen and outcome_on(nut, made).cured else None


def _comes_out(out_mm: float, stack: tuple[float, ...]) -> str:
    lowers = say("Lowers every slot by {amount}; it can go back in.", amount=computed(out_mm))
    if not stack:
        return lowers
    instead = say("In its place: {pieces}.", pieces=from_stock(stack))
    return f"{lowers} {instead}"


def _ends(nut: NutEvidence, option: RaiseOption) -> dict[int, float]:
    common = {s: nut.positions[s] for s in nut.common}
    return carried_out(option, {s: at.clearance_mm for s, at in common.items()}, shares_of(common))


def _from_targets_mm(nut: NutEvidence, option: RaiseOption) -> float:
    ends = _ends(nut, option).items()
    return sum(abs(mm - nut.positions[string].target_mm) for string, mm in ends)

"""Ways of giving height back, side by side: what each lifts, and what must come down after it.

A shim of thickness s lifts every slot floor by s, and every first-fret clearance by s·2^(−1/12).
A wedge as thick as t at one edge of the nut and nothing at the other lifts a slot by t times its
distance from the thin edge over the width of the nut. Both are similar triangles.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from logic.bench.cutting.files import choose_file
from logic.bench.raising.nut_layout import lay_out
from logic.bench.raising.nut_side import low_side
from logic.bench.raising.shim_stack import stack_of
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.vocabulary import RaiseMethod
from logic.physics.neck import SLOT_TO_CLEARANCE
from shared.amounts import Joined, computed, span
from shared.errors import InputError
from shared.instrument import Instrument, NutType, Player
from shared.job import CallKind, LowerAfter, RaiseOption, StringCall
from shared.kit import Kit
from shared.measurements import Side
from shared.words import listed, mark, say

if TYPE_CHECKING:
    pass

_ROUNDING_MM = 1e-9
_COMES_OUT = mark("The {shim} already there comes out.")


@dataclass(frozen=True)
class StringPosition:
    """One string as its call found it; millimetres of first-fret clearance."""

    string: int
    clearance_mm: float
    low_mm: float
    target_mm: float
    upper_mm: float
    """Above this it is lowered again."""
    high_mm: float

    @property
    def need_mm(self) -> float:
        """How far its slot floor must rise to the target."""
        return max(self.target_mm - self.clearance_mm, 0.0) / SLOT_TO_CLEARANCE

    def lifted_mm(self, floor_mm: float) -> float:
        """Its clearance once the slot floor stands higher by so much."""
        return self.clearance_mm + floor_mm * SLOT_TO_CLEARANCE


@dataclass(frozen=True)
class _LowNut:
    """What the options are made from."""

    positions: dict[int, StringPosition]
    low: tuple[int, ...]
    own: tuple[int, ...]
    """Low strings that stand on a small nut of their own, which no shim reaches."""
    known: bool
    """Whether every low string's amount is known."""
    instrument: Instrument
    kit: Kit
    trade: TradeTables

    @property
    def need_mm(self) -> float | None:
        """How far the lowest slot must rise; None where one was never read."""
        if not self.known:
            return None
        return max((self.positions[s].need_mm for s in self.low), default=0.0)

    @property
    def everyone(self) -> tuple[int, ...]:
        """The strings on the common nut."""
        return tuple(self.positions)

    def named(self, strings: Iterable[int]) -> tuple[str, ...]:
        """These strings as a person calls them."""
        return tuple(map(self.instrument.name_of, strings))

    @property
    def clamping(self) -> bool:
        return self.instrument.nut.type is NutType.CLAMPING


def raise_options(
    calls: Iterable[StringCall], instrument: Instrument, kit: Kit, trade: TradeTables
) -> tuple[RaiseOption, ...]:
    """Every way of raising the strings that are called low, none of them recommended yet.

    A clamping nut is one piece with fixed slots, so only shims under it are offered.
    """
    nut = _low_nut(tuple(calls), instrument, kit, trade)
    if not nut.low:
        return (_fill(nut),) if nut.own else ()
    if nut.clamping:
        return _offered(_clamping_shim(nut))
    one_side = low_side(nut.everyone, nut.low) if len(nut.low) > 1 else None
    wedge = _wedge(nut, one_side) if one_side else None
    return _offered(_fill(nut), wedge, _shim(nut), _new_nut(nut))


def edge_shares(instrument: Instrument, trade: TradeTables, side: Side) -> dict[int, float]:
    """How much of a wedge's thickness at the edge of `side` each slot is lifted by."""
    places = _across_the_nut(instrument, trade)
    return {string: 1 - at if side is Side.BASS else at for string, at in places.items()}


def after_lift(
    position: StringPosition, floor_mm: float, instrument: Instrument, kit: Kit, trade: TradeTables
) -> LowerAfter | None:
    """What must be cut off again once a slot has been lifted; None where it may stand."""
    clearance = position.lifted_mm(floor_mm)
    if clearance <= position.upper_mm + _ROUNDING_MM:
        return None
    file = choose_file(instrument.spec(position.string).gauge, kit.files, trade).file
    cut = (clearance - position.target_mm) / SLOT_TO_CLEARANCE
    return LowerAfter(
        string=position.string, slot_cut_mm=round(cut, 4), file_mm=file.mm if file else None
    )


def _offered(*options: RaiseOption | None) -> tuple[RaiseOption, ...]:
    return tuple(option for option in options if option is not None)


def _low_nut(
    calls: tuple[StringCall, ...], instrument: Instrument, kit: Kit, trade: TradeTables
) -> _LowNut:
    low = [call for call in calls if call.call is CallKind.RAISE]
    own = {spec.string for spec in instrument.strings if spec.from_fret}
    return _LowNut(
        positions={
            c.string: _position_of(c, trade.call.on_target_above_mm)
            for c in calls
            if c.string not in own
        },
        low=tuple(call.string for call in low if call.string not in own),
        own=tuple(call.string for call in low if call.string in own),
        known=all(call.raise_mm for call in low),
        instrument=instrument,
        kit=kit,
        trade=trade,
    )


def _position_of(call: StringCall, above_mm: float) -> StringPosition:
    """A low string stands where its amount says; one never read is taken to be on target."""
    window = call.window_mm
    read = call.clearance_mm.estimate if call.clearance_mm else window.target
    if call.call is CallKind.RAISE and call.raise_mm:
        read = window.target - call.raise_mm * SLOT_TO_CLEARANCE
    upper = max(min(window.target + above_mm, window.high), window.target)
    return StringPosition(call.string, read, window.low, window.target, upper, window.high)


def _across_the_nut(instrument: Instrument, trade: TradeTables) -> dict[int, float]:
    """Where each slot lies across the nut: 0 at the bass-side edge, 1 at the treble side."""
    try:
        layout = lay_out(instrument, Player(), trade)
    except InputError:
        # a nut that cannot be laid out is taken to have its strings evenly across it
        order = sorted((spec.string for spec in instrument.strings), reverse=True)
        return {string: (i + 0.5) / len(order) for i, string in enumerate(order)}
    return {slot.string: slot.centre_mm / layout.nut_width_mm for slot in layout.slots}


def _fill(nut: _LowNut) -> RaiseOption:
    lifts = {s: round(nut.positions[s].need_mm, 4) for s in nut.low} if nut.known else {}
    return _option_of(
        nut,
        RaiseMethod.FILL,
        (*nut.low, *nut.own),
        slots=len(nut.low) + len(nut.own),
        amount_mm=_rounded(nut.need_mm) or None,
        lifts_mm=lifts,
        why=say(
            "Touches only the low slots; a shallow slot then holds its string less well sideways."
        ),
    )


def _shim(nut: _LowNut) -> RaiseOption | None:
    """Under the whole nut. A shim that is there already comes out for one that does both."""
    others = tuple(string for string in nut.positions if string not in nut.low)
    if nut.need_mm is None:
        why = _shim_and_recut(nut.named(others), "")
        return _option_of(
            nut, RaiseMethod.SHIM, nut.everyone, slots=len(others), reversible=True, why=why
        )
    there = nut.instrument.nut.shim.mm if nut.instrument.nut.shim else 0.0
    if there + nut.need_mm > nut.trade.raising.thickest_mm:
        return None
    stack = stack_of(there + nut.need_mm, (s.mm for s in nut.kit.shims), nut.trade.raising)
    lift = sum(stack) - there if stack else nut.need_mm
    return _lifted(nut, RaiseMethod.SHIM, dict.fromkeys(nut.positions, lift), lift, stack, there)


def _wedge(nut: _LowNut, side: Side) -> RaiseOption | None:
    """Under the whole nut, thick at the low side and nothing at the other."""
    shares = edge_shares(nut.instrument, nut.trade, side)
    if nut.need_mm is None:
        why = say(
            "Lifts the low end most and the far end hardly; read every string again afterwards."
        )
        return _option_of(nut, RaiseMethod.WEDGE, nut.everyone, reversible=True, why=why)
    thick = max(nut.positions[s].need_mm / shares[s] for s in nut.low if s in shares)
    if thick > nut.trade.raising.thickest_mm:
        return None
    sheet = min((s.mm for s in nut.kit.shims if s.mm >= thick - _ROUNDING_MM), default=None)
    lifts = {s: thick * shares[s] for s in nut.positions if s in shares}
    return _lifted(nut, RaiseMethod.WEDGE, lifts, thick, (sheet,) if sheet else (), 0.0, side)


def _clamping_shim(nut: _LowNut) -> RaiseOption | None:
    """Whole shims under one side of the clamping nut, or under all of it."""
    if nut.need_mm is None:
        why = say("A clamping nut moves in one piece, in whole shims; no slot is cut.")
        return _option_of(nut, RaiseMethod.SHIM, nut.everyone, reversible=True, why=why)
    side = low_side(nut.everyone, nut.low)
    shares = edge_shares(nut.instrument, nut.trade, side) if side else {}
    need = max(nut.positions[s].need_mm / shares.get(s, 1.0) for s in nut.low)
    stack = stack_of(need, (s.mm for s in nut.kit.shims), nut.trade.raising)
    thick = sum(stack) or need
    lifts = {s: thick * shares.get(s, 1.0) for s in nut.positions}
    return _option_of(
        nut,
        RaiseMethod.SHIM,
        nut.everyone,
        reversible=True,
        amount_mm=_rounded(thick),
        stack_mm=stack,
        lifts_mm={s: round(lift, 4) for s, lift in lifts.items()},
        missed=_outside_after(nut, lifts, fileable=False),
        why=_in_whole_shims(side, _lift_by_pairs(lifts)),
    )


def _in_whole_shims(side: Side | None, lifts: str) -> str:
    """Where the shims of a clamping nut go, and what each pair of strings rises by."""
    if side is None:
        return say(
            "In whole shims under the whole nut; the nut is one piece, so {lifts}.", lifts=lifts
        )
    return say(
        "In whole shims under the {side} side; the nut is one piece, so {lifts}.",
        side=say(side),
        lifts=lifts,
    )


def _lift_by_pairs(lifts: Mapping[int, float]) -> str:
    """What each clamp's pair of strings rises by."""
    order = sorted(lifts, reverse=True)
    pairs = [order[i : i + 2] for i in range(0, len(order), 2)]
    rises = (
        say(
            "{strings} rise by {lift}",
            strings=listed(pair),
            lift=computed(sum(lifts[s] for s in pair) / len(pair)),
        )
        for pair in pairs
    )
    return ", ".join(rises)


def _lifted(
    nut: _LowNut,
    method: RaiseMethod,
    lifts: Mapping[int, float],
    amount_mm: float,
    stack: tuple[float, ...],
    there_mm: float,
    side: Side | None = None,
) -> RaiseOption:
    """A shim or wedge, with what every slot is cut by afterwards."""
    after = _cuts_after(nut, lifts)
    why = (
        _shim_and_recut(nut.named(cut.string for cut in after), _amounts(after)),
        say("It is thick at the {side} edge.", side=say(side)) if side else "",
        say(_COMES_OUT, shim=computed(there_mm)) if there_mm else "",
        _from_stock(stack) if stack else say("No such shim in this kit: fetch one."),
    )
    return _option_of(
        nut,
        method,
        nut.everyone,
        slots=len(after),
        reversible=True,
        amount_mm=_rounded(amount_mm),
        stack_mm=stack,
        lifts_mm={s: round(lift, 4) for s, lift in lifts.items()},
        lower_after=after,
        missed=_outside_after(nut, lifts, fileable=True),
        why=" ".join(part for part in why if part),
    )


def _cuts_after(nut: _LowNut, lifts: Mapping[int, float]) -> tuple[LowerAfter, ...]:
    cuts = (
        after_lift(position, lifts.get(string, 0.0), nut.instrument, nut.kit, nut.trade)
        for string, position in nut.positions.items()
    )
    return tuple(cut for cut in cuts if cut is not None)


def _outside_after(nut: _LowNut, lifts: Mapping[int, float], *, fileable: bool) -> tuple[int, ...]:
    """Strings that end outside their window even so."""
    ends = {s: position.lifted_mm(lifts.get(s, 0.0)) for s, position in nut.positions.items()}
    return tuple(
        s
        for s, position in nut.positions.items()
        if ends[s] < position.low_mm - _ROUNDING_MM or (ends[s] > position.high_mm and not fileable)
    )


def _new_nut(nut: _LowNut) -> RaiseOption:
    return _option_of(
        nut,
        RaiseMethod.NEW_NUT,
        nut.everyone,
        reversible=nut.instrument.nut.original,
        amount_mm=_rounded(nut.need_mm),
        why=say("Every slot fresh and to its string; keep the old nut with the instrument."),
        cautions_in_why=True,
    )


def _option_of(
    nut: _LowNut, method: RaiseMethod, touched: tuple[int, ...], *, slots: int = 0, **more: Any
) -> RaiseOption:
    costs = nut.trade.raising.methods[method]
    return RaiseOption(
        method=method,
        slots_touched=touched,
        minutes=costs.minutes + slots * nut.trade.raising.slot_minutes,
        slots_filed=slots,
        cure_hours=costs.cure_hours,
        cautions=(say(costs.caution),),
        **more,
    )


def _from_stock(stack: tuple[float, ...]) -> str:
    return say("Take {pieces} from the stock.", pieces=Joined(tuple(map(computed, stack))))


def _amounts(after: tuple[LowerAfter, ...]) -> str:
    """From the least to the most that is cut at the slot afterwards."""
    return span(computed(cut.slot_cut_mm) for cut in after)


def _shim_and_recut(strings: tuple[str, ...], amounts: str) -> str:
    """What a shim does, which strings must come down again, and by how much where it is known."""
    if not strings:
        return say("Comes out again, and lifts every slot.")
    names = {"name": strings[0]} if len(strings) == 1 else {"names": listed(strings)}
    sentence = _RECUT[len(strings) > 1, bool(amounts)]
    return say(sentence, **names, **({"amounts": amounts} if amounts else {}))


_RECUT = {
    (False, False): mark(
        "Comes out again, and lifts every slot; string {name} must then be lowered again."
    ),
    (True, False): mark(
        "Comes out again, and lifts every slot; strings {names} must then be lowered again."
    ),
    (False, True): mark(
        "Comes out again, and lifts every slot; string {name} must then be lowered again "
        "by {amounts}."
    ),
    (True, True): mark(
        "Comes out again, and lifts every slot; strings {names} must then be lowered again "
        "by {amounts}."
    ),
}
"""By whether there are several strings, and whether the amounts are known."""


def _rounded(mm: float | None) -> float | None:
    return None if mm is None else round(mm, 4)

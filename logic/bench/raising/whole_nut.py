"""The whole nut at a glance: one job on its base, or slot by slot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from logic.bench.instrument.naming import strings_listed
from logic.bench.raising.options import low_side, raise_options
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument, NutType
from shared.job import CallKind, NutAdvice, RaiseOption, StringCall
from shared.kit import Kit
from shared.words import say


@dataclass(frozen=True)
class _Bench:
    """What the advice is made from."""

    calls: tuple[StringCall, ...]
    instrument: Instrument
    kit: Kit
    table: dict[str, Any]
    trade: TradeTables

    def numbered(self, kind: CallKind) -> tuple[int, ...]:
        return tuple(call.string for call in self.calls if call.call is kind)

    @property
    def everyone(self) -> tuple[int, ...]:
        return tuple(call.string for call in self.calls)

    def named(self, strings: tuple[int, ...]) -> str:
        """These strings inside a sentence, as a person calls them."""
        return strings_listed(tuple(map(self.instrument.name_of, strings)))

    def minutes(self, method: str, slots: int = 0) -> float:
        figures = self.table["minutes"]
        return float(figures[method] + slots * figures["slot"])


def advise_nut(
    calls: tuple[StringCall, ...], instrument: Instrument, kit: Kit, trade: TradeTables
) -> NutAdvice:
    """What to do with the nut as a whole, with the options side by side."""
    bench = _Bench(calls, instrument, kit, trade.tables["call"]["nut"], trade)
    low, high = bench.numbered(CallKind.RAISE), bench.numbered(CallKind.LOWER)
    if (low or high) and instrument.nut.type is NutType.ZERO_FRET:
        return NutAdvice(advice=say("The zero fret carries the strings: the slots change nothing."))
    if high and instrument.nut.type is NutType.CLAMPING:
        return NutAdvice(
            advice=say("A clamping nut moves in one piece: shims out, not slots down.")
        )
    if low:
        return _raise_nut(bench, low)
    if len(high) == len(calls) > 1 and _alike(bench):
        return _lower_base(bench, high)
    if high:
        those = bench.named(high)
        told = say("Slot by slot: lower {strings}, leave the nut where it is.", strings=those)
        return NutAdvice(advice=told)
    if bench.numbered(CallKind.READ_AGAIN):
        return NutAdvice(advice=say("Nothing for the nut as a whole until every string is read."))
    if bench.numbered(CallKind.CHECK_FIRST):
        return NutAdvice(advice=say("Nothing for the nut as a whole before that is checked."))
    return NutAdvice(advice=say("Nothing to do to the nut as a whole."))


def _alike(bench: _Bench) -> bool:
    """Whether all slots stand too high by about the same."""
    over = [
        call.clearance_mm.estimate - call.window_mm.target
        for call in bench.calls
        if call.slot_cut_mm is not None and call.clearance_mm is not None
    ]
    return not over or max(over) - min(over) <= bench.table["alike_mm"]["value"]


def _lower_base(bench: _Bench, high: tuple[int, ...]) -> NutAdvice:
    cuts = [call.slot_cut_mm for call in bench.calls if call.slot_cut_mm is not None]
    amount = min(cuts) if len(cuts) == len(high) else None
    base = RaiseOption(
        method="base",
        amount_mm=amount,
        slots_touched=high,
        minutes=bench.minutes("base"),
        recommended=not bench.instrument.nut.glued,
        why=say(
            "One flat surface to take down instead of every slot, and the slots keep their shape."
        ),
    )
    if bench.instrument.nut.glued:
        advice = say("All are high alike, but the nut is glued in: slot by slot.")
    else:
        advice = say(
            "All are high alike: take the nut's base down first, then finish slot by slot."
        )
    return NutAdvice(advice=advice, options=(base,))


def _raise_nut(bench: _Bench, low: tuple[int, ...]) -> NutAdvice:
    options = raise_options(bench.calls, bench.instrument, bench.kit, bench.trade)
    offered = {option.method: option for option in options}
    advice, method = _best_way(bench, low, offered)
    if method not in offered:
        advice = say("More is missing than shims should make up: a new nut.")
        method = "new nut"
    chosen = tuple(
        option.model_copy(update={"recommended": option.method == method}) for option in options
    )
    return NutAdvice(advice=advice, options=chosen)


def _best_way(
    bench: _Bench, low: tuple[int, ...], offered: Mapping[str, RaiseOption]
) -> tuple[str, str]:
    nut = bench.instrument.nut
    if nut.type is NutType.CLAMPING:
        return say("A clamping nut moves in one piece: add a shim on the low side."), "shim"
    side = low_side(bench.everyone, low)
    if len(low) >= bench.table["new_nut_from"]["value"] and (side is None or nut.original):
        if nut.original:
            shim_it = say("The slots are low and the nut is original: shim it, and keep the part.")
            return shim_it, "shim"
        many = len(low)
        told = say(
            "{count} slots are low: a new nut is quicker and better than filling.", count=many
        )
        return told, "new nut"
    if side is not None and len(low) > 1 and "wedge" in offered:
        return _one_side(bench, side, low, offered["wedge"])
    return say("Slot by slot: fill and recut {strings}.", strings=bench.named(low)), "fill"


def _one_side(
    bench: _Bench, side: str, low: tuple[int, ...], wedge: RaiseOption
) -> tuple[str, str]:
    """A wedge; and a word where it would lift more good slots than low ones."""
    spoilt = [cut.string for cut in wedge.lower_after if cut.string not in low]
    advice = say("Only the {side} side is low: a wedge or shim on that side.", side=say(side))
    if len(spoilt) > len(low):
        spoils = say(
            "It lifts {count} good slots too far; filling touches only {strings}.",
            count=len(spoilt),
            strings=bench.named(low),
        )
        advice = f"{advice} {spoils}"
    return advice, "wedge"

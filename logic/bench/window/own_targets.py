"""A player's own targets: set and stepped string by string, and the table's beside them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from logic.bench.instrument.plausibility import Range, range_of
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.string_window import StringWindow, windows
from shared.instrument import Instrument, NutType, Player
from shared.units import Length, LengthOf, Unit

_THOU = Length.parse("0.001 in")
_STEPS = {Unit.THOU: _THOU, Unit.INCH: _THOU, Unit.MM: Length.parse("0.02 mm")}


def table_windows(
    instrument: Instrument, player: Player, trade: TradeTables
) -> dict[int, StringWindow]:
    """Target and window of every string for a player with no targets of their own."""
    return windows(instrument, without_own_targets(player, player.targets), trade)


def without_own_targets(player: Player, strings: Iterable[int]) -> Player:
    """`player` without own targets for these strings."""
    gone = set(strings)
    kept = {string: own for string, own in player.targets.items() if string not in gone}
    return player.model_copy(update={"targets": kept})


def with_own_targets(player: Player, target: Length, strings: Iterable[int]) -> Player:
    """`player` with `target` for each of these strings."""
    return player.model_copy(
        update={"targets": {**player.targets, **dict.fromkeys(strings, target)}}
    )


def stepped(
    instrument: Instrument,
    player: Player,
    strings: Iterable[int],
    steps: int,
    unit: Unit,
    trade: TradeTables,
) -> Player:
    """`player` with the targets of these strings so many steps higher, on whole steps of `unit`: a
    thousandth of an inch, or 0.02 mm. A string without an own target starts from the table's; none
    leaves what a clearance can be."""
    now, span = windows(instrument, player, trade), range_of(clearance_kind(instrument), trade)
    own = {
        string: _stepped(now[string].target_mm, steps, unit, span) for string in strings if steps
    }
    return player.model_copy(update={"targets": {**player.targets, **own}})


def clearance_kind(instrument: Instrument) -> LengthOf:
    """What a clearance of this instrument is called where its range is told."""
    tall = instrument.nut.type is NutType.TALL_SLIDE
    return LengthOf.TALL_CLEARANCE if tall else LengthOf.CLEARANCE


def _stepped(target_mm: float, steps: int, unit: Unit, span: Range) -> Length:
    """From the whole step that lies below (going up) or above (going down)."""
    step = _STEPS[unit]
    in_steps = round(target_mm / float(step.exact_mm), 6)
    whole = math.floor(in_steps) if steps > 0 else math.ceil(in_steps)
    least, most = (edge.exact_mm / step.exact_mm for edge in (span.low, span.high))
    kept = min(max(whole + steps, math.ceil(least)), math.floor(most))
    return Length(Fraction(kept) * step.exact_mm, unit)

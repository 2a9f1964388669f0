"""What a quantity can be on a bench: a figure outside is questioned, never guessed.

The ranges are those of `assets/plausible.json`. A question offers the slips that would explain the
figure: another unit with the same number, or a decimal point one to three places off.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from logic.bench.tables.trade_tables import TradeTables
from shared.amounts import LaidOff, WithMetric
from shared.errors import LengthError
from shared.units import Length, LengthOf, Unit, parse_bare, parse_gauge
from shared.words import Amount, FigureStyle, chosen_of, current, say


@dataclass(frozen=True)
class Range:
    """What one quantity can be: from `low` to `high`, most often near `usual`, or perhaps zero."""

    called: str
    low: Length
    high: Length
    usual: Length
    may_be_zero: bool

    def holds(self, length: Length) -> bool:
        """Whether `length` needs no question."""
        return self.low <= length <= self.high or (self.may_be_zero and not length.exact_mm)


def quantities(trade: TradeTables) -> tuple[LengthOf, ...]:
    """Every quantity that has a range."""
    return tuple(trade.plausible.quantities)


def range_of(quantity: LengthOf, trade: TradeTables, kind: str = "") -> Range:
    """The range of `quantity`; a scale's depends on the `kind` of instrument."""
    row = trade.plausible.quantities[quantity]
    scale = trade.plausible.scales.get(kind) if quantity is LengthOf.SCALE else None
    if scale is None:
        return Range(say(row.called), row.low, row.high, row.usual, row.may_be_zero)
    called = say("{kind} scale", kind=say(kind))
    usual = Length.parse(trade.presets.kinds[kind].scale)
    return Range(called, scale.low, scale.high, usual, row.may_be_zero)


@dataclass(frozen=True)
class OddFigure:
    """A figure that can hardly be meant: what is odd about it, and what to ask for instead."""

    what: str
    ask: str
    meant: tuple[Length, ...] = ()
    """What a slip would have turned into the figure, as far as that can be told."""

    @property
    def words(self) -> str:
        """Both in one line."""
        return f"{self.what}; {self.ask}"


def question(
    quantity: LengthOf, length: Length, trade: TradeTables, kind: str = ""
) -> OddFigure | None:
    """What to ask when `length` can hardly be the `quantity` meant; None when it can.

    Relief below zero is a neck that bows back, and is never taken for a slip of its sign."""
    if quantity is LengthOf.RELIEF and length.exact_mm < 0:
        quantity = LengthOf.SIGNED_RELIEF
    span = range_of(quantity, trade, kind)
    if span.holds(length):
        return None
    meant = likely_meant(length, span, trade)
    if meant:
        far = say("{length} is far from any {quantity}", length=str(length), quantity=span.called)
        could_be = chosen_of(map(_as_it_would_be_written, meant))
        return OddFigure(far, say("did you mean {meant}?", meant=could_be), meant)
    outside = say(
        "{length} is far from any {quantity}, which lies between {low} and {high}",
        length=str(length),
        quantity=span.called,
        low=_end(quantity, span.low),
        high=_end(quantity, span.high),
    )
    return OddFigure(outside, say("measure it again"))


def _end(quantity: LengthOf, end: Length) -> Amount:
    """One end of a range, as such a quantity is measured: scales and nuts with a rule."""
    with_a_rule = quantity in (LengthOf.SCALE, LengthOf.NUT_WIDTH)
    return LaidOff(end, places_mm=0) if with_a_rule else WithMetric(end)


def question_cents(cents: float, trade: TradeTables) -> OddFigure | None:
    """What to ask when a tuner can hardly have shown `cents`; None when it can."""
    span = trade.plausible.cents
    if span.low <= cents <= span.high:
        return None
    return OddFigure(
        say(
            "{cents:g} is far from any {quantity} ({low} to {high})",
            cents=cents,
            quantity=say(span.called),
            low=span.low,
            high=span.high,
        ),
        say("was the open string in tune, and is it cents, not hertz?"),
    )


def question_gauge(clearance: Length, gauge: Length, trade: TradeTables) -> OddFigure | None:
    """What to ask when a rarely large `clearance` is the string's own `gauge` to the digit."""
    rare = trade.plausible.quantities[LengthOf.CLEARANCE].rare_over
    if clearance != gauge or rare is None or clearance <= rare:
        return None
    in_mm = clearance.show(Unit.MM)
    return OddFigure(
        say("{clearance} is the gauge of this very string", clearance=str(clearance)),
        say("if it was measured over the first fret, write it as {in_mm}", in_mm=in_mm),
    )


def read_length(quantity: LengthOf, text: str, trade: TradeTables, kind: str = "") -> Length:
    """The length that `text` means as a `quantity`. LengthError, with what to ask, when it means
    none, lacks its unit, or lies where no such quantity lies."""
    bare = None if quantity.is_gauge else parse_bare(text)
    if bare is not None:
        raise _unit_missing(bare, text, range_of(quantity, trade, kind))
    length = quantity.parse(text)
    doubt = question(quantity, length, trade, kind)
    if doubt:
        raise LengthError("", text, doubt.ask, what=doubt.what)
    return length


def likely_meant(length: Length, span: Range, trade: TradeTables) -> tuple[Length, ...]:
    """The one or two lengths inside `span` that a slip would have turned into `length`."""
    a_decimal = trade.plausible.decimal_slip_nats
    inside = sorted(
        (_distance(other, span) + a_decimal * slip, other)
        for other, slip in _slips(length, keeps_sign=span.low.exact_mm < 0)
        if other.exact_mm and span.low <= other <= span.high
    )
    nearly = trade.plausible.nearly_as_likely_nats
    return tuple(other for far, other in inside[:2] if far <= inside[0][0] + nearly)


def _slips(length: Length, *, keeps_sign: bool) -> Iterator[tuple[Length, int]]:
    """What might have been meant, and how many decimals must have slipped for it."""
    written = length.amount(length.unit)
    amount = written if keeps_sign else abs(written)
    for unit in Unit:
        yield Length.of(amount, unit), 0
    for places in (1, 2, 3):
        yield Length.of(amount / 10**places, length.unit), places
        yield Length.of(amount * 10**places, length.unit), places


def _distance(length: Length, span: Range) -> float:
    """From the usual one, in natural logarithms."""
    return abs(math.log(abs(length.exact_mm) / span.usual.exact_mm))


def _unit_missing(number: Fraction, text: str, span: Range) -> LengthError:
    written = text.strip()
    could_be = [
        length for unit in Unit if span.low <= (length := Length.of(number, unit)) <= span.high
    ]
    ask = (
        say("write {this}", this=chosen_of(f"{written} {length.unit}" for length in could_be))
        if could_be
        else say(
            "write a {quantity} with its unit, such as {usual}",
            quantity=span.called,
            usual=WithMetric(span.usual),
        )
    )
    return LengthError("", text, ask, what=_no_unit(written, text))


def _no_unit(written: str, text: str) -> str:
    try:
        parse_gauge(text)
    except LengthError:
        return say("no unit in {text}", text=written)
    return say("no unit in {text}, which alone would be a string gauge", text=written)


def _as_it_would_be_written(length: Length) -> str:
    """In the unit that a slip would have been made in, with millimetres beside what is not
    metric."""
    return WithMetric(length).in_words(FigureStyle(decimal_mark=current().style.decimal_mark))

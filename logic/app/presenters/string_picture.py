"""One string over the first frets, as a picture: heights and distances, and the same in words."""

from __future__ import annotations

from logic.app.views.nut_views import Crown, Line, StringPicture
from logic.app.wording.wording import Wording
from logic.bench.instrument.fret_names import FretNames, fret_names
from logic.bench.instrument.strung_string import strung_string
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import Neck, clearance_mm, nut_height_mm
from shared.instrument import Instrument
from shared.job import CallKind, StringCall
from shared.words import say

FRETS = (1, 2, 3)


def string_line(
    call: StringCall, instrument: Instrument, trade: TradeTables, wording: Wording
) -> StringPicture:
    """The picture of the string that `call` is about."""
    window, stands = call.window_mm, call.clearance_mm
    standing = stands.estimate if stands else window.target
    spec = instrument.spec(call.string)
    neck = strung_string(spec, instrument, trade, standing).neck
    cut = call.slot_cut_mm if call.call is CallKind.LOWER else None
    after = window.target if cut is None else standing - cut * call.cut_share
    crown, frets = neck.crown_mm(1), FRETS[: neck.frets]
    named = fret_names(instrument, call.string)
    return StringPicture(
        crowns=tuple(Crown(named.of(n), neck.fret_mm(n), neck.crown_mm(n)) for n in frets),
        nut_at=named.of(0) if spec.from_fret else "",
        low_mm=window.low + crown,
        target_mm=window.target + crown,
        high_mm=window.high + crown,
        now=_line_at(neck, standing, frets[-1]) if stands else None,
        then=_line_at(neck, after, frets[-1]),
        cut=cut is not None,
        said=_picture_in_words(neck, call, after, wording, named),
    )


def _line_at(neck: Neck, first_mm: float, last: int) -> Line:
    """The string that stands so high over fret 1, from the nut to fret `last`, with the saddle
    where it is."""
    nut = nut_height_mm(neck, first_mm)
    return Line(nut, clearance_mm(neck, nut, last) + neck.crown_mm(last))


def _clearance_over(neck: Neck, first_mm: float, fret: int) -> float:
    return clearance_mm(neck, nut_height_mm(neck, first_mm), fret)


def _picture_in_words(
    neck: Neck, call: StringCall, after_mm: float, wording: Wording, named: FretNames
) -> str:
    """Nut, frets and window in words, for those who do not see them."""
    target = say(
        "Its target over fret {one} is {target}, its window {low} to {high}.",
        one=named.first,
        target=wording.mm(call.window_mm.target),
        low=wording.mm(call.window_mm.low),
        high=wording.mm(call.window_mm.high),
    )
    if call.clearance_mm is None:
        return say("Not read yet. {target}", target=target)
    standing = call.clearance_mm.estimate
    now = _stands_in_words(neck, standing, wording, named)
    if call.slot_cut_mm is None or call.call is not CallKind.LOWER:
        return f"{now} {target}"
    then = _after_in_words(neck, after_mm, wording, named)
    return f"{now} {target} {then}"


def _stands_in_words(neck: Neck, first_mm: float, wording: Wording, named: FretNames) -> str:
    """Over its first two frets, or its only one, and at the nut."""
    first, nut = wording.mm(first_mm), wording.mm(nut_height_mm(neck, first_mm))
    if neck.frets < 2:
        return say(
            "It stands {first} over fret {one} and {nut} over the crowns at the nut.",
            first=first,
            one=named.first,
            nut=nut,
        )
    return say(
        "It stands {first} over fret {one}, {second} over fret {two} and {nut} over the crowns at"
        " the nut.",
        first=first,
        one=named.first,
        second=wording.mm(_clearance_over(neck, first_mm, 2)),
        two=named.of(2),
        nut=nut,
    )


def _after_in_words(neck: Neck, first_mm: float, wording: Wording, named: FretNames) -> str:
    if neck.frets < 2:
        return say(
            "After the cut: {first} over fret {one}.", first=wording.mm(first_mm), one=named.first
        )
    return say(
        "After the cut: {first} over fret {one}, {second} over fret {two}.",
        first=wording.mm(first_mm),
        one=named.first,
        second=wording.mm(_clearance_over(neck, first_mm, 2)),
        two=named.of(2),
    )

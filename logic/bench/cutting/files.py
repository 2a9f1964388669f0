"""Which file of the kit fits a slot: the string's own width, or a little over it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables
from shared.errors import InputError
from shared.units import Length, Unit
from shared.words import in_words, say

if TYPE_CHECKING:
    from logic.bench.tables.files import FileTable


@dataclass(frozen=True)
class FileChoice:
    """A file, or none, and what to know about it."""

    file: Length | None
    note: str


def choose_file(
    gauge: Length, files: Iterable[Length], trade: TradeTables, *, widen: bool = False
) -> FileChoice:
    """The file for a string of this gauge: exact, then the next up, then a narrower rolled.

    To `widen` a slot that grips its string, one a little over the gauge is taken.
    """
    table = trade.files
    have = [file for _, file in sorted({file.mm: file for file in files}.items())]
    if widen:
        return _widening(gauge, have, table)
    fits = _fitting(gauge, have, table)
    if fits is not None:
        same = abs(fits.mm - gauge.mm) <= table.exact_within_mm
        own, wider = say("the string's own width"), say("a little wider than the string")
        return FileChoice(fits, own if same else wider)
    return _narrower(gauge, have, table)


def check_file(file: Length, gauge: Length, narrowest_share: float) -> None:
    """InputError when a file is too narrow to be rolled out to this string's width."""
    if file.mm < narrowest_share * gauge.mm:
        raise InputError(
            "file",
            in_words(file),
            say(
                "take one of at least {width}",
                width=Length.of(round(narrowest_share * gauge.mm, 3)),
            ),
            what=say(
                "{width} is too narrow for a string of {gauge}",
                width=file,
                gauge=gauge,
            ),
        )


def _fitting(gauge: Length, have: list[Length], table: FileTable) -> Length | None:
    widest = gauge.mm + table.over_gauge_mm + 1e-9
    least = gauge.mm - table.exact_within_mm
    fits = [file for file in have if least <= file.mm <= widest]
    return min(fits, key=lambda file: (abs(file.mm - gauge.mm), -file.mm), default=None)


def _widening(gauge: Length, have: list[Length], table: FileTable) -> FileChoice:
    least, most = (gauge.mm + over for over in table.widen_over_mm)
    fits = [file for file in have if least - 1e-9 <= file.mm <= most + 1e-9]
    if fits:
        ease = say("a little wider than the string: ease the walls, not the floor")
        return FileChoice(fits[0], ease)
    fetch = say(
        "fetch a file of {least} to {most}, or fold fine abrasive over the string itself",
        least=Length.of(least).said_in(gauge.unit),
        most=Length.of(most).said_in(gauge.unit),
    )
    return FileChoice(None, fetch)


def _narrower(gauge: Length, have: list[Length], table: FileTable) -> FileChoice:
    fetch = say(
        "fetch one of {gauge}, or up to {over} over",
        gauge=gauge,
        over=Length.of(table.over_gauge_mm).said_in(Unit.THOU),
    )
    near = [f for f in have if table.narrowest_share * gauge.mm <= f.mm < gauge.mm]
    if not near:
        return FileChoice(None, say("no file here fits: {fetch}", fetch=fetch))
    note = say(
        "narrower than the string: roll it to width, at the risk of a slot that pinches; "
        "better {fetch}",
        fetch=fetch,
    )
    return FileChoice(near[-1], note)

"""Work that was done, in a technician's words."""

from __future__ import annotations

from logic.bench.instrument.naming import strings_listed
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.words import say
from shared.work import Work, WorkKind


def work_called(what: WorkKind, trade: TradeTables) -> str:
    """The work as a button or a line names it: Filled, Shim put in."""
    return say(trade.work.row(what).called)


def work_button(work: Work, trade: TradeTables) -> str:
    """The button that reports it done, with the amount that is known beforehand."""
    called = work_called(work.what, trade)
    if work.amount is None:
        return say("Done: {work}", work=called)
    return say("Done: {work}, {amount}", work=called, amount=work.amount)


def work_in_words(work: Work, trade: TradeTables, instrument: Instrument) -> str:
    """The work as a record tells it: what, of which strings, how much."""
    called = work_called(work.what, trade)
    if len(work.strings) < len(instrument.strings):
        known = {spec.string for spec in instrument.strings}
        names = tuple(instrument.name_of(s) if s in known else str(s) for s in work.strings)
        called = say("{work}: {strings}", work=called, strings=strings_listed(names))
    if work.amount is None:
        return called
    return say("{work}, {amount}", work=called, amount=work.amount)

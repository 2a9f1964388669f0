"""Work that was done, as sheets say it."""

from __future__ import annotations

from logic.bench.instrument.naming import strings_listed
from logic.bench.tables.work import WorkTable
from logic.bench.visits.sheet_numbers import UNKNOWN, Numbers
from shared.instrument import Instrument
from shared.job import Interval
from shared.words import inside, listed, mark, say
from shared.work import Work, WorkKind

FILE_DONE, BY_FILE = mark("slot filed"), mark("the file")


def _done(kind: WorkKind, table: WorkTable) -> str:
    """What was done, as a sentence goes on with it: slot filled."""
    return inside(say(table.row(kind).called))


def done_in_words(kinds: tuple[WorkKind, ...], table: WorkTable, *, filed: bool) -> str:
    """What was done to one string, each thing once: slot filled, slot filed."""
    words = [_done(kind, table) for kind in dict.fromkeys(kinds)]
    return ", ".join((*words, say(FILE_DONE)) if filed else words)


def moved_in_words(
    name: str,
    kinds: tuple[WorkKind, ...],
    before: Interval | None,
    after: Interval | None,
    numbers: Numbers,
    table: WorkTable,
    *,
    filed: bool,
) -> str:
    """What became of one string by all that was done: string 3 was raised by a filled slot, from
    what to what. Where one of the two was not measured, only what was done."""
    if before is None or after is None:
        done, change = done_in_words(kinds, table, filed=filed), numbers.change(before, after)
        return say("String {name}: {done}; {change}", name=name, done=done, change=change)
    words = [say(table.row(kind).by) for kind in dict.fromkeys(kinds)]
    means = listed((*words, say(BY_FILE)) if filed else words)
    facts = {"name": name, "means": means, "change": numbers.change(before, after)}
    if after.estimate > before.high:
        return say("String {name} was raised by {means}: {change}", **facts)
    if after.estimate < before.low:
        return say("String {name} was lowered by {means}: {change}", **facts)
    done = done_in_words(kinds, table, filed=filed)
    return say("String {name}: {done}; stands as it did, {change}", done=done, **facts)


def work_cells(
    work: Work, instrument: Instrument, numbers: Numbers, table: WorkTable
) -> tuple[str, ...]:
    """One piece of work as a row: what, strings, amount, minutes, by whom."""
    known = {spec.string for spec in instrument.strings}
    names = [instrument.name_of(string) for string in work.strings if string in known]
    return (
        _done(work.what, table),
        listed(names) or UNKNOWN,
        numbers.mm(work.amount.mm) if work.amount is not None else UNKNOWN,
        f"{work.minutes:.0f}" if work.minutes is not None else UNKNOWN,
        work.technician or UNKNOWN,
    )


def work_in_words(work: Work, instrument: Instrument, numbers: Numbers, table: WorkTable) -> str:
    """One piece of work in a line: Shim put in, 0.2 mm: strings 6, 5 and 4."""
    known = {spec.string for spec in instrument.strings}
    names = [instrument.name_of(string) for string in work.strings if string in known]
    done = say(table.row(work.what).called)
    if work.amount is not None:
        done = f"{done}, {numbers.mm(work.amount.mm)}"
    if len(names) in (0, len(known)):
        return done
    return f"{done}: {strings_listed(names)}"

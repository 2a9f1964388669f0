"""Work that was done, as sheets say it."""

from __future__ import annotations

from logic.bench.instrument.naming import strings_listed
from logic.bench.visits.sheet_numbers import UNKNOWN, Numbers
from shared.instrument import Instrument
from shared.job import Interval
from shared.words import listed, mark, say
from shared.work import Work, WorkKind

DONE = {
    WorkKind.STRIP: mark("strip laid in the slot"),
    WorkKind.FILL: mark("slot filled"),
    WorkKind.SHIM: mark("nut shimmed"),
    WorkKind.SHIM_OUT: mark("shim taken out"),
    WorkKind.WEDGE: mark("nut wedged"),
    WorkKind.BASE: mark("base of the nut taken down"),
    WorkKind.NEW_NUT: mark("new nut fitted"),
    WorkKind.FRET_SEATED: mark("fret seated"),
    WorkKind.RELIEF_SET: mark("relief set"),
    WorkKind.ACTION_SET: mark("action set"),
    WorkKind.STRINGS_CHANGED: mark("string changed"),
    WorkKind.SLOT_EASED: mark("slot eased"),
    WorkKind.SLOT_WIDENED: mark("slot widened"),
}
"""What was done, of one string."""
BY = {
    WorkKind.STRIP: mark("a strip in its slot"),
    WorkKind.FILL: mark("a filled slot"),
    WorkKind.SHIM: mark("a shim under the nut"),
    WorkKind.SHIM_OUT: mark("a shim taken out"),
    WorkKind.WEDGE: mark("a wedge under the nut"),
    WorkKind.BASE: mark("a lower base of the nut"),
    WorkKind.NEW_NUT: mark("a new nut"),
    WorkKind.FRET_SEATED: mark("a seated fret"),
    WorkKind.RELIEF_SET: mark("another relief"),
    WorkKind.ACTION_SET: mark("another action"),
    WorkKind.STRINGS_CHANGED: mark("a new string"),
    WorkKind.SLOT_EASED: mark("an eased slot"),
    WorkKind.SLOT_WIDENED: mark("a wider slot"),
}
"""What raised or lowered a string, or left it as it stood."""
FILE_DONE, BY_FILE = mark("slot filed"), mark("the file")


def done_in_words(kinds: tuple[WorkKind, ...], *, filed: bool) -> str:
    """What was done to one string, each thing once: slot filled, slot filed."""
    words = [say(DONE[kind]) for kind in dict.fromkeys(kinds)]
    return ", ".join((*words, say(FILE_DONE)) if filed else words)


def moved_in_words(
    name: str,
    kinds: tuple[WorkKind, ...],
    before: Interval | None,
    after: Interval | None,
    numbers: Numbers,
    *,
    filed: bool,
) -> str:
    """What became of one string by all that was done: string 3 was raised by a filled slot, from
    what to what. Where one of the two was not measured, only what was done."""
    if before is None or after is None:
        done, change = done_in_words(kinds, filed=filed), numbers.change(before, after)
        return say("String {name}: {done}; {change}", name=name, done=done, change=change)
    words = [say(BY[kind]) for kind in dict.fromkeys(kinds)]
    means = listed((*words, say(BY_FILE)) if filed else words)
    facts = {"name": name, "means": means, "change": numbers.change(before, after)}
    if after.estimate > before.high:
        return say("String {name} was raised by {means}: {change}", **facts)
    if after.estimate < before.low:
        return say("String {name} was lowered by {means}: {change}", **facts)
    done = done_in_words(kinds, filed=filed)
    return say("String {name}: {done}; stands as it did, {change}", done=done, **facts)


def work_cells(work: Work, instrument: Instrument, numbers: Numbers) -> tuple[str, ...]:
    """One piece of work as a row: what, strings, amount, minutes, by whom."""
    known = {spec.string for spec in instrument.strings}
    names = [instrument.name_of(string) for string in work.strings if string in known]
    return (
        say(DONE[work.what]),
        listed(names) or UNKNOWN,
        numbers.mm(work.amount.mm) if work.amount is not None else UNKNOWN,
        f"{work.minutes:.0f}" if work.minutes is not None else UNKNOWN,
        work.technician or UNKNOWN,
    )


def work_in_words(work: Work, instrument: Instrument, numbers: Numbers) -> str:
    """One piece of work in a line: nut shimmed, 0.2 mm: strings 6, 5 and 4."""
    known = {spec.string for spec in instrument.strings}
    names = [instrument.name_of(string) for string in work.strings if string in known]
    done = say(DONE[work.what])
    if work.amount is not None:
        done = f"{done}, {numbers.mm(work.amount.mm)}"
    if len(names) in (0, len(known)):
        return done
    return f"{done}: {strings_listed(names)}"

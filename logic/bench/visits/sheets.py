"""The two sheets of a hand-over, in words: one for the owner, one for the bench."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from logic.bench.checks.complaints import own_words, understood
from logic.bench.checks.just_before import happened_before
from logic.bench.instrument.naming import strings_listed
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.work import WorkTable
from logic.bench.visits.handover import HandOver, LearnedRate, StringWork
from logic.bench.visits.instrument_facts import instrument_lines
from logic.bench.visits.proof import Proven
from logic.bench.visits.setup_section import (
    height_lines,
    height_rows,
    settled_lines,
    step_lines,
)
from logic.bench.visits.sheet_numbers import UNKNOWN, Numbers
from logic.bench.visits.work_words import moved_in_words, work_cells, work_in_words
from shared.job import GateState, Job
from shared.setup import Scope
from shared.words import mark, say, say_as, say_many, with_mark


class Picture(StrEnum):
    """What is drawn under the table of a section, where the sheet is set on pages."""

    SLOTS = "slots"
    NECK = "neck"


@dataclass(frozen=True)
class Section:
    """A heading, a table with its head row first, and lines."""

    heading: str
    rows: tuple[tuple[str, ...], ...] = ()
    lines: tuple[str, ...] = ()
    picture: Picture | None = None


@dataclass(frozen=True)
class Sheet:
    """One sheet, before it becomes text or a page."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]
    foot: str = ""


def owner_sheet(work: HandOver, trade: TradeTables, numbers: Numbers) -> Sheet:
    """For the owner: how it came in and how it leaves, what was not done and why, what next."""
    words = trade.handover
    rounds = tuple(
        work_in_words(each.work, work.job.instrument, numbers, trade.work)
        for each in work.job.rounds
    )
    done = tuple(_owner_line(each, numbers) for each in work.strings if each.touched)
    not_done = tuple(_string_line(w, w.left_because) for w in work.strings if not w.touched)
    sections = (
        _instrument(work, trade, numbers),
        Section(say("Asked for"), lines=_asked_for(work, trade)),
        _neck(work, numbers),
        Section(
            say("First-fret clearance, {unit}", unit=numbers.unit),
            rows=_before_after(work, numbers),
            picture=Picture.SLOTS,
        ),
        Section(say("Done"), lines=(*step_lines(work.setup, work.job.instrument), *rounds, *done)),
        Section(say("Left as it was"), lines=not_done),
        Section(say("Note"), lines=_note_lines(work.job)),
        Section(say("Good to know"), lines=tuple(map(say, words.owner))),
        Section(say("Next check"), lines=(say(words.next_check),)),
    )
    foot = words.guidance
    return _sheet(_OWNER_TITLE, work, sections, foot)


def bench_sheet(work: HandOver, trade: TradeTables, numbers: Numbers) -> Sheet:
    """For the bench: files, strokes, what was learned, what was assumed or skipped, the time."""
    nut = work.job.instrument.nut
    facts = [say("Nut: {type}, {material}", type=say(nut.type.value), material=say(nut.material))]
    if work.job.to_my_target:
        facts.append(say("Asked for: down to the target"))
    if work.minutes is not None:
        facts.append(say("Time: {time}", time=_duration(work.minutes)))
    asked = (gate.ask for gate in work.plan.gates if gate.state is GateState.SKIPPED)
    skipped = tuple(dict.fromkeys(asked))
    assumed = tuple(f"{a.field}: {with_mark(a.value)} ({a.why})" for a in work.plan.assumed)
    sections = (
        _instrument(work, trade, numbers),
        Section(say("The job"), lines=tuple(facts)),
        _neck(work, numbers),
        Section(say("Set-up steps"), lines=settled_lines(work.setup, work.job.instrument)),
        Section(
            say("Slots, {unit}", unit=numbers.unit),
            rows=_before_after(work, numbers),
            picture=Picture.SLOTS,
        ),
        Section(say("Work"), rows=_works(work, numbers, trade.work)),
        Section(say("Passes"), rows=_passes(work, numbers)),
        Section(say("Learned"), lines=tuple(_rate(rate, numbers) for rate in work.rates)),
        Section(say("Proof"), lines=tuple(_bench_proof(w) for w in work.strings if w.touched)),
        Section(say("Note"), lines=_note_lines(work.job)),
        Section(say("Skipped"), lines=skipped),
        Section(say("Assumed"), lines=assumed),
        Section(say("Cautions"), lines=work.plan.cautions),
    )
    foot = trade.handover.guidance
    return _sheet(_BENCH_TITLE, work, sections, foot)


def _instrument(work: HandOver, trade: TradeTables, numbers: Numbers) -> Section:
    elsewhere = {each.quantity for each in work.setup.heights} if work.setup else set()
    lines = instrument_lines(work.job, trade, numbers, elsewhere)
    return Section(say("The instrument"), lines=lines)


def _neck(work: HandOver, numbers: Numbers) -> Section:
    """Relief and action before and after; empty where nothing of the kind was measured."""
    return Section(
        say("Relief and action, {unit}", unit=numbers.unit),
        rows=height_rows(work.setup, work.job.instrument, numbers),
        lines=height_lines(work.setup, work.job.instrument),
        picture=Picture.NECK,
    )


def _note_lines(job: Job) -> tuple[str, ...]:
    """What was written for the sheets, line by line."""
    return tuple(filter(None, (line.strip() for line in job.note.splitlines())))


_OWNER_TITLE, _BENCH_TITLE = (
    mark("Set-up of the nut: {instrument}"),
    mark("Bench record: {instrument}"),
)

_TITLES = {
    Scope.WHOLE: mark("Set-up: {instrument}"),
    Scope.CHECK: mark("Check: {instrument}"),
}
"""Of a visit that was for more than the nut."""


def _asked_for(work: HandOver, trade: TradeTables) -> tuple[str, ...]:
    """What was said when it came in, in the words it was said in, else each complaint that was
    picked; what happened just before, and how far its slots were to come down."""
    words = own_words(work.job, trade)
    picked = (say(each.row.title) for each in understood(work.job, trade).heard)
    wish = say("Every slot down to its target") if work.job.to_my_target else ""
    before = (say("Just before: {what}", what=one) for one in happened_before(work.job, trade))
    return tuple(filter(None, (*((words,) if words else picked), *before, wish)))


def _string_line(each: StringWork, line: str) -> str:
    return say("String {name}: {line}", name=each.name, line=line)


def _duration(minutes: float) -> str:
    if minutes < 1:
        return say("under a minute")
    return say_many("{count} minute", "{count} minutes", round(minutes))


def as_text(sheet: Sheet) -> str:
    """The sheet as plain text, fit for a message."""
    blocks = [f"{sheet.title}\n{sheet.subtitle}".strip()]
    for section in sheet.sections:
        body = [*_text_rows(section.rows), *(f"- {line}" for line in section.lines)]
        blocks.append("\n".join([section.heading.upper(), *body]))
    return "\n\n".join([*blocks, sheet.foot]) + "\n"


def _text_rows(rows: tuple[tuple[str, ...], ...]) -> list[str]:
    if not rows:
        return []
    head, *body = rows
    return [" · ".join(head), *(" · ".join(row) for row in body)]


def _sheet(kind: str, work: HandOver, sections: tuple[Section, ...], foot: str) -> Sheet:
    instrument = work.job.instrument
    if kind == _OWNER_TITLE and work.job.setup is not None:
        kind = _TITLES.get(work.job.setup.scope or Scope.NUT, kind)
    title = say(kind, instrument=instrument.label or say(instrument.kind))
    kind_too = say(instrument.kind) if instrument.label else ""
    parts = (work.bench, work.technician, work.date, kind_too)
    kept = tuple(each for each in sections if each.rows or each.lines)
    return Sheet(title, " · ".join(part for part in parts if part), kept, say(foot))


def _before_after(work: HandOver, numbers: Numbers) -> tuple[tuple[str, ...], ...]:
    head = (say("string"), say("pitch"), say("before"), say("after"), say("target"))
    return ((*head, say("what was done")), *(_row(each, numbers) for each in work.strings))


def _row(each: StringWork, numbers: Numbers) -> tuple[str, ...]:
    before, after = numbers.interval(each.before), numbers.interval(each.after)
    target = numbers.bare(each.window.target)
    if each.own_target:
        target = say("own {target}", target=target)
    return (each.name_and_fret, each.pitch, before, after, target, each.outcome)


def _works(work: HandOver, numbers: Numbers, table: WorkTable) -> tuple[tuple[str, ...], ...]:
    """Each piece of work with what it did to the strings that it touched."""
    rows = tuple(
        (*work_cells(each.work, work.job.instrument, numbers, table), _moved(work, place, numbers))
        for place, each in enumerate(work.job.rounds)
    )
    head = (say("work"), say("strings"), say("amount"), say("minutes"))
    by = say_as("technician", "by")
    return ((*head, by, say("before → after")), *rows) if rows else ()


def _moved(work: HandOver, place: int, numbers: Numbers) -> str:
    """Where the strings that one piece of work touched stood before it, and once it was done."""
    rounds = work.job.rounds
    changes = []
    for each in work.strings:
        ended = [n for n, one in enumerate(rounds) if each.string in one.work.strings]
        if place in ended:
            before, after = each.stages[ended.index(place) :][:2]
            change = numbers.bare_change(before.left_mm, after.came_mm)
            changes.append(f"{strings_listed((each.name,))}: {change}")
    return ", ".join(changes)


def _passes(work: HandOver, numbers: Numbers) -> tuple[tuple[str, ...], ...]:
    rows = tuple(
        (
            each.name,
            numbers.mm(made.file.mm) if made.file else UNKNOWN,
            say("{count} half", count=made.made) if made.half else str(made.made),
            made.technician or UNKNOWN,
        )
        for each in work.strings
        for made in each.passes
    )
    head = (say("string"), say("file"), say("strokes"), say_as("technician", "by"))
    return (head, *rows) if rows else ()


def _owner_line(each: StringWork, numbers: Numbers) -> str:
    """What was done to one string and how it rings; by other work than a file, also from where to
    where it went."""
    if not each.works:
        return _string_line(each, _proved(each, each.outcome))
    kinds = tuple(work.what for work in each.works)
    moved = moved_in_words(
        each.name, kinds, each.before, each.after, numbers, each.table, filed=bool(each.passes)
    )
    return _proved(each, f"{moved}; {each.stands}")


def _proved(each: StringWork, line: str) -> str:
    """A line about one string, and what its proof was."""
    if each.proof in (Proven.READ_FIRST, Proven.PLAY_IT):
        return say("{outcome}; not proven yet", outcome=line)
    if each.proof is Proven.EXCUSED:
        return say("{outcome}; closed without proof: {why}", outcome=line, why=each.proof_note)
    return f"{line}; {each.proof_note}" if each.proof_note else line


def _bench_proof(each: StringWork) -> str:
    if each.proof in (Proven.CLEAN, Proven.BUZZES):
        return _string_line(each, each.proof_note)
    note = f": {each.proof_note}" if each.proof_note else ""
    return _string_line(each, f"{say(each.proof.value)}{note}")


def _rate(rate: LearnedRate, numbers: Numbers) -> str:
    return say(
        "{file} file on {material}: {amount} a stroke",
        file=numbers.mm(rate.file_mm),
        material=say(rate.material),
        amount=numbers.fine(rate.a_stroke),
    )

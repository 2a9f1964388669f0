"""The quick check as views: one leaf a string, then what moved and what to do tonight."""

from __future__ import annotations

from collections.abc import Mapping

from logic.app.presenters.instruments import known_in_words, title_of
from logic.app.presenters.walk import NOT_SURE, place_of, slid_in_from, string_named
from logic.app.session.open_job import OpenedJob
from logic.app.session.past_jobs import PastJobs
from logic.app.session.rack import Rack
from logic.app.views.pieces import Prompt, StringMark
from logic.app.views.quick_check_views import (
    CheckedString,
    CheckedView,
    CheckView,
    RackLine,
    RackView,
)
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.instrument.naming import first_fret_in_words, strings_listed
from logic.bench.plan.walk import reach_from, walk_order
from logic.bench.visits.quick_check import (
    KnownClearance,
    Moved,
    StringCheck,
    checked,
    moved_strings,
    quick_leaf,
)
from logic.bench.visits.quick_tonight import tonight_for
from shared.job import Job
from shared.units import Length
from shared.words import mark, say

NOTHING_MOVED = mark("Nothing has moved")
ONE_LEAF = mark(
    "One leaf shows best whether a string has dropped; one that has risen may go unnoticed."
)


def leaf_of(work: OpenedJob, string: int) -> Length | None:
    """The leaf that the check asks for; None where the string is not on record or none helps."""
    if string not in work.known:
        return None
    own = [reading for reading in work.job.readings if reading.string == string]
    return quick_leaf(work.known[string], work.job.kit.leaves, own, work.trade)


def to_check(work: OpenedJob) -> tuple[int, ...]:
    """The strings still without an answer, of those on record, in walking order."""
    return tuple(string for string in _without_answer(work.job) if string in work.known)


def _without_answer(job: Job) -> tuple[int, ...]:
    answered = {reading.string for reading in job.readings}
    return tuple(string for string in walk_order(job.instrument) if string not in answered)


def check_view(
    work: OpenedJob, string: int, rack: Rack, wording: Wording, title: str, saved: str
) -> CheckView:
    """One string: the leaf to slide in, and how it stood."""
    instrument = work.job.instrument
    spec, leaf = instrument.spec(string), leaf_of(work, string)
    side = reach_from(walk_order(instrument), string)
    # Explained once, and not along a rack, where its place in the row matters more.
    begins = bool(leaf) and not work.job.readings and not rack.around(work.id).place
    reach, how, where = (
        slid_in_from(side, over=first_fret_in_words(instrument, string))
        if leaf
        else (_why_no_leaf(work, string), "", "")
    )
    number, unit = wording.stack_and_unit((leaf,)) if leaf else (say("Skip"), "")
    name = instrument.name_of(string)
    return CheckView(
        job=work.id,
        title=title,
        string=string,
        place=place_of(instrument, string),
        pitch=spec.pitch.show(),
        gauge=wording.gauge(spec.gauge),
        prompt=Prompt.LEAF if leaf else Prompt.DONE,
        number=number,
        unit=unit,
        reach=reach,
        trail=tuple(filter(None, (title, rack.around(work.id).place))),
        estimate="" if begins else _stood_in_words(work, string, wording),
        status=saved or (say(NOT_SURE) if leaf else ""),
        marks=tuple(_string_mark(work, s, here=s == string) for s in walk_order(instrument)),
        can_undo=bool(work.steps),
        spoken=say(
            "{title}. String {name}, {pitch}. {reach}: {number} {unit}",
            title=title,
            name=name,
            pitch=spec.pitch,
            reach=reach,
            number=number,
            unit=unit,
        ),
        saved=saved,
        name=string_named(name),
        how=how,
        where=where,
        rack=rack.around(work.id).place,
    )


def _why_no_leaf(work: OpenedJob, string: int) -> str:
    return say("No leaf in the bag tells more") if string in work.known else say("Not on record")


def _stood_in_words(work: OpenedJob, string: int, wording: Wording) -> str:
    known = work.known.get(string)
    return say("Stood at {height}", height=known_in_words(known, wording)) if known else ""


def _string_mark(work: OpenedJob, string: int, *, here: bool) -> StringMark:
    read = any(reading.string == string for reading in work.job.readings)
    return StringMark(string, work.job.instrument.short_name_of(string), here=here, read=read)


def checked_view(
    work: OpenedJob, past: PastJobs, rack: Rack, wording: Wording, title: str
) -> CheckedView:
    """What was found, string by string, and what to do."""
    found = {one.string: one for one in checked(work.job, work.known, work.trade)}
    left = to_check(work)
    names = work.job.instrument.name_of
    order = walk_order(work.job.instrument)
    headline = _headline_in_words(tuple(found.values()), work.job)
    rack = rack.around(work.id)
    return CheckedView(
        job=work.id,
        instrument=work.document.instrument_id or "",
        title=title,
        headline=headline,
        still=bool(found) and not moved_strings(found.values()),
        strings=tuple(
            sorted(
                (_checked_string(found[s], names(s), wording) for s in order if s in found),
                key=lambda one: not one.moved,
            )
        ),
        tonight=tonight_for(tuple(found.values()), work.trade),
        left_out=_left_out_lines(work.job, left, work.known),
        note=say(ONE_LEAF) if found else "",
        rest=left[0] if left else None,
        following=_title_of_instrument(rack.following, past),
        racked=bool(rack.place),
        spoken=f"{title}. {headline}.",
    )


def _headline_in_words(found: tuple[StringCheck, ...], job: Job) -> str:
    if not found:
        return say("Nothing was checked")
    strings, count = moved_strings(found), len(job.instrument.strings)
    if not strings and len(found) < count:
        return say("Nothing has moved on {found} of {count} strings", found=len(found), count=count)
    if not strings:
        return say(NOTHING_MOVED)
    kinds = {_finding_in_short(one) for one in strings}
    word = kinds.pop() if len(kinds) == 1 else _LOOK
    if len(strings) == 1:
        return f"{begun(_strings_in_words(job, (strings[0].string,)))}: {say(word)}"
    which = (
        _strings_in_words(job, tuple(one.string for one in strings)) if len(strings) == 2 else ""
    )
    which = which or say("{count} strings", count=len(strings))
    return f"{begun(which)}: {say(_OF_SEVERAL.get(word, word))}"


_LOOK = mark("to be looked at")
_BUZZES = mark("buzzes open")
_OF_SEVERAL = {
    _BUZZES: mark("buzz open"),
    Moved.LOWER.value: mark("lower than they were"),
    Moved.HIGHER.value: mark("higher than they were"),
}


def _finding_in_short(one: StringCheck) -> str:
    return _BUZZES if one.buzzes else one.moved.value


def _checked_string(one: StringCheck, name: str, wording: Wording) -> CheckedString:
    sure = f"{min(99, round(one.probability * 100))} %"
    was, now = wording.mm(one.was.clearance_mm), known_in_words(one.now, wording)
    if one.buzzes and one.moved is Moved.AS_IT_WAS:
        detail = say("stood at {was}; buzzes open now", was=was)
    elif one.moved is Moved.AS_IT_WAS:
        detail = say("{sure} · stood at {was}", sure=sure, was=was)
    elif one.moved is Moved.UNSURE:
        detail = say("was {was}, may be {now}", was=was, now=now)
    else:
        detail = say("{sure} · was {was}, now about {now}", sure=sure, was=was, now=now)
    return CheckedString(
        string=one.string,
        name=string_named(name),
        said=begun(say(_finding_in_short(one))),
        detail=detail,
        moved=one.buzzes or one.moved is not Moved.AS_IT_WAS,
        again=one.moved is Moved.UNSURE,
    )


def _left_out_lines(
    job: Job, left: tuple[int, ...], known: Mapping[int, KnownClearance]
) -> tuple[str, ...]:
    """Strings that were not checked, and why."""
    unknown = tuple(s for s in walk_order(job.instrument) if s not in known)
    rows = ((say("Skipped"), left), (say("Not on record"), unknown))
    return tuple(f"{word}: {_strings_in_words(job, strings)}" for word, strings in rows if strings)


def _strings_in_words(job: Job, strings: tuple[int, ...]) -> str:
    if len(strings) == len(job.instrument.strings):
        return say("every string")
    return strings_listed(tuple(job.instrument.name_of(string) for string in strings))


def _title_of_instrument(name: str, past: PastJobs) -> str:
    found = past.history.instrument(name) if name else None
    return title_of(found.value) if found else ""


def rack_view(rack: Rack, past: PastJobs) -> RackView:
    """Every instrument of the rack, with what was found or why it was passed over."""
    lines = tuple(_rack_line(name, job, past) for name, job in rack.gone)
    skipped = sum(line.skipped for line in lines)
    moved = sum(not line.still for line in lines) - skipped
    said = [say("{count} to look at", count=moved)] if moved else [say(NOTHING_MOVED)]
    if skipped:
        left_out = say("{count} skipped", count=skipped)
        said = [*(said if moved or skipped < len(lines) else ()), left_out]
    return RackView(", ".join(said), lines)


def _rack_line(name: str, job: str, past: PastJobs) -> RackLine:
    title = _title_of_instrument(name, past)
    visit = next((one for one in past.visits(name) if one.document.id == job), None)
    if visit is None:
        unknown = say("Skipped: nothing on record, measure it first")
        why = say("Skipped") if past.known(name) else unknown
        return RackLine(name, title, why, still=False, skipped=True)
    work = visit.document.as_job()
    found = checked(work, visit.before, past.trade)
    if not found:
        return RackLine(name, title, say("Skipped"), still=False, skipped=True)
    left = tuple(s for s in _without_answer(work) if s in visit.before)
    said = ". ".join((_headline_in_words(found, work), *_left_out_lines(work, left, visit.before)))
    return RackLine(name, title, said, still=not moved_strings(found))

"""The quick check as views: one leaf a string, then what moved and what to do tonight."""

from __future__ import annotations

from collections.abc import Mapping

from logic.bench.quick_check import (
    Known,
    Moved,
    StringCheck,
    checked,
    moved_strings,
    quick_leaf,
)
from logic.bench.quick_tonight import tonight_for
from logic.bench.walk import reach_from, walk_order
from logic.desk.check_views import CheckedString, CheckedView, CheckView, RackLine, RackView
from logic.desk.instruments import known_in_words, title_of
from logic.desk.open_job import OpenJob
from logic.desk.past_jobs import PastJobs
from logic.desk.pieces import Prompt, StringMark
from logic.desk.rack import Rack
from logic.desk.walking import place_of
from logic.desk.wording import Wording
from shared.job import Job
from shared.units import Length

NOTHING_MOVED = "Nothing has moved"
ONE_LEAF = "One leaf tells best whether a string dropped; that it rose is only unlikely."
HINT = "Tap the string over the leaf: a click means a gap."


def leaf_of(work: OpenJob, string: int) -> Length | None:
    """The leaf that the check asks for; None where the string is not on record or none helps."""
    if string not in work.known:
        return None
    own = [reading for reading in work.job.readings if reading.string == string]
    return quick_leaf(work.known[string], work.job.kit.leaves, own, work.trade)


def to_check(work: OpenJob) -> tuple[int, ...]:
    """The strings still without an answer, of those on record, in walking order."""
    return tuple(string for string in _without_answer(work.job) if string in work.known)


def _without_answer(job: Job) -> tuple[int, ...]:
    answered = {reading.string for reading in job.readings}
    return tuple(string for string in walk_order(job.instrument) if string not in answered)


def check_view(
    work: OpenJob, string: int, rack: Rack, wording: Wording, title: str, saved: str
) -> CheckView:
    """One string: the leaf to slide in, and how it stood."""
    instrument = work.job.instrument
    spec, leaf = instrument.spec(string), leaf_of(work, string)
    side = reach_from(walk_order(instrument), string)
    reach = f"Slide in from the {side} side" if leaf else _why_none(work, string)
    number, unit = wording.length(leaf).split() if leaf else ("Skip", "")
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
        estimate=_stood(work, string, wording),
        status=saved or (HINT if leaf else ""),
        marks=tuple(_mark(work, s, here=s == string) for s in walk_order(instrument)),
        can_undo=bool(work.steps),
        spoken=f"{title}. String {name}, {spec.pitch}. {reach}: {number} {unit}",
        saved=saved,
        rack=rack.around(work.id).place,
    )


def _why_none(work: OpenJob, string: int) -> str:
    return "No leaf in the bag tells more" if string in work.known else "Not on record"


def _stood(work: OpenJob, string: int, wording: Wording) -> str:
    known = work.known.get(string)
    return f"Stood at {known_in_words(known, wording)}" if known else ""


def _mark(work: OpenJob, string: int, *, here: bool) -> StringMark:
    read = any(reading.string == string for reading in work.job.readings)
    return StringMark(string, str(string), here=here, read=read)


def checked_view(
    work: OpenJob, past: PastJobs, rack: Rack, wording: Wording, title: str
) -> CheckedView:
    """What was found, string by string, and what to do."""
    found = {one.string: one for one in checked(work.job, work.known, work.trade)}
    left = to_check(work)
    names = work.job.instrument.name_of
    order = walk_order(work.job.instrument)
    headline = _headline(tuple(found.values()), work.job)
    rack = rack.around(work.id)
    return CheckedView(
        job=work.id,
        instrument=work.document.instrument_id or "",
        title=title,
        headline=headline,
        still=bool(found) and not moved_strings(found.values()),
        strings=tuple(_checked(found[s], names(s), wording) for s in order if s in found),
        tonight=tonight_for(tuple(found.values()), work.trade),
        left_out=_left_out(work.job, left, work.known),
        note=ONE_LEAF if found else "",
        rest=left[0] if left else None,
        following=_title(rack.following, past),
        racked=bool(rack.place),
        spoken=f"{title}. {headline}.",
    )


def _headline(found: tuple[StringCheck, ...], job: Job) -> str:
    if not found:
        return "Nothing was checked"
    strings = moved_strings(found)
    if not strings:
        count = len(job.instrument.strings)
        some = f" on {len(found)} of {count} strings" if len(found) < count else ""
        return NOTHING_MOVED + some
    kinds = {_short(one) for one in strings}
    word = kinds.pop() if len(kinds) == 1 else "to be looked at"
    if len(strings) == 1:
        return f"{_strings(job, (strings[0].string,)).capitalize()}: {word}"
    which = _strings(job, tuple(one.string for one in strings)) if len(strings) == 2 else ""
    return f"{which or f'{len(strings)} strings'}: {_OF_SEVERAL.get(word, word)}".capitalize()


_OF_SEVERAL = {
    "buzzes open": "buzz open",
    Moved.LOWER.value: "lower than they were",
    Moved.HIGHER.value: "higher than they were",
}


def _short(one: StringCheck) -> str:
    return "buzzes open" if one.buzzes else one.moved.value


def _checked(one: StringCheck, name: str, wording: Wording) -> CheckedString:
    sure = f"{min(99, round(one.probability * 100))} %"
    was, now = wording.mm(one.was.clearance_mm), known_in_words(one.now, wording)
    said = _short(one)
    if one.moved is Moved.AS_IT_WAS:
        detail = f"{sure} · stood at {was}"
    elif one.moved is Moved.UNSURE:
        detail = f"was {was}, may be {now}"
    else:
        detail = f"{sure} · was {was}, now about {now}"
    if one.buzzes and one.moved is Moved.AS_IT_WAS:
        detail = f"stood at {was}; buzzes open now"
    return CheckedString(
        string=one.string,
        name=f"String {name}",
        said=said[0].upper() + said[1:],
        detail=detail,
        moved=one.buzzes or one.moved is not Moved.AS_IT_WAS,
        again=one.moved is Moved.UNSURE,
    )


def _left_out(job: Job, left: tuple[int, ...], known: Mapping[int, Known]) -> tuple[str, ...]:
    """Strings that were not checked, and why."""
    unknown = tuple(s for s in walk_order(job.instrument) if s not in known)
    rows = (("Skipped", left), ("Not on record", unknown))
    return tuple(f"{word}: {_strings(job, strings)}" for word, strings in rows if strings)


def _strings(job: Job, strings: tuple[int, ...]) -> str:
    if len(strings) == len(job.instrument.strings):
        return "every string"
    names = [job.instrument.name_of(string) for string in strings]
    if len(names) == 1:
        return f"string {names[0]}"
    return f"strings {', '.join(names[:-1])} and {names[-1]}"


def _title(name: str, past: PastJobs) -> str:
    found = past.history.instrument(name) if name else None
    return title_of(found.value) if found else ""


def rack_view(rack: Rack, past: PastJobs) -> RackView:
    """Every instrument of the rack, with what was found or why it was passed over."""
    lines = tuple(_rack_line(name, job, past) for name, job in rack.gone)
    skipped = sum(line.skipped for line in lines)
    moved = sum(not line.still for line in lines) - skipped
    said = [f"{moved} to look at"] if moved else [NOTHING_MOVED]
    if skipped:
        said = [*(said if moved or skipped < len(lines) else ()), f"{skipped} skipped"]
    return RackView(", ".join(said), lines)


def _rack_line(name: str, job: str, past: PastJobs) -> RackLine:
    title = _title(name, past)
    visit = next((one for one in past.visits(name) if one.document.id == job), None)
    if visit is None:
        why = "Skipped" if past.known(name) else "Skipped: nothing on record, measure it first"
        return RackLine(name, title, why, still=False, skipped=True)
    work = visit.document.as_job()
    found = checked(work, visit.before, past.trade)
    if not found:
        return RackLine(name, title, "Skipped", still=False, skipped=True)
    left = tuple(s for s in _without_answer(work) if s in visit.before)
    said = ". ".join((_headline(found, work), *_left_out(work, left, visit.before)))
    return RackLine(name, title, said, still=not moved_strings(found))

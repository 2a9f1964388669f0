"""The walk's view of one string."""

from __future__ import annotations

from logic.app.presenters.visit import stale_in_words
from logic.app.session.open_job import OpenedJob
from logic.app.session.sample import is_sample
from logic.app.views.views import Prompt, StringMark, WalkView
from logic.app.wording.calls import begun, call_in_short, call_in_words, reading_in_words
from logic.app.wording.wording import Wording
from logic.bench.checks.reasons import checked_first, reason_said
from logic.bench.instrument.naming import first_fret_in_words
from logic.bench.kit.assumed import kit_is_assumed
from logic.bench.measuring.next_leaf import LeafReason
from logic.bench.plan.plan import StringState
from logic.bench.plan.walk import (
    WalkQuestion,
    next_string,
    question_of,
    reach_from,
    walk_on,
    walk_order,
)
from shared.instrument import Instrument
from shared.job import CallKind, Interval
from shared.reasons import CallReason
from shared.units import Length
from shared.words import inside, mark, say

NOT_SURE = mark("Not sure? Tap the string: a click is a gap.")
_PROMPTS = {
    WalkQuestion.LEAF: Prompt.LEAF,
    WalkQuestion.BUZZ: Prompt.BUZZ,
    WalkQuestion.NOTHING: Prompt.DONE,
}


def walk_view(
    work: OpenedJob,
    string: int,
    wording: Wording,
    title: str,
    saved: str = "",
    *,
    afresh: bool = False,
) -> WalkView:
    """What the walk shows for `string`, which may be read `afresh` though it is settled."""
    instrument = work.job.instrument
    spec = instrument.spec(string)
    state = work.state(string)
    prompt = _PROMPTS[question_of(state)]
    leaves = leaves_asked(state, work.job.kit.leaves, afresh=afresh)
    if prompt is Prompt.DONE and leaves:
        prompt = Prompt.LEAF
    number, unit = _largest_number(state, prompt, leaves, wording)
    reach, how, where = _reach_in_words(prompt, instrument, state, leaves)
    assumed = _assumed_in_words(work, wording) if prompt is Prompt.LEAF else ""
    return WalkView(
        job=work.id,
        title=title,
        string=string,
        place=place_of(instrument, string),
        pitch=spec.pitch.show(),
        gauge=wording.gauge(spec.gauge),
        prompt=prompt,
        number=number,
        unit=unit,
        reach=reach,
        trail=_trail(work, string, wording),
        estimate=_estimate_in_words(state, wording),
        status=_status_line(
            state, prompt, wording, saved or stale_in_words(work, string) or assumed
        ),
        marks=marks_of(work, string),
        can_undo=bool(work.steps),
        spoken=_settled_aloud(work, state, wording)
        if prompt is Prompt.DONE
        else say(
            "String {name}, {pitch}. {reach}: {number} {unit}",
            name=instrument.name_of(string),
            pitch=spec.pitch,
            reach=reach,
            number=number,
            unit=unit,
        ),
        saved=saved,
        name=string_named(instrument.name_of(string)),
        how=how,
        where=where,
        about=say("Sample") if is_sample(work.job, work.trade) else "",
        settled=prompt is Prompt.DONE,
        goes_on=_goes_on_in_words(work, string) if prompt is Prompt.DONE else "",
        assumed=bool(assumed) and not saved and string not in work.setup.stale_strings,
    )


def _trail(work: OpenedJob, string: int, wording: Wording) -> tuple[str, ...]:
    """What was read of the string so far."""
    own = (reading for reading in work.job.readings if reading.string == string)
    return tuple(reading_in_words(reading, work.job.instrument, wording) for reading in own)


def _goes_on_in_words(work: OpenedJob, string: int) -> str:
    """Where *next* leads: to a string of which something is still asked, else to the plan."""
    following = next_string(walk_on(work.job, string), string, work.state)
    if following is None:
        return say("Next: the plan")
    return say("Next: string {name}", name=work.job.instrument.name_of(following))


def _assumed_in_words(work: OpenedJob, wording: Wording) -> str:
    """That nobody has said which leaves are here, said once: before the first reading."""
    kit = work.job.kit
    if work.job.readings or not kit.leaves or not kit_is_assumed(kit, work.trade):
        return ""
    sizes = [leaf.mm for leaf in kit.leaves]
    between = wording.between(min(sizes), max(sizes))
    return say("Leaves assumed: {leaves}. Touch here.", leaves=between)


def _settled_aloud(work: OpenedJob, state: StringState, wording: Wording) -> str:
    """What a string has come to; by how much it could come down, where it is left a hair high."""
    instrument = work.job.instrument
    said = say(
        "String {name}, {pitch}. Settled. {call}.",
        name=instrument.name_of(state.string),
        pitch=instrument.spec(state.string).pitch,
        call=call_in_words(state.call, wording),
    )
    spare = state.call.why if state.call.reason == CallReason.A_HAIR_HIGH else ""
    return f"{said} {spare}".strip()


def string_named(name: str) -> str:
    """One string by its name: "String 5"."""
    return say("String {name}", name=name)


def slid_in_from(side: str, *, together: bool = False, over: str = "") -> tuple[str, str, str]:
    """From where a leaf is slid in: as a sentence, and in two, the second read from afar. `over`
    is where a string with a nut of its own is read, said first."""
    how = say("Slide in both together from the") if together else say("Slide in from the")
    whole, where = say(_SLID_IN[side, together]), say(_SIDES[side])
    if not over:
        return whole, how, where
    return f"{begun(over)}: {inside(whole)}", f"{begun(over)}: {inside(how)}", where


_SIDES = {"bass": mark("bass side"), "treble": mark("treble side")}
_SLID_IN = {
    ("bass", False): mark("Slide in from the bass side"),
    ("treble", False): mark("Slide in from the treble side"),
    ("bass", True): mark("Slide in both together from the bass side"),
    ("treble", True): mark("Slide in both together from the treble side"),
}


def played_open() -> tuple[str, str, str]:
    """How an open string is listened to, in the same three."""
    whole = say("Play it open: soft, as usual, hard")
    return whole, say("Soft, as usual, hard"), say("Play it open")


def place_of(instrument: Instrument, string: int) -> str:
    """Which string: "String 5 of 6", or of a pair "String 6 octave"."""
    name = instrument.name_of(string)
    if not name.isdecimal():
        return string_named(name)
    return say("String {name} of {count}", name=name, count=len(instrument.strings))


def leaves_asked(
    state: StringState, kit: tuple[Length, ...], *, afresh: bool = False
) -> tuple[Length, ...]:
    """The leaf in the hand: what the walk asks for; on a settled string none, but where it is read
    `afresh` the kit's leaf nearest to the estimate."""
    if state.advice.leaves:
        return state.advice.leaves
    if not afresh or question_of(state) is not WalkQuestion.NOTHING or not kit:
        return ()
    middle = state.believed.median
    return (min(kit, key=lambda leaf: abs(leaf.mm - middle)),)


def _largest_number(
    state: StringState, prompt: Prompt, leaves: tuple[Length, ...], wording: Wording
) -> tuple[str, str]:
    """The largest type on the screen and the unit beside it."""
    if prompt is Prompt.LEAF:
        return wording.stack_and_unit(leaves)
    if prompt is Prompt.BUZZ:
        return say("Buzzes?"), ""
    return call_in_short(state.call, wording), ""


def _reach_in_words(
    prompt: Prompt, instrument: Instrument, state: StringState, leaves: tuple[Length, ...]
) -> tuple[str, str, str]:
    if prompt is Prompt.BUZZ:
        return played_open()
    if prompt is Prompt.DONE:
        call = state.call
        first = call.call is CallKind.CHECK_FIRST
        about = checked_first(call) if first else reason_said(call)
        return say("Settled"), begun(about), say("Settled")
    return slid_in_from(
        reach_from(walk_order(instrument), state.string),
        together=len(leaves) > 1,
        over=first_fret_in_words(instrument, state.string),
    )


def _estimate_in_words(state: StringState, wording: Wording) -> str:
    if not state.measured:
        return ""
    low, high = state.believed.interval()
    return wording.interval(Interval(estimate=state.believed.median, low=low, high=high))


def _status_line(state: StringState, prompt: Prompt, wording: Wording, saved: str) -> str:
    """One line of what matters now."""
    if state.contradiction is not None:
        return state.call.why
    if prompt is Prompt.DONE and state.advice.why is LeafReason.NO_LEAF and state.advice.lacking_mm:
        lacking = wording.mm(state.advice.lacking_mm)
        return say("No leaf in this kit tells more; {leaf} would.", leaf=lacking)
    if prompt is Prompt.LEAF and question_of(state) is WalkQuestion.NOTHING:
        return saved or say("Read afresh: what was read before still counts.")
    if state.measured and state.advice.why is LeafReason.AMOUNT:
        return say("The call is sure; this leaf tells how much.")
    if prompt is Prompt.DONE:
        return saved or state.call.why
    return saved or say(NOT_SURE)


def marks_of(work: OpenedJob, here: int) -> tuple[StringMark, ...]:
    """Every string in walking order, with how far it is."""
    order = walk_order(work.job.instrument)
    return tuple(_string_mark(work, string, string == here) for string in order)


def _string_mark(work: OpenedJob, string: int, here: bool) -> StringMark:
    read = any(reading.string == string for reading in work.job.readings)
    state = work.state(string) if read else None
    settled = state is not None and question_of(state) is WalkQuestion.NOTHING
    return StringMark(
        string=string,
        label=work.job.instrument.short_name_of(string),
        call=state.call.call if state is not None and settled else None,
        here=here,
        read=read,
    )

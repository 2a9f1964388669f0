"""The walk's view of one string."""

from __future__ import annotations

from logic.bench.next_leaf import Why
from logic.bench.plan import StringState
from logic.bench.walk import Asked, asked_of, reach_from, walk_order
from logic.desk.open_job import OpenJob
from logic.desk.saying import call_in_words, reading_in_words
from logic.desk.views import Prompt, StringMark, WalkView
from logic.desk.wording import Wording
from shared.instrument import Instrument
from shared.job import Interval
from shared.units import Length

_PROMPTS = {Asked.LEAF: Prompt.LEAF, Asked.BUZZ: Prompt.BUZZ, Asked.NOTHING: Prompt.DONE}


def walk_view(
    work: OpenJob, string: int, wording: Wording, title: str, saved: str = ""
) -> WalkView:
    """What the walk shows for `string`."""
    instrument = work.job.instrument
    order = walk_order(instrument)
    spec = instrument.spec(string)
    state = work.state(string)
    prompt = _PROMPTS[asked_of(state)]
    number, unit = _number(state, prompt, wording)
    reach = _reach(prompt, order, string, state)
    trail = tuple(
        reading_in_words(reading, wording)
        for reading in work.job.readings
        if reading.string == string
    )
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
        trail=trail,
        estimate=_estimate(state, wording),
        status=_status(state, prompt, wording, saved),
        marks=marks_of(work, string),
        can_undo=bool(work.steps),
        spoken=f"String {instrument.name_of(string)}, {spec.pitch}. {reach}: {number} {unit}",
        saved=saved,
    )


def place_of(instrument: Instrument, string: int) -> str:
    """Which string: "String 5 of 6", or of a pair "String 6 octave"."""
    name = instrument.name_of(string)
    return f"String {name} of {len(instrument.strings)}" if name.isdecimal() else f"String {name}"


def leaves_asked(state: StringState, kit: tuple[Length, ...]) -> tuple[Length, ...]:
    """The leaf in the hand: what the walk asks for, else the kit's leaf nearest to the estimate."""
    if state.advice.leaves:
        return state.advice.leaves
    middle = state.believed.median_mm
    return (min(kit, key=lambda leaf: abs(leaf.mm - middle)),) if kit else ()


def _number(state: StringState, prompt: Prompt, wording: Wording) -> tuple[str, str]:
    """The largest type on the screen and the unit beside it."""
    if prompt is Prompt.LEAF:
        leaves = state.advice.leaves
        return wording.stack(leaves), wording.length(leaves[0]).split()[1]
    if prompt is Prompt.BUZZ:
        return "Listen", ""
    return call_in_words(state.call, wording).split(":")[0].split(" the slot")[0], ""


def _reach(prompt: Prompt, order: tuple[int, ...], string: int, state: StringState) -> str:
    if prompt is Prompt.BUZZ:
        return "Play it open: soft, as usual, hard"
    if prompt is Prompt.DONE:
        return "Settled"
    side = reach_from(order, string)
    together = "both together " if len(state.advice.leaves) > 1 else ""
    return f"Slide in {together}from the {side} side"


def _estimate(state: StringState, wording: Wording) -> str:
    if not state.measured:
        return ""
    low, high = state.believed.interval()
    return wording.interval(Interval(estimate=state.believed.median_mm, low=low, high=high))


def _status(state: StringState, prompt: Prompt, wording: Wording, saved: str) -> str:
    """One line of what matters now."""
    if state.contradiction is not None:
        return wording.sentence(state.call.why)
    if prompt is Prompt.DONE and state.advice.why is Why.NO_LEAF and state.advice.lacking_mm:
        return f"No leaf in this kit tells more; {wording.mm(state.advice.lacking_mm)} would."
    if state.measured and state.advice.why is Why.AMOUNT:
        return "The call is sure; this leaf tells how much."
    return saved or "Tap the string over the leaf: a click means a gap."


def marks_of(work: OpenJob, here: int) -> tuple[StringMark, ...]:
    """Every string in walking order, with how far it is."""
    order = walk_order(work.job.instrument)
    return tuple(_mark(work, string, string == here) for string in order)


def _mark(work: OpenJob, string: int, here: bool) -> StringMark:
    read = any(reading.string == string for reading in work.job.readings)
    state = work.state(string) if read else None
    settled = state is not None and asked_of(state) is Asked.NOTHING
    return StringMark(
        string=string,
        label=str(string),
        call=state.call.call if state is not None and settled else None,
        here=here,
        read=read,
    )

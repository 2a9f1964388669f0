"""Relief and action as views: what to hold, what to slide in, what is believed of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from logic.app.presenters.gap_words import (
    estimate_in_words,
    held_on_in_words,
    mixed_in_words,
    posture_in_words,
    relief_in_words,
    shape_in_words,
    stands_in_words,
    with_minus,
)
from logic.app.presenters.walk import NOT_SURE, place_of, string_named
from logic.app.session.gap_manner import GapManner, edge_now, line_now
from logic.app.session.open_job import OpenedJob
from logic.app.session.sample import is_sample
from logic.app.views.gap_views import ActionLine, ActionView, NeckLine, ReliefView
from logic.app.views.pieces import Prompt, StringMark
from logic.app.wording.wording import Wording
from logic.bench.measuring.kinds.leaf import CONTACTS
from logic.bench.measuring.next_leaf import LeafReason
from logic.bench.plan.walk import walk_order
from logic.bench.setup.action_belief import in_order_of_asking
from logic.bench.setup.measured import (
    MeasuredValue,
    QuestionKind,
    TouchAdvice,
    WindowStanding,
)
from shared.job import CallKind
from shared.kit import Kit
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement, Side
from shared.setup import Stage
from shared.units import Length
from shared.words import mark, say

SIDES = {Side.BASS: mark("Bass side"), Side.TREBLE: mark("Treble side"), None: mark("Relief")}
_SHORT_SIDES = {Side.BASS: mark("Bass"), Side.TREBLE: mark("Treble"), None: mark("Relief")}
_SIGNS = {
    WindowStanding.BELOW: CallKind.RAISE,
    WindowStanding.INSIDE: CallKind.LEAVE,
    WindowStanding.ABOVE: CallKind.LOWER,
}
"""The sign under a string's number: too low, as it should be, too high."""


MEASURED_NEXT = (QuestionKind.AS_IT_CAME, QuestionKind.RELIEF, QuestionKind.ACTION)
"""Questions that a measurement answers."""


MEASURED_FIRST = 3
"""The outer strings, and one between them, before the others are only predicted."""


@dataclass(frozen=True)
class GapScreen:
    """What the screens of relief and action are made from beside the job."""

    wording: Wording
    title: str
    manner: GapManner
    saved: str = ""
    afresh: bool = False


def relief_value(work: OpenedJob, string: int | None) -> MeasuredValue | None:
    """Relief on the side of this outer string; of the side that is asked for, else of the first,
    where none is named so. None where this visit measures none."""
    values = work.setup.relief
    asked = next_measured(work, "relief") if string is None else None
    wanted = asked.string if asked is not None and asked.quantity == "relief" else string
    return next((v for v in values if v.string == wanted), next(iter(values), None))


def action_value(work: OpenedJob, string: int | None, fret: int | None) -> MeasuredValue | None:
    """Action of this string over this fret; of what is asked for, else of the lowest string, where
    that is not said. None where this visit measures none."""
    state, asked = work.setup, next_measured(work, "action")
    if string is None and asked is not None and asked.quantity == "action" and fret is None:
        return asked
    here = string or walk_order(work.job.instrument)[0]
    found = state.action_of(here, fret)
    octave = found or state.action_of(here) or next(iter(state.action), None)
    return octave if found or octave is None or fret is None else _over(octave, fret)


def _over(octave: MeasuredValue, fret: int) -> MeasuredValue:
    """Action of a string over a fret for which there is no window: a number that is kept."""
    return replace(
        octave,
        fret=fret,
        standing=WindowStanding.UNREAD,
        ask=lambda: TouchAdvice(LeafReason.NO_LEAF),
        believed=None,
        touches=0,
        predicted=False,
        moved_by=(),
        stale=False,
    )


def offers_prediction(work: OpenedJob, value: MeasuredValue) -> bool:
    """Whether an action can be taken as it is predicted: the outer strings and one between them
    were measured, and this one was not."""
    if not value.predicted or value.quantity != "action" or is_left_out(work, value):
        return False
    asked = in_order_of_asking(work.job, work.setup.action)
    return all(each.touches for each in asked[:MEASURED_FIRST])


def is_left_out(work: OpenedJob, value: MeasuredValue) -> bool:
    """Whether it was not measured and what is left of its stage was left out, or said to be as
    predicted."""
    skipped = Stage(value.quantity) in work.setup.skipped
    return not value.touches and (value.confirmed or skipped)


def next_measured(work: OpenedJob, at_hand: str) -> MeasuredValue | None:
    """What is to be measured next; beyond what the visit asks for, the other side of a relief that
    is `at_hand`. None where something else comes next."""
    asked = work.setup.next
    about = asked.about if asked is not None and asked.what in MEASURED_NEXT else None
    if about is not None or at_hand != "relief":
        return about
    sides = work.setup.relief
    return next((v for v in sides if not v.settled and not is_left_out(work, v)), None)


def is_a_shank(sizes: tuple[Length, ...], value: MeasuredValue, kit: Kit) -> bool:
    """Whether what is slid in is a round shank, not a leaf."""
    return value.quantity == "action" and (
        sizes[0] == value.advice.shank or sizes[0] in (kit.shanks or ())
    )


def slid_in(work: OpenedJob, value: MeasuredValue, *, afresh: bool) -> tuple[Length, ...]:
    """The leaf, stack or shank that is asked for; of what is settled none, but where it is read
    afresh what of the kit is nearest to what is believed."""
    waits = offers_prediction(work, value) or is_left_out(work, value)
    if value.advice.slid_in and (afresh or not waits):
        return value.advice.slid_in
    kit = work.job.kit
    sizes = kit.leaves if value.quantity == "relief" else (*kit.leaves, *(kit.shanks or ()))
    if not afresh or value.believed is None or not sizes:
        return ()
    middle = value.believed.median
    return (min(sizes, key=lambda size: abs(size.mm - middle)),)


def relief_view(work: OpenedJob, value: MeasuredValue, screen: GapScreen) -> ReliefView:
    """Relief on one side of the neck."""
    wording, instrument = screen.wording, work.job.instrument
    line, edge = line_now(screen.manner, value, instrument), edge_now(screen.manner, work.job)
    asked = _asked(work, value, screen)
    side, how, where = say(SIDES[value.side]), "", say("Along the neck")
    if line is not None:
        how = held_on_in_words(work, value, line, edge)
        where = say("over fret {fret}", fret=line.at)
    return ReliefView(
        job=work.id,
        title=screen.title,
        string=value.string or 0,
        place=side,
        pitch="",
        gauge=posture_in_words(work, screen.manner),
        prompt=asked.prompt,
        number=asked.number,
        unit=asked.unit,
        reach=", ".join(filter(None, (how, where))),
        trail=_trail(work, wording, ReliefMeasurement, (value.side,)),
        estimate=relief_in_words(value, line, instrument.fretboard, wording),
        status=asked.status,
        marks=tuple(_side_mark(each, here=each is value) for each in work.setup.relief),
        can_undo=bool(work.steps),
        spoken=_spoken(side, how, where, asked),
        saved=screen.saved,
        name=side,
        how=how,
        where=where,
        about=say("Sample") if is_sample(work.job, work.trade) else "",
        settled=asked.settled,
        goes_on=goes_on_in_words(work, value.quantity) if asked.settled else "",
        picture=_neck_line(value, line.along(instrument.fretboard), wording) if line else None,
    )


def action_view(work: OpenedJob, value: MeasuredValue, screen: GapScreen) -> ActionView:
    """Action of one string over one fret."""
    wording, instrument = screen.wording, work.job.instrument
    here, fret = value.string or 0, value.fret or 0
    asked = _asked(work, value, screen)
    name = instrument.name_of(here)
    how, where = say("Open, slide in over"), say("fret {fret}", fret=fret)
    return ActionView(
        job=work.id,
        title=screen.title,
        string=here,
        place=place_of(instrument, here),
        pitch=instrument.spec(here).pitch.show(),
        gauge=posture_in_words(work, screen.manner),
        prompt=asked.prompt,
        number=asked.number,
        unit=asked.unit,
        reach=f"{how} {where}",
        trail=_trail(work, wording, ActionMeasurement, (here, fret)),
        estimate=estimate_in_words(value, wording) if value.believed else "",
        status=asked.status,
        marks=_string_marks(work, here),
        can_undo=bool(work.steps),
        spoken=_spoken(string_named(name), how, where, asked),
        saved=screen.saved,
        name=string_named(name),
        how=how,
        where=where,
        about=say("Sample") if is_sample(work.job, work.trade) else "",
        settled=asked.settled,
        goes_on=goes_on_in_words(work, value.quantity) if asked.settled else "",
        picture=_action_line(value, wording) if value.believed else None,
        predicted=asked.predicted,
    )


@dataclass(frozen=True)
class _Asked:
    """What one screen asks for."""

    prompt: Prompt
    number: str
    unit: str
    status: str
    settled: bool
    predicted: bool


def _asked(work: OpenedJob, value: MeasuredValue, screen: GapScreen) -> _Asked:
    """The size to slide in; else what has come of it, or what is predicted of it."""
    sizes = slid_in(work, value, afresh=screen.afresh)
    predicted = offers_prediction(work, value) and not screen.afresh
    left_out = is_left_out(work, value) and not screen.afresh
    if sizes:
        number, unit = screen.wording.stack_and_unit(sizes)
    else:
        number, unit = _come_to(value, screen.wording, known=predicted or left_out), ""
    return _Asked(
        prompt=Prompt.LEAF if sizes else Prompt.DONE,
        number=number,
        unit=unit,
        status=_status(work, value, screen, asks=bool(sizes)),
        settled=(value.settled or left_out) and not screen.afresh,
        predicted=predicted,
    )


def _come_to(value: MeasuredValue, wording: Wording, *, known: bool) -> str:
    """In the largest type where nothing is slid in: a figure, or that one is to be typed."""
    if value.believed is None or (value.advice.asks and not known):
        return say("Number")
    return with_minus(wording.mm(value.believed.median))


def _status(work: OpenedJob, value: MeasuredValue, screen: GapScreen, *, asks: bool) -> str:
    """One line of what matters now."""
    state = work.setup
    if state.postures_mixed:
        return mixed_in_words(state)
    if value.stale:
        return say("What was read before was moved by what was done since: read it again.")
    if screen.saved:
        return screen.saved
    waits = offers_prediction(work, value) or is_left_out(work, value)
    if value.predicted and waits and not screen.afresh:
        return say("It follows from the strings that were read.")
    if value.advice.why is LeafReason.NO_LEAF and value.advice.lacking_mm:
        lacking = screen.wording.mm(value.advice.lacking_mm)
        return say("Nothing in this kit tells more; {size} would.", size=lacking)
    shape = shape_in_words(state) if value.quantity == "relief" and value.settled else ""
    return shape or (say(NOT_SURE) if asks else "")


def _spoken(name: str, how: str, where: str, asked: _Asked) -> str:
    """What a voice says of all of it."""
    said = say(
        "{name}. {how}, {where}: {number} {unit}",
        name=name,
        how=how,
        where=where,
        number=asked.number,
        unit=asked.unit,
    )
    return said.strip()


def _trail(
    work: OpenedJob, wording: Wording, kind: type[Measurement], subject: tuple[object, ...]
) -> tuple[str, ...]:
    """What was measured of this value, in few words, oldest first."""
    own = (each for each in work.job.measurements if isinstance(each, kind))
    return tuple(_short(each, wording) for each in own if _subject(each) == subject)


def _short(measurement: Measurement, wording: Wording) -> str:
    """One measurement, short enough for the trail: 10 no contact."""
    if not isinstance(measurement, ReliefMeasurement | ActionMeasurement):
        return ""
    if measurement.value is not None:
        return with_minus(wording.length(measurement.value))
    slid = measurement.leaves
    if isinstance(measurement, ActionMeasurement):
        slid = measurement.slid_in
    return f"{wording.stack(slid)} {say(CONTACTS[measurement.felt])}"


def _subject(measurement: Measurement) -> tuple[object, ...]:
    if isinstance(measurement, ActionMeasurement):
        return measurement.string, measurement.fret
    return (measurement.side,) if isinstance(measurement, ReliefMeasurement) else ()


def goes_on_in_words(work: OpenedJob, quantity: str) -> str:
    """Where *next* leads: to what is measured next, else to the stages of the visit."""
    about = next_measured(work, quantity)
    if about is None:
        return say("Next: the stages")
    if about.side is not None:
        return say(_NEXT_SIDE[about.side])
    name = work.job.instrument.name_of(about.string or 0)
    return say("Next: action, string {name}", name=name)


_NEXT_SIDE = {Side.BASS: mark("Next: the bass side"), Side.TREBLE: mark("Next: the treble side")}


def _side_mark(value: MeasuredValue, *, here: bool) -> StringMark:
    side, done = say(SIDES[value.side]), _sign(value)
    said = stands_in_words(value) if value.touches else say("not read")
    return StringMark(
        string=value.string or 0,
        label=say(_SHORT_SIDES[value.side]),
        call=done,
        here=here,
        read=value.touches > 0,
        said=f"{side}, {said}",
    )


def _string_marks(work: OpenedJob, here: int) -> tuple[StringMark, ...]:
    """Every string from the bass side, with how far its action an octave up is."""
    return tuple(
        _string_mark(work, work.setup.action_of(string), string, here=string == here)
        for string in walk_order(work.job.instrument)
    )


def _string_mark(
    work: OpenedJob, value: MeasuredValue | None, string: int, *, here: bool
) -> StringMark:
    read = value is not None and value.touches > 0
    said = stands_in_words(value) if value is not None and read else say("not read")
    name = work.job.instrument.name_of(string)
    return StringMark(
        string=string,
        label=work.job.instrument.short_name_of(string),
        call=_sign(value) if value is not None else None,
        here=here,
        read=read,
        said=say("String {label}, {said}", label=name, said=said),
    )


def _sign(value: MeasuredValue) -> CallKind | None:
    """The sign of a value that is settled; none while it is not."""
    return _SIGNS.get(value.standing) if value.settled else None


def _neck_line(value: MeasuredValue, at: float, wording: Wording) -> NeckLine:
    window = value.window
    return NeckLine(
        low_mm=window.low_mm,
        high_mm=window.high_mm,
        believed_mm=value.believed.median if value.believed and value.touches else None,
        at=at,
        said=say("The line of the neck. {said}", said=estimate_in_words(value, wording)),
    )


def _action_line(value: MeasuredValue, wording: Wording) -> ActionLine:
    window, known = value.window, value.touches or value.predicted
    return ActionLine(
        low_mm=window.low_mm,
        high_mm=window.high_mm,
        believed_mm=value.believed.median if value.believed and known else None,
        said=say("The string over the fret. {said}", said=estimate_in_words(value, wording)),
    )

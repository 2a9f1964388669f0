"""Relief and action in words: what is believed, where it stands, how the neck bends and lay."""

from __future__ import annotations

from logic.app.session.gap_manner import GapManner, posture_now
from logic.app.session.open_job import OpenedJob
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.measuring.quantities.relief import HELD_AT_SEMITONES
from logic.bench.setup.held_line import HeldLine
from logic.bench.setup.measured import MeasuredValue, NeckShape, SetupState, WindowStanding
from logic.bench.visits.setup_words import STANDINGS
from shared.board import Board
from shared.job import Interval
from shared.measurements import Posture
from shared.words import mark, say

_MINUS = "−"
POSTURES = {
    Posture.PLAYED: mark("as played"),
    Posture.BACK: mark("on its back"),
    Posture.SIDE: mark("on its side"),
    Posture.PROPPED: mark("propped under its head"),
}
_STANDS = {
    WindowStanding.BELOW: mark("below {low} to {high}"),
    WindowStanding.INSIDE: mark("inside {low} to {high}"),
    WindowStanding.ABOVE: mark("above {low} to {high}"),
    WindowStanding.UNSURE: mark("wanted: {low} to {high}"),
    WindowStanding.UNREAD: mark("wanted: {low} to {high}"),
}
_SHAPES = {
    NeckShape.BACK_BOW: mark("The neck bows back."),
    NeckShape.UNEVEN: mark("One side of the neck bends more than the other."),
    NeckShape.S_SHAPE: mark("The neck is hollow in one place and not in another."),
}


def shape_in_words(state: SetupState) -> str:
    """How the neck bends, where it does not bend evenly; and where that is a repairer's work."""
    said = _SHAPES.get(state.neck.shape)
    if said is None:
        return ""
    refer = say("That is work for a repairer.") if state.neck.refer else ""
    return f"{say(said)} {refer}".strip()


def mixed_in_words(state: SetupState) -> str:
    """That it lay in two ways while it was measured, and that this is not believed together."""
    return say(
        "Measured {one} and {other}: the two are not believed together.",
        one=say(POSTURES[state.postures[0]]),
        other=say(POSTURES[state.postures[-1]]),
    )


def estimate_in_words(value: MeasuredValue, wording: Wording) -> str:
    """What is believed with its interval, and where that lies against the window."""
    window = value.window
    low, high = wording.bare_mm(window.low_mm), wording.mm(window.high_mm)
    stands = say(_STANDS[value.standing], low=low, high=high)
    known = value.touches or (value.predicted and value.quantity == "action")
    if value.believed is None or not known:
        return begun(stands)
    least, most = value.believed.interval()
    found = wording.interval(Interval(estimate=value.believed.median, low=least, high=most))
    if value.standing.is_known:
        return say("{found}: {stands}", found=with_minus(found), stands=stands)
    return say("{found}, {stands}", found=with_minus(found), stands=stands)


def with_minus(figures: str) -> str:
    """Figures of a gap with the sign of a minus, which is seen from afar, in place of a hyphen."""
    return figures.replace("-", _MINUS)


def relief_in_words(
    value: MeasuredValue, line: HeldLine | None, board: Board, wording: Wording
) -> str:
    """The same of relief, with the holds that its figures are of where others are held now."""
    said = estimate_in_words(value, wording)
    low, high = 1, board.nearest_fret(HELD_AT_SEMITONES)
    if line is None or line.holds == (low, high) or not value.touches:
        return said
    return say("{said}, as held at {low} and {high}", said=said, low=low, high=high)


def posture_in_words(work: OpenedJob, manner: GapManner) -> str:
    """How it lies while it is measured."""
    return say(POSTURES[posture_now(manner, work.job)])


def held_on_in_words(work: OpenedJob, value: MeasuredValue, line: HeldLine, edge: bool) -> str:
    """What makes the straight line, and where it is held."""
    if edge or value.string is None:
        return say("Straight edge on {low} and {high}", low=line.low, high=line.high)
    name = work.job.instrument.name_of(value.string)
    return say("String {name} held at {low} and {high}", name=name, low=line.low, high=line.high)


def stands_in_words(value: MeasuredValue) -> str:
    """Where a value that was read stands against its window, in a word or two."""
    return say(STANDINGS[value.standing])

"""The line of a neck from the side: its crowns, and the outer strings over them, before and after.

A neck is long and its bow is small, so heights are drawn larger than lengths, and the picture says
by how much. The line through the crowns at the holds is level; what lies below it is relief.
"""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.measuring.quantities.relief import standard_holds
from logic.bench.setup.relief_belief import outer_string
from logic.bench.visits.handover import HandOver
from logic.bench.visits.setup_record import ACTION, RELIEF, KnownHeight, SetupRecord
from logic.drawing.page import PageElement, TextRun, Trace, line
from logic.physics.neck import fret_position_mm
from shared.instrument import Instrument
from shared.job import Interval
from shared.measurements import Side
from shared.words import mark, say

HEIGHTS = 6.0
"""How much larger than life heights are drawn."""
_DRAWN_FRETS = 20
"""Of a board that nobody counted."""
_HIGHEST_MM = 6.0
"""Heights above this are drawn at the top edge."""
_BELOW_MM = 1.2
"""Room for the deepest relief that is drawn."""
_STEPS = 40
_SIDES = {Side.BASS: mark("Bass side"), Side.TREBLE: mark("Treble side")}


def neck_picture(work: HandOver, left: float, top: float, width: float) -> list[PageElement]:
    """A line for each side that was measured, with its legend; `neck_height_mm` tall."""
    elements: list[PageElement] = []
    for place, side in enumerate(_sides(work.setup)):
        base = top + (place + 1) * _side_height(work.setup) - _BELOW_MM * HEIGHTS
        elements += _side(work, side, left, base, width)
    end = top + len(_sides(work.setup)) * _side_height(work.setup)
    return [*elements, TextRun((left, end + 3), _legend(work, width), 7)]


def neck_height_mm(work: HandOver) -> float:
    """How much room the picture takes, legend included; nothing where neither was measured."""
    sides = len(_sides(work.setup))
    return sides * _side_height(work.setup) + 6 if sides else 0.0


def times_larger(work: HandOver, width: float) -> float:
    """How much larger heights are drawn than lengths."""
    return HEIGHTS * _end_mm(work.job.instrument) / width


def _sides(record: SetupRecord | None) -> tuple[Side, ...]:
    if record is None:
        return ()
    known = {each.side for each in record.heights if each.quantity == RELIEF}
    return tuple(side for side in Side if side in known)


def _side_height(record: SetupRecord | None) -> float:
    actions = [each for each in (record.heights if record else ()) if each.quantity == ACTION]
    highest = max((mm.estimate for each in actions for mm in _both(each)), default=0.5)
    return (min(1.6 * highest, _HIGHEST_MM) + _BELOW_MM) * HEIGHTS + 5


def _both(each: KnownHeight) -> list[Interval]:
    return [mm for mm in (each.before, each.after) if mm is not None]


def _legend(work: HandOver, width: float) -> str:
    return say(
        "The neck from the side, nut at the left: line of the crowns and the string over them. "
        "Dashed: before, full: after. Heights ×{times} against lengths.",
        times=round(times_larger(work, width)),
    )


def _side(work: HandOver, side: Side, left: float, base: float, width: float) -> list[PageElement]:
    string = outer_string(work.job.instrument, side)
    record = work.setup or SetupRecord()
    bow, height = record.height(RELIEF, side, None), record.height(ACTION, None, string)
    read = next((one for one in work.strings if one.string == string), None)
    frame = _Frame(work.job.instrument, left, base, width)
    elements: list[PageElement] = [
        line((left, base), (left + width, base), 0.08, dash_mm=0.6),
        TextRun((left, base + _BELOW_MM * HEIGHTS - 0.5), say(_SIDES[side]), 7),
    ]
    if bow and bow.before and not _unmoved(bow, height):
        came = height.before if height else None
        elements += frame.lines(bow.before, came, read.before if read else None, dash_mm=1.2)
    if bow and bow.after:
        now = height.after if height else None
        elements += frame.lines(bow.after, now, read.after if read else None)
    return elements


def _unmoved(*heights: KnownHeight | None) -> bool:
    """Whether nothing is known to have changed, so that one line says both."""
    return all(each is None or each.before == each.after for each in heights)


@dataclass(frozen=True)
class _Frame:
    """Where one side of the neck is drawn."""

    instrument: Instrument
    left: float
    base: float
    width: float

    def lines(
        self, bow: Interval, action: Interval | None, first: Interval | None, dash_mm: float = 0.0
    ) -> list[PageElement]:
        """The line of the crowns, and the string where its action is known; where nobody read it
        over the first fret, it is drawn as rising evenly from there."""
        end_mm = _end_mm(self.instrument)
        along = [end_mm * step / _STEPS for step in range(_STEPS + 1)]
        crowns = tuple(self._at(x, -self._sag_mm(x, bow.estimate)) for x in along)
        drawn: list[PageElement] = [Trace(crowns, 0.3, dash_mm=dash_mm)]
        if action is None:
            return drawn
        one, octave = self._fret_mm(1), self._fret_mm(self.instrument.octave_fret)
        over_octave = action.estimate - self._sag_mm(octave, bow.estimate)
        over_one = first.estimate if first else action.estimate * one / octave
        slope = (over_octave - over_one) / (octave - one)
        ends = (self._at(x, over_one + slope * (x - one)) for x in (0.0, end_mm))
        start, end = ends
        return [*drawn, line(start, end, 0.2, dash_mm)]

    def _at(self, along_mm: float, height_mm: float) -> tuple[float, float]:
        shown = min(max(height_mm, -_BELOW_MM), _HIGHEST_MM)
        scale = self.width / _end_mm(self.instrument)
        return self.left + along_mm * scale, self.base - shown * HEIGHTS

    def _fret_mm(self, fret: int) -> float:
        board = self.instrument.fretboard
        return fret_position_mm(self.instrument.scale.mm, board.semitones_at(fret))

    def _sag_mm(self, along_mm: float, relief_mm: float) -> float:
        """How far a crown lies under the line through the holds: a parabola between them, beyond
        them its tangents."""
        start, end = map(self._fret_mm, standard_holds(self.instrument.fretboard))
        if along_mm < start:
            return 4.0 * relief_mm * (along_mm - start) / (end - start)
        if along_mm > end:
            return 4.0 * relief_mm * (end - along_mm) / (end - start)
        return 4.0 * relief_mm * (along_mm - start) * (end - along_mm) / (end - start) ** 2


def _end_mm(instrument: Instrument) -> float:
    """How far the board reaches from the nut."""
    last = instrument.last_fret or _DRAWN_FRETS
    return fret_position_mm(instrument.scale.mm, instrument.fretboard.semitones_at(last))

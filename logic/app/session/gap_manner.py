"""How the next measurement of relief or action is taken: what somebody chose, else as the last one
was, else as it is usual."""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.setup.held_line import HeldLine, held_line
from logic.bench.setup.measured import MeasuredValue
from shared.board import MOST_FRETS
from shared.instrument import Instrument
from shared.job import Job
from shared.measurements import Posture, ReliefMeasurement, TouchedMeasurement


@dataclass(frozen=True)
class GapManner:
    """What was chosen since the job was opened; it is recorded with each measurement."""

    job: str = ""
    line: HeldLine | None = None
    straight_edge: bool | None = None
    posture: Posture | None = None
    fret: int | None = None
    """The fret over which action is measured; None for the one that is asked for."""

    def of_job(self, job: str) -> GapManner:
        """What was chosen for this job; nothing where that was another."""
        return self if self.job == job else GapManner(job)


def posture_now(manner: GapManner, job: Job) -> Posture:
    """How it lies: as chosen, else as it last did, else as it is played."""
    taken = (each for each in job.measurements if isinstance(each, TouchedMeasurement))
    last = [each.posture for each in taken if each.posture is not None][-1:]
    return manner.posture or (last[0] if last else Posture.PLAYED)


def edge_now(manner: GapManner, job: Job) -> bool:
    """Whether a straight edge lies on the frets: as chosen, else as at the last touch."""
    if manner.straight_edge is not None:
        return manner.straight_edge
    relief = [each for each in job.measurements if isinstance(each, ReliefMeasurement)]
    felt = [each for each in relief if each.leaf is not None]
    return bool(felt) and felt[-1].string is None


def line_now(manner: GapManner, value: MeasuredValue, instrument: Instrument) -> HeldLine | None:
    """What is held and measured over: as chosen, else as it is asked for on this side. None where
    nothing can be held, as on a bare board."""
    board, last = instrument.fretboard, last_fret(instrument)
    if value.holds is None:
        return None
    if manner.line is not None and manner.line.high <= last:
        return manner.line
    low, high = value.holds
    usual = held_line(low, min(high, last), board)
    asked = value.fret if value.fret and usual.low < value.fret < usual.high else usual.at
    return HeldLine(usual.low, usual.high, asked)


def last_fret(instrument: Instrument) -> int:
    """The last fret that can be held; where nobody counted them, as many as a board can have."""
    return instrument.last_fret or MOST_FRETS

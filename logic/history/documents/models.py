"""Models of the folded documents: typed copies, which cannot change the record."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from shared.events import Stamp
from shared.instrument import Instrument, Player
from shared.job import Checks, Complaint, Job, Pass, Proof, Setup
from shared.kit import Kit
from shared.measurements import Measurement
from shared.readings import Reading
from shared.record import Record


class Authorship(Record):
    """Who wrote something, when, and by which event."""

    event: str
    device: str
    time: str

    @property
    def stamp(self) -> Stamp:
        """`time` as a stamp that compares."""
        return Stamp.parse(self.time)

    @property
    def order(self) -> tuple[Stamp, str, int]:
        """The one order in which every device shows events."""
        device, _, seq = self.event.rpartition(":")
        return (self.stamp, device, int(seq))


class TakenReading(Authorship):
    """A reading and who took it."""

    reading: Reading


class TakenMeasurement(Authorship):
    """A measurement of the instrument or its room, and who took it."""

    measurement: Measurement


class FiledPass(Authorship):
    """What was done to one slot between two readings, and who did it."""

    pass_: Pass = Field(alias="pass")


class TakenProof(Authorship):
    """The proof of one string and who took it."""

    proof: Proof


class Replaced(Authorship):
    """A value that a later one replaced. `event` wrote it, `replaced_by` took its place."""

    field: str
    value: Any
    replaced_by: str

    @property
    def by_another(self) -> bool:
        """Whether another device than the one that wrote the value replaced it."""
        return self.replaced_by.rpartition(":")[0] != self.device


class JobDocument(Record):
    """One job, folded from its events. Times are hybrid stamps; events are named by id."""

    id: str
    instrument_id: str | None = None
    opened: str
    open: bool
    closed_reason: str = ""
    changed: str
    instrument: Instrument
    player: Player
    kit: Kit
    complaint: str
    complaints: tuple[Complaint, ...] = ()
    to_my_target: bool = False
    ticket: str = ""
    checks: Checks
    looked_again: Checks = Field(default_factory=dict)
    readings: tuple[TakenReading, ...]
    measurements: tuple[TakenMeasurement, ...] = ()
    passes: tuple[FiledPass, ...]
    proofs: tuple[TakenProof, ...]
    place: str
    """The screen that was shown last, on any device."""
    places: dict[str, str]
    """Per device, the screen that was shown last."""
    steps: tuple[str, ...]
    """Events that an undo would take back, the latest last."""
    undone: tuple[str, ...]
    """Events that were taken back; `History.redo` brings one again."""
    marks: dict[str, Authorship]
    """Who gave each field its value: `complaint`, `checks.relief`, `checks.seated.6` …"""
    timeline: tuple[Replaced, ...]

    def as_job(self) -> Job:
        """What a plan is made from."""
        return Job(
            instrument=self.instrument,
            player=self.player,
            kit=self.kit,
            complaint=self.complaint,
            complaints=self.complaints,
            to_my_target=self.to_my_target,
            ticket=self.ticket,
            checks=self.checks,
            looked_again=self.looked_again,
            readings=tuple(taken.reading for taken in self.readings),
            passes=tuple(self._placed(filed) for filed in self.passes),
            proofs=tuple(taken.proof for taken in self.proofs),
            setup=self._setup(),
        )

    def _setup(self) -> Setup | None:
        taken = tuple(taken.measurement for taken in self.measurements)
        return Setup(readings=taken) if taken else None

    def _placed(self, filed: FiledPass) -> Pass:
        """The pass among the readings that now stand before it, whatever was undone or merged."""
        string = filed.pass_.string
        before = sum(
            taken.reading.string == string and taken.order < filed.order for taken in self.readings
        )
        return filed.pass_.model_copy(update={"after": before})


class InstrumentDocument(Record):
    """One instrument: its latest description and its jobs, oldest first."""

    id: str
    value: Instrument
    player: Player | None = None
    """Who plays it, as its own page says; None where only its jobs say so."""
    changed: str
    jobs: tuple[str, ...]
    marks: dict[str, Authorship] = Field(default_factory=dict)
    """Who gave `value` and `player` what they are."""
    timeline: tuple[Replaced, ...]


class KitDocument(Record):
    """One kit."""

    id: str
    value: Kit
    changed: str
    timeline: tuple[Replaced, ...]


class JobSummary(Record):
    """One job in a list."""

    id: str
    instrument_id: str | None = None
    label: str
    owner: str = ""
    ticket: str = ""
    kind: str
    opened: str
    changed: str
    open: bool
    begun: bool = True
    """Whether anything was read, filed or proved."""
    place: str

    @property
    def stamp(self) -> Stamp:
        """`opened` as a stamp that compares."""
        return Stamp.parse(self.opened)

    @property
    def changed_at(self) -> Stamp:
        """`changed` as a stamp that compares."""
        return Stamp.parse(self.changed)


class InstrumentSummary(Record):
    """One instrument in a list."""

    id: str
    label: str
    owner: str = ""
    kind: str
    changed: str
    jobs: int

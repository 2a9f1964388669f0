"""Models of the folded documents: typed copies, which cannot change the record."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pydantic import Field

from logic.history.documents.rounds import answers_since, in_rounds, round_of
from shared.events import Stamp, place_of
from shared.instrument import Instrument, Player
from shared.job import Checks, Complaint, Job, Pass, Proof, Round
from shared.kit import Kit
from shared.measurements import Measurement
from shared.readings import Reading
from shared.record import Record
from shared.setup import Scope, Setup, SetupStep
from shared.work import Work


class Authorship(Record):
    """Who wrote something, when, and by which event."""

    event: str
    device: str
    time: str
    counts_as: Any = None
    """The stamp in whose place it stands, where that is later than its own."""

    @property
    def stamp(self) -> Stamp:
        """`time` as a stamp that compares."""
        return Stamp.parse(self.time)

    @property
    def order(self) -> tuple[Stamp, str, int]:
        """The one order in which every device shows events."""
        device, _, seq = self.event.rpartition(":")
        return (place_of(self.time, self.counts_as), device, int(seq))


class PutRight(Authorship):
    """What may have been recorded in place of something that was struck out with it."""

    instead: Authorship | None = None
    """What was struck out: this stands where that stood."""

    @property
    def order(self) -> tuple[Stamp, str, int]:
        """The place of what was struck out for it, else its own."""
        return self.instead.order if self.instead else super().order


class TakenReading(PutRight):
    """A reading and who took it."""

    reading: Reading


class TakenMeasurement(PutRight):
    """A measurement of the instrument or its room, and who took it."""

    measurement: Measurement


class TakenStep(PutRight):
    """What was done to the instrument or left out, and who reported it."""

    step: SetupStep


class FiledPass(PutRight):
    """What was done to one slot between two readings, and who did it."""

    pass_: Pass = Field(alias="pass")


class TakenProof(PutRight):
    """The proof of one string and who took it."""

    proof: Proof


class DoneWork(Authorship):
    """Work that was done, who reported it, and what had been answered since the work before."""

    work: Work
    checks: Checks = Field(default_factory=dict)
    looked_again: Checks = Field(default_factory=dict)
    instrument: Instrument | None = None
    """As it was listed then."""


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
    note: str = ""
    checks: Checks
    looked_again: Checks = Field(default_factory=dict)
    readings: tuple[TakenReading, ...]
    measurements: tuple[TakenMeasurement, ...] = ()
    setup_steps: tuple[TakenStep, ...] = ()
    setup_scope: Scope | None = None
    setup_due: str | None = None
    setup_overnight: bool | None = None
    passes: tuple[FiledPass, ...]
    proofs: tuple[TakenProof, ...]
    work: tuple[DoneWork, ...] = ()
    """Work that was reported done, in order."""
    said_to_older_apps: bool | str | int = ""
    """What apps that do not know of such work were told last: "yes" while a string that it touched
    is unread."""
    said_to_apps_without_boards: bool | str | int = ""
    """What apps that do not know where frets can be were told last: "yes" while this instrument's
    are where those apps do not take them to be."""
    said_to_apps_without_visits: bool | str | int = ""
    """What apps that know no visit of the whole instrument were told last: "yes" while a step has
    moved what was read, or something else than the nut comes first."""
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

    @property
    def begun(self) -> bool:
        """Whether anything was read, measured, filed, proved or worked on."""
        done = (self.readings, self.measurements, self.passes, self.proofs, self.work)
        return any(done) or bool(self.setup_steps)

    def as_job(self) -> Job:
        """What a plan is made from: what holds now, and in `rounds` what work has ended."""
        readings, passes, proofs, measured = self._by_round()
        since = self.work[-1].order if self.work else None
        return Job(
            instrument=self.instrument,
            player=self.player,
            kit=self.kit,
            complaint=self.complaint,
            complaints=self.complaints,
            to_my_target=self.to_my_target,
            ticket=self.ticket,
            note=self.note,
            checks=answers_since("checks", self.checks, self.marks, since),
            looked_again=answers_since("looked_again", self.looked_again, self.marks, since),
            readings=readings[-1],
            passes=passes[-1],
            proofs=proofs[-1],
            setup=measured[-1],
            rounds=tuple(
                Round(
                    work=done.work,
                    readings=readings[place],
                    passes=passes[place],
                    proofs=proofs[place],
                    checks=done.checks,
                    looked_again=done.looked_again,
                    setup=measured[place],
                    instrument=done.instrument,
                )
                for place, done in enumerate(self.work)
            ),
        )

    def _by_round(
        self,
    ) -> tuple[
        list[tuple[Reading, ...]],
        list[tuple[Pass, ...]],
        list[tuple[Proof, ...]],
        list[Setup | None],
    ]:
        """What was read, filed, proved and measured, each by the work that ended it; last what
        still stands."""
        read = in_rounds(self.readings, self.work, lambda taken: taken.reading.string)
        filed = in_rounds(self.passes, self.work, lambda each: each.pass_.string)
        holding = [taken for taken in self.proofs if not self._filed_since(taken)]
        proved = in_rounds(holding, self.work, lambda taken: taken.proof.string)
        measured = in_rounds(self.measurements, self.work, lambda _: None)
        taken = in_rounds(self.setup_steps, self.work, lambda _: None)
        return (
            [tuple(taken.reading for taken in each) for each in read],
            [tuple(map(self._placed, each)) for each in filed],
            [tuple(taken.proof for taken in each) for each in proved],
            [
                self._setup(measured[place], _moving(taken[: place + 1], read[place]), read[place])
                for place in range(len(read))
            ],
        )

    def _setup(
        self,
        measured: tuple[TakenMeasurement, ...],
        steps: tuple[tuple[TakenStep, bool], ...],
        read: tuple[TakenReading, ...],
    ) -> Setup | None:
        """What the visit is for, with what was measured and done in one round, each step with
        whether it was done in an earlier one; None where nothing was."""
        setup = Setup(
            scope=self.setup_scope,
            due=self.setup_due or "",
            overnight=self.setup_overnight,
            readings=tuple(each.measurement for each in measured),
            steps=tuple(_step_placed(*each, measured, read) for each in steps),
        )
        return None if setup == Setup() else setup

    def _filed_since(self, taken: TakenProof) -> bool:
        """Whether a file was in the slot after its proof, which then proves nothing of it."""
        string = taken.proof.string
        return any(
            filed.pass_.string == string and filed.order > taken.order for filed in self.passes
        )

    def _placed(self, filed: FiledPass) -> Pass:
        """The pass among the readings of its round that now stand before it, whatever was undone or
        merged."""
        string = filed.pass_.string
        within = round_of(filed.order, self.work, string)
        before = sum(
            taken.reading.string == string
            and taken.order < filed.order
            and round_of(taken.order, self.work, string) == within
            for taken in self.readings
        )
        update = {"after": before}
        if self.measurements:
            update["after_measured"] = sum(m.order < filed.order for m in self.measurements)
        return filed.pass_.model_copy(update=update)


def _moving(
    taken: Sequence[tuple[TakenStep, ...]], read: tuple[TakenReading, ...]
) -> tuple[tuple[TakenStep, bool], ...]:
    """The steps of the last round, and before them those of earlier ones that came after a reading
    of `read`: work on one string ends no reading of the others, and such a step moved them."""
    first = min((each.order for each in read), default=None)
    earlier = [step for each in taken[:-1] for step in each]
    moved = [(step, True) for step in earlier if first is not None and first < step.order]
    return (*moved, *((step, False) for step in taken[-1]))


def _step_placed(
    taken: TakenStep,
    earlier: bool,
    measured: tuple[TakenMeasurement, ...],
    read: tuple[TakenReading, ...],
) -> SetupStep:
    """The step among what was measured and read in one round, whatever was undone or merged."""
    places = {
        "after": sum(each.order < taken.order for each in measured),
        "after_readings": sum(each.order < taken.order for each in read),
        "of_an_earlier_round": earlier,
    }
    return taken.step.model_copy(update=places)


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
    marks: dict[str, Authorship] = Field(default_factory=dict)
    """Who gave `value` what it is."""
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
    """Whether anything was read, measured, filed, proved or worked on."""
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

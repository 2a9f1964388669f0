"""A job as recorded, and what its strings come to; a tap works out only what it touched."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from logic.app.session.places import ScreenName
from logic.bench.checks.work_done import as_it_stands
from logic.bench.plan.plan import (
    JobContext,
    JobPlan,
    StringState,
    job_context,
    make_plan,
    plan_from,
    state_in,
)
from logic.bench.plan.walk import WalkQuestion, next_string, question_of, walk_order
from logic.bench.setup.measured import SetupState
from logic.bench.setup.state import setup_state
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.quick_check import QUICK_CHECK, KnownClearance
from logic.bench.visits.stages import came_in_mm
from logic.bench.window.attack import BuzzObservation
from logic.history.documents.models import JobDocument
from shared.job import Job, Plan
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement
from shared.readings import Reading
from shared.setup import Setup
from shared.words import say


@dataclass
class OpenedJob:
    """One job and the states of its strings, kept while what they stand on is unchanged."""

    document: JobDocument
    job: Job
    trade: TradeTables
    known: Mapping[int, KnownClearance] = field(default_factory=dict)
    """Clearances that earlier jobs of this instrument left on record."""
    heard: tuple[BuzzObservation, ...] = ()
    """What buzzed or rang clean under its player at earlier jobs."""
    _states: dict[int, tuple[object, StringState]] = field(default_factory=dict)
    _foreseen: dict[Reading | Measurement, OpenedJob] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        document: JobDocument,
        trade: TradeTables,
        before: OpenedJob | None = None,
        known: Mapping[int, KnownClearance] | None = None,
        heard: tuple[BuzzObservation, ...] = (),
    ) -> OpenedJob:
        """The job of `document`; takes the states over from `before`, the same job a tap ago."""
        kept = before._states if before and before.id == document.id else {}
        job = as_it_stands(document.as_job(), trade)
        opened = cls(document, job, trade, known or {}, heard, kept)
        ahead = before._ahead_of(opened) if before else None
        if ahead is not None:
            opened._states = ahead._states
            for name in ("standing", "job_plan", "setup"):  # as if they had been asked for already
                if name in ahead.__dict__:
                    opened.__dict__[name] = ahead.__dict__[name]
        return opened

    def foresee(self, reading: Reading) -> None:
        """Work out now what `reading` would lead to; nothing is recorded, nothing here changes."""
        job = self.job.model_copy(update={"readings": (*self.job.readings, reading)})
        ahead = OpenedJob(
            self.document, job, self.trade, self.known, self.heard, dict(self._states)
        )
        order = walk_order(job.instrument)
        settled = question_of(ahead.state(reading.string)) is WalkQuestion.NOTHING
        if settled and not next_string(order, reading.string, ahead.state):
            _ = ahead.plan  # the walk would end there
        self._foreseen[reading] = ahead

    def foresee_measured(self, measurement: Measurement) -> None:
        """The same for a measurement of the whole instrument."""
        setup = self.job.setup or Setup()
        measured = setup.model_copy(update={"readings": (*setup.readings, measurement)})
        job = self.job.model_copy(update={"setup": measured})
        ahead = OpenedJob(
            self.document, job, self.trade, self.known, self.heard, dict(self._states)
        )
        asked = ahead.setup.next
        if asked is not None and asked.about is not None:
            _ = asked.about.advice  # what is slid in next
        self._foreseen[measurement] = ahead

    def _ahead_of(self, opened: OpenedJob) -> OpenedJob | None:
        """What was foreseen of exactly this job, if anything was."""
        last: tuple[Reading | Measurement, ...] = (
            *opened.job.readings[-1:],
            *opened.job.measurements[-1:],
        )
        foreseen = (self._foreseen.get(each) for each in last)
        ahead = next((each for each in foreseen if each is not None), None)
        same = ahead is not None and (ahead.job, ahead.known, ahead.heard) == (
            opened.job,
            opened.known,
            opened.heard,
        )
        return ahead if same else None

    @property
    def id(self) -> str:
        """The job's name in the history."""
        return self.document.id

    @property
    def last_known_mm(self) -> dict[int, float]:
        """Where each string stood when it was last measured."""
        return {string: known.clearance_mm for string, known in self.known.items()}

    @property
    def steps(self) -> tuple[str, ...]:
        """What can be taken back, the latest last."""
        return self.document.steps

    @property
    def figures_from(self) -> str:
        """Where the figures come from that nobody gave today, in words."""
        if self.known:
            return say("Strings, nut and player are those on record from its last job.")
        kind = say(self.job.instrument.kind)
        if self.job.player.targets:
            return say(
                "Scale and strings, and targets where there is no own one: the usual ones of this "
                "kind, {kind}.",
                kind=kind,
            )
        return say("Scale, strings and targets: the usual ones of this kind, {kind}.", kind=kind)

    @cached_property
    def standing(self) -> JobContext:
        """What the calls of all strings stand on."""
        return job_context(self.job, self.trade, self.last_known_mm, self.heard)

    @cached_property
    def setup(self) -> SetupState:
        """The visit of the whole instrument as it stands."""
        return setup_state(self.job, self.trade)

    @cached_property
    def came_in_mm(self) -> dict[int, float]:
        """Where each string that was worked on stood before it was, as far as it was read then."""
        done = {made.string for made in self.job.passes}
        done |= {string for each in self.job.rounds for string in each.work.strings}
        if not done:
            return {}
        stood = came_in_mm(self.job, self.trade, self.last_known_mm)
        return {s: found.estimate for s, found in stood.items() if found is not None and s in done}

    @property
    def plan(self) -> Plan:
        """The calls for all strings."""
        return self.job_plan.plan

    @cached_property
    def job_plan(self) -> JobPlan:
        """The plan with its parts, of states that are mostly known by then."""
        strings = self.job.instrument.strings
        return plan_from(self.standing, tuple(self.state(spec.string).call for spec in strings))

    def plan_of(self, job: Job) -> Plan:
        """The calls for `job`, which is this one or this one with something different.

        What was heard under one attack says nothing of another.
        """
        heard = self.heard if job.player.attack is self.job.player.attack else ()
        return make_plan(job, self.trade, last_known_mm=self.last_known_mm, heard_before=heard)

    def state(self, string: int) -> StringState:
        """Where `string` stands after the answers so far."""
        job, standing = self.job, self.standing
        own = (
            *(each for each in job.readings if each.string == string),
            *job.passes,
            *job.proofs,
            *job.rounds,
        )
        last = self.known.get(string)
        ground = (
            *(own, job.instrument, job.player, job.kit, standing.gates, last, self.heard),
            string in standing.to_target,
        )
        kept = self._states.get(string)
        if kept and kept[0] == ground:
            return kept[1]
        state = state_in(standing, string)
        self._states[string] = (ground, state)
        return state

    @property
    def is_quick_check(self) -> bool:
        """Whether it is a quick check, not a job to be worked on."""
        return self.job.complaint == QUICK_CHECK

    def given_at(self, event: str) -> tuple[ScreenName, int] | None:
        """The screen and the string at which the reading, pass, proof or work recorded as `event`
        was given; None when it is another entry."""
        for reading in self.document.readings:
            if reading.event == event:
                string = reading.reading.string
                if self.is_quick_check:
                    return "check", string
                return ("cut" if self._being_cut(string) else "walk"), string
        for filed in self.document.passes:
            if filed.event == event:
                return "cut", filed.pass_.string
        for proof in self.document.proofs:
            if proof.event == event:
                return "prove", proof.proof.string
        for done in self.document.work:
            if done.event == event:
                return "plan", done.work.strings[0]
        for measured in self.document.measurements:
            if measured.event == event:
                return self._measured_at(measured.measurement)
        return None

    def _measured_at(self, measurement: Measurement) -> tuple[ScreenName, int] | None:
        """Where relief or action was measured; None of any other quantity."""
        if isinstance(measurement, ActionMeasurement):
            return "action", measurement.string
        if isinstance(measurement, ReliefMeasurement):
            value = self.setup.relief_of(measurement.side)
            return ("relief", value.string) if value and value.string else None
        return None

    def _being_cut(self, string: int) -> bool:
        return any(made.string == string for made in self.job.passes)

"""The parts of a visit in the order in which each moves those after it, how each stands, and which
comes next.

Relief, action and what is stale is worked out by `logic/bench/setup`; what comes before anything
is measured (the player, the look, as it came, the strings) is known from the record alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from logic.app.presenters.noticed import SKIPPED
from logic.app.presenters.questions import found_in_look, looked_at
from logic.app.presenters.retunings import is_in_tune
from logic.app.session.open_job import OpenedJob
from logic.app.views.visit_views import PartStanding
from logic.bench.plan.walk import walk_order
from logic.bench.setup.measured import MeasuredValue, StageState
from logic.bench.visits.proof import Proven, proven
from shared.job import CallKind, Job
from shared.setup import SaddleStep, Scope, SetupStep, SkipStep, Stage, StringsStep, TurnStep

AS_IT_CAME = "as it came"
STRINGS_STAY = "the strings that are on stay on"
"""Why the first stage is left out, as the record keeps it."""


class VisitPart(StrEnum):
    """One part of a visit; the first stage has four of them."""

    PLAYER = "player"
    LOOK = "look"
    AS_IT_CAME = "as it came"
    STRINGS = "strings"
    RELIEF = "relief"
    ACTION = "action"
    SADDLE = "saddle"
    FRETS = "frets"
    NUT = "nut"
    INTONATION = "intonation"
    PROOF = "proof"

    @property
    def stage(self) -> Stage:
        """The stage that it belongs to."""
        first = (VisitPart.PLAYER, VisitPart.LOOK, VisitPart.AS_IT_CAME)
        return Stage.STRINGS if self in first else Stage(self.value)


_CHECKED = (*(VisitPart.LOOK, VisitPart.RELIEF, VisitPart.ACTION, VisitPart.NUT, VisitPart.PROOF),)
"""Of a visit that changes nothing."""
BARS_A_CUT = (VisitPart.RELIEF, VisitPart.ACTION)
"""Parts that a slot waits for."""
_PASSED = (PartStanding.DONE, PartStanding.SKIPPED, PartStanding.BY_HAND)


@dataclass(frozen=True)
class KnownPart:
    """A part of a visit and how it stands."""

    part: VisitPart
    standing: PartStanding
    only_read: bool = False
    """Whether the visit changes nothing: what is out of its window there is only said."""

    @property
    def is_passed(self) -> bool:
        """Whether nothing is left to do there; what the look found stays found, and whoever saw it
        decides whether to go on."""
        said = self.only_read or self.part is VisitPart.LOOK
        return self.standing in _PASSED or (said and self.standing is PartStanding.OUT)


def scope_of(job: Job) -> Scope:
    """What a visit is for; the nut alone where nobody chose."""
    return (job.setup.scope if job.setup else None) or Scope.NUT


def is_whole_visit(job: Job) -> bool:
    """Whether it goes by stages: a whole set-up, or a check of everything."""
    return scope_of(job) is not Scope.NUT


def known_parts(work: OpenedJob) -> tuple[KnownPart, ...]:
    """Every part of this visit; of those not passed only the first is due."""
    only_read = scope_of(work.job) is Scope.CHECK
    parts = _CHECKED if only_read else tuple(VisitPart)
    known = [KnownPart(part, standing_of(part, work), only_read) for part in parts]
    first = next((each for each in known if not each.is_passed), None)
    return tuple(_later(each) if each is not first else each for each in known)


def _later(known: KnownPart) -> KnownPart:
    due = known.standing is PartStanding.DUE
    return replace(known, standing=PartStanding.LATER) if due else known


def next_part(work: OpenedJob) -> KnownPart | None:
    """The first part with anything left to do."""
    return next((each for each in known_parts(work) if not each.is_passed), None)


def standing_of(part: VisitPart, work: OpenedJob) -> PartStanding:
    """How one part stands by itself."""
    return _STANDINGS[part](work)


# --- before anything is measured ---


def _player(work: OpenedJob) -> PartStanding:
    """Gone through once something was said, or passed over, of when it is wanted back."""
    return PartStanding.DUE if work.document.setup_due is None else PartStanding.DONE


def _look(work: OpenedJob) -> PartStanding:
    answers = [work.job.checks.get(gate) for gate in looked_at(work)]
    if None in answers:
        return PartStanding.DUE
    if found_in_look(work):
        return PartStanding.OUT
    return PartStanding.SKIPPED if SKIPPED in answers else PartStanding.DONE


def _as_it_came(work: OpenedJob) -> PartStanding:
    """Once anything was changed it can be read no more."""
    if not left_as_it_came(work):
        return PartStanding.DONE
    return PartStanding.SKIPPED if _is_no_more_as_it_came(work.job) else PartStanding.DUE


def _is_no_more_as_it_came(job: Job) -> bool:
    """Whether it was left out, or the strings, rod or saddle it came with are no longer as they
    were."""
    moved = any(isinstance(step, TurnStep | SaddleStep) for step in job.steps)
    return moved or bool(skip_of(VisitPart.AS_IT_CAME, job) or strings_decided(job))


def left_as_it_came(work: OpenedJob) -> tuple[VisitPart, ...]:
    """What of an instrument was not read before it was changed."""
    relief, action = (work.setup.relief, _outer_action(work))
    read = {reading.string for reading in work.job.readings}
    left = {
        VisitPart.RELIEF: any(not value.touches for value in relief),
        VisitPart.ACTION: any(not value.touches for value in action),
        VisitPart.NUT: not set(outer_strings(work)) <= read,
    }
    return tuple(part for part, is_left in left.items() if is_left)


def reads_as_it_came(work: OpenedJob, string: int) -> bool:
    """Whether this string is read before anything is changed: then only the other side follows."""
    if scope_of(work.job) is not Scope.WHOLE or string not in outer_strings(work):
        return False
    return not _is_no_more_as_it_came(work.job)


def outer_strings(work: OpenedJob) -> tuple[int, ...]:
    """The strings at the two sides, in the order in which they are walked."""
    order = walk_order(work.job.instrument)
    return tuple(dict.fromkeys((order[0], order[-1])))


def _outer_action(work: OpenedJob) -> list[MeasuredValue]:
    outer = outer_strings(work)
    found = (work.setup.action_of(string) for string in outer)
    return [value for value in found if value is not None]


def strings_decided(job: Job) -> SetupStep | None:
    """The step that says whether the strings are new or stay; None while nobody said."""
    stay = skip_of(VisitPart.STRINGS, job)
    return stay or next((s for s in job.steps if isinstance(s, StringsStep)), None)


def _strings(work: OpenedJob) -> PartStanding:
    decided = strings_decided(work.job) is not None
    return PartStanding.DONE if decided and is_in_tune(work.document) else PartStanding.DUE


def skip_of(part: VisitPart, job: Job) -> SkipStep | None:
    """The latest step that left `part` out; of the first stage, whose parts share it, by why."""
    why = AS_IT_CAME if part is VisitPart.AS_IT_CAME else ""
    skips = [s for s in job.steps if isinstance(s, SkipStep) and s.stage is part.stage]
    if part is VisitPart.STRINGS:
        skips = [step for step in skips if step.why != AS_IT_CAME]
    return next((s for s in reversed(skips) if not why or s.why == why), None)


# --- what is measured ---


def _relief(work: OpenedJob) -> PartStanding:
    return _measured(Stage.RELIEF, work.setup.relief, work)


def _action(work: OpenedJob) -> PartStanding:
    return _measured(Stage.ACTION, work.setup.action, work)


def _measured(stage: Stage, values: tuple[MeasuredValue, ...], work: OpenedJob) -> PartStanding:
    stands = work.setup.stages.get(stage)
    if stands is StageState.SKIPPED:
        return PartStanding.SKIPPED
    if any(value.stale for value in values):
        return PartStanding.STALE
    if any(value.standing.is_out for value in values if value.touches):
        return PartStanding.OUT
    return PartStanding.DONE if stands is StageState.DONE else PartStanding.DUE


def _saddle(work: OpenedJob) -> PartStanding:
    """It is moved where an action is out of its window, and stays as it is where all are read."""
    if skip_of(VisitPart.SADDLE, work.job):
        return PartStanding.SKIPPED
    settled = _action(work) in (PartStanding.DONE, PartStanding.SKIPPED)
    return PartStanding.DONE if settled else PartStanding.DUE


def _frets(work: OpenedJob) -> PartStanding:
    """Once somebody said what the frets are like."""
    return _of_stage(work.setup.stages.get(Stage.FRETS))


def _of_stage(stands: StageState | None) -> PartStanding:
    done = (StageState.DONE, None)
    if stands is StageState.SKIPPED:
        return PartStanding.SKIPPED
    return PartStanding.DONE if stands in done else PartStanding.DUE


def _by_hand(_: OpenedJob) -> PartStanding:
    return PartStanding.BY_HAND


# --- the nut, and the end ---


def _nut(work: OpenedJob) -> PartStanding:
    if work.setup.stages.get(Stage.NUT) is StageState.SKIPPED:
        return PartStanding.SKIPPED
    if work.setup.stale_strings:
        return PartStanding.STALE
    if scope_of(work.job) is Scope.CHECK:
        return _of_stage(work.setup.stages.get(Stage.NUT))
    left = {call.call for call in work.plan.strings} <= {CallKind.LEAVE}
    return PartStanding.DONE if left else PartStanding.DUE


def _proof(work: OpenedJob) -> PartStanding:
    if not work.document.open:
        return PartStanding.DONE
    filed = {made.string for made in work.job.passes}
    unproven = any(proven(work.job, s) in (Proven.READ_FIRST, Proven.PLAY_IT) for s in filed)
    return PartStanding.OUT if unproven else PartStanding.DUE


_STANDINGS = {
    VisitPart.PLAYER: _player,
    VisitPart.LOOK: _look,
    VisitPart.AS_IT_CAME: _as_it_came,
    VisitPart.STRINGS: _strings,
    VisitPart.RELIEF: _relief,
    VisitPart.ACTION: _action,
    VisitPart.SADDLE: _saddle,
    VisitPart.FRETS: _frets,
    VisitPart.NUT: _nut,
    VisitPart.INTONATION: _by_hand,
    VisitPart.PROOF: _proof,
}

"""The stages of a visit in the order of dependency: which is due, and the one thing asked next."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from logic.bench.setup.measured import (
    MeasuredValue,
    QuestionKind,
    SetupQuestion,
    StageState,
)
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job
from shared.readings import CentsReading
from shared.setup import Scope, SkipStep, Stage, StringsStep

ORDER = tuple(stage for stage in Stage if stage is not Stage.DONE)
CHANGES = frozenset({Stage.SADDLE, Stage.PROOF})
"""Stages at which something is changed, or proved after it was."""
PITCH, FRETS = "at_pitch", "frets"
"""The rules that speak of tuning and of the frets."""


@dataclass(frozen=True)
class VisitSoFar:
    """What the stages are judged from."""

    job: Job
    scope: Scope
    relief: tuple[MeasuredValue, ...]
    action: tuple[MeasuredValue, ...]
    """In the order in which they are asked for."""
    trade: TradeTables
    stale: frozenset[int] = frozenset()
    """Strings whose first-fret readings something has moved since."""

    def answered(self, rule: str) -> bool:
        """Whether this check has an answer, under whatever name."""
        names = {rule, *self.trade.rules.rule(rule).also}
        return not names.isdisjoint(self.job.checks)

    @property
    def restrung(self) -> bool:
        """Whether strings were changed, or tuned otherwise."""
        return any(isinstance(step, StringsStep) for step in self.job.steps)

    @property
    def measured(self) -> bool:
        """Whether anything was measured of neck or action."""
        return any(value.touches for value in (*self.relief, *self.action))


def stages_of(visit: VisitSoFar) -> tuple[dict[Stage, StageState], SetupQuestion | None]:
    """How far each stage is, and the one thing that comes next; None when all is done."""
    skipped = {step.stage for step in _skips(visit.job) if not _of_a_part(step)}
    states: dict[Stage, StageState] = {}
    asked: SetupQuestion | None = None
    for stage in ORDER:
        if visit.scope is Scope.CHECK and stage in CHANGES:
            states[stage] = StageState.LEFT_OUT
        elif stage in skipped and not (stage is Stage.ACTION and _all_known(visit.action)):
            states[stage] = StageState.SKIPPED
        elif (question := _QUESTIONS[stage](visit)) is None:
            states[stage] = StageState.DONE
        else:
            states[stage] = StageState.DUE if asked is None else StageState.WAITING
            asked = asked or question
    return states, asked


def _all_known(action: tuple[MeasuredValue, ...]) -> bool:
    """Whether the rest of the strings was said to be as foretold, which leaves nothing out."""
    return all(value.touches or value.confirmed for value in action)


def _strings(visit: VisitSoFar) -> SetupQuestion | None:
    """The player, the look, as it came, then strings and tuning; a part that a later one has
    overtaken is not gone back to. A check changes nothing, so it asks nobody what to change."""
    tuned = visit.restrung or visit.answered(PITCH)
    looked = [visit.answered(rule) for rule in visit.trade.setup.look]
    whole = visit.scope is Scope.WHOLE
    if whole and not (tuned or visit.measured or any(looked) or _player_known(visit.job)):
        return SetupQuestion(Stage.STRINGS, QuestionKind.PLAYER)
    if not (tuned or visit.measured or all(looked)):
        return SetupQuestion(Stage.STRINGS, QuestionKind.LOOK)
    if tuned:
        return None
    came = _as_it_came(visit) if whole else None
    return came or SetupQuestion(Stage.STRINGS, QuestionKind.TUNING)


def _as_it_came(visit: VisitSoFar) -> SetupQuestion | None:
    """Relief, then action and first-fret height of the outer strings."""
    if any(map(_of_a_part, _skips(visit.job))):
        return None
    outer = visit.action[:2]
    came = _first_unsettled((*visit.relief, *outer))
    if came is not None:
        return _measure(came, Stage.STRINGS, QuestionKind.AS_IT_CAME)
    read = {reading.string for reading in visit.job.readings}
    strings = (value.string for value in outer)
    string = next((string for string in strings if string and string not in read), None)
    return SetupQuestion(Stage.STRINGS, QuestionKind.NUT, string=string) if string else None


def _skips(job: Job) -> list[SkipStep]:
    return [step for step in job.steps if isinstance(step, SkipStep)]


def _of_a_part(step: SkipStep) -> bool:
    """Whether it leaves out no more than how it came, as its reason then says."""
    return step.stage is Stage.STRINGS and step.why == QuestionKind.AS_IT_CAME.value


def _relief(visit: VisitSoFar) -> SetupQuestion | None:
    unsettled = _first_unsettled(visit.relief)
    if unsettled is not None:
        return _measure(unsettled, Stage.RELIEF, QuestionKind.RELIEF)
    return _out(visit, visit.relief, Stage.RELIEF, QuestionKind.SET_RELIEF)


def _action(visit: VisitSoFar) -> SetupQuestion | None:
    unsettled = _first_unsettled(visit.action)
    if unsettled is None:
        return None
    return _measure(unsettled, Stage.ACTION, QuestionKind.ACTION)


def _saddle(visit: VisitSoFar) -> SetupQuestion | None:
    return _out(visit, visit.action, Stage.SADDLE, QuestionKind.SET_ACTION)


def _frets(visit: VisitSoFar) -> SetupQuestion | None:
    if not visit.job.instrument.fretted or visit.answered(FRETS):
        return None
    return SetupQuestion(Stage.FRETS, QuestionKind.FRETS)


def _nut(visit: VisitSoFar) -> SetupQuestion | None:
    read = {reading.string for reading in visit.job.readings} - visit.stale
    return _string_without(visit.job, read, Stage.NUT, QuestionKind.NUT)


def _intonation(visit: VisitSoFar) -> SetupQuestion | None:
    octave = visit.job.instrument.octave_fret
    read = {
        reading.string
        for reading in visit.job.readings
        if isinstance(reading, CentsReading) and reading.fret == octave
    }
    return _string_without(visit.job, read, Stage.INTONATION, QuestionKind.INTONATION)


def _proof(visit: VisitSoFar) -> SetupQuestion | None:
    proved = {proof.string for proof in visit.job.proofs}
    return _string_without(visit.job, proved, Stage.PROOF, QuestionKind.PROOF)


_QUESTIONS: dict[Stage, Callable[[VisitSoFar], SetupQuestion | None]] = {
    Stage.STRINGS: _strings,
    Stage.RELIEF: _relief,
    Stage.ACTION: _action,
    Stage.SADDLE: _saddle,
    Stage.FRETS: _frets,
    Stage.NUT: _nut,
    Stage.INTONATION: _intonation,
    Stage.PROOF: _proof,
}


def _player_known(job: Job) -> bool:
    """Whether anybody said how it is liked, what stays as it is, or when it is wanted back."""
    player, setup = job.player, job.setup
    said = (player.likes, player.never_change, player.relief, player.action)
    return any(said) or bool(setup and (setup.due or setup.overnight is not None))


def _first_unsettled(values: Iterable[MeasuredValue]) -> MeasuredValue | None:
    return next((value for value in values if not value.settled), None)


def _out(
    visit: VisitSoFar, values: Iterable[MeasuredValue], stage: Stage, what: QuestionKind
) -> SetupQuestion | None:
    """What surely lies outside its window, where this visit sets it."""
    out = next((value for value in values if value.standing.is_out), None)
    return _measure(out, stage, what) if out and visit.scope is Scope.WHOLE else None


def _measure(value: MeasuredValue, stage: Stage, what: QuestionKind) -> SetupQuestion:
    return SetupQuestion(
        stage,
        what,
        side=value.side,
        string=value.string,
        fret=value.fret,
        holds=value.holds,
        advice=value.advice,
        about=value,
    )


def _string_without(
    job: Job, known: set[int], stage: Stage, what: QuestionKind
) -> SetupQuestion | None:
    strings = (spec.string for spec in job.instrument.strings)
    string = next((string for string in strings if string not in known), None)
    return None if string is None else SetupQuestion(stage, what, string=string)

"""The visit as a whole: what it is for, its player, the look, what is left out, what was done."""

from __future__ import annotations

from typing import Any

from logic.app.commands import visit_commands as commands
from logic.app.handlers.questions import record_answers
from logic.app.handlers.visit_ways import go_on_visit, go_to_step, open_part
from logic.app.presenters.questions import all_as_it_should, found_in_look, skipped_look
from logic.app.presenters.retunings import IN_TUNE, YES, hours_lain
from logic.app.presenters.stages import asks_before_skip
from logic.app.presenters.visit import MOST_SADDLE_STEPS, saddle_move
from logic.app.presenters.visit_parts import (
    AS_IT_CAME,
    STRINGS_STAY,
    VisitPart,
    is_whole_visit,
    scope_of,
    skip_of,
)
from logic.app.session.actions import Entry
from logic.app.session.route import Task
from logic.app.session.session import Handler, Session
from shared.events import Kind
from shared.setup import (
    MOST_EIGHTHS,
    RestStep,
    SaddleStep,
    SetupStep,
    SkipStep,
    StringsStep,
    TurnStep,
)

# --- what it is for ---


def see_visit(session: Session, _: commands.SeeVisit) -> None:
    """Go to what this visit is for."""
    session.go_in_job("visit")


def choose_scope(session: Session, command: commands.ChooseScope) -> None:
    """Keep what this visit is for; from its own page go on with it. The nut alone is what a visit
    is for where nobody chose, so that choosing it then records nothing."""
    if command.scope is not scope_of(session.work.job):
        session.keep(chosen(session, "scope", command.scope.value))
    if session.route.task is Task.INTAKE:
        return
    if is_whole_visit(session.work.job):
        session.go_in_job("stages")
    elif session.work.job.readings:
        session.go_measure()
    else:
        session.go_in_job("intake")


def chosen(session: Session, field: str, value: object) -> Entry:
    """What is recorded of one field of the visit."""
    return Kind.SETUP_CHOSEN, {"job": session.place.job, "field": field, "value": value}


# --- its parts ---


def see_stages(session: Session, _: commands.SeeStages) -> None:
    """Go to the stages of this visit."""
    session.go_in_job("stages")


def go_on(session: Session, _: commands.GoOnVisit) -> None:
    """Go to what comes next in this visit."""
    go_on_visit(session)


def see_part(session: Session, command: commands.OpenPart) -> None:
    """Go to one part of this visit."""
    open_part(session, VisitPart(command.part))


def skip_part(session: Session, command: commands.SkipPart) -> None:
    """Leave a part out, and keep that; one that a cut waits for is asked back first."""
    part = VisitPart(command.part)
    if asks_before_skip(part) and not command.sure:
        session.transient.skipping = part.value
    elif part is VisitPart.PLAYER:
        session.keep(chosen(session, "due", session.work.document.setup_due or ""))
    elif part is VisitPart.LOOK:
        record_answers(session, skipped_look(session.work))
    else:
        session.record(Kind.SETUP_STEP, step=_skip(part))


def _skip(part: VisitPart) -> SkipStep:
    whys = {VisitPart.AS_IT_CAME: AS_IT_CAME, VisitPart.STRINGS: STRINGS_STAY}
    return SkipStep(stage=part.stage, why=whys.get(part, ""))


def reopen_part(session: Session, command: commands.ReopenPart) -> None:
    """Take back that a part was left out."""
    skip = skip_of(VisitPart(command.part), session.work.job)
    left_out = [
        taken.event
        for taken in session.work.document.setup_steps
        if skip is not None
        and isinstance(taken.step, SkipStep)
        and (taken.step.stage, taken.step.why) == (skip.stage, skip.why)
    ]
    if left_out:
        session.take_back(*left_out)


def keep_strings(session: Session, _: commands.KeepStrings) -> None:
    """The strings that are on stay on: the stage of new strings is left out."""
    session.record(Kind.SETUP_STEP, step=_skip(VisitPart.STRINGS))
    go_on_visit(session)


# --- player and look ---


def save_player(session: Session, command: commands.SavePlayer) -> None:
    """Keep what differs, and that it was asked, as one; then go on."""
    job, document = session.work.job, session.work.document
    player = job.player.model_copy(
        update={
            "likes": _one_line(command.likes) or None,
            "never_change": _one_line(command.never_change) or None,
        }
    )
    due = _one_line(command.due)
    entries: list[Entry] = []
    if player != job.player:
        body: dict[str, Any] = {"job": session.place.job, "field": "player", "value": player}
        entries.append((Kind.JOB_CHANGED, body))
    if due != document.setup_due:
        entries.append(chosen(session, "due", due))
    if command.overnight is not None and command.overnight != document.setup_overnight:
        entries.append(chosen(session, "overnight", command.overnight))
    if entries:
        session.keep(*entries)
    go_on_visit(session)


def _one_line(text: str) -> str:
    return " ".join(text.split())


def all_fine(session: Session, _: commands.AllAsItShould) -> None:
    """Record that all else that was looked at is as it should be, and go on; where something was
    found, to the stages, which say it."""
    record_answers(session, all_as_it_should(session.work))
    if found_in_look(session.work):
        session.go_in_job("stages")
    else:
        go_on_visit(session)


def skip_look(session: Session, _: commands.SkipLook) -> None:
    """Record what was not looked at, and go on."""
    record_answers(session, skipped_look(session.work))
    go_on_visit(session)


# --- what was done ---


def see_step_done(session: Session, command: commands.SeeStepDone) -> None:
    """Go to what was done, one kind of it or all; of a saddle at the string that is spoken of."""
    go_to_step(session, command.what)


def at_string(session: Session, command: commands.SaddleAt) -> None:
    """Speak of the saddle under one string, or under all."""
    steps = session.transient.saddle_steps
    go_to_step(session, "saddle", command.string)
    session.transient.saddle_steps = steps


def count_eighths(session: Session, command: commands.CountEighths) -> None:
    """So many eighths more; none where it comes back to where it was."""
    now = (session.transient.eighths or 0) + command.eighths
    session.transient.eighths = max(-MOST_EIGHTHS, min(MOST_EIGHTHS, now)) or None


def move_saddle(session: Session, command: commands.MoveSaddle) -> None:
    """So many steps further up, as far as a saddle goes."""
    now = session.transient.saddle_steps + command.steps
    session.transient.saddle_steps = max(-MOST_SADDLE_STEPS, min(MOST_SADDLE_STEPS, now))


def turned_rod(session: Session, _: commands.TurnedRod) -> None:
    """Keep that the rod was turned."""
    take_step(session, TurnStep(eighths=session.transient.eighths))


def moved_saddle(session: Session, _: commands.MovedSaddle) -> None:
    """Keep that the saddle was moved, and how far where that was said."""
    height = saddle_move(session.transient.saddle_steps, session.wording.unit)
    take_step(session, SaddleStep(string=session.place.string, height=height))


def strings_done(session: Session, command: commands.StringsDone) -> None:
    """Keep that other strings are on, or that they have another pitch."""
    take_step(session, StringsStep(what=command.what))


def rested(session: Session, _: commands.Rested) -> None:
    """Keep that it lay, and for how long where the record says that."""
    hours = hours_lain(session.work.document, session.history.now_ms())
    take_step(session, RestStep(hours=hours))


def take_step(session: Session, step: SetupStep) -> None:
    """Keep a step, then ask whether the strings are in tune again, or go on."""
    session.record(Kind.SETUP_STEP, step=step)
    session.transient.eighths, session.transient.saddle_steps = None, 0
    go_on_visit(session)


def in_tune(session: Session, _: commands.InTune) -> None:
    """Every string is at its pitch: back to the slot that was filed, else on with the visit."""
    filed = session.place.string
    record_answers(session, [(IN_TUNE, None, YES)])
    if filed is not None:
        session.go_in_job("cut", filed)
    else:
        go_on_visit(session)


HANDLERS: dict[type, Handler] = {
    commands.SeeVisit: see_visit,
    commands.ChooseScope: choose_scope,
    commands.SeeStages: see_stages,
    commands.GoOnVisit: go_on,
    commands.OpenPart: see_part,
    commands.SkipPart: skip_part,
    commands.ReopenPart: reopen_part,
    commands.KeepStrings: keep_strings,
    commands.SavePlayer: save_player,
    commands.AllAsItShould: all_fine,
    commands.SkipLook: skip_look,
    commands.SeeStepDone: see_step_done,
    commands.SaddleAt: at_string,
    commands.CountEighths: count_eighths,
    commands.MoveSaddle: move_saddle,
    commands.TurnedRod: turned_rod,
    commands.MovedSaddle: moved_saddle,
    commands.StringsDone: strings_done,
    commands.Rested: rested,
    commands.InTune: in_tune,
}

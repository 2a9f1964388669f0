"""Relief and action of the instrument: what is felt or typed, how it is held, what comes next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import reduce
from typing import Any

from logic.app.commands import gap_commands as commands
from logic.app.commands.visit_commands import SkipPart
from logic.app.handlers.string_card import record_instead
from logic.app.handlers.visit import skip_part
from logic.app.handlers.visit_ways import go_on_visit
from logic.app.presenters.gap_pads import RELIEF_PAD
from logic.app.presenters.gap_words import POSTURES
from logic.app.presenters.gaps import (
    action_value,
    is_a_shank,
    next_measured,
    offers_prediction,
    relief_value,
    slid_in,
)
from logic.app.presenters.taken_back import measured_in_words, measurement_of
from logic.app.session.gap_manner import (
    GapManner,
    edge_now,
    last_fret,
    line_now,
    posture_now,
)
from logic.app.session.places import CardOpener, Place
from logic.app.session.route import Task
from logic.app.session.session import Handler, Session
from logic.bench.instrument.plausibility import read_length
from logic.bench.kit.advice import Tool
from logic.bench.kit.wear import lose
from logic.bench.setup.action_belief import shanks_of
from logic.bench.setup.faults import MeasurementFault, fault_of
from logic.bench.setup.held_line import HeldLine, stepped_line
from logic.bench.setup.measured import MeasuredValue
from shared.events import Kind
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement
from shared.readings import Contact
from shared.setup import SkipStep, Stage
from shared.units import Length, LengthOf
from shared.words import listed, mark, say

MEASURES = {Task.RELIEF: Stage.RELIEF, Task.ACTION: Stage.ACTION}
"""Screens on which the instrument is measured, and the stage that each is of."""

AS_PREDICTED = "as predicted"
"""Why the rest of the strings is left unmeasured, as the record keeps it."""

_FAULTS = {
    MeasurementFault.NO_SUCH_HOLD: mark("There is no such fret to hold: nothing was recorded."),
    MeasurementFault.NO_SUCH_FRET: mark("There is no such fret: nothing was recorded."),
    MeasurementFault.NO_SUCH_STRING: mark("There is no such string: nothing was recorded."),
}


def manner_here(session: Session) -> GapManner:
    """How it is measured at the job at hand, as far as somebody chose."""
    return session.transient.manner.of_job(session.place.job)


def value_here(session: Session) -> MeasuredValue | None:
    """What the screen at hand asks for; None where this visit measures nothing of it."""
    if session.route.task is Task.RELIEF:
        return relief_value(session.work, session.place.string)
    return action_value(session.work, session.place.string, manner_here(session).fret)


def is_afresh(session: Session) -> bool:
    """Whether what is at hand is measured once more on purpose, or in place of a prediction."""
    value = value_here(session)
    return value is not None and session.transient.afresh == value.string


# --- to the screens ---


def measure_relief(session: Session, command: commands.MeasureRelief) -> None:
    """Measure relief on the side asked for, else on the one that is asked for next."""
    value = relief_value(session.work, command.string)
    if value is not None:
        session.go_in_job("relief", value.string)


def measure_action(session: Session, command: commands.MeasureAction) -> None:
    """Measure action, of what is asked for next where neither string nor fret is said."""
    value = action_value(session.work, command.string, command.fret)
    if value is not None:
        session.transient.manner = replace(manner_here(session), fret=command.fret)
        session.go_in_job("action", value.string)


def see_measured(session: Session, _: commands.SeeMeasured) -> None:
    """Show how it is measured and what was; Back leads to where that was opened."""
    opened: CardOpener = "action" if session.route.task is Task.ACTION else "relief"
    session.go(Place("measured", session.place.job, session.place.string, back_to=opened))


# --- how it is held ---


def step_hold(session: Session, command: commands.StepHold) -> None:
    """Hold or measure elsewhere, as far as there are frets."""
    instrument = session.work.job.instrument
    value = relief_value(session.work, session.place.string)
    line = line_now(manner_here(session), value, instrument) if value else None
    if line is None:
        return
    last = last_fret(instrument)
    stepped = stepped_line(line, command.which, command.frets, instrument.fretboard, last)
    session.transient.manner = replace(manner_here(session), line=stepped)


def use_straight_edge(session: Session, command: commands.UseStraightEdge) -> None:
    """Lay a straight edge on the frets, or hold a string down again."""
    session.transient.manner = replace(manner_here(session), straight_edge=command.on)


def set_posture(session: Session, command: commands.SetPosture) -> None:
    """Measure with the instrument lying so; measurements of two postures are never believed
    together, and that is said before the first is taken."""
    session.transient.manner = replace(manner_here(session), posture=command.posture)
    before = [each for each in session.work.setup.postures if each is not command.posture]
    if before:
        session.transient.saved = say(
            "Measured {before} so far: a neck sags under its own weight, so what is measured {now}"
            " is not believed together with it.",
            before=say(POSTURES[before[-1]]),
            now=say(POSTURES[command.posture]),
        )


# --- measurements ---


def felt(session: Session, contact: Contact) -> None:
    """Record what the hand felt with what was asked for; without that, nothing, and say so."""
    measurement = felt_measurement(session, contact)
    if measurement is None:
        session.transient.announced = say("No leaf is asked for here: nothing was recorded.")
    else:
        take_measurement(session, measurement)


def felt_measurement(session: Session, contact: Contact) -> Measurement | None:
    """What this contact says with what is asked for; None where nothing is."""
    value = value_here(session)
    sizes = slid_in(session.work, value, afresh=is_afresh(session)) if value else ()
    if value is None or not sizes:
        return None
    leaf = sizes[0] if len(sizes) == 1 else sizes
    if session.route.task is Task.RELIEF:
        line = _line(session, value)
        at = line.at if line is not None else None
        return ReliefMeasurement(**_held(session, value), at=at, leaf=leaf, contact=contact)
    is_shank = is_a_shank(sizes, value, session.work.job.kit)
    tool = {"shank": sizes[0]} if is_shank else {"leaf": leaf}
    return ActionMeasurement(**_over(session, value), **tool, contact=contact)


def _line(session: Session, value: MeasuredValue) -> HeldLine | None:
    return line_now(manner_here(session), value, session.work.job.instrument)


def _held(session: Session, value: MeasuredValue) -> dict[str, Any]:
    """Side, line and posture of a relief that is measured now."""
    manner, job, line = manner_here(session), session.work.job, _line(session, value)
    return {
        "side": value.side,
        "string": None if edge_now(manner, job) else value.string,
        "holds": line.holds if line is not None else None,
        "posture": posture_now(manner, job),
    }


def _over(session: Session, value: MeasuredValue) -> dict[str, Any]:
    """String, fret and posture of an action that is measured now."""
    posture = posture_now(manner_here(session), session.work.job)
    return {"string": value.string, "fret": value.fret, "posture": posture}


def likely_measurements(session: Session) -> Iterator[Measurement]:
    """What may be answered next: each contact with what is asked for."""
    for contact in Contact:
        measurement = felt_measurement(session, contact)
        if measurement is not None:
            yield measurement


def number_of(session: Session, kind: str) -> dict[str, Any]:
    """Of what the number pad asks for a number: side and line, or string and fret; of the entry
    that is put right where there is one. KeyError where this visit measures nothing of it."""
    wrong = session.history.event(session.transient.correcting)
    if wrong is not None:
        return measurement_of(wrong).model_dump()
    value = value_here(session)
    if value is None:
        raise KeyError(kind)
    return _held(session, value) if kind == RELIEF_PAD else _over(session, value)


def take_typed_gap(session: Session, kind: str, text: str) -> None:
    """Keep a typed relief or action, in place of what is put right where that is; InputError, and
    nothing kept, where it can hardly be."""
    quantity = LengthOf.SIGNED_RELIEF if kind == RELIEF_PAD else LengthOf.ACTION
    length = read_length(quantity, text, session.trade, session.work.job.instrument.kind)
    wrong = session.history.event(session.transient.correcting)
    if wrong is None:
        take_measurement(session, _typed(session, kind, length))
        return
    session.transient.correcting = ""
    right = measurement_of(wrong).model_copy(update={"value": length})
    record_instead(session, wrong, right)


def _typed(session: Session, kind: str, length: Length) -> Measurement:
    model = ReliefMeasurement if kind == RELIEF_PAD else ActionMeasurement
    return model(**number_of(session, kind), value=length)


def take_measurement(session: Session, measurement: Measurement) -> None:
    """Keep a measurement, then stand where the next is taken: here while more of it is asked for,
    else where the visit goes on."""
    fault = fault_of(measurement, session.work.job.instrument)
    if fault is not None:
        session.transient.announced = say(_FAULTS[fault])
        return
    session.record(Kind.SETUP_READ, measurement=measurement)
    session.transient.afresh = None
    said = measured_in_words(measurement)
    session.transient.saved = say("Saved: {what}.", what=said)
    session.transient.manner = replace(manner_here(session), fret=None)
    value = value_here(session)
    if value is not None and not value.advice.asks:
        follow(session)


def follow(session: Session) -> bool:
    """Stand where the next is measured; whether there is anything."""
    at_hand = MEASURES.get(session.route.task, Stage.ACTION)
    about = next_measured(session.work, at_hand.value)
    if about is not None:
        relief = about.quantity == ReliefMeasurement.named()
        session.go_in_job("relief" if relief else "action", about.string)
    return about is not None


def go_on(session: Session) -> None:
    """From what is settled to what is measured next, else on with the visit."""
    if not follow(session):
        go_on_visit(session)


def read_afresh(session: Session) -> None:
    """Measure what is at hand once more, or in place of its prediction."""
    value = value_here(session)
    session.transient.afresh = value.string if value is not None else None


def lack(session: Session) -> None:
    """Take what is asked for out of this job's kit; of a stack what was not slid in yet."""
    value, job = value_here(session), session.work.job
    sizes = slid_in(session.work, value, afresh=is_afresh(session)) if value else ()
    if value is None or not sizes:
        session.transient.announced = say("No leaf is asked for here: the kit stays as it is.")
        return
    if is_a_shank(sizes, value, job.kit):
        left = tuple(each for each in shanks_of(job.kit, session.trade) if each != sizes[0])
        kit = job.kit.model_copy(update={"shanks": left})
    else:
        kit = reduce(lambda kit, leaf: lose(kit, Tool.LEAF, leaf), sizes, job.kit)
    session.record(Kind.JOB_CHANGED, field="kit", value=kit)
    session.transient.announced = say(
        "Out of this job's kit: {leaves}. The kit page takes it out for good.",
        leaves=listed(session.wording.tool(leaf) for leaf in sizes),
    )


def leave_rest(session: Session, _: commands.LeaveRest) -> None:
    """Leave out what is not measured of the stage at hand: the stages ask whether that is meant."""
    stage = MEASURES.get(session.route.task)
    if stage is not None:
        session.go_in_job("stages")
        skip_part(session, SkipPart(stage.value))


def as_predicted(session: Session, _: commands.AsPredicted) -> None:
    """Take the strings that were not measured as they are predicted; where nothing is predicted,
    nothing is recorded."""
    value = value_here(session)
    if value is None or not offers_prediction(session.work, value):
        session.transient.announced = say("Nothing is predicted here: nothing was recorded.")
        return
    session.record(Kind.SETUP_STEP, step=SkipStep(stage=Stage.ACTION, why=AS_PREDICTED))
    follow(session)


HANDLERS: dict[type, Handler] = {
    commands.MeasureRelief: measure_relief,
    commands.MeasureAction: measure_action,
    commands.StepHold: step_hold,
    commands.UseStraightEdge: use_straight_edge,
    commands.SetPosture: set_posture,
    commands.AsPredicted: as_predicted,
    commands.LeaveRest: leave_rest,
    commands.SeeMeasured: see_measured,
}

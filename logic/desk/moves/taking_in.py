"""Opening, closing and coming back to jobs."""

from __future__ import annotations

from typing import Any

from logic.desk import commands
from logic.desk.bag import kit_of
from logic.desk.correcting import corrected, is_answer
from logic.desk.floor import Floor, Move
from logic.desk.places import JOB_ROOMS, LEFT, Place
from logic.desk.sample import begun_events, sample_job
from logic.jobfile import preset_instrument
from shared.events import Kind
from shared.instrument import Instrument, Player
from shared.job import Job


def go_home(floor: Floor, _: commands.GoHome) -> None:
    """Stand before the list of jobs; the job remembers that it was left, and where."""
    if floor.place.job and floor.place.room in JOB_ROOMS:
        moved = {"job": floor.place.job, "place": floor.place.left}
        floor.history.record(Kind.PLACE_MOVED, moved)
    floor.go(Place())


def go_on(_floor: Floor, _: commands.GoOn) -> None:
    """Stay: what was shown before the trouble is shown again."""


def new_job(floor: Floor, _: commands.NewJob) -> None:
    """Stand before the kinds of instrument."""
    floor.go(Place("kinds"))


def start_job(floor: Floor, command: commands.StartJob) -> None:
    """Open a job on the usual instrument of a kind, with this bench's kit."""
    _open(floor, preset_instrument(command.kind, floor.trade), "")


def start_sample(floor: Floor, _: commands.StartSample) -> None:
    """Open a job to play with, some of its readings taken, marked as a sample."""
    job = sample_job(floor.trade)
    _open(floor, job.instrument, job.complaint, job)
    floor.go_walk(None)


def _open(floor: Floor, instrument: Instrument, said: str, begun: Job | None = None) -> None:
    job, name = floor.new_id(), floor.new_id()
    opened = {
        "job": job,
        "instrument": name,
        "value": instrument,
        "player": Player(),
        "kit": kit_of(floor.history, floor.trade),
        "complaint": said,
    }
    moved = (Kind.PLACE_MOVED, {"job": job, "place": "intake"})
    floor.keep((Kind.JOB_OPENED, opened), *(begun_events(begun, job) if begun else ()), moved)
    floor.place = Place("intake", job)


def open_job(floor: Floor, command: commands.OpenJob) -> None:
    """Go to where the job was left."""
    document = floor.history.job(command.job)
    if document is None:
        floor.place = Place()
    elif document.place.startswith(LEFT):
        floor.go(Place.of(command.job, document.place))
    else:
        floor.place = Place.of(command.job, document.place)


def set_complaint(floor: Floor, command: commands.SetComplaint) -> None:
    """Say what was noticed."""
    floor.record(Kind.JOB_CHANGED, field="complaint", value=command.complaint)


def say_different(floor: Floor, command: commands.SayDifferent) -> None:
    """Put one fact right; where a rule asks for it, it is answered with that."""
    job, fact, value = floor.place.job, command.fact, command.value
    instrument = corrected(floor.work.job.instrument, fact, value)
    happened: list[tuple[Kind, dict[str, Any]]] = [
        (Kind.JOB_CHANGED, {"job": job, "field": "instrument", "value": instrument})
    ]
    if is_answer(fact):
        body = {"job": job, "gate": fact, "string": None, "answer": value}
        happened.append((Kind.CHECK_ANSWERED, body))
    floor.keep(*happened)


MOVES: dict[type, Move] = {
    commands.GoHome: go_home,
    commands.GoOn: go_on,
    commands.NewJob: new_job,
    commands.StartJob: start_job,
    commands.StartSample: start_sample,
    commands.OpenJob: open_job,
    commands.SetComplaint: set_complaint,
    commands.SayDifferent: say_different,
}

"""What the body of each kind of event must hold, and which documents it touches.

A body that does not fit is kept with its event and changes nothing: it may come from a newer
Nutwright, which will understand it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, ValidationError

from shared.errors import InputError
from shared.events import LARGEST_INTEGER, Event, Kind
from shared.instrument import MOST_STRINGS, Instrument, Player
from shared.job import LONGEST_NOTE, LONGEST_TICKET, Complaint, Pass, Proof
from shared.kit import Kit
from shared.measurements import Measurement, UnknownMeasurement
from shared.readings import Reading, UnknownReading
from shared.record import Record
from shared.setup import Setup, SetupStep, UnknownStep
from shared.work import Work

Id = Annotated[str, Field(min_length=1, max_length=64)]
Text = Annotated[str, Field(max_length=4000)]
Answer = bool | Annotated[str, Field(max_length=400)] | int
JOB_FIELDS = ("instrument", "player", "kit", "complaint")
"""What every job has from the first."""
LATER_JOB_FIELDS: dict[str, Any] = {"to_my_target": False, "ticket": "", "note": ""}
"""What a job has only once it was said, and what it is as good as until then."""


class InstrumentSaved(Record):
    """Body of `instrument.saved`."""

    instrument: Id
    value: Instrument


class PlayerSaved(Record):
    """Body of `player.saved`."""

    instrument: Id
    value: Player


class KitSaved(Record):
    """Body of `kit.saved`."""

    kit: Id
    value: Kit


class JobOpened(Record):
    """Body of `job.opened`: the whole instrument as it comes in, so that the job stands alone."""

    job: Id
    instrument: Id | None = None
    value: Instrument
    player: Player = Player()
    kit: Kit = Kit()
    complaint: Text = ""
    to_my_target: bool = False


class JobChanged(Record):
    """Body of `job.changed`."""

    job: Id
    field: Literal["instrument", "player", "kit", "complaint", "to_my_target", "ticket", "note"]
    value: Any
    complaints: Annotated[tuple[Complaint, ...], Field(max_length=100)] = ()
    """Beside a complaint: each that it is, with its strings. Earlier versions read `value`."""


class CheckAnswered(Record):
    """Body of `check.answered`."""

    job: Id
    gate: Id
    string: Annotated[int, Field(ge=1, le=MOST_STRINGS)] | None = None
    answer: Answer
    for_older_apps: bool = False
    """Whether it only tells apps that do not know `work.done` what that means for their readings;
    this one knows better and answers nothing by it."""
    for_apps_without_boards: bool = False
    """Whether it only tells apps that do not know `board` of an instrument, or a string's own
    `scale`, that nothing may be cut by what they reckon; this one answers nothing by it."""
    for_apps_without_visits: bool = False
    """Whether it only tells apps that do not know a visit of the whole instrument that nothing may
    be cut, or may again; this one answers nothing by it."""


class CheckLookedAgain(CheckAnswered):
    """Body of `check.looked_again`."""


def _of_a_kind(reading: Reading) -> Reading:
    """ValueError for a reading of a kind of a newer version: its event waits for that version."""
    if isinstance(reading, UnknownReading) and reading.of_another_kind:
        raise ValueError(f"no reading is known by {', '.join(reading.unknown)}")
    return reading


class StruckOut(Record):
    """An entry that was struck out, and when its place in the order of events is."""

    event: Annotated[str, Field(pattern=r"^[0-9A-Za-z_-]{1,64}:[0-9]{1,16}$")]
    device: Id
    time: Annotated[str, Field(pattern=r"^[0-9]{1,15}\.[0-9]{1,9}$")]
    counts_as: Any = None
    """As the entry says; what is no stamp counts for nothing."""


class ReadingTaken(Record):
    """Body of `reading.taken`."""

    job: Id
    reading: Annotated[Reading, AfterValidator(_of_a_kind)]
    instead: StruckOut | None = None


def _known(measurement: Measurement) -> Measurement:
    """ValueError for a quantity of a newer version: its event waits for that version."""
    if isinstance(measurement, UnknownMeasurement) and measurement.unknown == ("quantity",):
        raise ValueError(f"no quantity is known as {measurement.quantity}")
    return measurement


class SetupRead(Record):
    """Body of `setup.read`."""

    job: Id
    measurement: Annotated[Measurement, AfterValidator(_known)]
    instead: StruckOut | None = None


class SetupChosen(Record):
    """Body of `setup.chosen`: one field of the visit, and what it is from now on."""

    job: Id
    field: Literal["scope", "due", "overnight"]
    value: Any = None


def _known_step(step: SetupStep) -> SetupStep:
    """ValueError for a step of a newer version: its event waits for that version."""
    if isinstance(step, UnknownStep):
        raise ValueError(f"no step is known as {step.step}")
    return step


class SetupStepTaken(Record):
    """Body of `setup.step`."""

    job: Id
    step: Annotated[SetupStep, AfterValidator(_known_step)]
    instead: StruckOut | None = None


class PassFiled(Record):
    """Body of `pass.filed`."""

    job: Id
    pass_: Annotated[Pass, Field(alias="pass")]
    instead: StruckOut | None = None


class ProofTaken(Record):
    """Body of `proof.taken`."""

    job: Id
    proof: Proof
    instead: StruckOut | None = None


class WorkDone(Record):
    """Body of `work.done`. Work of a kind of a newer version waits for that version."""

    job: Id
    work: Work


class PlaceMoved(Record):
    """Body of `place.moved`."""

    job: Id
    place: Annotated[str, Field(max_length=200)]


class JobClosed(Record):
    """Body of `job.closed`."""

    job: Id
    reason: Text = ""


class JobReopened(Record):
    """Body of `job.reopened`."""

    job: Id


class SettingChanged(Record):
    """Body of `setting.changed`."""

    name: Id
    value: Any


# strict: these are counted with as they stand in the body, so that "1" or true is no number
Number = Annotated[int, Field(strict=True, ge=1, le=LARGEST_INTEGER)]


Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class ContentErased(Record):
    """Body of `content.erased`. Before `due` (ms since 1970) nothing goes; each device gives it a
    grace of its own besides. `have`: what its author held of those devices, runs of numbers, each
    with the digest of its last event. Earlier versions wrote none."""

    events: Annotated[dict[Id, list[tuple[Number, Number]]], Field(max_length=2000)]
    due: Annotated[int, Field(strict=True, ge=0)]
    have: Annotated[
        dict[Id, list[tuple[Number, Number, Digest]]] | None, Field(max_length=2000)
    ] = None


class RedactedEvent(Record):
    """Body of a redacted event (kind `husk`): the digest of the event whose place it takes."""

    digest: Digest


class Undone(Record):
    """Body of `undone`. `touches` are the documents of the event taken back."""

    event: Annotated[str, Field(min_length=3, max_length=100)]
    touches: Annotated[list[str], Field(max_length=8)]


_BODIES: dict[str, type[Record]] = {
    Kind.INSTRUMENT_SAVED: InstrumentSaved,
    Kind.PLAYER_SAVED: PlayerSaved,
    Kind.KIT_SAVED: KitSaved,
    Kind.JOB_OPENED: JobOpened,
    Kind.JOB_CHANGED: JobChanged,
    Kind.CHECK_ANSWERED: CheckAnswered,
    Kind.CHECK_LOOKED_AGAIN: CheckLookedAgain,
    Kind.READING_TAKEN: ReadingTaken,
    Kind.SETUP_READ: SetupRead,
    Kind.SETUP_CHOSEN: SetupChosen,
    Kind.SETUP_STEP: SetupStepTaken,
    Kind.PASS_FILED: PassFiled,
    Kind.PROOF_TAKEN: ProofTaken,
    Kind.WORK_DONE: WorkDone,
    Kind.PLACE_MOVED: PlaceMoved,
    Kind.JOB_CLOSED: JobClosed,
    Kind.JOB_REOPENED: JobReopened,
    Kind.SETTING_CHANGED: SettingChanged,
    Kind.CONTENT_ERASED: ContentErased,
    Kind.REDACTED: RedactedEvent,
    Kind.UNDONE: Undone,
}
_FIELDS: dict[str, type[Record]] = {"instrument": Instrument, "player": Player, "kit": Kit}
_LONGEST_TEXTS = {"ticket": LONGEST_TICKET, "note": LONGEST_NOTE}
DocumentKey = tuple[str, str]
"""A document: its table and its id."""
ERASURES = "content erased"
"""The setting under which all erasures are found."""
TABLES = ("job", "instrument", "kit", "setting")


def check_body(kind: str, body: dict[str, Any]) -> None:
    """InputError unless `body` is what an event of `kind` must hold."""
    model = _BODIES.get(kind)
    if model is None:
        raise InputError("kind", kind, f"one of {', '.join(_BODIES)}")
    try:
        model.model_validate(body)
        _check_field(kind, body)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(map(str, (kind, *first["loc"])))
        raise InputError(where, first["input"], str(first["msg"])) from error


def understood(event: Event) -> bool:
    """Whether this version knows what the event says."""
    try:
        check_body(event.kind, event.body)
    except (InputError, RecursionError):
        return False
    return True


def touched_documents(event: Event) -> tuple[DocumentKey, ...]:
    """The documents that an understood event changes."""
    return _TOUCHES.get(event.kind, _job)(event.body)


def _job(body: dict[str, Any]) -> tuple[DocumentKey, ...]:
    return (("job", body["job"]),)


def _job_and_instrument(body: dict[str, Any]) -> tuple[DocumentKey, ...]:
    instrument = body.get("instrument")
    return (*_job(body), ("instrument", instrument)) if instrument else _job(body)


def _instrument(body: dict[str, Any]) -> tuple[DocumentKey, ...]:
    return (("instrument", body["instrument"]),)


_TOUCHES: dict[str, Callable[[dict[str, Any]], tuple[DocumentKey, ...]]] = {
    Kind.UNDONE: lambda body: tuple(sorted(set(filter(None, map(_parsed_key, body["touches"]))))),
    Kind.SETTING_CHANGED: lambda body: (("setting", body["name"]),),
    Kind.CONTENT_ERASED: lambda _body: (("setting", ERASURES),),
    Kind.REDACTED: lambda _body: (),
    Kind.KIT_SAVED: lambda body: (("kit", body["kit"]),),
    Kind.INSTRUMENT_SAVED: _instrument,
    Kind.PLAYER_SAVED: _instrument,
    Kind.JOB_OPENED: _job_and_instrument,
}


def device_setting(name: str, device: str) -> str:
    """The name of a setting of which each device has its own value."""
    return f"{name} {device}"[:64]


def document_key(key: DocumentKey) -> str:
    """The key as text, `table/id`: how an `undone` body and a snapshot name a document."""
    return "/".join(key)


def _parsed_key(text: Any) -> DocumentKey | None:
    table, _, name = str(text).partition("/")
    return (table, name) if table in TABLES and 0 < len(name) <= 64 else None


def _check_field(kind: str, body: dict[str, Any]) -> None:
    if kind == Kind.SETUP_CHOSEN:
        Setup.model_validate({body["field"]: body.get("value")})
    if kind == Kind.JOB_CHANGED:
        field, value = body["field"], body["value"]
        if model := _FIELDS.get(field):
            model.model_validate(value)
        elif field == "to_my_target":
            if not isinstance(value, bool):
                raise InputError("job.changed.value", value, "give true or false")
        elif not isinstance(value, str):
            raise InputError("job.changed.value", value, "give text")
        elif len(value) > (most := _LONGEST_TEXTS.get(field, len(value))):
            raise InputError("job.changed.value", value, f"give at most {most} letters")

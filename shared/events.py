"""The wire format of history: immutable events, one per thing that happened at a bench.

An event is identified by the device that wrote it and its place in that device's sequence, so the
union of any two histories is their merge. Each event names the digest of the one before it on the
same device, so a sequence that was written twice shows as a fork. Numbers in bodies are integers
or decimal text, never floats; lengths are text with their unit. Nothing is edited: a correction is
another event.
"""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from typing import Any, NamedTuple

from pydantic import BaseModel

from shared.plain_json import NoEvent, Unfit

MAX_EVENT_BYTES = 262_144
"""The largest event, in its canonical form, that any Nutwright writes or accepts."""
MAX_DEPTH = 32
"""How deep a body may nest."""
LARGEST_INTEGER = 2**53 - 1
"""Beyond this, readers that keep numbers as doubles would round."""


class Kind(StrEnum):
    """What can happen, with its body beside it. Unknown kinds are kept and ignored."""

    INSTRUMENT_SAVED = "instrument.saved"  # instrument: id, value: Instrument
    PLAYER_SAVED = "player.saved"  # instrument: id, value: Player, who plays it from now on
    KIT_SAVED = "kit.saved"  # kit: id, value: Kit
    JOB_OPENED = "job.opened"  # job: id, instrument: id, value: Instrument, player, kit, complaint,
    # to_my_target where it was asked for
    JOB_CHANGED = "job.changed"  # job, value, and which field: instrument, player, kit, complaint,
    # to_my_target, ticket or note
    CHECK_ANSWERED = "check.answered"  # job, gate, string (or null), answer ("skipped" is one),
    # for_older_apps where it only says to apps that do not know `work.done` what that means,
    # for_apps_without_boards where it only bars cutting in apps that do not know `board`
    # for_apps_without_visits where it only bars cutting in apps that do not know `setup`
    CHECK_LOOKED_AGAIN = "check.looked_again"  # the same: what a second look before the file said
    READING_TAKEN = "reading.taken"  # job, reading: Reading
    SETUP_READ = "setup.read"  # job, measurement: Measurement, of the instrument or its room
    SETUP_CHOSEN = "setup.chosen"  # job, field: scope, due or overnight, value
    SETUP_STEP = "setup.step"  # job, step: SetupStep, what was done to the instrument or left out
    PASS_FILED = "pass.filed"  # job, pass: Pass, what was done to one slot between two readings
    PROOF_TAKEN = "proof.taken"  # job, proof: Proof
    WORK_DONE = "work.done"  # job, work: Work, which ends what was known of its strings before it
    PLACE_MOVED = (
        "place.moved"  # job, place: where the technician stands ("intake", "walk:5", "plan")
    )
    JOB_CLOSED = "job.closed"  # job, reason
    JOB_REOPENED = "job.reopened"  # job
    SETTING_CHANGED = "setting.changed"  # name, value
    CONTENT_ERASED = "content.erased"  # events: runs by device, due: when it goes at the earliest
    # (ms), have: what the author held of those devices, with digests
    REDACTED = "husk"  # digest: of the event that stood here before its content was erased
    UNDONE = "undone"  # event: id of the event taken back, touches: the documents it belongs to


class Stamp(NamedTuple):
    """Hybrid logical time: wall clock in milliseconds since 1970 (UTC), then a counter.

    Orders events of one bench causally and close to the wall clock (Kulkarni et al. 2014,
    from memory).
    """

    wall_ms: int
    tick: int

    def __str__(self) -> str:
        return f"{self.wall_ms}.{self.tick}"

    @classmethod
    def parse(cls, text: str) -> Stamp:
        """The stamp that `text` spells; ValueError when it spells none."""
        found = re.fullmatch(r"([0-9]{1,15})\.([0-9]{1,9})", text)
        if not found:
            raise ValueError(f"not a time stamp: {text[:40]!r}")
        return cls(int(found[1]), int(found[2]))


FIELDS = frozenset({"bench", "device", "seq", "time", "kind", "version", "prev", "body"})
"""Of an event, as far as this version knows."""
COUNTS_AS = "counts_as"
"""A field of events that follow on from one whose stamp is far ahead of the clock: a stamp just
after that one. Earlier versions keep it and go by `time`."""
_is_time = re.compile(r"[0-9]{1,15}\.[0-9]{1,9}").fullmatch
_shows_no_time = re.compile(r"[1-9][0-9]{14}\.").match
"""A stamp of 10^14 ms or more, as `NO_TIME_MS` of `logic.history.clock` says."""
_LEFT_OUT_BYTES = 100
"""More than `version` and `prev` take up, which a text may leave out."""
_REDACTED = str(Kind.REDACTED)


@dataclass(slots=True)
class Event:
    """One thing that happened. `id` is derived from `device` and `seq`; `seq` is dense from 1.

    `prev` is the digest of the device's event before this one, empty for the first. No event is
    changed once it is made. Years of them pass through a first meeting with a hub, so this is
    plain and small where the models of the trade check and convert.
    """

    bench: str
    device: str
    seq: int
    time: str
    kind: str
    body: dict[str, Any]
    version: int = 1
    prev: str = ""
    unknown_fields: dict[str, Any] | None = None
    """Fields of a newer version, kept as they came."""
    _id: str = field(default="", init=False, repr=False, compare=False)
    _canonical_bytes: bytes = field(default=b"", init=False, repr=False, compare=False)
    _digest: str = field(default="", init=False, repr=False, compare=False)
    _stamp: Stamp | None = field(default=None, init=False, repr=False, compare=False)

    @classmethod
    def read(cls, item: Any) -> Event:
        """The event that a JSON value is; NoEvent when it is none."""
        if not isinstance(item, dict):
            raise NoEvent(getattr(item, "unfit", Unfit.FIELDS), "an event is an object")
        try:
            event = cls.trusted(item)
        except KeyError as error:
            raise NoEvent(Unfit.FIELDS, f"an event without {error}") from error
        event.check()
        return event

    @classmethod
    def trusted(cls, item: dict[str, Any]) -> Event:
        """The event that a JSON object was read as before; KeyError when it lacks a field."""
        event = cls(
            item["bench"],
            item["device"],
            item["seq"],
            item["time"],
            item["kind"],
            item["body"],
            item.get("version", 1),
            item.get("prev", ""),
        )
        if not (len(item) == len(FIELDS) and "version" in item and "prev" in item):
            unknown = {name: value for name, value in item.items() if name not in FIELDS}
            event.unknown_fields = unknown or None
        return event

    def check(self) -> None:
        """NoEvent unless every field is what it has to be."""
        try:
            named = is_name(self.bench) and is_name(self.device) and _is_kind(self.kind)
            held = named and _is_time(self.time) is not None and _is_digest(self.prev)
        except (TypeError, ValueError):
            held = False
        if not held:
            raise NoEvent(Unfit.FIELDS, "bench, device, kind, time or prev is none")
        if not (type(self.seq) is type(self.version) is int):
            raise NoEvent(Unfit.FIELDS, "seq or version is no whole number")
        if not (1 <= self.seq <= LARGEST_INTEGER and 1 <= self.version <= LARGEST_INTEGER):
            raise NoEvent(Unfit.FIELDS, "seq or version is too small or too large")
        if not isinstance(self.body, dict):
            raise NoEvent(getattr(self.body, "unfit", Unfit.FIELDS), "body is no object")
        check_plain(self.body)
        for name, value in (self.unknown_fields or {}).items():
            _check_text(name)
            check_plain(value)

    @property
    def id(self) -> str:
        """Unique wherever this bench's history goes; made once."""
        if not self._id:
            self._id = f"{self.device}:{self.seq}"
        return self._id

    @property
    def stamp(self) -> Stamp:
        """`time`, ready to compare; made once."""
        if self._stamp is None:
            self._stamp = stamp_of(self.time)
        return self._stamp

    @property
    def counts_as(self) -> str:
        """The stamp in whose place it stands, where that is later than its own; else empty."""
        given = self.unknown_fields and self.unknown_fields.get(COUNTS_AS)
        return given if isinstance(given, str) and _is_time(given) else ""

    @property
    def order(self) -> tuple[Stamp, str, int]:
        """The one order in which every device shows events."""
        stamp = place_of(self.time, self.counts_as) if self.unknown_fields else self.stamp
        return (stamp, self.device, self.seq)

    def wire(self) -> dict[str, Any]:
        """Every field, known or not, as JSON holds it."""
        known = {
            "bench": self.bench,
            "device": self.device,
            "seq": self.seq,
            "time": self.time,
            "kind": self.kind,
            "version": self.version,
            "prev": self.prev,
            "body": self.body,
        }
        return known | self.unknown_fields if self.unknown_fields else known

    @property
    def canonical_bytes(self) -> bytes:
        """The canonical form, made once: it is needed for the size, the digest and every copy."""
        if not self._canonical_bytes:
            self._canonical_bytes = (
                canonical(self.wire()) if self.unknown_fields else self._encoded_fields()
            )
        return self._canonical_bytes

    def adopt_canonical_bytes(self, text: bytes, digest: str = "") -> None:
        """Take over the canonical form from where it was read, and its digest, if that is known."""
        self._canonical_bytes, self._digest = text, digest

    def _encoded_fields(self) -> bytes:
        """`canonical` of the known fields; no letter of a name or a time needs an escape."""
        return (
            f'{{"bench":"{self.bench}","body":{_encode_json(self.body)},"device":"{self.device}",'
            f'"kind":{_encode_json(self.kind)},"prev":"{self.prev}","seq":{self.seq},'
            f'"time":"{self.time}","version":{self.version}}}'
        ).encode()

    @property
    def digest(self) -> str:
        """SHA-256 of the canonical form, in hexadecimal: what the next event calls `prev`.

        A redacted event keeps the digest of the event it stands for, so that every chain holds.
        """
        if self._digest:
            return self._digest
        stands_for = self.body.get("digest") if self.kind == _REDACTED else None
        if isinstance(stands_for, str) and re.fullmatch("[0-9a-f]{64}", stands_for):
            return stands_for
        return hashlib.sha256(self.canonical_bytes).hexdigest()


@lru_cache
def is_name(text: str) -> bool:
    """Whether it can name a bench or a device. TypeError when it is no text."""
    return re.fullmatch("[0-9A-Za-z_-]{1,64}", text) is not None


@lru_cache
def _is_kind(text: str) -> bool:
    """Whether it can name what happened, known here or not: text that can be written."""
    return 1 <= len(text) <= 64 and not any("\ud800" <= letter <= "\udfff" for letter in text)


def _is_digest(text: str) -> bool:
    """Of SHA-256 in small hexadecimal, or none. ValueError when it is not even hexadecimal."""
    return text == "" or (len(text) == 64 == 2 * len(bytes.fromhex(text)) and text == text.lower())


def bench_named(value: Any) -> str:
    """The name of a bench that a header gives; empty where it is none, for no entry could hold
    that."""
    return value if isinstance(value, str) and is_name(value) else ""


def read_event(item: Any, within_bytes: int = MAX_EVENT_BYTES) -> Event:
    """The event that a JSON value is, as every door reads it: a file, a hub and the journal alike.
    NoEvent when it is none, is larger than an event may be, or has a time that no clock shows.

    `within_bytes` is how long a text it was read from, so that the canonical form, which is hardly
    ever longer, is made here only where it can be too large.
    """
    event = Event.read(item)
    if unfit := unfit_of(event, within_bytes):
        raise NoEvent(unfit, f"{event.id} is past a limit")
    return event


def unfit_of(event: Event, within_bytes: int = MAX_EVENT_BYTES) -> Unfit | None:
    """Which limit a sound event is past, if any; `within_bytes` as `read_event` takes it."""
    if _shows_no_time(event.time):
        return Unfit.TIME
    large = within_bytes > MAX_EVENT_BYTES - _LEFT_OUT_BYTES
    return Unfit.SIZE if large and len(event.canonical_bytes) > MAX_EVENT_BYTES else None


def redacted(event: Event) -> Event:
    """What stays when the content of `event` is erased: its place in the chain and no more."""
    kept = ("bench", "device", "seq", "time", "prev", "was")
    wire = {name: value for name, value in event.wire().items() if name in kept}
    return Event.read(wire | {"kind": str(Kind.REDACTED), "body": {"digest": event.digest}})


def stamp_of(time: str) -> Stamp:
    """The stamp that the `time` of an event spells, which was checked when it was read."""
    wall, _, tick = time.partition(".")
    return Stamp(int(wall), int(tick))


def place_of(time: str, counts_as: Any) -> Stamp:
    """The stamp by which something is put in order: the later of its own and, where that is one,
    the stamp that it counts as."""
    own = stamp_of(time)
    given = isinstance(counts_as, str) and _is_time(counts_as)
    return max(own, stamp_of(counts_as)) if given else own


_encode_json = json.JSONEncoder(
    sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False, check_circular=False
).encode


def canonical(value: Any) -> bytes:
    """The one spelling of a JSON value: keys sorted, no spaces, UTF-8; it holds no line feed."""
    return _encode_json(value).encode("utf-8")


def plain(value: Any) -> Any:
    """`value` as a body may hold it: models as objects, keys as text, floats as decimal text."""
    if isinstance(value, BaseModel):
        return plain(value.model_dump(mode="json", exclude_none=True))
    if isinstance(value, Mapping):
        return {str(key): plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    if isinstance(value, float):
        return _decimal(value)
    return value


def check_plain(value: Any, depth: int = 0) -> None:
    """NoEvent unless `value` is JSON of text, whole numbers, true, false and null."""
    if isinstance(value, str):
        _check_text(value)
    elif isinstance(value, dict | list):
        for each in _held_in(value, depth):
            if not (type(each) is str and each.isascii()):  # which most of what there is, is
                check_plain(each, depth + 1)
    elif isinstance(value, int):
        if abs(value) > LARGEST_INTEGER:
            raise NoEvent(Unfit.NUMBER, "a whole number too large to keep")
    elif value is not None:
        unfit = getattr(value, "unfit", Unfit.NUMBER)
        what = f"{type(value).__name__} is not text, a whole number, true, false or null"
        raise NoEvent(unfit, what)


def _check_text(text: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError as error:
        raise NoEvent(Unfit.TEXT, "half a character") from error


def _held_in(value: dict[Any, Any] | list[Any], depth: int) -> Iterable[Any]:
    if depth >= MAX_DEPTH:
        raise NoEvent(Unfit.DEEP, f"nested deeper than {MAX_DEPTH} levels")
    if isinstance(value, list):
        return value
    for key in value:
        if not isinstance(key, str):
            raise NoEvent(Unfit.FIELDS, "a key that is not text")
        if not key.isascii():
            _check_text(key)
    return value.values()


def _decimal(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError("not a finite number")
    text = repr(value)
    return text.removesuffix(".0")

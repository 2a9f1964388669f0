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
from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Any, NamedTuple

from pydantic import BaseModel, ConfigDict, Field, field_validator

from shared.record import Record

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
    JOB_OPENED = "job.opened"  # job: id, instrument: id, value: Instrument, player, kit, complaint
    JOB_CHANGED = "job.changed"  # job, field (instrument, player, kit or complaint), value
    CHECK_ANSWERED = "check.answered"  # job, gate, string (or null), answer ("skipped" is one)
    READING_TAKEN = "reading.taken"  # job, reading: Reading
    PASS_FILED = "pass.filed"  # job, pass: Pass, what was done to one slot between two readings
    PROOF_TAKEN = "proof.taken"  # job, proof: Proof
    PLACE_MOVED = (
        "place.moved"  # job, place: where the technician stands ("intake", "walk:5", "plan")
    )
    JOB_CLOSED = "job.closed"  # job, reason
    JOB_REOPENED = "job.reopened"  # job
    SETTING_CHANGED = "setting.changed"  # name, value
    CONTENT_ERASED = "content.erased"  # events: runs by device, due: when it goes for good (ms)
    HUSK = "husk"  # digest: of the event that stood here before its content was erased
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


class Event(Record):
    """One thing that happened. `id` is derived from `device` and `seq`; `seq` is dense from 1.

    `prev` is the digest of the device's event before this one, empty for the first.
    """

    model_config = ConfigDict(strict=True)

    bench: Annotated[str, Field(pattern=r"^[0-9A-Za-z_-]{1,64}$")]
    device: Annotated[str, Field(pattern=r"^[0-9A-Za-z_-]{1,64}$")]
    seq: Annotated[int, Field(ge=1, le=LARGEST_INTEGER)]
    time: Annotated[str, Field(pattern=r"^[0-9]{1,15}\.[0-9]{1,9}$")]
    kind: Annotated[str, Field(min_length=1, max_length=64)]
    version: Annotated[int, Field(ge=1, le=LARGEST_INTEGER)] = 1
    prev: Annotated[str, Field(pattern=r"^([0-9a-f]{64})?$")] = ""
    body: dict[str, Any]

    __slots__ = ("_spelled",)

    @field_validator("body")
    @classmethod
    def _plain(cls, body: dict[str, Any]) -> dict[str, Any]:
        check_plain(body)
        return body

    @property
    def id(self) -> str:
        """Unique wherever this bench's history goes."""
        return f"{self.device}:{self.seq}"

    @property
    def stamp(self) -> Stamp:
        """`time`, ready to compare."""
        return stamp_of(self.time)

    @property
    def order(self) -> tuple[Stamp, str, int]:
        """The one order in which every device shows events."""
        return (self.stamp, self.device, self.seq)

    def wire(self) -> dict[str, Any]:
        """Every field, known or not, as JSON holds it."""
        return {**self.__dict__, **(self.model_extra or {})}

    @property
    def spelled(self) -> bytes:
        """The canonical form, made once: an event on its way is spelled, weighed and signed."""
        try:
            made: bytes = object.__getattribute__(self, "_spelled")
        except AttributeError:
            made = canonical(self.wire())
            object.__setattr__(self, "_spelled", made)
        return made

    @property
    def digest(self) -> str:
        """SHA-256 of the canonical form, in hexadecimal: what the next event calls `prev`.

        A husk keeps the digest of what it stands for, so that every chain holds without it.
        """
        stands_for = self.body.get("digest") if self.kind == Kind.HUSK else None
        if isinstance(stands_for, str) and re.fullmatch("[0-9a-f]{64}", stands_for):
            return stands_for
        return hashlib.sha256(self.spelled).hexdigest()


def husk_of(event: Event) -> Event:
    """What stays when the content of `event` is erased: its place in the chain and no more."""
    kept = ("bench", "device", "seq", "time", "prev", "was")
    wire = {name: value for name, value in event.wire().items() if name in kept}
    return Event.model_validate(wire | {"kind": str(Kind.HUSK), "body": {"digest": event.digest}})


def stamp_of(time: str) -> Stamp:
    """The stamp that the `time` of an event spells, which was checked when it was read."""
    wall, _, tick = time.partition(".")
    return Stamp(int(wall), int(tick))


_SPELL = json.JSONEncoder(
    sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
).encode


def canonical(value: Any) -> bytes:
    """The one spelling of a JSON value: keys sorted, no spaces, UTF-8; it holds no line feed."""
    return _SPELL(value).encode("utf-8")


def plain(value: Any) -> Any:
    """`value` as a body may hold it: models and keys spelled out, floats as decimal text."""
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
    """ValueError unless `value` is JSON of text, whole numbers, true, false and null."""
    if isinstance(value, str) or value is None:
        return
    if depth >= MAX_DEPTH and isinstance(value, dict | list):
        raise ValueError(f"nested deeper than {MAX_DEPTH} levels")
    if isinstance(value, dict):
        for key, each in value.items():
            if not isinstance(key, str):
                raise ValueError("a key that is not text")
            if not isinstance(each, str):  # most of what there is
                check_plain(each, depth + 1)
    elif isinstance(value, list):
        for each in value:
            check_plain(each, depth + 1)
    elif not isinstance(value, int):
        raise ValueError(f"{type(value).__name__} is not text, a whole number, true, false or null")
    elif abs(value) > LARGEST_INTEGER:
        raise ValueError("a whole number too large to keep")


def _decimal(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError("not a finite number")
    text = repr(value)
    return text.removesuffix(".0")

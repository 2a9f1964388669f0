"""The messages between a device and a hub, protocol 1. `assets/docs/sync.md` is their reference."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from shared.events import LARGEST_INTEGER

PROTOCOL = 1
MAX_BATCH_EVENTS = 1000
"""Events that one message may carry, either way."""
BATCH_BYTES = 1_000_000
"""A message is full at this many bytes of events; one event always fits."""
MAX_BODY_BYTES = 8_000_000
"""The largest body that a hub reads, unpacked."""
MAX_PACKED_BYTES = 4_000_000
"""The largest body that a hub reads, as it came over the network."""
CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Of joining codes: letters and digits that survive being read aloud and copied by hand."""
CODE_LENGTH = 8

Name = Annotated[str, Field(pattern=r"^[0-9A-Za-z_-]{1,64}$")]


def _whole_number(value: Any) -> Any:
    """JSON knows one kind of number: 2.0 is as whole as 2."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


_accept_whole_floats = BeforeValidator(_whole_number)
Number = Annotated[int, Field(strict=True, ge=1, le=LARGEST_INTEGER), _accept_whole_floats]
Limit = Annotated[int, Field(strict=True, ge=0, le=MAX_BATCH_EVENTS), _accept_whole_floats]
MAX_RUNS = 50_000
"""Runs that a device may name in one message, of all devices together."""
_no_other_names: dict[str, Any] = {"additionalProperties": False}
Have = Annotated[dict[Name, list[tuple[Number, Number]]], Field(json_schema_extra=_no_other_names)]
"""Per device, the runs of event numbers that one side holds: [[first, last], …].

A run that ends before it begins holds nothing. Only what a device names is limited: what a hub
holds, every device has to be able to hear."""


def _within_runs(have: dict[str, list[tuple[int, int]]]) -> dict[str, list[tuple[int, int]]]:
    if sum(map(len, have.values())) > MAX_RUNS:
        raise ValueError(f"over {MAX_RUNS} runs")
    return have


EventJson = Annotated[
    Any,
    WithJsonSchema({"description": "An event; whatever else stands here is refused by itself."}),
]
"""An event as `shared.events` spells it, with every field that a newer version may add."""


class Code(StrEnum):
    """Why a hub refuses, for programs to act on. Texts beside it are for people."""

    MALFORMED = "malformed"  # this is no event or no message; sending it again cannot help
    TOO_LARGE = "too-large"  # an event, body or batch over its limit
    NO_TIME = "no-time"  # a time stamp that no clock shows
    NAME_TAKEN = "name-taken"  # another device writes under that name; it brings its entries itself
    FORK = "fork"  # another event has this number; this one is kept aside
    FULL = "full"  # the bench has no room left at the hub; it is kept at the device
    READ_ONLY = "read-only"  # this device may read and not write
    KEY_UNKNOWN = "key-unknown"  # no key, or one that was revoked or never given
    CODE_UNKNOWN = "code-unknown"  # a joining code that is wrong, used or too old
    PROTOCOL = "protocol"  # a protocol that this hub does not speak
    TOO_OFTEN = "too-often"  # wait for Retry-After seconds
    NOT_FOUND = "not-found"
    NOT_ALLOWED = "not-allowed"  # another method is needed
    UNAVAILABLE = "unavailable"  # the hub's store does not answer; try again later
    FAULT = "fault"  # a mistake of the hub's


class Role(StrEnum):
    """What a device may do."""

    FULL = "full"
    READ_ONLY = "read-only"


class WireMessage(BaseModel):
    """Base of all messages. Unknown fields are ignored: a newer side may send more."""

    model_config = ConfigDict(extra="ignore")


class ExchangeRequest(WireMessage):
    """What a device holds, and events that the hub lacks."""

    protocol: Number = PROTOCOL
    device: Annotated[str, Field(pattern=r"^[0-9A-Za-z_-]{0,64}$")] = ""
    """The name that the device writes under; empty from versions that did not say it."""
    have: Annotated[Have, Field(max_length=MAX_RUNS), AfterValidator(_within_runs)]
    events: Annotated[list[EventJson], Field(max_length=MAX_BATCH_EVENTS)] = Field(
        default_factory=list
    )
    limit: Limit = MAX_BATCH_EVENTS
    wants: Annotated[Have, Field(max_length=MAX_RUNS), AfterValidator(_within_runs)] | None = None
    """Numbers that are here without their content and may have it again, as the promise to erase it
    was called back. None where no such promise is known, and from versions that did not ask."""


class Refused(WireMessage):
    """One event that the hub did not take, with its id and the reason."""

    event: str
    code: str
    why: str = ""


class ExchangeReply(WireMessage):
    """What the hub holds after the request, and events that the device lacks."""

    protocol: int = PROTOCOL
    epoch: str
    now_ms: int
    role: str = Role.FULL
    have: Have
    heads: dict[str, str] = Field(default_factory=dict)
    """Per device, the digest of the last event of the run that begins with 1."""
    ends: dict[str, list[tuple[int, str]]] = Field(default_factory=dict)
    """Per device, number and digest of the last event of later runs. A hub that says none leaves
    it open whether what lies behind a gap is the same on both sides."""
    taken: int = 0
    known: int = 0
    refused: list[Refused] = Field(default_factory=list)
    events: list[Any] = Field(default_factory=list)
    more: bool = False
    via: dict[str, str] = Field(default_factory=dict)
    """By device name, what the device is called that brought entries under it by file: nobody's
    key vouches for them."""
    wants: Have = Field(default_factory=dict)
    """The same of the hub, where the device said what it wants: it may send these once more."""
    rotate: bool = False
    """The hub wants the device to get a new key; it may go on with the old one until it has."""


class ReceivedReply(ExchangeReply):
    """A reply with the bytes it came in, which hold the canonical form of its events."""

    raw: bytes = b""


class JoinRequest(WireMessage):
    """A joining code, and what the device calls itself on the bench's list."""

    protocol: Number = PROTOCOL
    code: Annotated[str, Field(min_length=1, max_length=64)]
    label: Annotated[str, Field(min_length=1, max_length=64)]


class JoinReply(WireMessage):
    """The key that this device shows from now on. It is given once and kept nowhere else."""

    bench: str
    bench_name: str
    key: str
    role: str
    epoch: str


class RotateReply(WireMessage):
    """The successor of the key that was shown, which is good until this one is first shown."""

    key: str


class Me(WireMessage):
    """The device that asks and its bench, as the hub has them."""

    bench: str
    bench_name: str
    label: str
    role: str
    epoch: str


class ErrorBody(WireMessage):
    """What went wrong with a whole message."""

    code: str
    what: str
    next: str = ""


class ErrorReply(WireMessage):
    """The body of every answer that is not a success."""

    error: ErrorBody

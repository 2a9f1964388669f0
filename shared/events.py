"""The wire format of history: immutable events, one per thing that happened at a bench.

An event is identified by the device that wrote it and its place in that device's sequence, so the
union of any two histories is their merge. Numbers in bodies are integers or decimal text, never
floats; lengths are text with their unit. Nothing is edited: a correction is another event.
"""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Annotated, Any, NamedTuple

from pydantic import Field

from shared.record import Record


class Kind(StrEnum):
    """What can happen. Bodies are described beside each kind; unknown kinds are kept and ignored."""

    INSTRUMENT_SAVED = "instrument.saved"  # instrument: id, value: Instrument
    KIT_SAVED = "kit.saved"  # kit: id, value: Kit
    JOB_OPENED = "job.opened"  # job: id, instrument: id, value: Instrument, player, kit, complaint
    CHECK_ANSWERED = "check.answered"  # job, gate, string (or null), answer ("skipped" is one)
    READING_TAKEN = "reading.taken"  # job, reading: Reading
    PLACE_MOVED = "place.moved"  # job, place: where the technician stands ("intake", "walk:5", "plan")
    JOB_CLOSED = "job.closed"  # job, reason
    JOB_REOPENED = "job.reopened"  # job
    SETTING_CHANGED = "setting.changed"  # name, value
    UNDONE = "undone"  # event: id of the event taken back


class Stamp(NamedTuple):
    """Hybrid logical time: wall clock in milliseconds since 1970 (UTC), then a counter.

    Orders events of one bench causally and close to the wall clock (Kulkarni et al. 2014,
    from memory).
    """

    wall_ms: int
    count: int

    def __str__(self) -> str:
        return f"{self.wall_ms}.{self.count}"

    @classmethod
    def parse(cls, text: str) -> Stamp:
        """The stamp that `text` spells; ValueError when it spells none."""
        found = re.fullmatch(r"(\d{1,15})\.(\d{1,9})", text)
        if not found:
            raise ValueError(f"not a time stamp: {text[:40]!r}")
        return cls(int(found[1]), int(found[2]))


class Event(Record):
    """One thing that happened. `id` is derived from `device` and `seq`; `seq` is dense from 1."""

    bench: Annotated[str, Field(min_length=1, max_length=64)]
    device: Annotated[str, Field(min_length=1, max_length=64)]
    seq: Annotated[int, Field(ge=1)]
    time: Annotated[str, Field(pattern=r"^\d{1,15}\.\d{1,9}$")]
    kind: str
    version: int = 1
    body: dict[str, Any]

    @property
    def id(self) -> str:
        """Unique wherever this bench's history goes."""
        return f"{self.device}:{self.seq}"

    @property
    def stamp(self) -> Stamp:
        """`time`, ready to compare."""
        return Stamp.parse(self.time)

    @property
    def order(self) -> tuple[Stamp, str, int]:
        """The one order in which every device shows events."""
        return (self.stamp, self.device, self.seq)

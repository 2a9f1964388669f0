"""From a JSON value that a device sent to an event that can be kept: checked, in canonical form."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import Any, NamedTuple

from logic.history.documents.bodies import ERASURES, document_key
from logic.history.report import UNFIT_IN_WORDS
from logic.sync.wire import Code, Refused
from shared.events import LARGEST_INTEGER, Event, Kind, is_name, read_event
from shared.plain_json import NoEvent, Unfit


class VerifiedEvent(NamedTuple):
    """An event as the hub keeps it: its place, its links, and its canonical text."""

    device: str
    seq: int
    prev: str
    digest: str
    text: str
    erases: bool = False
    """Whether it promises to erase something, or takes such a promise back."""
    is_redacted: bool = False
    """Whether it stands in the place of one whose content is gone."""

    @property
    def id(self) -> str:
        """Unique within a bench."""
        return f"{self.device}:{self.seq}"


def size_of(text: str) -> int:
    """The bytes that a text takes up."""
    return len(text) if text.isascii() else len(text.encode())


def verify(item: Any, index: int = 0) -> VerifiedEvent | Refused:
    """The event that `item` is, or why it cannot be kept. Unknown kinds and fields are no reason.

    `index` names an item that has no id of its own.
    """
    try:
        event = read_event(item)
    except NoEvent as error:
        code = _CODES.get(error.unfit, Code.MALFORMED)
        why = f"event {index + 1} of the message: {UNFIT_IN_WORDS[error.unfit]}"
        return Refused(event=_name_of(item, index), code=code, why=why)
    data = event.canonical_bytes
    erases = event.kind in _MAY_ERASE and _erases(event)
    redacted, text = event.kind == Kind.REDACTED, data.decode()
    return VerifiedEvent(event.device, event.seq, event.prev, event.digest, text, erases, redacted)


_CODES = {Unfit.SIZE: Code.TOO_LARGE, Unfit.TIME: Code.NO_TIME}
_MAY_ERASE = frozenset(map(str, (Kind.CONTENT_ERASED, Kind.UNDONE)))


def _erases(event: Event) -> bool:
    """Whether it erases something, or undoes an erasure."""
    if event.kind == Kind.CONTENT_ERASED:
        return True
    touches = event.body.get("touches")
    return isinstance(touches, list) and document_key(("setting", ERASURES)) in touches


def _name_of(item: Any, index: int) -> str:
    if isinstance(item, dict):
        device, seq = item.get("device"), item.get("seq")
        named = isinstance(device, str) and is_name(device)
        if named and type(seq) is int and 1 <= seq <= LARGEST_INTEGER:
            return f"{device}:{seq}"
    return f"#{index}"


@dataclass
class VerifiedBatch:
    """A batch, event by event."""

    fresh: list[VerifiedEvent]
    known: int
    forks: list[VerifiedEvent]


Links = dict[tuple[str, int], tuple[str, str]]
"""Digest and prev of events that are already kept, by device and number."""


def classify(
    batch: list[VerifiedEvent], kept: Links, quarantined: Set[str] = frozenset()
) -> VerifiedBatch:
    """Which events of `batch` are new, doubles, or disagree with what is `kept`.

    `kept` holds every event of the batch that is kept already and the neighbours of all;
    `quarantined` the digests of what was quarantined before: what follows on from that joins it.
    """
    found = VerifiedBatch([], 0, [])
    links, losing_branch = dict(kept), set(quarantined)
    for event in sorted(batch):
        here = links.get((event.device, event.seq))
        if here is not None and here[0] == event.digest:
            found.known += 1
        elif here is not None or event.prev in losing_branch or not _follows(event, links):
            found.forks.append(event)
            losing_branch.add(event.digest)
        else:
            links[event.device, event.seq] = (event.digest, event.prev)
            found.fresh.append(event)
    return found


def _follows(event: VerifiedEvent, links: Links) -> bool:
    """Whether the neighbours that are kept agree that this event lies between them."""
    before = links.get((event.device, event.seq - 1))
    after = links.get((event.device, event.seq + 1))
    return not ((before and before[0] != event.prev) or (after and after[1] != event.digest))

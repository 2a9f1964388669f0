"""Each document's own events on file, in pieces: adding some writes those and no others.

They are a copy of what the journal holds, from which a snapshot gives back what the journal lost.
"""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain
from typing import Any

from logic.history.documents.event_log import Wire
from logic.history.journal.frame import LEAD_BYTES, damages, framed
from logic.history.snapshots.stored_documents import DocumentFile, Place, raise_damaged
from shared.events import Event, canonical

EVENTS = "events"
"""What stands for a table in the frames of these pieces."""
CACHED = 8
"""Documents whose events are kept in memory once read: those that are worked on."""


class StoredEvents:
    """The log of a history: the latest events in memory as text, all before them on file.

    `on_damage` keeps the events of a document anew when a piece of them is damaged.
    """

    def __init__(self) -> None:
        self.places: dict[str, list[Place]] = {}
        """By document, where each piece of its events lies."""
        self.document_file: DocumentFile | None = None
        self.on_damage: Callable[[str, str], None] = raise_damaged
        self.bytes_in_memory = 0
        self._tails: dict[str, list[bytes]] = {}
        self._cached: OrderedDict[str, list[Wire]] = OrderedDict()

    def __contains__(self, name: object) -> bool:
        return name in self._tails or name in self.places

    def add(self, name: str, events: Sequence[Event]) -> None:
        """Keep more events of a document."""
        texts = [event.canonical_bytes for event in events]
        self._tails.setdefault(name, []).extend(texts)
        self.bytes_in_memory += sum(map(len, texts))
        if name in self._cached:
            self._cached[name].extend(event.wire() for event in events)

    def read(self, name: str) -> list[Wire]:
        """All events of a document; none where none is kept."""
        if name not in self._cached:
            self._cached[name] = self._read(name)
            while len(self._cached) > CACHED:
                self._cached.popitem(last=False)
        self._cached.move_to_end(name)
        return self._cached[name]

    def replace(self, name: str, events: Sequence[Event]) -> None:
        """Keep these in place of all events of a document."""
        self.places.pop(name, None)
        self._cached.pop(name, None)
        self.bytes_in_memory -= sum(map(len, self._tails.pop(name, ())))
        self.add(name, events)

    def in_memory(self) -> Iterator[Wire]:
        """The events that can be had without reading a file."""
        yield from chain.from_iterable(self._cached.values())
        for texts in self._tails.values():
            yield from map(json.loads, texts)

    def lines(self) -> Iterator[tuple[str, bytes]]:
        """A piece for each document that got new events, as a frame."""
        return ((name, _line(name, b",".join(texts))) for name, texts in self._tails.items())

    def written_at(self, places: Sequence[tuple[str, Place]]) -> None:
        """Note where the pieces of `lines` were written."""
        for name, place in places:
            self.places.setdefault(name, []).append(place)
        self._tails.clear()
        self.bytes_in_memory = 0

    def joined(self) -> Iterator[tuple[str, bytes]]:
        """All that is on file, one piece for each document; what is damaged is kept anew in memory
        instead."""
        for name, places in list(self.places.items()):
            texts = [_texts_at(self.document_file, name, place) for place in places]
            if None in texts:
                self.on_damage(EVENTS, name)
            else:
                yield name, _line(name, b",".join(filter(None, texts)))

    def moved_to(self, file: DocumentFile, places: Iterable[tuple[str, Place]]) -> None:
        """Read from `file` once all pieces are there."""
        self.places = {name: [place] for name, place in places}
        self.document_file = file

    def damaged(self) -> Iterator[str]:
        """The documents of which a piece on file is damaged."""
        for name, places in self.places.items():
            if any(_texts_at(self.document_file, name, place) is None for place in places):
                yield name

    def _read(self, name: str) -> list[Wire]:
        found: list[Wire] = []
        for place in self.places.get(name, ()):
            piece = _events_at(self.document_file, name, place)
            if piece is None:
                self.on_damage(EVENTS, name)
                return [json.loads(text) for text in self._tails.get(name, ())]
            found += piece
        return found + [json.loads(text) for text in self._tails.get(name, ())]


def pieces(file: DocumentFile, places: dict[str, Any]) -> Iterator[Wire]:
    """The events of every piece that is sound."""
    for name, own in places.items():
        for place in own:
            yield from _events_at(file, name, place) or ()


def _line(name: str, texts: bytes) -> bytes:
    """A piece, of events in their canonical form."""
    return framed(_BEGINS + texts + _ends(name))


_BEGINS = b'{"events":['


def _ends(name: str) -> bytes:
    return b'],"name":' + canonical(name) + b',"table":"events"}'


def _texts_at(file: DocumentFile | None, name: str, place: Place) -> bytes | None:
    """The events of a piece as text, without reading what it says; None where it is damaged."""
    line = file.raw(place) if file else b""
    text, ends = line[LEAD_BYTES:-1], _ends(name)
    if any(damages(line)) or not (text.startswith(_BEGINS) and text.endswith(ends)):
        return None
    return text[len(_BEGINS) : -len(ends)]


def _events_at(file: DocumentFile | None, name: str, place: Place) -> list[Wire] | None:
    found = file.read(place) if file else None
    if not found or (found.get("table"), found.get("name")) != (EVENTS, name):
        return None
    events = found.get("events")
    return events if isinstance(events, list) else None

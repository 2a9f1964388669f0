"""Folds new events into the documents of the read model, each when it is next wanted.

An event that comes last is added on; one that comes late makes its own document be folded again,
never all. Either waits until somebody looks, so that a document into which a thousand events come
one by one, or in the wrong order, is folded once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, MutableMapping, Sequence
from operator import attrgetter
from typing import Any

from logic.history.clock import BEGINNING
from logic.history.documents.bodies import (
    TABLES,
    DocumentKey,
    document_key,
    touched_documents,
    understood,
)
from logic.history.documents.event_log import EventLog, EventsInMemory
from logic.history.documents.fold import apply, fold, latest_in, replayed_from
from logic.history.documents.read_model import ReadModel, Tables
from logic.history.progress import STEP, Progress, Steps
from shared.events import Event, Kind, Stamp

_BY_ORDER = attrgetter("order")
WAITING = 4000
"""Events that wait in memory at most: beyond that, what takes no reading is folded, and the rest is
read again from the log when it is wanted."""


class _Waiting:
    """What came for one document since it was folded."""

    __slots__ = ("events", "is_all")

    def __init__(self, is_all: bool) -> None:
        self.events: list[Event] | None = []
        """None where they are only in the log: all of it is then folded again."""
        self.is_all = is_all
        """Whether nothing of the document was here before."""


class Projection:
    """Folds events into documents, one document at a time.

    `make_table` makes the mapping behind each table, `log` keeps each document's own events; a
    snapshot gives some that read from file only what is wanted.
    """

    def __init__(
        self,
        make_table: Callable[[str], MutableMapping[str, Any]] | None = None,
        log: EventLog | None = None,
    ) -> None:
        make = make_table or (lambda _name: {})
        tables: Tables = {name: make(name) for name in TABLES}
        self._model = ReadModel(tables)
        self._log: EventLog = log or EventsInMemory()
        self._waiting: dict[DocumentKey, _Waiting] = {}
        self._waiting_events = 0
        self.not_understood = 0
        self.on_change: Callable[[DocumentKey, dict[str, Any]], None] = _ignore_change
        self.may_grow: Callable[[DocumentKey], bool] = lambda _key: True
        """Whether a document is folded on while more comes: not where that would put it on file
        again and again."""

    @property
    def model(self) -> ReadModel:
        """All documents, folded up to the last event."""
        self.settle()
        return self._model

    def add(self, events: Iterable[Event]) -> None:
        """Take `events` in, to be folded into the documents they touch; doubles and kinds that this
        version does not know change nothing."""
        by_document: dict[DocumentKey, list[Event]] = {}
        for event in events:
            if not understood(event):
                self.not_understood += 1
                continue
            for key in touched_documents(event):
                by_document.setdefault(key, []).append(event)
        for key, own in by_document.items():
            self._let_wait(key, own)
        if self._waiting_events > WAITING:
            self._make_room()

    def settle(self) -> None:
        """Fold all that waits."""
        for key in list(self._waiting):
            self._settle(key)

    def settle_steps(self) -> Steps[None]:
        """The same, with a stop after each thousand events or so."""
        done, upto = 0, len(self._waiting)
        for at, key in enumerate(list(self._waiting)):
            done += self._settle(key)
            if done >= STEP:
                done = 0
                yield Progress(at, upto)

    def document(self, key: DocumentKey) -> dict[str, Any] | None:
        """The folded document, or None when nothing ever touched it."""
        self._settle(key)
        table, name = key
        return self._model.live(table).copy_of(name)

    def events_of(self, key: DocumentKey) -> list[Event]:
        """The events that touch one document, each once, in order."""
        return _in_order(map(Event.trusted, self._log.read(document_key(key))))

    def latest_of(self, key: DocumentKey) -> Stamp:
        """The place in the order of the last event that a document holds."""
        document = self.document(key)
        return latest_in(document) if document else BEGINNING

    def fold_again(self, key: DocumentKey, events: Sequence[Event] | None = None) -> None:
        """Make a document again from its own events: those in the log or, where that is damaged,
        `events`, in whose place they are kept."""
        if events is not None:
            self._log.replace(document_key(key), events)
        self._no_longer_waiting(key)
        self._put(key, fold(key, self.events_of(key)))

    def _let_wait(self, key: DocumentKey, own: list[Event]) -> None:
        name, waiting = document_key(key), self._waiting.get(key)
        if waiting is None:
            waiting = self._waiting[key] = _Waiting(is_all=name not in self._log)
        self._log.add(name, own)
        if waiting.events is not None:
            waiting.events += own
            self._waiting_events += len(own)

    def _make_room(self) -> None:
        for key, waiting in list(self._waiting.items()):
            if waiting.events is None:
                continue
            if waiting.is_all or (self.may_grow(key) and self._can_add_on(key, waiting.events)):
                self._settle(key)
            else:
                self._waiting_events -= len(waiting.events)
                waiting.events = None

    def _can_add_on(self, key: DocumentKey, events: list[Event]) -> bool:
        return _comes_after(self._model.live(key[0]).copy_of(key[1]), _in_order(events))

    def _settle(self, key: DocumentKey) -> int:
        """Fold what waits for one document; how many events that took."""
        waiting = self._waiting.get(key)
        if waiting is None:
            return 0
        own = _in_order(waiting.events or ())
        before = self._model.live(key[0]).copy_of(key[1]) if own else None
        if key not in self._waiting:
            return 0  # its copy was damaged, and all of it was folded again to read it
        self._no_longer_waiting(key)
        if waiting.is_all and own:
            document = fold(key, own)
        elif before is not None and _comes_after(before, own):
            document = before
            for event in own:
                apply(document, event)
        else:
            own = self.events_of(key)
            document = fold(key, own)
        self._put(key, document)
        return len(own)

    def _no_longer_waiting(self, key: DocumentKey) -> None:
        if waiting := self._waiting.pop(key, None):
            self._waiting_events -= len(waiting.events or ())

    def _put(self, key: DocumentKey, document: dict[str, Any]) -> None:
        table, name = key
        self._model.live(table).put(name, document)
        self.on_change(key, document)


def _ignore_change(_key: DocumentKey, _document: dict[str, Any]) -> None:
    """What is done on a change until somebody says otherwise."""


def _in_order(events: Iterable[Event]) -> list[Event]:
    """`events` in their one order, less doubles."""
    return sorted({event.id: event for event in events}.values(), key=_BY_ORDER)


def _comes_after(document: dict[str, Any] | None, events: list[Event]) -> bool:
    """Whether each of `events`, in order, has a stamp after all that the document holds, and none
    changes what came before it. What has the same stamp as another is put in order with it."""
    last = latest_in(document) if document else BEGINNING
    if last == BEGINNING:
        return False
    for event in events:
        stamp = event.order[0]
        if stamp <= last or _changes_earlier(event):
            return False
        last = stamp
    return True


def _changes_earlier(event: Event) -> bool:
    """Whether the event may change what earlier events came to."""
    return event.kind == Kind.UNDONE or replayed_from(event) is not None

"""Letting go of content: promised now, gone from every file here once its time has come."""

from __future__ import annotations

from logic.history.documents.bodies import DocumentKey
from logic.history.exchange.erasing import (
    Cover,
    erased_or_refilled,
    have_of,
    is_content,
    spans_of,
)
from logic.history.journal.journal import full, poisoned
from logic.history.journal.quarantine import Quarantine
from logic.history.journal.spans import Spans
from logic.history.operations.exporter import Exporter
from logic.history.operations.promises import Promises
from logic.history.operations.recorder import Recorder
from logic.history.operations.refills import Refills
from logic.history.operations.state import HistoryState
from logic.history.progress import Progress, Steps
from logic.history.storage.store import OutOfSpace
from shared.events import Event, Kind


class Eraser:
    """Promises erasures and carries out those whose time has come here."""

    def __init__(
        self,
        state: HistoryState,
        recorder: Recorder,
        exporter: Exporter,
        promises: Promises,
        refills: Refills,
    ) -> None:
        self._state = state
        self._recorder = recorder
        self._exporter = exporter
        self._promises = promises
        self._refills = refills

    def erase(self, of: DocumentKey, due_ms: int) -> Event:
        """Promise that everything about one document will be gone, not before `due_ms`.

        InputError when nothing is known of it.
        """
        events = list(filter(is_content, self._exporter.events_about(of)))
        have = have_of(events, Spans.of_held(self._state.journal.held))
        body = {"events": spans_of(events).wire(), "due": due_ms, "have": have}
        promise = self._recorder.record_all([(Kind.CONTENT_ERASED, body)])[0]
        self._promises.note([promise])
        return promise

    def purge_steps(self) -> Steps[bool]:
        """Make content whose time has come really gone here, and bring back what came again of
        what was called back; whether there was anything of either.

        Where nothing can be written it does nothing, and all of it waits.
        """
        journal = self._state.journal
        if journal.trouble():
            return False
        self._promises.note_unseen()
        ripe = self._promises.ripe()
        covers = {name: self._promises.cover([promise]) for name, promise in ripe.items()}
        done = self._promises.carried_out
        new = {name: each for name, each in covers.items() if done.get(name) != each.runs()}
        cover = Cover(tuple(part for each in covers.values() for part in each.parts))
        pending = yield from self._holds_content(
            Cover(tuple(part for each in new.values() for part in each.parts))
        )
        refills = self._refills.take()
        if pending:  # first: after a stop the journal shows that this is still to be done
            self._discard_set_aside(cover)
        if pending or refills:
            yield from self._state.rewrite_steps(erased_or_refilled(cover, refills))
        self._promises.carried_out |= {name: each.runs() for name, each in new.items()}
        return pending or bool(refills)

    def _discard_set_aside(self, cover: Cover) -> None:
        """Remove what `cover` covers of what was set aside. StorageFull where there is no room to
        write the rest anew, JournalPoisoned when the storage refuses."""
        journal = self._state.journal
        try:
            Quarantine(journal.directory).discard(lambda event: event in cover)
        except OutOfSpace as error:
            raise full() from error
        except OSError as error:
            journal.poison(str(error))
            raise poisoned(str(error)) from error

    def _holds_content(self, cover: Cover) -> Steps[bool]:
        """Whether any file holds content that `cover` covers; after a purge that was cut off, an
        old one still may."""
        journal, runs = self._state.journal, cover.runs()
        for segment in list(journal.segments):
            copies = journal.copies(segment, runs)
            if any(is_content(event) and event in cover for event in copies):
                return True
            if copies:
                yield Progress(0, len(journal.segments))
        return False

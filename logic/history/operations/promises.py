"""The promises to erase that this device knows: since when, what they cover, from when it goes.

Nothing goes on the word of a date in an entry alone: the grace counts from this device's own first
sight of a promise, and one that came in a file by hand waits until a person here says yes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from logic.history.documents.bodies import DocumentKey, touched_documents, understood
from logic.history.exchange.erasing import (
    Cover,
    Number,
    Part,
    Seen,
    called_back_erasures,
    is_content,
    part_of,
    proofs_named,
    standing_erasures,
)
from logic.history.journal.promise_notes import PromiseNote, PromiseNotes
from logic.history.journal.spans import Spans
from logic.history.operations.state import HistoryState
from logic.history.storage.store import StoreError
from shared.errors import InputError
from shared.events import Event, Kind
from shared.words import say


@dataclass(frozen=True)
class Promised:
    """A promise that stands, and what it would still erase here."""

    event: Event
    waits: bool
    """Whether it came in a file by hand and nobody here has said yes to it."""
    gone_ms: int | None
    """From when its content is gone here, in milliseconds since 1970; None while it waits."""
    entries: tuple[Event, ...] = ()
    """The entries with content that it covers here, by number."""
    absent: int = 0
    """How many entries it names that are not here."""

    def documents(self) -> tuple[DocumentKey, ...]:
        """What those entries are about."""
        about = (touched_documents(each)[:1] for each in self.entries if understood(each))
        return tuple(sorted({key for keys in about for key in keys}))

    def count_by_device(self) -> dict[str, int]:
        """How many of those entries each device wrote."""
        return dict(sorted(Counter(event.device for event in self.entries).items()))


class Promises:
    """The promises of one open history."""

    def __init__(self, state: HistoryState, grace_ms: int) -> None:
        self._state = state
        self._grace_ms = grace_ms
        self._notes = PromiseNotes(state.journal.directory)
        self._digests: dict[Number, str] = {}
        self._rewrites = state.rewrites
        self.carried_out: dict[str, Spans] = {}
        """By id of a promise that was carried out here since the start, the numbers looked at."""
        self._outstanding: tuple[object, tuple[Promised, ...]] = (None, ())

    # --- noting ---

    def note(self, promises: Iterable[Event], *, by_hand: bool = False) -> None:
        """Note the first sight of these, of those that were not noted before; one that comes by
        hand waits."""
        new = {each.digest for each in promises if self._notes.get(each.digest) is None}
        if new:
            note = self._first_sight(waits=by_hand, by_hand=by_hand)
            self._notes.note(dict.fromkeys(sorted(new), note))
        self._write()

    def note_replayed(self, pairs: Iterable[tuple[Event, Event]]) -> None:
        """Note the first sight of promises under another name, each with what it was before: what
        nobody said yes to under the one has no yes under the other."""
        for before, again in pairs:
            note = self._notes.get(before.digest)
            if note and note.by_hand and self._notes.get(again.digest) is None:
                new = self._first_sight(waits=note.waits, by_hand=True)
                self._notes.note({again.digest: new})
        self._write()

    def note_unseen(self) -> None:
        """Note every promise of which no note is left: its grace begins anew."""
        self.note(self.standing().values())

    def agree(self, event_id: str) -> None:
        """Let a promise that came by hand count: its grace begins now. InputError when there is
        none of that id."""
        promise = self.standing().get(event_id)
        if promise is None:
            raise InputError("erasure", event_id, say("name one that is promised here"))
        if self._by_hand(promise):
            self._notes.note({promise.digest: self._first_sight()})
            self._write()

    def ask_nobody(self, promises: Iterable[Event]) -> None:
        """Let those of `promises` that wait count from now on here, and nowhere else: nobody has
        said yes to them."""
        waiting = [each.digest for each in promises if self.waits(each)]
        if waiting:
            self._notes.note(dict.fromkeys(waiting, self._first_sight(by_hand=True)))
            self._write()

    def _first_sight(self, *, waits: bool = False, by_hand: bool = False) -> PromiseNote:
        own = self._state.device
        own_last = (own, self._state.journal.held.highest(own))
        return PromiseNote(self._state.clock.now_ms(), own_last, waits, by_hand)

    def _write(self) -> None:
        if self._state.journal.trouble():
            return
        try:
            self._notes.write()
        except StoreError:
            return  # it is in memory, and tried again at the next look

    # --- what stands, and from when ---

    def standing(self, also: Iterable[Event] = ()) -> dict[str, Event]:
        """The promises that nobody called back, by id; `also` are events that are not kept yet."""
        return standing_erasures([*self._state.erasure_events(), *also])

    def gone_ms(self, promise: Event) -> int | None:
        """From when content goes here by this promise; None while that is not known."""
        note = self._notes.get(promise.digest)
        if note is None or note.waits:
            return None
        return max(int(promise.body["due"]), note.seen_ms + self._grace_ms)

    def ripe(self, also: Iterable[Event] = ()) -> dict[str, Event]:
        """The promises whose time has come here, by id."""
        standing = self.standing(also)
        if not standing:
            return {}
        now_ms = self._state.clock.now_ms()
        return {
            name: promise
            for name, promise in standing.items()
            if (gone_ms := self.gone_ms(promise)) is not None and gone_ms <= now_ms
        }

    def waits(self, promise: Event) -> bool:
        """Whether it came in a file by hand and erases nothing here before a person says yes."""
        note = self._notes.get(promise.digest)
        return note is not None and note.waits

    def _by_hand(self, promise: Event) -> bool:
        note = self._notes.get(promise.digest)
        return note is not None and note.by_hand

    def unasked(self) -> Spans:
        """The numbers of the promises that stand, came by hand and were not said yes to here."""
        unasked = filter(self._by_hand, self.standing().values())
        return Spans.of_numbers((each.device, each.seq) for each in unasked)

    def called_back(self) -> dict[str, Event]:
        """The promises that somebody called back, by id."""
        return called_back_erasures(self._state.erasure_events())

    def named_in_vain(self) -> Spans:
        """What is here and named by promises that stand and do not cover it: where a branch gave
        way, its content may be gone all the same."""
        held = Spans.of_held(self._state.journal.held)
        found = Spans()
        for promise in self.standing().values():
            left = Spans()
            for run in Spans(promise.body["events"]).difference(self.cover([promise]).runs()):
                left.add(*run)
            for run in left.intersection(held):
                found.add(*run)
        return found

    # --- what it covers ---

    def cover(self, promises: Iterable[Event], also: Iterable[Event] = ()) -> Cover:
        """What these cover of what is here; `also` are events that are not kept yet."""
        promises = list(promises)
        if not promises:
            return Cover()
        held = Spans.of_held(self._state.journal.held)
        digests = dict(self._digests_of(proofs_named(promises), held))
        for event in also:
            held.add(event.device, event.seq)
            digests[event.device, event.seq] = event.digest
        return Cover(tuple(self._part(each, held, digests) for each in promises))

    def _part(self, promise: Event, held: Spans, digests: Mapping[Number, str]) -> Part:
        note = self._notes.get(promise.digest) or self._first_sight()
        return part_of(promise, held, digests, Seen(note.seen_ms, note.own))

    def _digests_of(self, numbers: set[Number], held: Spans) -> Mapping[Number, str]:
        """Digests of those that are here; each file is read once for all that are not known yet."""
        if self._rewrites != self._state.rewrites:
            self._digests, self._rewrites = {}, self._state.rewrites
        unknown = Spans.of_numbers(
            each for each in numbers if each in held and each not in self._digests
        )
        for event in self._events_in(unknown):
            self._digests[event.device, event.seq] = event.digest
        return self._digests

    def _events_in(self, runs: Spans) -> Iterable[Event]:
        if runs:
            for segment in list(self._state.journal.segments):
                for event in self._state.journal.copies(segment, runs):
                    if (event.device, event.seq) in runs:
                        yield event

    def asked_for(self, also: Iterable[Event] = ()) -> Cover:
        """What the promises that count here ask to be gone, now or later: none of it comes back."""
        standing = self.standing(e for e in also if e.kind == Kind.UNDONE).values()
        return self.cover(each for each in standing if not self.waits(each))

    # --- telling ---

    def outstanding(self) -> tuple[Promised, ...]:
        """Every promise that stands and has anything left to erase here, or may get it, by time."""
        self.note_unseen()
        standing = self.standing()
        notes = tuple(self._notes.get(each.digest) for each in standing.values())
        held = len(Spans.of_held(self._state.journal.held))
        state = (self._state.rewrites, held, tuple(standing), notes, len(self.carried_out))
        if self._outstanding[0] != state:
            left = [each for name, each in standing.items() if name not in self.carried_out]
            found = map(self._promised, sorted(left, key=lambda event: event.order))
            self._outstanding = (state, tuple(each for each in found if each is not None))
        return self._outstanding[1]

    def moot(self, promises: Iterable[Event]) -> list[Event]:
        """Those of which all that they name is gone here already, covered or not: what proves the
        cover may come later. Each file is read once for all of them."""
        promises, held = list(promises), Spans.of_held(self._state.journal.held)
        left = {
            at
            for at, promise in enumerate(promises)
            if not any(Spans(promise.body["events"]).difference(held))
        }
        cover = Cover(tuple(Part(Spans(promises[at].body["events"])) for at in sorted(left)))
        places = dict(enumerate(sorted(left)))
        for event in self._events_in(cover.runs()):
            if not left:
                break
            if is_content(event):
                left.difference_update(places[part] for part in cover.parts_with(event))
        return [promises[at] for at in sorted(left)]

    def _promised(self, promise: Event) -> Promised | None:
        cover = self.cover([promise])
        named = Spans(promise.body["events"])
        held = Spans.of_held(self._state.journal.held)
        found = {e.id: e for e in self._events_in(cover.runs()) if is_content(e) and e in cover}
        absent = sum(run.last - run.first + 1 for run in named.difference(held))
        gone_ms = self.gone_ms(promise)
        ripe = gone_ms is not None and gone_ms <= self._state.clock.now_ms()
        if not found and (ripe or not absent):
            return None
        entries = sorted(found.values(), key=lambda event: (event.device, event.seq))
        return Promised(promise, self.waits(promise), gone_ms, tuple(entries), absent)


def erasures_among(events: Iterable[Event]) -> list[Event]:
    """The promises among `events` that this version understands."""
    return [each for each in events if each.kind == Kind.CONTENT_ERASED and understood(each)]

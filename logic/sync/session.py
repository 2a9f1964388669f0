"""One sync session of a history with a hub, without any network: next message, reply merged.

Every message says what this device holds, so a session can be cut off at any point and begun
again, and no message does harm when it comes twice or late.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from logic.history import History, SystemClock, WallClock
from logic.history.clock import NO_TIME_MS
from logic.history.exchange.erasing import is_content
from logic.history.journal.segment import Segment, parse_event
from logic.history.journal.spans import Spans
from logic.history.progress import Steps, run_at_once, without_gc
from logic.sync.canonical import adopt_received_bytes
from logic.sync.comparison import Comparison
from logic.sync.wire import (
    BATCH_BYTES,
    MAX_BATCH_EVENTS,
    PROTOCOL,
    Code,
    ExchangeReply,
    ReceivedReply,
    Refused,
    Role,
)
from shared.events import LARGEST_INTEGER, Event, is_name

SKEW_REPORTED_MS = 5 * 60_000
"""A clock this far from the hub's is reported (common practice, no source)."""
COMPARISONS = 4
"""Comparisons in one session: what was rebased may differ again, once for every old copy that was
put back."""


@dataclass
class SyncOutcome:
    """What a session brought so far."""

    sent: int = 0
    received: int = 0
    epoch: str = ""
    role: str = ""
    skew_ms: int = 0
    """How far the hub's clock is ahead of ours, where that is worth reporting."""
    refused: dict[str, Refused] = field(default_factory=dict)
    """Events of ours that the hub did not take, by id."""
    via: dict[str, str] = field(default_factory=dict)
    """By device name, what the device is called that brought its entries to the hub by file."""
    rebased: list[str] = field(default_factory=list)
    """Events here whose number another one has at the hub: quarantined, and recorded again under
    a name of their own."""
    not_understood: int = 0
    """What the hub gave that is no event to this version."""
    disagree: list[str] = field(default_factory=list)
    """Devices whose events here and at the hub are not the same; filled in at the end."""
    rotate: bool = False
    """Whether the hub wants this device to get a new key."""
    complete: bool = False
    """Whether everything went both ways."""

    @property
    def agreed(self) -> bool:
        """Whether both sides now hold the same history, by count and by digest."""
        return self.complete and not self.disagree


class SyncSession:
    """Send `next_message` and give the reply to `handle_reply`, until there is no next message."""

    def __init__(
        self,
        history: History,
        passed_over: Spans | None = None,
        *,
        clock: WallClock | None = None,
        batch: int = MAX_BATCH_EVENTS,
        wrote_as: Iterable[str] = (),
    ) -> None:
        self.history = history
        self.wrote_as = {*wrote_as, history.device}
        """Names that this device writes or wrote under."""
        self.hub: Spans | None = None
        """What the hub holds, once it has said so."""
        self.passed_over = passed_over or Spans()
        """Events at the hub that this version cannot read."""
        self.outcome = SyncOutcome()
        self._clock = clock or SystemClock()
        self._limit = batch
        self._batch: list[Event] = []
        self._next_batch: list[Event] = []
        """The events after the batch, made ready while the hub was at work on that."""
        self._read_from: list[Segment] = []
        self._refused = Spans()
        self._forked = Spans()
        """Events, here or at the hub, whose number or link another one has."""
        self._comparison: Comparison | None = None
        self._comparisons = 0
        self._more = True
        self._unasked = history.unasked()
        """Promises to erase that came in a file and have no yes here: they go to no hub."""
        self._wants = history.wanted_again()
        """What this device says it wants with its next message; None says nothing."""
        self._hub_wants = Spans()
        """What the hub wants once more and was not offered yet."""
        self._look_again = False
        """Whether the hub wanted something when it last replied: it is asked on then."""
        self._given = Spans()
        """What it was offered once more."""
        self._heads: dict[str, str] = {}
        self._ends: dict[str, list[tuple[int, str]]] = {}

    def here(self) -> Spans:
        """What this device holds."""
        return Spans.of_held(self.history.journal.held)

    def next_message(self) -> bytes | None:
        """The next message to send; None when the session is over."""
        if self.outcome.complete:
            return None
        if self._comparison is None:
            self._unasked = self.history.unasked()  # a file may have come since the last reply
            self._batch = self._take_prepared() or list(self._lacking_at_hub(self.hub))
            self._batch = self._batch or self._take_wanted()
            if self._batch or self._more:
                return self._message(self._held_or_passed_over(), self._batch)
            self._compare_sides()
        return self._message(self._comparison.have(), []) if self._comparison else None

    @property
    def sending(self) -> bool:
        """Whether entries go out with the last message."""
        return bool(self._batch)

    def prepare_next_batch(self) -> None:
        """Make the next batch ready while the hub is at work on the last."""
        if self._batch and self.hub is not None:
            sent = Spans.of_numbers((event.device, event.seq) for event in self._batch)
            sent.update(self.hub)
            self._read_from = self.history.journal.segments
            with without_gc():
                self._next_batch = list(self._lacking_at_hub(sent))

    def early_message(self, reply: ExchangeReply) -> bytes | None:
        """The next message, to be sent before `reply` is merged, where it only asks for more;
        None where that is not known yet."""
        hub, have = Spans(reply.have), self._held_or_passed_over()
        if self._comparison or not reply.more or self._wants or reply.wants:
            return None
        hub.update(self._unasked)
        if any(self.here().difference(hub)):
            return None
        before = len(have)
        have.update(Spans.of_numbers(filter(None, map(_key_of, reply.events))))
        return self._message(have, []) if len(have) > before else None

    def handle_reply(self, reply: ExchangeReply) -> None:
        """Merge what the hub answered to the last message."""
        run_at_once(self.reply_steps(reply))

    def reply_steps(self, reply: ExchangeReply) -> Steps[None]:
        """The steps of `handle_reply`: one, unless a branch of years is rebased."""
        self.hub, self._heads, self._ends = Spans(reply.have), reply.heads, reply.ends
        self.outcome.epoch, self.outcome.role = reply.epoch, reply.role
        self.outcome.via = reply.via
        self.outcome.rotate = reply.rotate
        self._note_skew(reply.now_ms)
        if self._comparison:
            yield from self._compare(self._comparison, reply)
            return
        asked = self._come_so_far()
        self._note_refused(reply)
        yield from self._leave_taken_names(reply)
        self._batch = []
        self.outcome.sent += reply.taken
        self._merge_events(reply.events, reply.raw if isinstance(reply, ReceivedReply) else b"")
        # a hub that has more and gives nothing new would be asked for ever
        self._more = reply.more and self._come_so_far() > asked
        before, self._wants = self._wants, self._wanted_next(reply)
        self._more = self._more or (bool(self._wants) and self._wants != before)

    # --- what goes out ---

    def _held_or_passed_over(self) -> Spans:
        have = self.here()
        have.update(self.passed_over)
        have.update(self._forked)
        return have

    def _come_so_far(self) -> int:
        """How much is here or was seen, and how much came again."""
        return len(self._held_or_passed_over()) + self.history.came_again

    def _message(self, have: Spans, batch: list[Event]) -> bytes:
        own = {"protocol": PROTOCOL, "limit": self._limit, "device": self.history.device}
        says = self.hub is None or batch or self._wants or self._look_again
        wants = {"wants": self._wants.wire()} if self._wants is not None and says else {}
        frame = json.dumps(own | {"have": have.wire()} | wants)
        events = b",".join(event.canonical_bytes for event in batch)
        return frame[:-1].encode() + b',"events":[' + events + b"]}"

    def _take_prepared(self) -> list[Event]:
        """Of what was made ready, all that is still wanted; nothing once the journal was written
        anew, for what was read from the old one may have been erased."""
        ahead, self._next_batch = self._next_batch, []
        if self._read_from is not self.history.journal.segments:
            return []
        hub = self.hub or Spans()
        return [event for event in ahead if self._wanted(event, hub)]

    def _lacking_at_hub(self, hub: Spans | None) -> Iterator[Event]:
        """Events that a hub lacks which holds `hub`, up to a message's size."""
        if hub is None:  # the hub speaks first, so that nothing is sent in vain
            return
        size = count = 0
        beyond = Spans()
        beyond.update(hub)
        beyond.update(self._unasked)
        for event in self.history.events_after(beyond.vector()):
            if not self._wanted(event, beyond):
                continue
            count, size = count + 1, size + len(event.canonical_bytes)
            yield event
            if count >= self._limit or size >= BATCH_BYTES:
                return

    def _wanted_next(self, reply: ExchangeReply) -> Spans | None:
        """Note what the hub wants; what this device wants with the next message."""
        new = list(Spans(reply.wants).difference(self._given))
        for run in new if reply.role == Role.FULL else ():
            self._hub_wants.add(*run)
        self._look_again = bool(new)
        return self.history.wanted_again()

    def _take_wanted(self) -> list[Event]:
        """Of what the hub wants once more, a message's worth of what is here with its content."""
        found, size = list[Event](), 0
        wanted, self._hub_wants = self._hub_wants, Spans()
        for event in self.history.events_in(wanted) if wanted else ():
            if len(found) >= self._limit or size >= BATCH_BYTES:
                self._hub_wants.add(event.device, event.seq)
            elif is_content(event):
                found.append(event)
                size += len(event.canonical_bytes)
                self._given.add(event.device, event.seq)
        return found

    def _wanted(self, event: Event, hub: Spans) -> bool:
        key = (event.device, event.seq)
        return key not in hub and key not in self._refused and key not in self._unasked

    # --- what comes in ---

    def _merge_events(self, items: list[object], raw: bytes) -> None:
        events = [event for item in items if (event := self._parsed(item)) is not None]
        adopt_received_bytes(events, raw)
        added = self.history.merge_events(events).added if events else 0
        self.outcome.received += added
        here = self.here()
        for event in events if added < len(events) else ():
            if (event.device, event.seq) not in here:
                self._forked.add(event.device, event.seq)

    def _parsed(self, item: object) -> Event | None:
        event = parse_event(item)
        if event is None:
            self.outcome.not_understood += 1
            if place := _key_of(item):
                self.passed_over.add(*place)
        return event

    def _note_skew(self, hub_ms: int) -> None:
        ahead = min(max(hub_ms, 0), NO_TIME_MS) - self._clock.now_ms()
        self.outcome.skew_ms = ahead if abs(ahead) > SKEW_REPORTED_MS else 0

    def _note_refused(self, reply: ExchangeReply) -> None:
        """Do not offer again what was refused."""
        refused = {each.event: each for each in reply.refused}
        for event in self._batch if refused else ():
            if why := refused.get(event.id):
                self._refused.add(event.device, event.seq)
                if why.code == Code.FORK:
                    self._forked.add(event.device, event.seq)
                else:
                    self.outcome.refused[event.id] = why

    def _leave_taken_names(self, reply: ExchangeReply) -> Steps[None]:
        """Where another key writes under a name of this device, tell again under another what the
        hub did not take, and go on under another: nobody else can bring it."""
        self.wrote_as.add(self.history.device)
        taken = {each.event for each in reply.refused if each.code == Code.NAME_TAKEN}
        for own in sorted({event.device for event in self._batch if event.id in taken}):
            if own in self.wrote_as:
                yield from self._tell_again(own, Spans(reply.have))

    def _tell_again(self, own: str, hub: Spans) -> Steps[None]:
        beyond = {name: 2**53 for name in self.history.vector if name != own}
        mine = [each for each in self.history.events_after(beyond) if each.device == own]
        lost = [event for event in mine if (own, event.seq) not in hub]
        yield from self.history.rebase_steps(lost, [])
        self.outcome.rebased += [event.id for event in lost]
        self._refused.discard_device(own)
        for event in lost:
            self.outcome.refused.pop(event.id, None)

    # --- the end ---

    def _compare_sides(self) -> None:
        """Compare what both sides hold, by count and by digest; look closer where they differ."""
        here, hub = self.here(), self.hub or Spans()
        known = self.here()
        known.update(self.passed_over)
        hub_or_waiting = self._hub_or_waiting(hub)
        apart = {run.device for run in here.difference(hub_or_waiting)}
        apart |= {run.device for run in hub.difference(known)}
        other = {
            device
            for device, head in self._heads.items()
            if not self._head_agrees(device, head, here.upto(device))
        }
        other |= {device for device, ends in self._ends.items() if self._end_differs(device, ends)}
        self.outcome.disagree = sorted(apart | other)
        parting = frozenset(other | (apart & {run.device for run in self._forked}))
        if parting and self._comparisons < COMPARISONS:
            self._comparisons += 1
            self._comparison = Comparison(self.history, parting)
        else:
            self.outcome.complete = True

    def _hub_or_waiting(self, hub: Spans) -> Spans:
        """What the hub holds, and what waits here: for the device that wrote it to bring it, or for
        a person's yes."""
        names = (
            event.rpartition(":")
            for event, why in self.outcome.refused.items()
            if why.code == Code.NAME_TAKEN
        )
        both = Spans.of_numbers((device, int(seq)) for device, _, seq in names)
        both.update(hub)
        both.update(self._unasked)
        return both

    def _compare(self, comparison: Comparison, reply: ExchangeReply) -> Steps[None]:
        comparison.handle_reply(reply)
        if comparison.complete:
            self.outcome.rebased += yield from comparison.rebase_steps()
            self._comparison, self._more = None, True
            for device in comparison.devices:
                self._forked.discard_device(device)
                self._refused.discard_device(device)

    def _head_agrees(self, device: str, head: str, here_upto: int) -> bool:
        upto = self.hub.upto(device) if self.hub else 0
        if upto > here_upto:
            return True  # a matter of count, not of digest
        known = self.history.journal.heads.get(device)
        if known and known.seq == upto:
            return known.digest == head
        event = self.history.journal.find(device, upto)
        return event is not None and event.digest == head

    def _end_differs(self, device: str, ends: list[tuple[int, str]]) -> bool:
        """Whether the hub holds another event of a number behind a gap, where no link tells."""
        pairs = ((self.history.journal.find(device, seq), digest) for seq, digest in ends)
        return any(event is not None and event.digest != digest for event, digest in pairs)


def _key_of(item: object) -> tuple[str, int] | None:
    if not isinstance(item, dict):
        return None
    device, seq = item.get("device"), item.get("seq")
    if not (isinstance(device, str) and is_name(device) and type(seq) is int):
        return None
    return (device, seq) if 1 <= seq <= LARGEST_INTEGER else None

"""One meeting of a history with a hub, without any network: which message is next, what it brought.

Every message says what this device holds, so a meeting can be cut at any point and begun again,
and no message does harm when it comes twice or late.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field

from logic.history import History, SystemClock, WallClock
from logic.history.segment import parse_event
from logic.sync.spans import Spans
from logic.sync.wire import (
    BATCH_BYTES,
    MAX_BATCH_EVENTS,
    PROTOCOL,
    Code,
    ExchangeReply,
    Refused,
)
from shared.events import Event, canonical

SKEW_TOLD_MS = 5 * 60_000
"""A clock this far from the hub's is told of (common practice, no source)."""


@dataclass
class Outcome:
    """What a meeting brought so far."""

    sent: int = 0
    received: int = 0
    epoch: str = ""
    role: str = ""
    skew_ms: int = 0
    """How far the hub's clock is ahead of ours, where that is worth telling."""
    refused: dict[str, Refused] = field(default_factory=dict)
    """Events of ours that the hub did not take, by id."""
    forks: list[str] = field(default_factory=list)
    """Events whose number is taken by another one, here or at the hub: kept aside there."""
    not_understood: int = 0
    disagree: list[str] = field(default_factory=list)
    """Devices whose events here and at the hub are not the same; filled in at the end."""
    complete: bool = False
    """Whether everything went both ways."""

    @property
    def agreed(self) -> bool:
        """Whether both sides now hold the same history, by count and by digest."""
        return self.complete and not self.disagree


class Session:
    """Ask `next_message`, send it, give the reply to `take`, until there is no next message."""

    def __init__(
        self,
        history: History,
        passed_over: Spans | None = None,
        *,
        clock: WallClock | None = None,
        batch: int = MAX_BATCH_EVENTS,
    ) -> None:
        self.history = history
        self.hub: Spans | None = None
        """What the hub holds, once it has said so."""
        self.passed_over = passed_over or Spans()
        """Events at the hub that cannot be taken in here."""
        self.outcome = Outcome()
        self._clock = clock or SystemClock()
        self._limit = batch
        self._batch: list[Event] = []
        self._refused = Spans()
        self._more = True
        self._heads: dict[str, str] = {}

    def here(self) -> Spans:
        """What this device holds."""
        return Spans.of(self.history.journal.known)

    def next_message(self) -> bytes | None:
        """The next message to send; None when the meeting is over."""
        if self.outcome.complete:
            return None
        batch = list(self._next_batch())
        self._batch = [event for event, _ in batch]
        if not self._batch and not self._more:
            self._finish()
            return None
        have = self.here()
        have.join(self.passed_over)
        frame = json.dumps({"protocol": PROTOCOL, "limit": self._limit, "have": have.wire()})
        events = b",".join(text for _, text in batch)
        return frame[:-1].encode() + b',"events":[' + events + b"]}"

    def take(self, reply: ExchangeReply) -> None:
        """Take in what the hub answered to the last message."""
        asked = len(self.here()) + len(self.passed_over)
        self.hub, self._heads = Spans(reply.have), reply.heads
        self.outcome.epoch, self.outcome.role = reply.epoch, reply.role
        self._note_skew(reply.now_ms)
        self._note_refused(reply)
        self.outcome.sent += reply.taken
        self._take_in(reply.events)
        # a hub that has more and gives nothing new would be asked for ever
        self._more = reply.more and len(self.here()) + len(self.passed_over) > asked

    def _next_batch(self) -> Iterator[tuple[Event, bytes]]:
        """Events that the hub lacks, with their canonical form, up to a message's size."""
        if self.hub is None:  # the hub speaks first, so that nothing is sent in vain
            return
        size = count = 0
        for event in self.history.events_after(self.hub.vector()):
            key = (event.device, event.seq)
            if key in self.hub or key in self._refused:
                continue
            text = canonical(event.wire())
            yield event, text
            count, size = count + 1, size + len(text)
            if count >= self._limit or size >= BATCH_BYTES:
                return

    def _take_in(self, items: list[object]) -> None:
        events = [event for item in items if (event := self._parsed(item)) is not None]
        if events:
            report = self.history.take_in(events)
            self.outcome.received += report.added
            self.outcome.forks += report.forks
        here = self.here()
        for event in events:
            if (event.device, event.seq) not in here:
                self.passed_over.add(event.device, event.seq)

    def _parsed(self, item: object) -> Event | None:
        event = parse_event(item)
        if event is None:
            self.outcome.not_understood += 1
            if isinstance(item, dict):
                self._pass_over(item.get("device"), item.get("seq"))
        return event

    def _pass_over(self, device: object, seq: object) -> None:
        if isinstance(device, str) and type(seq) is int and seq > 0:
            self.passed_over.add(device, seq)

    def _note_skew(self, hub_ms: int) -> None:
        ahead = hub_ms - self._clock.now_ms()
        self.outcome.skew_ms = ahead if abs(ahead) > SKEW_TOLD_MS else 0

    def _note_refused(self, reply: ExchangeReply) -> None:
        """Do not offer again what was refused; an own fork means that this name is used twice."""
        refused = {each.event: each for each in reply.refused}
        for event in self._batch:
            if why := refused.get(event.id):
                self._refused.add(event.device, event.seq)
                self.outcome.refused[event.id] = why
                if why.code == Code.FORK:
                    self.outcome.forks.append(event.id)
        if any(self._is_own_fork(event) for event in self._batch):
            self.history.renew()

    def _is_own_fork(self, event: Event) -> bool:
        why = self.outcome.refused.get(event.id)
        return why is not None and why.code == Code.FORK and event.device == self.history.device

    def _finish(self) -> None:
        """Compare what both sides hold, by count and by digest."""
        here, hub = self.here(), self.hub or Spans()
        apart = {run.device for run in hub.without(here)} | {
            run.device for run in here.without(hub)
        }
        apart |= {device for device, head in self._heads.items() if not self._same(device, head)}
        self.outcome.disagree = sorted(apart)
        self.outcome.complete = True

    def _same(self, device: str, head: str) -> bool:
        upto = self.hub.upto(device) if self.hub else 0
        known = self.history.journal.heads.get(device)
        if known and known.seq == upto:
            return known.digest == head
        event = self.history.journal.find(device, upto)
        return event is not None and event.digest == head

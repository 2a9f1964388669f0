"""Finding out where a device's events here and at the hub part, by fetching the hub's."""

from __future__ import annotations

from dataclasses import dataclass, field

from logic.history import History
from logic.history.exchange.rebase import losing
from logic.history.journal.segment import parse_event
from logic.history.journal.spans import Spans
from logic.history.progress import Steps
from logic.sync.wire import ExchangeReply
from shared.events import Event


@dataclass
class Comparison:
    """All events that the hub holds of some devices, and then what to do about them."""

    history: History
    devices: frozenset[str]
    theirs: dict[str, dict[int, Event]] = field(default_factory=dict)
    whole: bool = False
    """Whether the hub has given all it has."""

    def have(self) -> Spans:
        """What to tell the hub that is here, so that it gives just those events."""
        have = Spans.of(self.history.journal.known)
        for device in self.devices:
            have.forget(device)
            for seq in self.theirs.get(device, {}):
                have.add(device, seq)
        return have

    def take(self, reply: ExchangeReply) -> None:
        """Take what the hub gave; other devices' new events are left for the next meeting."""
        before = sum(map(len, self.theirs.values()))
        for item in reply.events:
            event = parse_event(item)
            if event is not None and event.device in self.devices:
                self.theirs.setdefault(event.device, {})[event.seq] = event
        self.whole = not reply.more or sum(map(len, self.theirs.values())) == before

    def settling(self) -> Steps[list[str]]:
        """Let every losing branch here give way; the ids of what did."""
        gave_way = []
        for device in sorted(self.theirs):
            theirs = self.theirs[device]
            mine = {event.seq: event for event in self._mine(device)}
            if lost := losing(mine, theirs):
                yield from self.history.rebase_steps(lost, [theirs[seq] for seq in sorted(theirs)])
                gave_way += [event.id for event in lost]
        return gave_way

    def _mine(self, device: str) -> list[Event]:
        others = {name: 2**53 for name in self.history.vector if name != device}
        return [each for each in self.history.events_after(others) if each.device == device]

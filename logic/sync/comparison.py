"""Finding where a device's events here and at the hub differ, by fetching all of the hub's."""

from __future__ import annotations

from dataclasses import dataclass, field

from logic.history import History
from logic.history.exchange.rebase import losing_branch
from logic.history.journal.segment import parse_event
from logic.history.journal.spans import Spans
from logic.history.progress import Steps
from logic.sync.wire import ExchangeReply
from shared.events import Event


@dataclass
class Comparison:
    """Collects all events that the hub holds of some devices, then rebases what differs here."""

    history: History
    devices: frozenset[str]
    theirs: dict[str, dict[int, Event]] = field(default_factory=dict)
    complete: bool = False
    """Whether the hub has given all it has."""

    def have(self) -> Spans:
        """What to send as held here, so that the hub gives just those events."""
        have = Spans.of_held(self.history.journal.held)
        for device in self.devices:
            have.discard_device(device)
            for seq in self.theirs.get(device, {}):
                have.add(device, seq)
        return have

    def handle_reply(self, reply: ExchangeReply) -> None:
        """Collect what the hub gave; new events of other devices are left for the next sync."""
        before = sum(map(len, self.theirs.values()))
        for item in reply.events:
            event = parse_event(item)
            if event is not None and event.device in self.devices:
                self.theirs.setdefault(event.device, {})[event.seq] = event
        self.complete = not reply.more or sum(map(len, self.theirs.values())) == before

    def rebase_steps(self) -> Steps[list[str]]:
        """Rebase every losing branch held here; the ids of the events that were rebased."""
        rebased = []
        for device in sorted(self.theirs):
            theirs = self.theirs[device]
            mine = {event.seq: event for event in self._held_events(device)}
            if lost := losing_branch(mine, theirs):
                yield from self.history.rebase_steps(lost, [theirs[seq] for seq in sorted(theirs)])
                rebased += [event.id for event in lost]
        return rebased

    def _held_events(self, device: str) -> list[Event]:
        others = {name: 2**53 for name in self.history.vector if name != device}
        return [each for each in self.history.events_after(others) if each.device == device]

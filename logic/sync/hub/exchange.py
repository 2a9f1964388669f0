"""Answering one exchange: keep what came, say what is held, give what is missing."""

from __future__ import annotations

from logic.history.journal.spans import Spans
from logic.sync.hub.accounts import DeviceAccount
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.verification import VerifiedEvent, verify
from logic.sync.wire import (
    PROTOCOL,
    Code,
    ExchangeReply,
    ExchangeRequest,
    Refused,
    Role,
)


def answer(
    event_store: EventStore, device: DeviceAccount, request: ExchangeRequest, now_ms: int
) -> ExchangeAnswer:
    """The reply to `request`, and the texts of the events that go with it."""
    verified, refused = _verified_events(request, device.role)
    receipt = event_store.keep(device.bench, verified, device.key_id, now_ms)
    refused += [
        Refused(event=fork, code=Code.FORK, why="another event has this number; kept aside")
        for fork in receipt.forks
    ]
    refused += [
        Refused(event=event, code=Code.FULL, why="the bench has no room left at this hub")
        for event in receipt.full
    ]
    held = event_store.held(device.bench)
    lacking = list(held.spans.difference(Spans(request.have)))
    texts = event_store.missing(device.bench, lacking, request.limit, now_ms)
    reply = ExchangeReply(
        protocol=PROTOCOL,
        epoch=event_store.epoch(),
        now_ms=now_ms,
        role=device.role,
        have=held.spans.wire(),
        heads=held.heads,
        taken=receipt.taken,
        known=receipt.known,
        refused=refused,
        rotate=device.should_rotate(now_ms),
        more=len(texts) < sum(run.last - run.first + 1 for run in lacking),
    )
    return ExchangeAnswer(reply, texts)


class ExchangeAnswer:
    """A reply whose events are still the texts that the store holds."""

    def __init__(self, reply: ExchangeReply, texts: list[str]) -> None:
        self.reply = reply
        self.texts = texts

    def body(self) -> bytes:
        """The reply as JSON. Events are passed on as they were kept, without being read."""
        frame = self.reply.model_dump_json(exclude={"events"})
        return f'{frame[:-1]},"events":[{",".join(self.texts)}]}}'.encode()


def _verified_events(
    request: ExchangeRequest, role: str
) -> tuple[list[VerifiedEvent], list[Refused]]:
    verified: list[VerifiedEvent] = []
    refused: list[Refused] = []
    may_write = role == Role.FULL
    for index, item in enumerate(request.events):
        found = verify(item, index)
        if isinstance(found, Refused):
            refused.append(found)
        elif not may_write:
            why = "this device may read and not write"
            refused.append(Refused(event=found.id, code=Code.READ_ONLY, why=why))
        else:
            verified.append(found)
    return verified, refused

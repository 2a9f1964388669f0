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
    own = request.device if device.role == Role.FULL else ""
    receipt = event_store.keep(device.bench, verified, device.key_id, now_ms, own)
    refused += [
        Refused(event=fork, code=Code.FORK, why="another event has this number; kept aside")
        for fork in receipt.forks
    ]
    refused += [
        Refused(event=event, code=Code.FULL, why="the bench has no room left at this hub")
        for event in receipt.full
    ]
    refused += [
        Refused(event=event, code=Code.NAME_TAKEN, why="another device of the bench writes as that")
        for event in receipt.name_taken
    ]
    wants = None if request.wants is None else Spans(request.wants)
    state = event_store.state(device.bench, Spans(request.have), request.limit, now_ms, wants)
    reply = ExchangeReply(
        protocol=PROTOCOL,
        epoch=state.epoch,
        now_ms=now_ms,
        role=device.role,
        have=state.held.spans.wire(),
        heads=state.held.heads,
        ends=state.held.ends,
        taken=receipt.taken,
        known=receipt.known,
        refused=refused,
        via=state.via,
        wants=state.wants.wire(),
        rotate=device.should_rotate(now_ms),
        more=len(state.texts) < state.lacking,
    )
    return ExchangeAnswer(reply, state.texts)


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

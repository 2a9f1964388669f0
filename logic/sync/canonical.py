"""Canonical bytes of received events: taken over as they came, once a digest proves them."""

from __future__ import annotations

import hashlib
from itertools import pairwise

from shared.events import Event

_BEGINS, _NEXT = b'{"bench":', b'},{"bench":'
_FIRST = b'"events":[' + _BEGINS


def adopt_received_bytes(events: list[Event], body: bytes) -> None:
    """Let `events` take their canonical bytes from `body`, the reply that brought them, where the
    event that follows on names the digest of just those bytes.

    A cut in a wrong place, or bytes in another form, have another digest and are not taken over.
    """
    parts = body.split(_NEXT)
    if len(parts) != len(events):
        return
    parts[0] = parts[0].rpartition(_FIRST)[2]
    for part, (event, after) in zip(parts, pairwise(events), strict=False):
        if after.seq == event.seq + 1 and after.device == event.device:
            text = _BEGINS + part + b"}"
            digest = hashlib.sha256(text).hexdigest()
            if digest == after.prev:
                event.adopt_canonical_bytes(text, digest)

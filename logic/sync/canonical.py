"""Events are spelled one way, so the text that came can be passed on as it is, once proved."""

from __future__ import annotations

import hashlib
from itertools import pairwise

from shared.events import Event

_BEGINS, _NEXT = b'{"bench":', b'},{"bench":'
_FIRST = b'"events":[' + _BEGINS


def canonical_as_received(events: list[Event], body: bytes) -> None:
    """Let `events` be spelled as they are in the reply that brought them, where the event that
    follows on names the digest of just that text: its writer then spelled it so.

    A cut in a wrong place, or a text spelled otherwise, has another digest and is left alone.
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
                event.spelled_as(text, digest)

"""Signs for the calls: a sign and a word, so that no colour is needed."""

from __future__ import annotations

from shared.job import CallKind

_SIGNS = {
    CallKind.LEAVE: "✓",
    CallKind.LOWER: "↓",
    CallKind.RAISE: "↑",
    CallKind.WIDEN: "‹›",
    CallKind.EASE: "~",
    CallKind.CHECK_FIRST: "!",
    CallKind.READ_AGAIN: "?",
}


def call_sign(call: CallKind) -> str:
    """One character for a call; always shown beside its word or a string number."""
    return _SIGNS[call]

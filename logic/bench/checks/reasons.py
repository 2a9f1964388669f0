"""Reasons for people. A call or gate keeps its reason in English, as a plan's file has it and as
rules compare it; it is said here."""

from __future__ import annotations

from shared.words import mark, say

NOT_ANSWERED, NOT_KNOWN = "not answered yet", "not known yet"
_OPEN = {
    NOT_ANSWERED: mark("{check} not answered yet"),
    NOT_KNOWN: mark("{check} not known yet"),
}


def reason_said(reason: str) -> str:
    """`reason` of a call or gate in the bench's language."""
    for ending, sentence in _OPEN.items():
        if reason.endswith(f" {ending}"):
            return say(sentence, check=check_said(reason.removesuffix(f" {ending}")))
    return say(reason)


def check_said(name: str) -> str:
    """What a check is called, by the name of its rule."""
    return say(name.replace("_", " "))

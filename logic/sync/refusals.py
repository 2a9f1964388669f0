"""Why a hub did not take an entry, for the person at the bench."""

from __future__ import annotations

from logic.sync.wire import Code, Refused
from shared.words import mark, say

_WHY = {
    Code.READ_ONLY: mark("this device may read and not write there"),
    Code.NAME_TAKEN: mark("it waits for the device that wrote it, which brings it there itself"),
    Code.FORK: mark("the hub holds another entry with its number; both are kept"),
    Code.TOO_LARGE: mark("it is larger than a hub takes"),
    Code.NO_TIME: mark("it carries a time that no clock shows"),
    Code.MALFORMED: mark("the hub cannot read it"),
    Code.FULL: mark("the bench has no room left there; whoever runs the hub can give it more"),
}


def why_in_words(refused: Refused) -> str:
    """The reason in the person's language; in the hub's own words where it is a later hub's."""
    known = refused.code in _WHY
    return say(_WHY[Code(refused.code)]) if known else refused.why

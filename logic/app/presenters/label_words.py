"""What is printed on the label of one instrument."""

from __future__ import annotations

from collections import Counter
from datetime import datetime

from logic.app.presenters.home import kind_in_words
from logic.drawing.labels import Label
from logic.history.documents.models import InstrumentDocument
from logic.history.history import History
from shared.events import Stamp
from shared.label import label_code, label_link
from shared.words import say

_SHOWN_OF_CODE = 4


def labels_of(names: tuple[str, ...], history: History, address: str) -> list[Label]:
    """The labels of these instruments, of all where none is named; none of what is gone."""
    lines = history.instruments()
    alike = Counter((line.label, line.kind, line.owner) for line in lines)
    listed = names or tuple(line.id for line in lines)
    return [
        _label_of(found, alike[_read_as(found)] > 1, history, address)
        for found in map(history.instrument, listed)
        if found
    ]


def _read_as(found: InstrumentDocument) -> tuple[str, str, str]:
    """By what two labels are alike."""
    return found.value.label, found.value.kind, found.value.owner


def _label_of(found: InstrumentDocument, alike: bool, history: History, address: str) -> Label:
    """Its name, else its kind; below that whose it is, and what tells it from another that reads
    alike: the end of its code, which no other has, and which stays whatever is recorded later."""
    instrument = found.value
    kind = kind_in_words(instrument.kind)
    named = (kind if instrument.label else "", instrument.owner)
    bare = not any(named)
    end = label_code(found.id)[-_SHOWN_OF_CODE:] if alike or bare else ""
    details = (*named, _since(found, history) if bare else "", end)
    detail = " · ".join(filter(None, details))
    return Label(instrument.label or kind, detail, label_link(address, found.id))


def _since(found: InstrumentDocument, history: History) -> str:
    """Since when one that nobody named is on record."""
    first = history.job(found.jobs[0]) if found.jobs else None
    begun = Stamp.parse(first.opened if first else found.changed).wall_ms
    return say("on record since {day}", day=f"{datetime.fromtimestamp(begun / 1000):%Y-%m-%d}")

"""What is printed on the label of one instrument."""

from __future__ import annotations

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
    listed = names or tuple(line.id for line in history.instruments())
    found = map(history.instrument, listed)
    return [label_of(each, history, address) for each in found if each]


def label_of(found: InstrumentDocument, history: History, address: str) -> Label:
    """Its name, else its kind; below that what else tells it apart, and whose it is."""
    instrument = found.value
    kind = kind_in_words(instrument.kind)
    details = (kind if instrument.label else "", instrument.owner)
    detail = " · ".join(filter(None, details)) or _since(found, history)
    return Label(instrument.label or kind, detail, label_link(address, found.id))


def _since(found: InstrumentDocument, history: History) -> str:
    """What tells two apart that nobody named: since when it is on record, and the end of its code,
    which no other has."""
    first = history.job(found.jobs[0]) if found.jobs else None
    begun = Stamp.parse(first.opened if first else found.changed).wall_ms
    day = f"{datetime.fromtimestamp(begun / 1000):%Y-%m-%d}"
    end = label_code(found.id)[-_SHOWN_OF_CODE:]
    return say("on record since {day} · {end}", day=day, end=end)

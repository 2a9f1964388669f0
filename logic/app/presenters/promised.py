"""What is promised to be gone: by whom, what it would erase here, from when, and who is asked."""

from __future__ import annotations

from collections.abc import Iterator

from logic.app.presenters.home import when
from logic.app.presenters.instruments import title_of
from logic.app.views.record_views import PromisedView, PromiseLine
from logic.history.documents.bodies import DocumentKey
from logic.history.history import History
from logic.history.operations.promises import Promised
from shared.events import Stamp
from shared.words import say, say_many

MOST_NAMED = 6
"""Jobs and instruments that are named one by one."""
MOST_DEVICES = 4


def promised_view(history: History, note: str = "") -> PromisedView:
    """Every promise that is not carried out here, those that wait for a yes first."""
    promises = sorted(history.promised(), key=lambda each: not each.waits)
    about = say("Until it goes, each of these can be kept. Kept is kept, on every device.")
    return PromisedView(about, tuple(promise_line(each, history) for each in promises), note)


def promised_in_words(history: History) -> str:
    """How many promises there are, for the page of the records; empty where there are none."""
    promises = history.promised()
    if waiting := sum(each.waits for each in promises):
        return say_many(
            "{count} erasure waits for your yes", "{count} erasures wait for your yes", waiting
        )
    if not promises:
        return ""
    return say_many("{count} erasure is promised", "{count} erasures are promised", len(promises))


def promise_line(promise: Promised, history: History) -> PromiseLine:
    """One promise: what it names, who asks for it, what it would erase here and from when."""
    named = [text for key in promise.documents() if (text := _document_in_words(key, history))]
    more = len(named) - MOST_NAMED
    if more > 0:
        last = say_many("{count} more job or instrument", "{count} more jobs or instruments", more)
        named = [*named[:MOST_NAMED], last]
    details = (*_details(promise, history), _from_when(promise))
    return PromiseLine(promise.event.id, tuple(named), details, promise.waits)


def _document_in_words(key: DocumentKey, history: History) -> str:
    table, name = key
    if table == "instrument":
        found = history.instrument(name)
        return title_of(found.value) if found else ""
    job = history.job(name) if table == "job" else None
    if job is None:
        return ""
    return say("{title}: the job of {day}", title=title_of(job.instrument), day=when(job.opened))


def _details(promise: Promised, history: History) -> Iterator[str]:
    """Who asks for it, and how many entries of which devices it would erase here."""
    asked = when(promise.event.time)
    if promise.event.device == history.device:
        yield say("Promised on this device, {day}.", day=asked)
    else:
        yield say("Promised by device …{name}, {day}.", name=promise.event.device[-4:], day=asked)
    yield say_many(
        "It would erase {count} entry here.",
        "It would erase {count} entries here.",
        len(promise.entries),
    )
    counts = promise.count_by_device()
    for device in sorted(counts, key=lambda each: -counts[each])[:MOST_DEVICES]:
        if device == history.device:
            yield say("This device wrote {count} of them.", count=counts[device])
        else:
            name = device[-4:]
            yield say("Device …{name} wrote {count} of them.", name=name, count=counts[device])
    if promise.absent:
        yield say_many(
            "{count} entry that it names is not here.",
            "{count} entries that it names are not here.",
            promise.absent,
        )


def _from_when(promise: Promised) -> str:
    """From when it is gone here."""
    if promise.gone_ms is None:
        return say("It came in a file and waits for your yes. Nothing goes before that.")
    return say("Gone here from {day} on.", day=when(str(Stamp(promise.gone_ms, 0))))

"""What an owner wants gone: an instrument, one of its jobs, or everything of that owner."""

from __future__ import annotations

from collections.abc import Iterator

from logic.app.presenters.home import when
from logic.app.presenters.instruments import title_of
from logic.app.session.copies import DAY_MS
from logic.app.session.transient import ToErase
from logic.app.views.pieces import Choice
from logic.app.views.record_views import ErasureView, SureView
from logic.bench.tables.trade_tables import TradeTables
from logic.history.documents.bodies import DocumentKey
from logic.history.documents.models import InstrumentDocument
from logic.history.exchange.erasing import is_content
from logic.history.history import History
from logic.history.operations.promises import Promised
from shared.events import Stamp
from shared.words import say, say_many


def erasure_view(found: InstrumentDocument, history: History, trade: TradeTables) -> ErasureView:
    """Everything that can be erased about one instrument."""
    title = title_of(found.value)
    choices = [
        Choice(f"instrument {found.id}", say("This instrument, with its jobs"), title),
        *(_job_choice(history, job) for job in found.jobs if history.job(job)),
    ]
    if owner := found.value.owner:
        several = len(list(_of_owner(history, owner)))
        detail = say_many("{count} instrument", "{count} instruments", several)
        choices.insert(
            1, Choice(f"owner {owner}", say("Everything of the owner {owner}", owner=owner), detail)
        )
    return ErasureView(
        title, (_grace_in_words(trade),), tuple(choices), tuple(promised(found, history))
    )


def _job_choice(history: History, name: str) -> Choice:
    document = history.job(name)
    opened = when(document.opened) if document else name
    return Choice(f"job {name}", say("The job of {day}", day=opened))


def _grace_in_words(trade: TradeTables) -> str:
    return say_many(
        "For {count} day what is erased can be kept after all; then it is gone for good.",
        "For {count} days what is erased can be kept after all; then it is gone for good.",
        _days_to_keep(trade),
    )


def promised(found: InstrumentDocument, history: History) -> Iterator[Choice]:
    """The promises that name something of this instrument and can still be taken back."""
    for promise in history.promised():
        if what := _named_in_words(found, promise, history):
            yield Choice(promise.event.id, what, gone_in_words(promise))


def gone_in_words(promise: Promised) -> str:
    """From when what a promise covers is gone here."""
    if promise.gone_ms is None:
        return say("waits for a yes on this device")
    return say("gone on {day}", day=when(str(Stamp(promise.gone_ms, 0))))


def _named_in_words(found: InstrumentDocument, promise: Promised, history: History) -> str:
    """What of an instrument a promise covers; empty where it is nothing."""
    covered = {event.id for event in promise.entries}
    if _all_covered(("instrument", found.id), covered, history):
        return say("This instrument, with its jobs")
    named = set(promise.documents())
    days = [
        when(job.opened) for job in map(history.job, found.jobs) if job and ("job", job.id) in named
    ]
    return say("The job of {day}", day=", ".join(days)) if days else ""


def _all_covered(key: DocumentKey, covered: set[str], history: History) -> bool:
    """Whether nothing of what was said about this document would be left."""
    return all(e.id in covered for e in history.projection.events_of(key) if is_content(e))


def sure_to_erase(asked: ToErase, history: History, trade: TradeTables) -> SureView:
    """The question before it, with what it does and what it cannot do."""
    what, name = asked
    due = when(str(Stamp(_due_ms(history, trade), 0)))
    lines = (
        _erased_in_words(what, name, history),
        say_many(
            "From {day} on it is gone for good: from this device, from the hub, and from each "
            "other device of the bench {count} day after it hears of it.",
            "From {day} on it is gone for good: from this device, from the hub, and from each "
            "other device of the bench {count} days after it hears of it.",
            _days_to_keep(trade),
            day=due,
        ),
        say("Until then it can be kept after all, on this page."),
        say(
            "What stays is that entries were made, when, and on which device: of what they said, "
            "nothing."
        ),
        say("Copies that were handed out, and backups of the hub, keep what they hold."),
    )
    return SureView("erase", say("Erase this?"), lines, say("Erase"))


def _erased_in_words(what: str, name: str, history: History) -> str:
    if what == "owner":
        count = len(list(_of_owner(history, name)))
        return say_many(
            "{count} instrument of {owner}, with all its jobs, readings and cuts.",
            "{count} instruments of {owner}, with all their jobs, readings and cuts.",
            count,
            owner=name,
        )
    if what == "instrument":
        found = history.instrument(name)
        title = title_of(found.value) if found else name
        return say("{title}, with all its jobs, readings and cuts.", title=title)
    document = history.job(name)
    opened = when(document.opened) if document else name
    return say("The job of {day}, with its readings and cuts.", day=opened)


def erase(asked: ToErase, history: History, trade: TradeTables) -> None:
    """Promise it, for when it can no longer be taken back."""
    what, name = asked
    due_ms = _due_ms(history, trade)
    for touched in _documents_named(what, name, history):
        history.erase(touched, due_ms)


def _days_to_keep(trade: TradeTables) -> int:
    """How long what is erased can be kept after all."""
    return trade.keeping.erased_gone_after_days


def _due_ms(history: History, trade: TradeTables) -> int:
    """When what is erased now is gone for good."""
    return history.now_ms() + _days_to_keep(trade) * DAY_MS


def _documents_named(what: str, name: str, history: History) -> list[DocumentKey]:
    if what == "owner":
        return [("instrument", each) for each in _of_owner(history, name)]
    return [("job" if what == "job" else "instrument", name)]


def _of_owner(history: History, owner: str) -> Iterator[str]:
    return (line.id for line in history.instruments() if line.owner == owner)

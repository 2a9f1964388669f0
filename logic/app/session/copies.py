"""Copies of the record: when the last one was handed out here, and when to ask for another."""

from __future__ import annotations

from typing import Any

from logic.app.session.settings import of_this_device
from logic.bench.tables.trade_tables import TradeTables
from logic.history.history import History
from shared.events import Kind
from shared.words import say, say_many

DAY_MS = 24 * 60 * 60 * 1000


def note_copy(history: History) -> None:
    """Remember that a copy of everything was handed out on this device; HistoryError where the
    record takes nothing more."""
    value = {"ms": history.now_ms(), "entries": sum(history.vector.values())}
    history.record(Kind.SETTING_CHANGED, {"name": _name(history), "value": value})


def copy_age(history: History) -> str:
    """How old the last copy of this device is, in words."""
    last = _last(history)
    if last is None:
        return say("none yet")
    days = _days(history.now_ms() - last["ms"])
    if days == 0:
        return say("today")
    return say_many("{count} day old", "{count} days old", days)


def nudge(history: History, trade: TradeTables, joined: bool) -> str:
    """One gentle sentence where no other device and no copy holds what is here; else nothing."""
    if joined or not history.jobs():
        return ""
    last, wait = _last(history), trade.keeping.copy_asked_after_days
    since = last["ms"] if last else _first_ms(history)
    days = _days(history.now_ms() - since)
    if days < wait:
        return ""
    if last:
        return say_many(
            "The last copy of these records is {count} day old. Hand one out in Records.",
            "The last copy of these records is {count} days old. Hand one out in Records.",
            days,
        )
    return say_many(
        "These records are {count} day old and on this device alone. Hand out a copy in Records.",
        "These records are {count} days old and on this device alone. Hand out a copy in Records.",
        days,
    )


def _name(history: History) -> str:
    return of_this_device("copy", history)


def _last(history: History) -> dict[str, Any] | None:
    kept = history.setting(_name(history))
    return kept if isinstance(kept, dict) and isinstance(kept.get("ms"), int) else None


def _first_ms(history: History) -> int:
    """When the oldest job was opened."""
    return history.jobs()[-1].stamp.wall_ms


def _days(span_ms: int) -> int:
    return max(0, span_ms // DAY_MS)

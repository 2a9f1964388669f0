"""What to do before it plays, about the strings that a quick check found moved."""

from __future__ import annotations

from collections.abc import Sequence

from logic.bench.plan.tonight import TonightSigns, never, steps_for
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.quick_check import Moved, StringCheck, moved_strings
from shared.job import CallKind
from shared.words import say


def tonight_for(found: Sequence[StringCheck], trade: TradeTables) -> tuple[str, ...]:
    """What to look at, then what can be undone, then what never to do in a hurry; nothing where
    nothing has moved."""
    if not moved_strings(found):
        return ()
    calls = _calls(found)
    steps = tuple(say(step.do) for step in steps_for(TonightSigns(frozenset(calls)), trade))
    return (*_looks(found, trade), *steps, *(never(trade)[:1] if calls else ()))


def _calls(found: Sequence[StringCheck]) -> set[CallKind]:
    calls = {CallKind.LOWER for one in found if one.moved is Moved.HIGHER}
    return calls | {CallKind.RAISE for one in found if one.buzzes}


def _looks(found: Sequence[StringCheck], trade: TradeTables) -> tuple[str, ...]:
    words = trade.quick_check.tonight
    lower = [one for one in found if one.moved is Moved.LOWER]
    higher = [one for one in found if one.moved is Moved.HIGHER]
    rows = (
        (words.together, len(found) > 2 and max(len(lower), len(higher)) > len(found) / 2),
        (words.lower, any(not one.buzzes for one in lower)),
        (words.higher, bool(higher)),
    )
    return tuple(say(text) for text, applies in rows if applies)

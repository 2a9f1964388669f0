"""From what was said or noticed to the questions it opens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables

if TYPE_CHECKING:
    from logic.bench.tables.complaints import ComplaintRow


def complaints(trade: TradeTables) -> tuple[ComplaintRow, ...]:
    """Every complaint that opens questions, in the order it is offered."""
    return trade.complaints.complaints


def complaint_of(text: str, trade: TradeTables) -> ComplaintRow | None:
    """The complaint that `text` names or describes; None when it says nothing we know.

    A name or title counts first; else the complaint with the longest phrase found in the text.
    """
    text = " ".join(text.casefold().split())
    if not text:
        return None
    offered = complaints(trade)
    for complaint in offered:
        if text in (complaint.id, complaint.title.casefold()):
            return complaint
    found = [(len(word), complaint) for complaint in offered for word in _phrases(complaint, text)]
    return max(found, key=lambda pair: pair[0])[1] if found else None


def _phrases(complaint: ComplaintRow, text: str) -> list[str]:
    return [word for word in (complaint.id, *complaint.words) if word in text]

"""From what was said or noticed to the questions it opens."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables
from shared.job import Complaint, Job

if TYPE_CHECKING:
    from logic.bench.tables.complaints import ComplaintRow

LONGEST_TELLING = 4000
"""Characters. Nobody tells more of one fault; what is longer is not read at all."""


@dataclass(frozen=True)
class Heard:
    """One complaint that was understood, and the strings it was said of (none: all of them)."""

    row: ComplaintRow
    strings: tuple[int, ...] = ()

    def speaks_of(self, string: int) -> bool:
        """Whether it was said of this string."""
        return not self.strings or string in self.strings


@dataclass(frozen=True)
class Understood:
    """What the words of a job mean, and those that mean nothing here."""

    heard: tuple[Heard, ...] = ()
    """In the order of the table, each complaint once."""
    not_understood: tuple[str, ...] = ()


def complaints(trade: TradeTables) -> tuple[ComplaintRow, ...]:
    """Every complaint that opens questions, in the order it is offered."""
    return trade.complaints.complaints


def complaint_of(text: str, trade: TradeTables) -> ComplaintRow | None:
    """The first complaint that `text` names or describes; None when it says nothing we know."""
    found = _rows_in(text, trade)
    return found[0] if found else None


def understood(job: Job, trade: TradeTables) -> Understood:
    """Everything that was said of this job: `complaint` and `complaints`, in any order."""
    told = [Complaint.model_construct(what=job.complaint), *job.complaints]
    heard: list[Heard] = []
    lost: list[str] = []
    for one in told:
        rows = _rows_in(one.what, trade)
        heard += [Heard(row, one.strings) for row in (*rows, *_rows_in(one.since, trade))]
        if one.what.strip() and not rows:
            lost.append(one.what)
    return Understood(_merged(heard, trade), tuple(lost))


def _merged(heard: Iterable[Heard], trade: TradeTables) -> tuple[Heard, ...]:
    """Each complaint once, of all the strings it was said of."""
    by_row: dict[str, list[Heard]] = {}
    for one in heard:
        by_row.setdefault(one.row.id, []).append(one)
    return tuple(
        Heard(row, _all_strings(by_row[row.id])) for row in complaints(trade) if row.id in by_row
    )


def _all_strings(heard: Iterable[Heard]) -> tuple[int, ...]:
    strings = [one.strings for one in heard]
    return tuple(sorted({each for some in strings for each in some})) if all(strings) else ()


def _rows_in(text: str, trade: TradeTables) -> tuple[ComplaintRow, ...]:
    if len(text) > LONGEST_TELLING:
        return ()
    text = " ".join(text.casefold().split())
    rows = complaints(trade)
    named = tuple(row for row in rows if text in (row.id, row.title.casefold()))
    return named or tuple(row for row in rows if _describes(row, text))


def _describes(row: ComplaintRow, text: str) -> bool:
    return any(phrase in text for phrase in (row.id, *row.words))

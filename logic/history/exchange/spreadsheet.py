"""Every reading as one row of comma-separated values (RFC 4180), for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import UTC, datetime

from logic.history.documents.models import JobDocument, TakenReading
from logic.history.documents.queries import Queries
from shared.events import Stamp
from shared.units import Length

COLUMNS = (
    "taken (UTC)",
    "job",
    "instrument",
    "kind",
    "string",
    "pitch",
    "leaf",
    "second leaf",
    "contact",
    "open buzz",
    "clearance",
    "held at fret",
    "gap",
    "fret",
    "cents",
    "device",
)
"""The first line. Lengths are as they were written, with their unit."""
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


def readings_csv(queries: Queries) -> str:
    """All readings that stand, jobs oldest first."""
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(COLUMNS)
    for line in reversed(queries.jobs()):
        if job := queries.job(line.id):
            table.writerows(_rows(job))
    return out.getvalue()


def _rows(job: JobDocument) -> Iterator[list[str]]:
    for taken in job.readings:
        yield [_harmless(cell) for cell in _row(job, taken)]


def _row(job: JobDocument, taken: TakenReading) -> tuple[str, ...]:
    reading = taken.reading
    leaves = [str(leaf) for leaf in reading.leaves] + ["", ""]
    return (
        _utc(taken.stamp),
        job.id,
        job.instrument.label,
        job.instrument.kind,
        str(reading.string),
        _pitch(job, reading.string),
        leaves[0],
        leaves[1],
        reading.contact.value if reading.contact else "",
        reading.buzz.value,
        _length(reading.clearance),
        str(reading.held_at or ""),
        _length(reading.gap),
        str(reading.fret or ""),
        "" if reading.cents is None else f"{reading.cents:g}",
        taken.device,
    )


def _pitch(job: JobDocument, string: int) -> str:
    specs = {spec.string: spec for spec in job.instrument.strings}
    return str(specs[string].pitch) if string in specs else ""


def _length(length: Length | None) -> str:
    return "" if length is None else str(length)


def _utc(stamp: Stamp) -> str:
    seconds = min(stamp.wall_ms // 1000, 253_402_300_799)  # the last second that a year can spell
    return datetime.fromtimestamp(seconds, UTC).strftime("%Y-%m-%d %H:%M:%S")


def _harmless(cell: str) -> str:
    """Text that a spreadsheet shows instead of working it out; numbers stay numbers."""
    try:
        float(cell)
    except ValueError:
        return f"'{cell}" if cell.startswith(_FORMULA_SIGNS) else cell
    return cell

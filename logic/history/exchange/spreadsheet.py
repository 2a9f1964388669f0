"""Every reading as one row of comma-separated values (RFC 4180), for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from logic.bench.measuring import kinds
from logic.bench.measuring.kinds import kind_of, open_string
from logic.bench.measuring.kinds.kind import ReadingKind
from logic.history.documents.models import JobDocument, TakenReading
from logic.history.documents.queries import Queries
from shared.events import Stamp
from shared.readings import Reading

_TAKEN = ("taken (UTC)", "job", "instrument", "kind", "string", "pitch")
_DEVICE = "device"
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


def columns() -> tuple[str, ...]:
    """The first line. Each kind of reading has columns of its own, in which lengths are as they
    were written, with their unit."""
    return (*_TAKEN, *(name for kind in kinds.KINDS for name in kind.columns), _DEVICE)


def readings_csv(queries: Queries) -> str:
    """All readings that stand, jobs oldest first."""
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(columns())
    for line in reversed(queries.jobs()):
        if job := queries.job(line.id):
            table.writerows(_rows(job))
    return out.getvalue()


def _rows(job: JobDocument) -> Iterator[list[str]]:
    for taken in job.readings:
        cells = _cells(job, taken)
        yield [_harmless(cells.get(name, "")) for name in columns()]


def _cells(job: JobDocument, taken: TakenReading) -> dict[str, str]:
    """What one reading has to say, by column."""
    reading = taken.reading
    about = (
        _utc(taken.stamp),
        job.id,
        job.instrument.label,
        job.instrument.kind,
        str(reading.string),
        _pitch(job, reading.string),
    )
    return {
        **dict(zip(_TAKEN, about, strict=True)),
        **_by_column(open_string.KIND, reading),
        **_by_column(kind_of(reading), reading),
        _DEVICE: taken.device,
    }


def _by_column(kind: ReadingKind[Any], reading: Reading) -> dict[str, str]:
    return dict(zip(kind.columns, kind.cells(reading), strict=True))


def _pitch(job: JobDocument, string: int) -> str:
    specs = {spec.string: spec for spec in job.instrument.strings}
    return str(specs[string].pitch) if string in specs else ""


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

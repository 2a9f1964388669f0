"""Every reading, measurement and step of a set-up as one row of comma-separated values (RFC 4180),
for a spreadsheet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from datetime import UTC, datetime

from logic.bench.measuring import kinds, quantities
from logic.bench.measuring.kinds import kind_of, open_string
from logic.bench.measuring.quantities import quantity_of
from logic.history.documents.models import Authorship, JobDocument, TakenReading, TakenStep
from logic.history.documents.queries import Queries
from shared.events import Stamp
from shared.measurements import Measurement, TouchedMeasurement
from shared.readings import UnknownReading

_TAKEN = ("taken (UTC)", "job", "instrument", "kind", "string", "pitch")
_DEVICE = "device"
_BEFORE_DEVICE = 15
"""Columns before that of the device. What later kinds of readings add comes after it, so that a
sheet that was made for an earlier export still finds every column in its place."""
_QUANTITY = "quantity"
_POSTURE = "posture"
_LATER = (
    *(_POSTURE, "step", "eighths", "settled", "height", "move", "what", "hours", "stage", "why"),
)
"""How the instrument lay, and of a step of the set-up its kind and its fields."""
_SIGNS = r"=+\-@\uff1d\uff0b\uff0d\uff20\ufe66\ufe62\ufe63\ufe6b\u207c\u208c\u207a\u208a\ufb29"
"""What begins a formula, and the wide, small and raised forms that some programs take for the same
(OWASP, "CSV Injection", from memory; Unicode's compatibility forms of these four)."""
_SEPARATORS = r",;|:\"\t\r\n\v\f\x1c-\x1e\x85\u2028\u2029"
"""What ends a cell for a program that takes something else than the comma for the separator."""
_UNSEEN = r"[\s\xad\u200b-\u200f\u2060\ufeff]*"
"""What such a program may leave out at the beginning of a cell."""
_FORMULA = re.compile(
    rf"(?:^|(?<=[{_SEPARATORS}])){_UNSEEN}(?=[{_SIGNS}])"
    rf"|(?<=\s)(?=[{_SIGNS}](?! ))|^(?=[\t\r\n])"
)
"""Where a formula could begin, up to its sign. After a space, which is seldom a separator, a sign
with another space after it is a dash between words."""
_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?")
Cells = dict[str, str]
"""What one row has to say, by column; the other columns stay empty."""


def readings_csv(queries: Queries) -> str:
    """All readings, measurements and steps that stand, jobs oldest first, in each in this order."""
    rows: list[Cells] = []
    for line in reversed(queries.jobs()):
        if job := queries.job(line.id):
            rows += [_reading(job, taken) for taken in job.readings]
            rows += [_measurement(job, each, each.measurement) for each in job.measurements]
            rows += [_step(job, each) for each in job.setup_steps]
    out = io.StringIO()
    csv.writer(out).writerows(_table(rows))
    return out.getvalue()


def reading_columns() -> tuple[str, ...]:
    """The columns that readings have. Each kind has some of its own, in which lengths are as they
    were written, with their unit."""
    names = (*_TAKEN, *(name for kind in kinds.KINDS for name in kind.columns))
    return (*names[:_BEFORE_DEVICE], _DEVICE, *names[_BEFORE_DEVICE:])


def measurement_columns() -> tuple[str, ...]:
    """The columns beyond those of readings that measurements of the instrument need."""
    own = (name for quantity in quantities.QUANTITIES for name in quantity.columns)
    return (_QUANTITY, *dict.fromkeys(own))


def _table(rows: Iterable[Cells]) -> Iterable[tuple[str, ...]]:
    """The first line and the rows; columns that only measurements need come last, where there are
    any, and after them what later versions added, each where it is needed."""
    rows = list(rows)
    measured = any(_QUANTITY in row for row in rows)
    later = (each for each in _LATER if any(each in row for row in rows))
    columns = (*reading_columns(), *(measurement_columns() if measured else ()), *later)
    yield columns
    for row in rows:
        yield tuple(_harmless(row.get(name, "")) for name in columns)


def _reading(job: JobDocument, taken: TakenReading) -> Cells:
    reading = taken.reading
    if isinstance(reading, UnknownReading):
        reading = reading.as_far_as_known()
    cells = {"string": str(reading.string), "pitch": _pitch(job, reading.string)}
    for kind in (open_string.KIND, kind_of(reading)):
        cells |= dict(zip(kind.columns, kind.cells(reading), strict=True))
    return _taken(job, taken) | cells


def _measurement(job: JobDocument, taken: Authorship, measurement: Measurement) -> Cells:
    quantity = quantity_of(measurement)
    own = quantity.cells(measurement) if quantity else {}
    if isinstance(measurement, TouchedMeasurement) and measurement.posture is not None:
        own |= {_POSTURE: measurement.posture.value}
    return _taken(job, taken) | own | {_QUANTITY: measurement.quantity}


def _step(job: JobDocument, taken: TakenStep) -> Cells:
    """What was done, with each of its own fields as it was written."""
    fields = taken.step.model_dump(mode="json", exclude_none=True)
    own = {name: str(value) for name, value in fields.items() if name in _LATER and value != ""}
    string = fields.get("string")
    of_one = {"string": str(string), "pitch": _pitch(job, string)} if string is not None else {}
    return _taken(job, taken) | of_one | own


def _taken(job: JobDocument, taken: Authorship) -> Cells:
    """When, on which instrument and by which device."""
    return {
        "taken (UTC)": _utc(taken.stamp),
        "job": job.id,
        "instrument": job.instrument.label,
        "kind": job.instrument.kind,
        _DEVICE: taken.device,
    }


def _pitch(job: JobDocument, string: int) -> str:
    specs = {spec.string: spec for spec in job.instrument.strings}
    return str(specs[string].pitch) if string in specs else ""


def _utc(stamp: Stamp) -> str:
    seconds = min(stamp.wall_ms // 1000, 253_402_300_799)  # the last second that a year can spell
    return datetime.fromtimestamp(seconds, UTC).strftime("%Y-%m-%d %H:%M:%S")


def _harmless(cell: str) -> str:
    """Text that a spreadsheet shows instead of working it out, whatever it takes for a separator:
    an apostrophe stands before each sign that could begin a formula. Numbers stay numbers."""
    if _NUMBER.fullmatch(cell):
        return cell
    return _FORMULA.sub(lambda found: f"{found[0]}'", cell)

"""What screens ask of the read model, each answered by name or by an index, never by a scan."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from logic.history.bodies import Touched
from logic.history.documents import (
    InstrumentDocument,
    InstrumentLine,
    JobDocument,
    JobLine,
    KitDocument,
    TakenReading,
)
from logic.history.projection import Projection
from logic.history.typed import Typed
from logic.history.words import Line, WordIndex


class Index:
    """One short line per document, kept up to date as documents change."""

    def __init__(self) -> None:
        self.lines: dict[str, dict[str, Line]] = {"job": {}, "instrument": {}, "kit": {}}
        self.open_jobs: set[str] = set()
        self.words = WordIndex()

    def note(self, touched: Touched, document: dict[str, Any]) -> None:
        """Take note of a changed document."""
        table, name = touched
        if table not in self.lines:
            return
        line = _LINES[table](document)
        if line is None:
            self.lines[table].pop(name, None)
        else:
            self.lines[table][name] = line
        if table == "job":
            self._note_open(name, line)
        elif table == "instrument":
            self.words.note(name, line)

    def __len__(self) -> int:
        return sum(map(len, self.lines.values()))

    def load(self, lines: dict[str, dict[str, Line]]) -> None:
        """Take the lines that a snapshot kept."""
        for table, known in lines.items():
            self.lines[table] = dict(known)
        self.words = WordIndex()
        self.open_jobs = {name for name, line in self.lines["job"].items() if line["open"]}

    def _note_open(self, name: str, line: Line | None) -> None:
        if line and line["open"]:
            self.open_jobs.add(name)
        else:
            self.open_jobs.discard(name)


class Queries:
    """Reads of one projection."""

    def __init__(self, projection: Projection, index: Index) -> None:
        self.projection = projection
        self._index = index
        self._typed = Typed()

    def job(self, job_id: str) -> JobDocument | None:
        """The job of that id; None when it was never opened, or its opening was taken back."""
        found = self.projection.document(("job", job_id))
        return self._typed.job(found) if found and found["opened"] else None

    def open_jobs(self) -> tuple[JobLine, ...]:
        """Jobs that are not closed, newest first."""
        return _newest(self._index.lines["job"][name] for name in self._index.open_jobs)

    def jobs(self) -> tuple[JobLine, ...]:
        """Every job, newest first."""
        return _newest(self._index.lines["job"].values())

    def instrument(self, instrument_id: str) -> InstrumentDocument | None:
        """The instrument of that id."""
        found = self.projection.document(("instrument", instrument_id))
        return InstrumentDocument.model_validate(found) if found and found["value"] else None

    def instruments(self) -> tuple[InstrumentLine, ...]:
        """Every instrument, by label."""
        lines = map(InstrumentLine.model_validate, self._index.lines["instrument"].values())
        return tuple(sorted(lines, key=lambda line: (line.label.casefold(), line.id)))

    def find_instruments(
        self, text: str, first: int, most: int
    ) -> tuple[tuple[InstrumentLine, ...], int]:
        """Up to `most` instruments from place `first` on, by label, of those whose label, kind or
        owner's tag have words that begin as those of `text` do; and how many those are."""
        lines = self._index.lines["instrument"]
        names = self._index.words.find(text, lines)
        shown = names[first : first + most]
        return tuple(InstrumentLine.model_validate(lines[name]) for name in shown), len(names)

    def kits(self) -> tuple[KitDocument, ...]:
        """Every bag, by name."""
        documents = (self.projection.document(("kit", name)) for name in self._index.lines["kit"])
        kits = (KitDocument.model_validate(found) for found in documents if found)
        return tuple(sorted(kits, key=lambda kit: (kit.value.name.casefold(), kit.id)))

    def setting(self, name: str, otherwise: Any = None) -> Any:
        """The value of a setting, or `otherwise` when it was never set."""
        found = self.projection.document(("setting", name))
        return found["value"] if found and found["marks"] else otherwise

    def last_readings(self, instrument_id: str) -> dict[int, tuple[TakenReading, ...]]:
        """Per string, the readings of the latest job of this instrument that read that string."""
        found = self.instrument(instrument_id)
        last: dict[int, tuple[TakenReading, ...]] = {}
        for job in map(self.job, reversed(found.jobs if found else ())):
            fresh: dict[int, tuple[TakenReading, ...]] = {}
            for taken in job.readings if job else ():
                string = taken.reading.string
                if string not in last:
                    fresh[string] = (*fresh.get(string, ()), taken)
            last |= fresh
        return last


def _newest(lines: Iterable[Line]) -> tuple[JobLine, ...]:
    jobs = map(JobLine.model_validate, lines)
    return tuple(sorted(jobs, key=lambda job: (job.stamp, job.id), reverse=True))


def _job_line(document: dict[str, Any]) -> Line | None:
    if not document["opened"]:
        return None
    instrument = document["instrument"]
    kept = ("id", "instrument_id", "opened", "changed", "open", "place")
    line = {name: document[name] for name in kept}
    return line | {"label": instrument.get("label", ""), "kind": instrument["kind"]}


def _instrument_line(document: dict[str, Any]) -> Line | None:
    value = document["value"]
    if value is None:
        return None
    return {
        "id": document["id"],
        "label": value.get("label", ""),
        "owner": value.get("owner", ""),
        "kind": value["kind"],
        "changed": document["changed"],
        "jobs": len(document["jobs"]),
    }


def _kit_line(document: dict[str, Any]) -> Line | None:
    return {"id": document["id"]} if document["value"] is not None else None


_LINES = {"job": _job_line, "instrument": _instrument_line, "kit": _kit_line}

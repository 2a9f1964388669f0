"""Questions to the folded documents, each answered by name or by an index, never by a scan."""

from __future__ import annotations

from typing import Any

from logic.history.clock import is_followed
from logic.history.documents.index import DocumentIndex, JobLines
from logic.history.documents.model_cache import ModelCache
from logic.history.documents.models import (
    InstrumentDocument,
    InstrumentSummary,
    JobDocument,
    JobSummary,
    KitDocument,
    TakenReading,
)
from logic.history.documents.projection import Projection
from logic.history.documents.word_index import Line
from shared.events import Stamp, stamp_of
from shared.label import label_code


class Queries:
    """Reads from one projection and its index."""

    def __init__(self, projection: Projection, index: DocumentIndex) -> None:
        self.projection = projection
        self._index = index
        self._models = ModelCache()

    @property
    def index(self) -> DocumentIndex:
        """A line for each document, up to the last event."""
        self.projection.settle()
        return self._index

    def job(self, job_id: str) -> JobDocument | None:
        """The job of that id; None when it was never opened, or its opening was taken back."""
        found = self.projection.document(("job", job_id))
        return self._models.job(found) if found and found["opened"] else None

    def open_jobs(self) -> JobLines:
        """Jobs that are not closed, newest first."""
        return JobLines(self.index.newest_open(), self.index.lines["job"])

    def jobs(self) -> JobLines:
        """Every job, newest first."""
        return JobLines(self.index.newest(), self.index.lines["job"])

    def last_touched(self, now_ms: int) -> JobSummary | None:
        """The open job that was worked on last. One that was worked on by a clock far ahead of
        `now_ms` comes after all others: nobody can have done so yet."""
        lines = (self.index.lines["job"][name] for name in self.index.open_jobs)

        def touched(line: Line) -> tuple[bool, Stamp]:
            stamp = stamp_of(line["changed"])
            return is_followed(stamp, now_ms), stamp

        last = max(lines, key=touched, default=None)
        return None if last is None else JobSummary.model_validate(last)

    def instrument(self, instrument_id: str) -> InstrumentDocument | None:
        """The instrument of that id."""
        found = self.projection.document(("instrument", instrument_id))
        return InstrumentDocument.model_validate(found) if found and found["value"] else None

    def instruments(self) -> tuple[InstrumentSummary, ...]:
        """Every instrument, by label."""
        lines = map(InstrumentSummary.model_validate, self.index.lines["instrument"].values())
        return tuple(sorted(lines, key=lambda line: (line.label.casefold(), line.id)))

    def find_instruments(
        self, text: str, first: int, most: int
    ) -> tuple[tuple[InstrumentSummary, ...], int]:
        """Up to `most` instruments from place `first` on, by label, of those whose label, kind or
        owner's tag have words that begin as those of `text` do; and how many those are."""
        lines = self.index.lines["instrument"]
        names, count = self.index.words.find(text, lines, first, most)
        return tuple(InstrumentSummary.model_validate(lines[name]) for name in names), count

    def labelled(self, code: str) -> str:
        """The id of the instrument whose label holds this code; empty where none is here."""
        names = self.index.lines["instrument"]
        if code in names and label_code(code) == code:
            return code
        return next((name for name in names if label_code(name) == code), "")

    def kits(self) -> tuple[KitDocument, ...]:
        """Every kit, by name."""
        documents = (self.projection.document(("kit", name)) for name in self.index.lines["kit"])
        kits = (KitDocument.model_validate(found) for found in documents if found)
        return tuple(sorted(kits, key=lambda kit: (kit.value.name.casefold(), kit.id)))

    def setting(self, name: str, otherwise: Any = None) -> Any:
        """The value of a setting, or `otherwise` when it was never set."""
        values = self.index.settings
        if name not in values:
            found = self.projection.document(("setting", name))
            values[name] = (found["value"],) if found and found["marks"] else ()
        return values[name][0] if values[name] else otherwise

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

"""One short line per document, so that lists are shown without reading the documents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, overload

from logic.history.documents.bodies import DocumentKey
from logic.history.documents.models import JobSummary
from logic.history.documents.word_index import Line, WordIndex
from shared.events import Stamp, stamp_of


class DocumentIndex:
    """One short line per document, kept up to date as documents change."""

    def __init__(self) -> None:
        self.lines: dict[str, dict[str, Line]] = {"job": {}, "instrument": {}, "kit": {}}
        self.open_jobs: set[str] = set()
        self.words = WordIndex()
        self.settings: dict[str, tuple[Any, ...]] = {}
        """The values of settings that were asked for and have not changed since; none where a
        setting was never made."""
        self._newest: list[str] | None = None

    def newest(self) -> list[str]:
        """Every job, the latest opened first; put in order when first wanted, so that a start
        costs nothing, and again once another job is there."""
        if self._newest is None:
            self._newest = in_order(self.lines["job"].values())
        return self._newest

    def newest_open(self) -> list[str]:
        """The jobs that are not closed, the latest opened first."""
        if self._newest is None:
            return in_order(self.lines["job"][name] for name in self.open_jobs)
        return [name for name in self._newest if name in self.open_jobs]

    def update(self, key: DocumentKey, document: dict[str, Any]) -> None:
        """Keep the line of a changed document up to date."""
        table, name = key
        if table == "setting":
            self.settings.pop(name, None)
        if table not in self.lines:
            return
        line, before = _LINES[table](document), self.lines[table].get(name)
        if table == "job" and _opened(line) != _opened(before):
            self._newest = None
        if line is None:
            self.lines[table].pop(name, None)
        else:
            self.lines[table][name] = line
        if table == "job":
            self._update_open(name, line)
        elif table == "instrument":
            self.words.update(name, before, line)

    def __len__(self) -> int:
        return sum(map(len, self.lines.values()))

    def load(self, lines: dict[str, dict[str, Line]]) -> None:
        """Replace all lines by those that a snapshot kept."""
        for table, known in lines.items():
            self.lines[table] = dict(known)
        self.words, self._newest, self.settings = WordIndex(), None, {}
        self.open_jobs = {name for name, line in self.lines["job"].items() if line["open"]}

    def _update_open(self, name: str, line: Line | None) -> None:
        if line and line["open"]:
            self.open_jobs.add(name)
        else:
            self.open_jobs.discard(name)


class JobLines(Sequence[JobSummary]):
    """Lines of jobs by name, each read only when it is looked at: there may be thousands."""

    def __init__(self, names: list[str], lines: dict[str, Line]) -> None:
        self._names = names
        self._lines = lines

    def __len__(self) -> int:
        return len(self._names)

    def __iter__(self) -> Iterator[JobSummary]:
        return map(self._line, self._names)

    @overload
    def __getitem__(self, place: int) -> JobSummary: ...
    @overload
    def __getitem__(self, place: slice) -> JobLines: ...
    def __getitem__(self, place: int | slice) -> JobSummary | JobLines:
        if isinstance(place, slice):
            return JobLines(self._names[place], self._lines)
        return self._line(self._names[place])

    def _line(self, name: str) -> JobSummary:
        return JobSummary.model_validate(self._lines[name])


def in_order(jobs: Iterable[Line]) -> list[str]:
    """Names of jobs, the latest opened first."""
    order = sorted(((stamp_of(line["opened"]), line["id"]) for line in jobs), reverse=True)
    return [name for _, name in order]


def _opened(line: Line | None) -> Stamp | None:
    return None if line is None else stamp_of(line["opened"])


_WORK = ("readings", "measurements", "setup_steps", "passes", "proofs", "work")
"""Fields of a job that hold what was done at the bench."""


def _job_line(document: dict[str, Any]) -> Line | None:
    if not document["opened"]:
        return None
    instrument = document["instrument"]
    kept = ("id", "instrument_id", "opened", "changed", "open", "place")
    line = {name: document[name] for name in kept}
    return line | {
        "label": instrument.get("label", ""),
        "owner": instrument.get("owner", ""),
        "ticket": document.get("ticket", ""),
        "kind": instrument["kind"],
        "begun": any(document.get(name) for name in _WORK),
    }


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

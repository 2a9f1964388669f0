"""Checks a history file or a history's folder, changing nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from logic.history.exchange.portable import unpack
from logic.history.history import History
from logic.history.journal.quarantine import GAVE_WAY, Quarantine
from logic.history.journal.segment import Contents, read_segment, segment_number
from logic.history.storage.store import MemoryDirectory
from shared.events import Kind
from shared.words import say, say_many


@dataclass
class Findings:
    """What a check found: sentences on what is there (`holds`) and on what is wrong (`wrong`)."""

    holds: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong."""
        return not self.wrong


def check_file(data: bytes) -> Findings:
    """Check a history file. InputError when it is none, NewerFormat when it is too new."""
    file = unpack(data)
    devices = sorted({event.device for event in file.events})
    findings = Findings([_entry_count(len(file.events), devices, file.bench)])
    findings.wrong.extend(file.lines())
    report = History.open(MemoryDirectory()).merge_events(file.events)
    findings.wrong.extend(
        say("Entry {entry} disagrees with another of its number.", entry=fork)
        for fork in report.forks
    )
    findings.wrong.extend(report.refused)
    return findings


def check_journal(files: Mapping[str, bytes]) -> Findings:
    """Check every byte of the journal among the files of a history's folder, by file name."""
    journal = {name: data for name, data in files.items() if segment_number(name)}
    history = History.open(
        MemoryDirectory({name: bytearray(data) for name, data in journal.items()})
    )
    devices = sorted(history.vector)
    findings = Findings([_entry_count(history.report.events, devices, history.bench)])
    findings.wrong.extend(history.report.lines())
    names = sorted(journal, key=lambda name: segment_number(name) or 0)
    read = [read_segment(segment_number(name) or 0, journal[name]) for name in names]
    before = None if _written_anew(read, files) else ""
    for name, contents in zip(names, read, strict=True):
        findings.wrong.extend(_chain_faults(contents, name, before))
        before = contents.segment.sha256
    return findings


def _written_anew(read: Iterable[Contents], files: Mapping[str, bytes]) -> bool:
    """Whether the files that the first of these followed on from were taken away on purpose, once
    all that stays stood in new ones: content was erased, or a branch gave way."""
    directory = MemoryDirectory({name: bytearray(data) for name, data in files.items()})
    gave_way = any(entry.get("why") == GAVE_WAY for entry in Quarantine(directory).entries())
    return gave_way or any(e.kind == Kind.REDACTED for each in read for e in each.events)


def _chain_faults(contents: Contents, name: str, before: str | None) -> list[str]:
    """`before`: the digest of the file before this one; None where that one is gone on purpose."""
    sentences = []
    if not contents.digest_holds:
        sentences.append(say("{file}: the closing digest does not hold.", file=name))
    if before is not None and contents.header.get("after", "") != before:
        sentences.append(say("{file}: does not follow on from the file before it.", file=name))
    return sentences


def _entry_count(entries: int, devices: list[str], bench: str) -> str:
    if entries == 1:
        return say("One entry of one device, bench {bench}.", bench=bench)
    return say_many(
        "{entries} entries of {count} device, bench {bench}.",
        "{entries} entries of {count} devices, bench {bench}.",
        len(devices),
        entries=entries,
        bench=bench,
    )

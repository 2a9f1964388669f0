"""Checks a history file or a history's folder, changing nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from logic.history.exchange.portable import unpack
from logic.history.history import History
from logic.history.journal.segment import Contents, read_segment, segment_number
from logic.history.storage.store import MemoryDirectory
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
    before = ""
    for number in sorted(segment_number(name) or 0 for name in journal):
        name = next(name for name in journal if segment_number(name) == number)
        contents = read_segment(number, journal[name])
        findings.wrong.extend(_chain_faults(contents, name, before))
        before = contents.segment.sha256
    return findings


def _chain_faults(contents: Contents, name: str, before: str) -> list[str]:
    sentences = []
    if not contents.digest_holds:
        sentences.append(say("{file}: the closing digest does not hold.", file=name))
    if contents.header.get("after", "") != before:
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

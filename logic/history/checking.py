"""Looks through a history without changing a byte of it."""

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
    """What is there, and what is wrong with it."""

    holds: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong."""
        return not self.wrong


def check_file(data: bytes) -> Findings:
    """Look through a history file. InputError when it is none, NewerFormat when it is too new."""
    parcel = unpack(data)
    devices = sorted({event.device for event in parcel.events})
    findings = Findings([_entries(len(parcel.events), devices, parcel.bench)])
    findings.wrong.extend(parcel.lines())
    report = History.open(MemoryDirectory()).merge_events(parcel.events)
    findings.wrong.extend(
        say("Entry {entry} disagrees with another of its number.", entry=fork)
        for fork in report.forks
    )
    findings.wrong.extend(report.refused)
    return findings


def check_journal(files: Mapping[str, bytes]) -> Findings:
    """Look through the files of a history's folder, every byte of the journal."""
    journal = {name: data for name, data in files.items() if segment_number(name)}
    history = History.open(
        MemoryDirectory({name: bytearray(data) for name, data in journal.items()})
    )
    devices = sorted(history.vector)
    findings = Findings([_entries(history.report.events, devices, history.bench)])
    findings.wrong.extend(history.report.lines())
    before = ""
    for number in sorted(segment_number(name) or 0 for name in journal):
        name = next(name for name in journal if segment_number(name) == number)
        contents = read_segment(number, journal[name])
        findings.wrong.extend(_wrong_with(contents, name, before))
        before = contents.segment.sha256
    return findings


def _wrong_with(contents: Contents, name: str, before: str) -> list[str]:
    said = []
    if not contents.digest_holds:
        said.append(say("{file}: the closing digest does not hold.", file=name))
    if contents.header.get("after", "") != before:
        said.append(say("{file}: does not follow on from the file before it.", file=name))
    return said


def _entries(entries: int, devices: list[str], bench: str) -> str:
    if entries == 1:
        return say("One entry of one device, bench {bench}.", bench=bench)
    return say_many(
        "{entries} entries of {count} device, bench {bench}.",
        "{entries} entries of {count} devices, bench {bench}.",
        len(devices),
        entries=entries,
        bench=bench,
    )

"""Checks a history file or a history's folder, changing nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from logic.history.exchange.portable import EVERYTHING, unpack
from logic.history.folder_check import entry_faults, file_faults, snapshot_faults, unknown_files
from logic.history.history import History
from logic.history.journal.frame import encode
from logic.history.journal.held_events import HeldEvents
from logic.history.journal.quarantine import GAVE_WAY, QUARANTINE_FILE, Quarantine
from logic.history.journal.segment import read_segment, segment_number
from logic.history.report import missing_entries
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
    if file.of == EVERYTHING:  # a job's file lacks most numbers, and is whole all the same
        held = HeldEvents()
        for event in file.events:
            held.add(event)
        findings.holds.extend(filter(None, [missing_entries(held.missing())]))
    return findings


def check_journal(files: Mapping[str, bytes]) -> Findings:
    """Check every byte of the journal among the files of a history's folder, by file name, and
    whether what lies beside it fits."""
    read = {
        number: read_segment(number, files[name])
        for name in sorted(files, key=lambda name: segment_number(name) or 0)
        if (number := segment_number(name))
    }
    history = History.open(_journal_alone(files))
    report, held = history.report, history.journal.held
    findings = Findings([_entry_count(report.events, sorted(history.vector), history.bench)])
    findings.holds.extend(unknown_files(files))
    report.new_identity = False  # nobody goes on from here
    report.broken_chains.clear()  # every entry is compared below, and every closing line
    report.altered.clear()
    findings.wrong.extend(report.lines())
    findings.wrong.extend(file_faults(read, files, history.journal.missing))
    findings.wrong.extend(entry_faults(read.values()))
    findings.wrong.extend(snapshot_faults(_as_directory(files), held, history.journal.find))
    return findings


def _journal_alone(files: Mapping[str, bytes]) -> MemoryDirectory:
    """The journal as if no opening had told of anything yet. That a branch gave way once is left in
    it: journals of older versions do not say themselves that they were written anew."""
    journal = {name: data for name, data in files.items() if segment_number(name)}
    if Quarantine(_as_directory(files)).gave_way():
        journal[QUARANTINE_FILE] = encode({"aside": {"why": GAVE_WAY}})
    return _as_directory(journal)


def _as_directory(files: Mapping[str, bytes]) -> MemoryDirectory:
    return MemoryDirectory({name: bytearray(data) for name, data in files.items()})


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

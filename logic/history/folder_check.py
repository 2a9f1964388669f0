"""What is wrong with the files of a history's folder, one by one and beside each other."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Container, Iterable, Iterator, Mapping

from logic.history.journal.held_events import HeldEvents
from logic.history.journal.segment import Contents, read_closing
from logic.history.journal.spans import Spans
from logic.history.report import devices_in_words
from logic.history.snapshots.snapshot import Snapshots
from logic.history.storage.files import OURS
from logic.history.storage.store import Directory, MemoryStore
from shared.events import Event
from shared.words import listed, say, say_many

_MOST_NAMED = 5
"""Unknown files and disagreeing entries that are named one by one."""
Find = Callable[[str, int], Event | None]
"""The event of a device and number."""


def unknown_files(names: Iterable[str]) -> list[str]:
    """A sentence on the files that are none of a history's; none where there are none."""
    unknown = [name for name in names if not OURS.fullmatch(name)]
    if not unknown:
        return []
    shown = [ascii(name)[1:-1] for name in sorted(unknown)[:_MOST_NAMED]]
    return [
        say_many(
            "{count} file here is not of the history: {names}.",
            "{count} files here are not of the history, such as {names}.",
            len(unknown),
            names=listed(shown),
        )
    ]


def file_faults(
    read: Mapping[int, Contents], files: Mapping[str, bytes], missing: Container[int]
) -> Iterator[str]:
    """Sentences on first and last lines that do not fit. `read`: the journal's files by number,
    oldest first; `files`: the bytes of each by name; `missing`: the numbers of lost files."""
    numbers = list(read)
    for at, number in enumerate(numbers):
        contents = read[number]
        name, data = contents.segment.name, files[contents.segment.name]
        yield from _header_faults(contents, name)
        before = read.get(number - 1) if contents.header else None
        follows = before is None or contents.header.get("after") == _digest(before, files)
        if number - 1 in missing or not follows:
            yield say("{file}: does not follow on from the file before it.", file=name)
        if contents.segment.closed:
            yield from _closing_faults(contents, name, data)
        elif any(read[later].events for later in numbers[at + 1 :]):
            yield say("{file}: its last line is missing.", file=name)
        if contents.mended:
            yield say_many(
                "{file}: {count} line ends with another byte than it should. Nothing is lost.",
                "{file}: {count} lines end with another byte than they should. Nothing is lost.",
                contents.mended,
                file=name,
            )


def _digest(contents: Contents, files: Mapping[str, bytes]) -> str:
    """What the file after this one names. A stop may have come before its last line was there, or
    in the middle of it."""
    if contents.segment.closed:
        return contents.segment.sha256
    data = files[contents.segment.name]
    return hashlib.sha256(data[: data.rfind(b"\n") + 1]).hexdigest()


def _header_faults(contents: Contents, name: str) -> Iterator[str]:
    damaged = contents.damage and contents.damage[0].start == 0
    if not contents.header and not damaged:
        yield say("{file}: its first line is missing.", file=name)
    elif contents.header and contents.header.get("segment") != contents.segment.number:
        yield say("{file}: its first line is that of another file.", file=name)


def _closing_faults(contents: Contents, name: str, data: bytes) -> Iterator[str]:
    closing = read_closing(contents.segment.number, MemoryStore(bytearray(data)))
    if not contents.digest_holds:
        yield say("{file}: the closing digest does not hold.", file=name)
    elif closing is None:
        yield say("{file}: it goes on after its last line.", file=name)
    elif not contents.damage and (closing.events, closing.holds) != _counted(contents):
        yield say("{file}: its last line counts other entries than it holds.", file=name)


def _counted(contents: Contents) -> tuple[int, dict[str, tuple[int, int]]]:
    return contents.segment.events, contents.segment.holds


def entry_faults(read: Iterable[Contents]) -> Iterator[str]:
    """Sentences on entries that disagree with another of their number, and on devices whose entries
    do not follow on from each other. An entry and its redacted form are the same."""
    digests: dict[tuple[str, int], tuple[str, str]] = {}
    disagreeing: dict[str, None] = {}
    for contents in read:
        for event in contents.events:
            key = (event.device, event.seq)
            found = (event.digest, event.prev)
            if digests.setdefault(key, found)[0] != event.digest:
                disagreeing[event.id] = None
    for entry in list(disagreeing)[:_MOST_NAMED]:
        yield say("Entry {entry} disagrees with another of its number.", entry=entry)
    if broken := sorted(set(_broken_chains(digests))):
        yield say(
            "Entries of {devices} do not follow on from each other. They are kept and shown.",
            devices=devices_in_words(broken),
        )


def _broken_chains(digests: Mapping[tuple[str, int], tuple[str, str]]) -> Iterator[str]:
    for (device, seq), (_, prev) in digests.items():
        before = digests.get((device, seq - 1))
        if (before and before[0] != prev) or (seq == 1) != (prev == ""):
            yield device


def snapshot_faults(directory: Directory, held: HeldEvents, find: Find) -> Iterator[str]:
    """Sentences on a snapshot that is not of this journal, which holds `held`. One that is older is
    sound; one that cannot be read is made again."""
    found = Snapshots(directory).find()
    if found is None:
        return
    known = Spans.of_held(found.covered.known)
    if lacking := sum(run.last - run.first + 1 for run in known.difference(Spans.of_held(held))):
        yield say_many(
            "The snapshot holds {count} entry that the journal lacks.",
            "The snapshot holds {count} entries that the journal lacks.",
            lacking,
        )
    others = sorted(
        device
        for device, head in found.covered.heads.items()
        if (event := find(device, head.seq)) and event.digest != head.digest
    )
    if others:
        yield say(
            "The snapshot was made of other entries of {devices} than the journal holds.",
            devices=devices_in_words(others),
        )

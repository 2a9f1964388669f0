"""A million entries: opened with a snapshot and without one, time and memory, in a process each.

    python -m tests.benchmarks.bench_million [--entries 1000000] [--turns 3]
    python -m tests.benchmarks.bench_million --story "an answer to each visit in turn"

Beside it: the start of an empty history in the same run, and a tenth as many entries. Memory is the
most that a process ever held, less what one with an empty history held.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

from logic.history import FileDirectory, History
from shared.bootstrap import ROOT
from tests.benchmarks.histories import STORIES, chained, journal

PER_LINE = 10
"""Entries that were recorded together, as far as that matters to reading them."""


class Opened(NamedTuple):
    """What one start took."""

    wall_s: float
    processor_s: float
    memory_mb: float
    entries: int


def make(folder: Path, story: str, entries: int) -> float:
    """A journal of so many entries in `folder`; its size in megabytes."""
    size = 0
    for name, data in journal(chained(STORIES[story](entries)), PER_LINE).items():
        (folder / name).write_bytes(data)
        size += len(data)
    return size / 1e6


def open_here(folder: Path, save: bool) -> Opened:
    """Open the history in `folder` in this process, and put a snapshot by it where asked."""
    began, busy = time.perf_counter(), time.process_time()
    history = History.open(FileDirectory(folder))
    took = time.perf_counter() - began, time.process_time() - busy
    entries = history.report.events
    if save:
        history.save_snapshot()
    history.close()
    return Opened(*took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, entries)


def in_child(*asked: str) -> str:
    """What this module prints when it is run in a process of its own. This one stays small, since
    a child's memory counts from its parent's on."""
    line = [sys.executable, "-m", __spec__.name, *asked]
    return subprocess.run(line, cwd=ROOT, capture_output=True, check=True, text=True).stdout


def open_in_child(folder: Path, *, save: bool) -> Opened:
    """Open the history in `folder` in a process of its own."""
    return Opened(*json.loads(in_child("--child", str(folder), *["--save"] * save)))


def row(name: str, found: Opened, empty: Opened, size_mb: float) -> str:
    """One line of the table."""
    more_mb = found.memory_mb - empty.memory_mb
    return (
        f"{name:<34}{found.entries:>9}{found.processor_s:>11.2f}{found.wall_s:>9.2f}"
        f"{found.processor_s / empty.processor_s:>9.1f}{more_mb:>11.0f}{size_mb:>9.0f}"
    )


def main() -> None:
    """Make the journals, open each in turn, print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=1_000_000)
    parser.add_argument("--story", choices=STORIES, default="visit after visit")
    parser.add_argument("--turns", type=int, default=3, help="starts with a snapshot, best counts")
    parser.add_argument("--make", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--child", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--save", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.make:
        print(make(asked.make, asked.story, asked.entries))
        return
    if asked.child:
        print(json.dumps(open_here(asked.child, asked.save)))
        return
    print(f"{asked.story:<34}{'entries':>9}{'processor s':>11}{'wall s':>9}", end="")
    print(f"{'× empty':>9}{'memory MB':>11}{'file MB':>9}")
    with tempfile.TemporaryDirectory() as scratch:
        empty_folder = Path(scratch) / "empty"
        empty = min(open_in_child(empty_folder, save=False) for _ in range(asked.turns))
        print(row("empty", empty, empty, 0), flush=True)
        for entries in (asked.entries // 10, asked.entries):
            folder = Path(scratch) / str(entries)
            folder.mkdir()
            wanted = ("--story", asked.story, "--entries", str(entries))
            size_mb = float(in_child("--make", str(folder), *wanted))
            print(row("without a snapshot", open_in_child(folder, save=True), empty, size_mb))
            best = min(open_in_child(folder, save=False) for _ in range(asked.turns))
            print(row("with one", best, empty, size_mb), flush=True)


if __name__ == "__main__":
    main()

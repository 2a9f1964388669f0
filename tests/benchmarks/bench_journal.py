"""What one answer and one start cost with years of history behind them, as ratios in one run.

    python -m tests.benchmarks.bench_journal [--jobs 10000] [--answers 48] [--taps 300]

Beside ours: TinyDB's own file storage with the same jobs as documents, one answer added to one job.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tinydb import TinyDB
from tinydb.table import Document

from logic.history import FileDirectory, History
from tests.benchmarks.years import make_years
from tests.logic.history.factory import opened, reading

Taps = Callable[[], object]


def main() -> None:
    """Print every figure and ratio."""
    options = _options()
    with tempfile.TemporaryDirectory() as scratch:
        empty, full = Path(scratch) / "empty", Path(scratch) / "full"
        _fill(empty, 1, options.answers)
        _fill(full, options.jobs, options.answers)
        _compare_starts(empty, full)
        _compare_taps(empty, full, options)
        _compare_tinydb(Path(scratch), options)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=10_000)
    parser.add_argument("--answers", type=int, default=48, help="answers in each job")
    parser.add_argument("--taps", type=int, default=300, help="answers that are timed")
    parser.add_argument("--tinydb-jobs", type=int, default=1000, help="documents of the comparison")
    return parser.parse_args()


def _fill(folder: Path, jobs: int, answers: int) -> None:
    began = time.perf_counter()
    entries = make_years(folder, jobs, answers)
    seconds = time.perf_counter() - began
    size = sum(path.stat().st_size for path in folder.iterdir()) / 1e6
    print(f"{jobs} jobs, {entries} entries, {size:.0f} MB: {seconds:.1f} s to make")


def _compare_starts(empty: Path, full: Path) -> None:
    few, many = (_start_ms(folder) for folder in (empty, full))
    print(f"start: {few:.1f} ms with one job, {many:.1f} ms with all: {many - few:.0f} ms more")
    for slot in (*full.glob("snapshot-*"), *full.glob("documents-*")):
        slot.rename(slot.with_suffix(".kept"))
    began = time.perf_counter()
    History.open(FileDirectory(full)).close()
    print(f"start without a snapshot: {time.perf_counter() - began:.1f} s")
    for fresh in (*full.glob("snapshot-*.txt"), *full.glob("documents-*.txt")):
        fresh.unlink()
    for slot in full.glob("*.kept"):
        slot.rename(slot.with_suffix(".txt"))


def _start_ms(folder: Path) -> float:
    times = []
    for _ in range(5):
        began = time.perf_counter()
        history = History.open(FileDirectory(folder))
        times.append(time.perf_counter() - began)
        history.close()
    return statistics.median(times) * 1000


def _compare_taps(empty: Path, full: Path, options: argparse.Namespace) -> None:
    """In turns, so that a busy moment of the machine hits both alike."""
    histories = [History.open(FileDirectory(folder)) for folder in (empty, full)]
    for history in histories:
        history.record(*opened("timed", "instrument-0"))
    times: list[list[float]] = [[], []]
    for _ in range(options.taps):
        for kept, history in zip(times, histories, strict=True):
            began = time.perf_counter()
            history.record(*reading(job="timed"))
            kept.append(time.perf_counter() - began)
    few, many = (statistics.median(kept) * 1000 for kept in times)
    print(f"one answer: {few:.3f} ms with one job, {many:.3f} ms with all")
    print(f"ratio: {many / few:.2f}")
    for history in histories:
        history.close()


def _compare_tinydb(scratch: Path, options: argparse.Namespace) -> None:
    jobs, taps = options.tinydb_jobs, 20
    database = TinyDB(scratch / "plain.json")
    job = {"opened": opened()[1], "readings": [reading()[1] for _ in range(options.answers)]}
    database.insert_multiple(Document(job, number + 1) for number in range(jobs))
    plain = _median_ms(lambda: _add_to(database, jobs // 2), taps)
    _fill(scratch / "same", jobs, options.answers)
    history = History.open(FileDirectory(scratch / "same"))
    ours = _median_ms(lambda: history.record(*reading(job=f"job-{jobs // 2}")), taps)
    history.close()
    database.close()
    print(
        f"{jobs} jobs: TinyDB's own file {plain:.1f} ms, ours {ours:.3f} ms:"
        f" {plain / ours:.0f} times"
    )


def _add_to(database: TinyDB, job: int) -> None:
    def add(document: dict[str, list[object]]) -> None:
        document["readings"].append(reading()[1])

    database.update(add, doc_ids=[job])


def _median_ms(tap: Taps, taps: int) -> float:
    times = []
    for _ in range(taps):
        began = time.perf_counter()
        tap()
        times.append(time.perf_counter() - began)
    return statistics.median(times) * 1000


if __name__ == "__main__":
    main()

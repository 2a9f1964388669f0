"""How what a history costs grows with its length: opened, imported, merged, whatever its shape.

    python -m tests.benchmarks.bench_linear [--entries 2000] [--doublings 3] [--turns 2]
    python -m tests.benchmarks.bench_linear --only "merge: forks"

Each row is one shape of history at several lengths, each twice the one before: processor time of
the longest, and the exponent of growth (the slope of log time over log length): 1 is linear, 2 is
quadratic. Everything is in memory, so that no disc is measured.
"""

from __future__ import annotations

import argparse
import math
import time
from collections.abc import Callable, Iterator
from functools import partial

from logic.history import History, MemoryDirectory
from logic.history.exchange.portable import pack
from shared.events import Event
from tests.benchmarks import histories
from tests.benchmarks.histories import BENCH, STORIES, chained, journal, visits
from tests.logic.history.factory import open_history

Work = Callable[[], object]
Prepared = Callable[..., Work]
"""Given the `count` of entries, gets everything ready and gives the work that is timed."""
Order = Callable[[list[Event]], list[Event]]
ORDERS: dict[str, Order] = {
    "every second entry": histories.every_second,
    "latest first": histories.latest_first,
    "in no order": histories.mixed,
    "half of them twice": histories.twice,
}
HARMS = {
    "one byte damaged": histories.one_byte_damaged,
    "every tenth line damaged": histories.every_tenth_line_damaged,
    "false lengths": histories.false_lengths,
}
OTHERS: dict[str, Order] = {
    "the same again": list,
    "the same in no order": histories.mixed,
    "forks": histories.forked,
    "forks, latest first": lambda events: histories.latest_first(histories.forked(events)),
    "forks in no order": lambda events: histories.mixed(histories.forked(events)),
}


def opening(
    story: Callable[[int], Iterator[histories.Entry]],
    order: Order = list,
    harm: Callable[[dict[str, bytearray]], dict[str, bytearray]] = dict,
    count: int = 0,
) -> Work:
    """Opening a journal without a snapshot."""
    files = harm(journal(order(list(chained(story(count))))))
    return lambda: open_copy(files)


def open_copy(files: dict[str, bytearray]) -> History:
    """A history of a copy of these files."""
    return open_history(MemoryDirectory({name: bytearray(data) for name, data in files.items()}))


def importing(
    story: Callable[[int], Iterator[histories.Entry]],
    order: Order = list,
    count: int = 0,
) -> Work:
    """Importing a history file into an empty history."""
    data = pack(order(list(chained(story(count)))), BENCH, "1.0")
    return lambda: open_history().merge(data)


def merging(other: Order, count: int = 0) -> Work:
    """Importing a history file into a history that holds others of the same numbers."""
    events = list(chained(visits(count, 10)))
    files, data = journal(events), pack(other(events), BENCH, "1.0")
    return lambda: open_copy(files).merge(data)


def filling_gaps(order: Order, count: int = 0) -> Work:
    """Importing the half of the entries that was missing."""
    events = list(chained(visits(count, 3)))
    files, data = journal(events[::2]), pack(order(events[1::2]), BENCH, "1.0")
    return lambda: open_copy(files).merge(data)


def earlier_ones(count: int = 0) -> Work:
    """Importing entries of the same visit that were all made before those that are here."""
    story = list(histories.one_document(count // 2))
    early = list(chained((("e0", kind, body) for _, kind, body in story), 1_600_000_000_000))
    files, data = journal(chained(story)), pack(early, BENCH, "1.0")
    return lambda: open_copy(files).merge(data)


def rows() -> dict[str, Prepared]:
    """Every shape by its name."""
    found: dict[str, Prepared] = {}
    for name, story in STORIES.items():
        found[f"open: {name}"] = partial(opening, story)
        found[f"import: {name}"] = partial(importing, story)
    for name, order in ORDERS.items():
        found[f"open: {name}"] = partial(opening, visits, order)
        found[f"import: {name}"] = partial(importing, visits, order)
    for name, harm in HARMS.items():
        found[f"open: {name}"] = partial(opening, visits, list, harm)
    for name, other in OTHERS.items():
        found[f"merge: {name}"] = partial(merging, other)
    found["merge: what was missing"] = partial(filling_gaps, list)
    found["merge: what was missing, in no order"] = partial(filling_gaps, histories.mixed)
    found["merge: earlier ones of the same visit"] = earlier_ones
    return dict(sorted(found.items()))


def seconds(work: Work, turns: int) -> float:
    """The least processor time of a few turns."""
    times = []
    for _ in range(turns):
        began = time.process_time()
        work()
        times.append(time.process_time() - began)
    return min(times)


def exponent(lengths: list[int], times: list[float]) -> float:
    """The slope of the straight line through log time over log length, by least squares."""
    xs, ys = [math.log(n) for n in lengths], [math.log(t) for t in times]
    mean_x, mean_y = sum(xs) / len(xs), sum(ys) / len(ys)
    above = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True))
    return above / sum((x - mean_x) ** 2 for x in xs)


def main() -> None:
    """Print a row for each shape."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=2000, help="of the shortest history")
    parser.add_argument("--doublings", type=int, default=3)
    parser.add_argument("--turns", type=int, default=2)
    parser.add_argument("--only", default="", help="rows whose name has this")
    asked = parser.parse_args()
    lengths = [asked.entries * 2**step for step in range(asked.doublings + 1)]
    print(f"{'processor time at ' + str(lengths[-1]) + ' entries':<55}{'s':>8}{'exponent':>10}")
    for name, prepared in rows().items():
        if asked.only in name:
            times = [seconds(prepared(count=length), asked.turns) for length in lengths]
            print(f"{name:<55}{times[-1]:8.2f}{exponent(lengths, times):10.2f}", flush=True)


if __name__ == "__main__":
    main()

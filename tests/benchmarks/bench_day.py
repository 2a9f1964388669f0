"""What four hours at the bench leave behind: what is held and how fast it answers, then and now.

    python -m tests.benchmarks.bench_day [--taps 2880] [--pictures FOLDER] [--site FOLDER]

One tap every five seconds for four hours, as fast as the screen answers: jobs walked, planned, cut
to the proof and handed over, taken back and gone home from; quick checks, instruments, settings and
records looked through; the phone turned and sent to the background. The app's clock goes with the
taps. No server and no network after the first visit.

Printed: what is held at the start of the day, after each hour and at its end, each after everything
that can be collected was; how much of the device a recorded entry takes; times from tap to changed
screen in the first and the last tenth; what was recorded beside what was acknowledged, in memory
and again after a reload. The day starts after a warm-up of four rounds, each a job from the bench
to its sheet and a look through all the rooms: by then every module is imported and every kind of
instrument was on the bench once. What was held after the first of them stands beside it. Memory
that Python was given counts whole, as it is never given back.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

from playwright.sync_api import sync_playwright

from shared.units import Length
from tests.benchmarks.sites import site_or_built
from tests.browser.harness import AS_SHARP, PHONE, Visit, kept, launch, serving, visiting
from tests.browser.memory import Held, Inside, resident_bytes
from tests.browser.tireless import Tireless

SIDEWAYS = {"width": PHONE["height"], "height": PHONE["width"]}
TAP_EVERY_S = 5
KINDS = ("electric guitar", "bass guitar", "tenor ukulele", "mandolin")
WARM_UP = len(KINDS)
"""Rounds before the day starts."""
AN_HOUR = 3600 // TAP_EVERY_S
STROKE_MM = 0.016
LIGHT_MM = 0.015
MOST_IN_A_ROW = 60
"""More answers than any walk or cut takes."""
ANSWERS = ("answer-none", "answer-light", "answer-heavy", "answer-clean")
# The app's clock stands still but for the taps.
CLOCK = """
import types
began = history.now_ms()
clock = types.SimpleNamespace(seconds=0)
clock.now_ms = lambda: began + int(clock.seconds * 1000)
history._state.clock = clock
object.__setattr__(shell, "now_s", lambda: clock.seconds)
"""
KINDS_RECORDED = """
import collections, json
json.dumps(collections.Counter(str(event.kind) for event in history.events_after({})))
"""
ENTRIES = "sum(history.vector.values())"
ON_THE_DEVICE = """
sum(history.journal.directory.open(each.name).size() for each in history.journal.segments)
"""
HISTORY = """
import gc
from mobile.shell import Shell
gc.unfreeze()
(shell,) = (each for each in gc.get_objects() if isinstance(each, Shell))
history = shell._work.app.history
gc.collect()
gc.freeze()
"""


@dataclass
class Day:
    """One technician's day; the strings have true clearances and answers are true of them."""

    hand: Tireless
    inside: Inside
    chance: random.Random
    did: Counter[str] = field(default_factory=Counter)
    """What was done and acknowledged, by what it records."""
    begun_jobs: int = 0
    string: int = 0

    def tap(self, mark: str) -> None:
        """One tap, five seconds after the last."""
        self.inside.python(f"clock.seconds += {TAP_EVERY_S}")
        self.hand.tap(mark)

    def go(self, *marks: str) -> None:
        """One tap after another."""
        for mark in marks:
            self.tap(mark)

    def job(self) -> None:
        """A job from what lies on the bench to the sheet."""
        kind = KINDS[self.begun_jobs % len(KINDS)]
        self.begun_jobs += 1
        self.go("new-job", f"kind-{kind}", "go-on", "all-true")
        self._until("asked", lambda: "skip")
        truth: dict[int, float] = {}
        self._until("measure", lambda: self._answer(truth))
        self._look_through_the_plan()
        self._cut(truth)
        self.tap("hand-over")
        self.tap("close" if self.begun_jobs % 3 else "back")
        self._home()

    def rooms(self) -> None:
        """The other rooms, a quick check among them, and the light changed for a while."""
        self.tap("instruments")
        self.tap(self._one("instrument-"))
        if "quick-check" in self.hand.sees():
            self.tap("quick-check")
            truth: dict[int, float] = {}
            self._until("found", lambda: self._answer(truth))
            self.tap("done")
        self._home()
        self.go("kit", "back", "records", "back", "settings", "theme-sun", "theme-night", "back")
        self.did["setting.changed"] += 2

    def turned(self) -> None:
        """Some of the work with the phone on its side, and a while in the background."""
        self.hand.turn(SIDEWAYS)
        jobs = self._all("job-")
        if jobs:
            self.tap(self.chance.choice(sorted(jobs)))
            self._home()
        self.inside.lifecycle("frozen")
        self.inside.lifecycle("active")
        self.hand.turn(PHONE)

    def _look_through_the_plan(self) -> None:
        for mark in sorted(self._all("line-"))[:3]:
            self.go(mark, "back")
        self.go("what-if", "less-gauge", "more-attack", "forget", "back")

    def _cut(self, truth: dict[int, float]) -> None:
        """The first slot that is to be lowered, to its proof."""
        for mark in sorted(self._all("line-")):
            self.tap(mark)
            if "cut" in self.hand.sees():
                self.string = int(mark.removeprefix("line-"))
                self.tap("cut")
                self._until("measure", lambda: self._file_or_answer(truth))
                return
            self.tap("back")

    def _file_or_answer(self, truth: dict[int, float]) -> str:
        seen = self.hand.sees()
        if "filed" in seen:
            made = re.search(r"\d+", self.hand.read("filed"))
            truth[self.string] -= int(made[0] if made else 1) * STROKE_MM
            self.did["pass.filed"] += 1
            return "filed"
        return "prove" if "prove" in seen else self._answer(truth)

    def _string(self) -> int:
        """The string that is asked about: the one that is cut, where none is named."""
        found = re.search(r"String (\d+)", self.hand.read("asked"))
        self.string = int(found[1]) if found else self.string
        return self.string

    def _leaves_mm(self) -> float | None:
        """The leaf, or two together, that is to be slid in."""
        found = re.search(r": ([\d.+ ]+) thou", self.hand.read("asked"))
        if not found:
            return None
        return sum(Length.parse(f"{leaf} thou").mm for leaf in found[1].split("+"))

    def _answer(self, truth: dict[int, float]) -> str:
        """The answer that is true; now and then the last one is taken back first."""
        if self.chance.random() < 0.05 and self.hand.times_ms[-1][0] in ANSWERS:
            self.did["undone"] += 1
            return "undo"
        if "answer-clean" in self.hand.sees():
            self.did["answer"] += 1
            return "answer-clean"
        height = truth.setdefault(self._string(), self.chance.uniform(0.35, 0.95))
        leaves_mm = self._leaves_mm()
        if leaves_mm is None:
            return "skip"  # no leaf of the bag tells more
        gap = height - leaves_mm
        self.did["answer"] += 1
        if abs(gap) <= LIGHT_MM:
            return "answer-light"
        return "answer-none" if gap > 0 else "answer-heavy"

    def _until(self, there: str, mark: Callable[[], str]) -> None:
        for _ in range(MOST_IN_A_ROW):
            if there in self.hand.sees():
                return
            self.tap(mark())
        raise AssertionError(f"never came to {there}")

    def _all(self, beginning: str) -> list[str]:
        return [mark for mark in self.hand.sees() if mark.startswith(beginning)]

    def _one(self, beginning: str) -> str:
        return self.chance.choice(sorted(self._all(beginning)))

    def _home(self) -> None:
        self._until("instruments", lambda: "back")


@dataclass(frozen=True)
class Moment:
    """What is held, resident and recorded at one moment; asking for it leaves nothing behind."""

    held: Held
    resident: int
    on_the_device: int
    """Bytes of the journal."""
    entries: int

    @classmethod
    def of(cls, inside: Inside) -> Moment:
        """Now."""
        journal, entries = int(inside.python(ON_THE_DEVICE)), int(inside.python(ENTRIES))
        return cls(inside.held(), resident_bytes(inside.page), journal, entries)


def a_day(visit: Visit, taps: int, pictures: Path | None) -> None:
    """Work `taps` taps and print what they came to."""
    hand, inside = Tireless(visit.page), Inside(visit.page)
    inside.python(HISTORY + CLOCK)
    day = Day(hand, inside, random.Random(1))
    _round(day)
    first = Moment.of(inside)
    for _ in range(WARM_UP - 1):
        _round(day)
    moments, warm = [Moment.of(inside)], len(hand.times_ms)
    while len(hand.times_ms) - warm < taps:
        _round(day)
        if (len(hand.times_ms) - warm) // AN_HOUR >= len(moments):
            moments.append(Moment.of(inside))
    end = Moment.of(inside)
    recorded: dict[str, int] = json.loads(inside.python(KINDS_RECORDED))
    _say_held([first, *moments[: max(1, taps // AN_HOUR)], end])
    _say_journal(moments[0], end)
    _say_times(hand.times_ms[warm:])
    _say_recorded(day.did, recorded)
    _photograph(visit, pictures, "end")
    visit.reload()
    after = Inside(visit.page)
    after.python(HISTORY)
    again = json.loads(after.python(KINDS_RECORDED))
    print(f"  the same after a reload without a network: {again == recorded}")
    _photograph(visit, pictures, "reloaded")


def _round(day: Day) -> None:
    day.job()
    day.rooms()
    day.turned()


def _photograph(visit: Visit, pictures: Path | None, name: str) -> None:
    if pictures:
        visit.page.screenshot(path=pictures / f"{name}.png")


def _say_held(moments: list[Moment]) -> None:
    hours = [f"{hour} h" for hour in range(1, len(moments) - 2)]
    columns = "".join(f"{name:>9}" for name in ("1 round", "start", *hours, "end", "ratio"))
    print(f"{'held (MB, or a count)':<34}{columns}")
    held = [moment.held for moment in moments]
    rows = [("page, worker and Python", [each.bytes / 1e6 for each in held])]
    for name in ("page_bytes", "worker_bytes", "python_bytes"):
        rows.append(
            (f"  {name.removesuffix('_bytes')}", [getattr(each, name) / 1e6 for each in held])
        )
    rows.append(("resident, as the system counts", [each.resident / 1e6 for each in moments]))
    for name in ("objects", "nodes", "listeners"):
        rows.append((name, [float(getattr(each, name)) for each in held]))
    for name, values in rows:
        written = "".join(f"{value:>9.1f}" for value in values)
        print(f"  {name:<32}{written}{values[-1] / values[1]:>9.2f}")


def _say_journal(start: Moment, end: Moment) -> None:
    entries = end.entries - start.entries
    written, python = (
        end.on_the_device - start.on_the_device,
        end.held.python_bytes - start.held.python_bytes,
    )
    print(f"{entries} entries: {written / entries:.0f} bytes each on the device,", end=" ")
    print(f"{python / entries:.0f} more in Python's memory")


def _say_times(times: list[tuple[str, float]]) -> None:
    answers = [ms for mark, ms in times if mark in ANSWERS]
    others = [ms for mark, ms in times if mark not in ANSWERS]
    hours = len(times) * TAP_EVERY_S / 3600
    print(f"{len(times)} taps, {hours:.1f} hours of them; {len(others)} led to another screen")
    print(f"{'tap to changed screen (ms)':<34}{'first':>10}{'last':>10}{'ratio':>7}")
    for name, taken in (("answers", answers), ("others", others)):
        tenth = max(1, len(taken) // 10)
        first, last = sorted(taken[:tenth]), sorted(taken[-tenth:])
        for what, of in (("10th percentile", _p10), ("median", median), ("95th", _p95)):
            one, two = of(first), of(last)
            print(f"  {f'{name}, {what}':<32}{one:>10.0f}{two:>10.0f}{two / one:>7.2f}")


def _p10(times: list[float]) -> float:
    """What it takes where nothing else is going on: other work on the machine does not move it."""
    return times[len(times) // 10]


def _p95(times: list[float]) -> float:
    return times[int(len(times) * 0.95)]


def _say_recorded(did: Counter[str], recorded: dict[str, int]) -> None:
    answers = recorded["reading.taken"] + recorded["proof.taken"]
    pairs = [("answer", answers)]
    pairs += [(kind, recorded[kind]) for kind in ("pass.filed", "undone", "setting.changed")]
    print(f"recorded: {sum(recorded.values())} entries")
    for kind, entries in pairs:
        print(f"  {kind:<32}{did[kind]:>10} done{entries:>8} recorded")


def main() -> None:
    """Build the site, or take the one that is given, and work a day in it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--taps", type=int, default=4 * 3600 // TAP_EVERY_S)
    parser.add_argument("--pictures", type=Path, help="keep pictures of the last screens here")
    parser.add_argument("--site", type=Path, help="a site that is built already")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = site_or_built(given.site, Path(folder))
        browser = launch(playwright)
        with serving(site) as server, visiting(browser, **AS_SHARP) as visit:
            visit.open(server.address)
            kept(visit.page)
            server.kill()
            visit.context.set_offline(True)
            a_day(visit, given.taps, given.pictures)
        browser.close()


if __name__ == "__main__":
    main()

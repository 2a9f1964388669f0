"""What long lists cost: a bench with thousands of instruments and jobs beside one with twenty.

    python -m tests.benchmarks.bench_lists [--jobs 10000] [--open 300] [--site FOLDER]

Both histories are made here, planted in the browser's private files before the app is first opened,
and driven in one run: home and the list of instruments shown, its pages turned, words written to
find one by, the list scrolled by a finger, a job opened and its plan shown. A letter finds fewer of
twenty than fill a page, so how many rows are drawn for it is printed beside what it took. Frames
are the page's own while the finger moves; they are drawn without a graphics processor here.
"""

from __future__ import annotations

import argparse
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from shutil import copytree
from statistics import median
from time import perf_counter
from typing import Any

from playwright.sync_api import TimeoutError, sync_playwright

from logic.history import History, MemoryDirectory
from logic.history.storage.store import read_all
from logic.jobfiles.reading import kinds, preset_instrument, preset_kit
from logic.trade_loader import load_trade_tables
from shared.events import Kind
from tests.benchmarks.sites import site_or_built
from tests.browser.harness import AS_SHARP, Visit, launch, serving, visiting
from tests.browser.tireless import Tireless
from tests.logic.history.factory import Ticking

FOLDER = "nutwright-history"
"""Where the browser keeps the history's files (`mobile/device/private_files.py`)."""
FEW = 20
OWNERS = ("Alder Row", "Stage hire", "School of music", "")
COLOURS = ("Amber", "Blue", "Copper", "Dusk", "Ebony", "Fern", "Grey", "Honey", "Ivory", "Jet")
SHAPES = ("offset", "single cut", "double cut", "parlour", "long neck", "archtop", "hollow")
PLANT = """async ({ folder, from, names }) => {
    const root = await navigator.storage.getDirectory();
    const place = await root.getDirectoryHandle(folder, { create: true });
    for (const name of names) {
        const file = await (await place.getFileHandle(name, { create: true })).createWritable();
        await file.write(await (await fetch(`${from}/${name}`)).arrayBuffer());
        await file.close();
    }
}"""
LISTED = """() => Array.from(
    document.querySelectorAll('[flt-semantics-identifier^="instrument-"]'),
    (each) => each.getAttribute('flt-semantics-identifier')).join()"""
SAME_MS = 3000
"""By then a list that is to change has."""
# Notes how far apart frames are until told to stop.
WATCH_FRAMES = """() => {
    const frames = window.frames_ms = [];
    let last = performance.now();
    window.watching = true;
    const look = (now) => {
        frames.push(now - last);
        last = now;
        if (window.watching) requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
}"""
FRAMES = "() => { window.watching = false; return window.frames_ms.slice(1); }"


def a_bench(folder: Path, jobs: int, still_open: int) -> Path:
    """A folder with the files of a history of as many instruments, each with one job."""
    trade, directory = load_trade_tables(), MemoryDirectory()
    history, kit = History.open(directory, Ticking()), preset_kit(trade)
    made = {"string": 1, "strokes": 3, "file": str(kit.files[0])}
    presets = [preset_instrument(kind, trade) for kind in kinds(trade)]
    for number in range(jobs):
        colour, shape = COLOURS[number % len(COLOURS)], SHAPES[number % len(SHAPES)]
        told = {"label": f"{colour} {shape} {number}", "owner": OWNERS[number % len(OWNERS)]}
        value = presets[number % len(presets)].model_copy(update=told)
        instrument, job = f"instrument-{number}", f"job-{number}"
        opened = {"job": job, "instrument": instrument, "value": value, "kit": kit}
        happened: list[tuple[Kind, dict[str, Any]]] = [
            (Kind.INSTRUMENT_SAVED, {"instrument": instrument, "value": value}),
            (Kind.JOB_OPENED, opened | {"player": {"attack": "medium"}, "complaint": ""}),
            *((Kind.READING_TAKEN, _reading(job, string)) for string in (1, 2, 3, 4)),
            (Kind.PASS_FILED, {"job": job, "pass": made}),
            (Kind.READING_TAKEN, _reading(job, 1)),
            (Kind.PLACE_MOVED, {"job": job, "place": "walk:2"}),
        ]
        if number < jobs - still_open:
            happened.append((Kind.JOB_CLOSED, {"job": job, "reason": "handed over"}))
        history.record_all(happened)
    history.save_snapshot()
    history.close()
    folder.mkdir(exist_ok=True)
    for name in directory.names():
        (folder / name).write_bytes(read_all(directory.open(name)))
    return folder


def _reading(job: str, string: int) -> dict[str, Any]:
    return {"job": job, "reading": {"string": string, "leaf": "0.018 in", "contact": "light"}}


@dataclass
class Bench:
    """One person's browser with a history in it."""

    visit: Visit
    hand: Tireless
    start_ms: float
    taken: dict[str, list[float]] = field(default_factory=dict)

    @classmethod
    def planted(cls, visit: Visit, address: str, files: Path) -> Bench:
        """Plant `files`, open the app on them twice, and time the second start."""
        names = sorted(file.name for file in files.iterdir())
        visit.page.goto(f"{address}manifest.json")
        visit.page.evaluate(PLANT, {"folder": FOLDER, "from": files.name, "names": names})
        visit.open(address)
        began = perf_counter()
        visit.reload()
        return cls(visit, Tireless(visit.page), (perf_counter() - began) * 1000)

    def time(self, name: str, *marks: str) -> None:
        """Tap these and note what the last one took."""
        self.hand.tap(*marks)
        self.taken.setdefault(name, []).append(self.hand.times_ms[-1][1])

    def a_round(self, number: int) -> None:
        """Through the lists once."""
        self.time("list of instruments shown", "instruments")
        if "later" in self.hand.sees():
            self.time("page turned", "later")
            self.time("page turned", "earlier")
        self._find(("amber", "blue off", "stage", "17")[number % 4])
        self._scroll()
        self.taken.setdefault("marks in the list", []).append(len(self.hand.sees()))
        instrument = next(m for m in sorted(self.hand.sees()) if m.startswith("instrument-"))
        self.time("instrument shown", instrument)
        self.time("list of instruments shown", "back")
        self.time("home shown", "back")
        self._scroll("home")
        job = next(mark for mark in sorted(self.hand.sees()) if mark.startswith("job-"))
        self.time("job opened", job)
        if "plan" in self.hand.sees():
            self.time("plan shown", "plan")
        self.time("home shown", "back")

    def pictures(self, folder: Path) -> None:
        """What home and the list of instruments look like."""
        self.visit.page.screenshot(path=folder / "home.png")
        self.hand.tap("instruments")
        self.visit.page.wait_for_timeout(1000)
        self.visit.page.screenshot(path=folder / "instruments.png")

    def _find(self, words: str) -> None:
        """Write, letter by letter as a hand does, and note when the list has followed."""
        page = self.visit.page
        field = page.locator("flt-semantics-host input").first
        field.click()
        for letter in words:
            before = page.evaluate(LISTED)
            began = perf_counter()
            page.keyboard.type(letter)
            if self._another(before):
                self.taken.setdefault("letter written", []).append((perf_counter() - began) * 1000)
                rows = len(page.evaluate(LISTED).split(","))
                self.taken.setdefault("rows drawn for it", []).append(rows)
        for _ in words:
            page.keyboard.press("Backspace")
        page.wait_for_timeout(300)

    def _another(self, before: str) -> bool:
        """Whether the list comes to show others; one letter more may find the same."""
        try:
            self.visit.page.wait_for_function(
                f"(before) => ({LISTED})() !== before", arg=before, timeout=SAME_MS
            )
        except TimeoutError:
            return False
        return True

    def _scroll(self, where: str = "list") -> None:
        """Draw the list up and down with a finger, and note the time between frames."""
        page = self.visit.page
        page.evaluate(WATCH_FRAMES)
        cdp = page.context.new_cdp_session(page)
        for way in (-1, -1, -1, 1, 1):
            gesture = {"x": 195, "y": 450, "yDistance": way * 320, "speed": 1600}
            cdp.send("Input.synthesizeScrollGesture", gesture)
        cdp.detach()
        self.taken.setdefault(f"frame while {where} moves", []).extend(page.evaluate(FRAMES))


def main() -> None:
    """Make both histories, drive both, and print them beside each other."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=10_000)
    parser.add_argument("--open", type=int, default=300, help="jobs that are not closed")
    parser.add_argument("--rounds", type=int, default=6)
    parser.add_argument("--pictures", type=Path, help="keep pictures of the long lists here")
    parser.add_argument("--site", type=Path, help="a site that is built already")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = Path(copytree(site_or_built(given.site, Path(folder)), Path(folder) / "planted"))
        browser = launch(playwright)
        few = a_bench(site / "planted-few", FEW, FEW)
        many = a_bench(site / "planted-many", given.jobs, given.open)
        with (
            serving(site) as server,
            visiting(browser, **AS_SHARP) as one,
            visiting(browser, **AS_SHARP) as other,
        ):
            short = Bench.planted(one, server.address, few)
            long = Bench.planted(other, server.address, many)
            for number in range(given.rounds):
                for bench in (short, long):
                    bench.visit.page.bring_to_front()
                    bench.a_round(number)
            _compare(short, long)
            if given.pictures:
                long.pictures(given.pictures)
        browser.close()


def _compare(short: Bench, long: Bench) -> None:
    print(f"{'milliseconds, or a count':<36}{'few':>8}{'many':>8}{'ratio':>7}")
    _line("start", short.start_ms, long.start_ms)
    for name in long.taken:
        few, many = sorted(short.taken.get(name, ())), sorted(long.taken[name])
        if few:
            _line(f"{name}, median", median(few), median(many))
            _line(f"{name}, 95th percentile", _p95(few), _p95(many))
        else:
            print(f"  {f'{name}, median':<34}{'':>8}{median(many):>8.0f}")


def _line(name: str, few: float, many: float) -> None:
    print(f"  {name:<34}{few:>8.0f}{many:>8.0f}{many / few:>7.2f}")


def _p95(times: list[float]) -> float:
    return times[int(len(times) * 0.95)]


if __name__ == "__main__":
    main()

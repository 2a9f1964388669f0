"""Years of work at a bench, made on this machine and put into a browser's private files."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

from logic.history import FileDirectory, History
from shared.events import Kind
from tests.logic.history.factory import opened, reading

INSTRUMENTS = 3000
ON_THE_BENCH = 12
"""Jobs of the last days, still open; all before them were handed over."""
# Copies files that the page's own host serves into the folder that the app keeps its history in.
_PUT = """async (names) => {
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle("nutwright-history", { create: true });
  for (const name of names) {
    const file = await folder.getFileHandle(name, { create: true });
    const from = await fetch("years/" + name);
    await from.body.pipeTo(await file.createWritable());
  }
}"""


def make_years(folder: Path, jobs: int, answers: int = 48) -> int:
    """A history of `jobs` jobs with as many answers each, in `folder`; how many entries it has."""
    history = History.open(FileDirectory(folder))
    for number in range(jobs):
        job = f"job-{number}"
        taken = [reading(6 if each % 2 else 1, job=job) for each in range(answers)]
        closing = [(Kind.JOB_CLOSED, {"job": job, "reason": "handed over"})]
        over = closing if number < jobs - ON_THE_BENCH else []
        history.record_all([opened(job, f"instrument-{number % INSTRUMENTS}"), *taken, *over])
        if number % 500 == 499:
            history.save_snapshot()
    history.save_snapshot()
    entries = sum(history.vector.values())
    history.close()
    return entries


def put_into(page: Page, folder: Path) -> None:
    """Give the browser of `page` the history in `folder`, which its host serves as `years/`."""
    names = [path.name for path in sorted(folder.iterdir()) if path.stat().st_size]
    page.evaluate(_PUT, names)

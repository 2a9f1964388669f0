"""Home with years of jobs on the bench: what it lists, and what it looks at for that."""

from __future__ import annotations

import pytest

from logic.app.presenters.home import home_view
from logic.history.documents import index
from logic.history.documents.models import JobSummary
from tests.logic.history.factory import open_history

COUNT = 10_000


def test_ten_thousand_open_jobs_are_counted_and_the_latest_are_listed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Sixty lines, newest first, and how many more there are; only the listed ones are read."""
    history = open_history()
    jobs = {f"j{n}": _line(n) for n in range(COUNT)}
    history.queries.index.load({"job": jobs, "instrument": {}, "kit": {}})
    read: list[str] = []

    class Noted:
        @staticmethod
        def model_validate(line: dict[str, object]) -> JobSummary:
            read.append(str(line["id"]))
            return JobSummary.model_validate(line)

    monkeypatch.setattr(index, "JobSummary", Noted)
    home = home_view(history)
    newest = [f"j{COUNT - 1 - n}" for n in range(60)]
    assert [line.job for line in home.jobs] == read == newest
    assert home.more == COUNT - 60
    touched = history.last_touched()
    assert touched and touched.id == "j0"


def _line(n: int) -> dict[str, object]:
    """Opened one after the other, and worked on in the other order."""
    line: dict[str, object] = {"id": f"j{n}", "instrument_id": None, "label": "", "open": True}
    line |= {"opened": f"{n}.0", "changed": f"{COUNT - n}.0"}
    return line | {"kind": "mandolin", "place": "walk:1"}

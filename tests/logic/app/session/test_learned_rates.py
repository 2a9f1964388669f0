"""What the latest jobs teach is worked out once a job, and again once a job has changed."""

from __future__ import annotations

import pytest

from logic.app.session.learned_rates import LearnedRates
from logic.history.documents.models import JobDocument
from logic.history.history import History
from logic.jobfiles.reading import preset_instrument, preset_kit
from logic.testing import TRADE
from shared.events import Kind
from tests.logic.history.factory import open_history, reading


def filed_at(history: History, job: str, strokes: int = 3) -> None:
    """A job where one slot was read, filed and read again."""
    value, kit = preset_instrument("electric guitar", TRADE), preset_kit(TRADE)
    opened = {"job": job, "instrument": "i", "value": value, "kit": kit, "complaint": ""}
    made = {"string": 6, "strokes": strokes, "file": str(kit.files[0])}
    history.record(Kind.JOB_OPENED, opened | {"player": {"attack": "medium"}})
    history.record(*reading(6, "0.030 in", job=job))
    history.record(Kind.PASS_FILED, {"job": job, "pass": made})
    history.record(*reading(6, "0.028 in", job=job))


def test_a_job_is_asked_once_until_it_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second asking reads no job, one more entry lets its own job be read again, and what is
    answered is what somebody learns who begins from nothing."""
    history = open_history()
    for job in ("j1", "j2", "j3"):
        filed_at(history, job)
    lessons, read = LearnedRates(history, TRADE), list[str]()
    one_job = history.job

    def noted(name: str) -> JobDocument | None:
        read.append(name)
        return one_job(name)

    monkeypatch.setattr(history, "job", noted)
    assert len(lessons.slots(but="j3")) == 2
    assert sorted(read) == ["j1", "j2"]
    lessons.slots(but="j3")
    assert len(read) == 2
    filed_at(history, "j4")
    history.record(*reading(6, "0.026 in", job="j2"))
    again = lessons.slots(but="j3")
    assert sorted(read[2:]) == ["j2", "j4"]
    assert again == LearnedRates(history, TRADE).slots(but="j3")
    assert lessons.pace(but="j3") == LearnedRates(history, TRADE).pace(but="j3")

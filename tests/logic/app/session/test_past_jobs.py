"""What is remembered of past jobs holds, and a day of many instruments does not pile up."""

from __future__ import annotations

from logic.app.session.past_jobs import AT_HAND, PastJobs
from logic.testing import TRADE
from tests.logic.history.factory import open_history, opened, reading


def test_only_the_instruments_at_hand_are_remembered() -> None:
    """However many are looked at, a few are kept, those of the latest looks; each answer is the one
    of somebody who remembers nothing."""
    history = open_history()
    names = [f"i{n}" for n in range(3 * AT_HAND)]
    for name in names:
        for job in (f"{name}-first", f"{name}-second"):
            history.record_all([opened(job, name), reading(6, job=job), reading(1, job=job)])
    past = PastJobs(history, TRADE)
    for name in (*names, names[0], *names[-AT_HAND:]):
        assert past.visits(name) == PastJobs(history, TRADE).visits(name)
        assert len(past.visits(name)) == 2
        assert past.visits(name)[0] is past.visits(name)[0]
        assert len(past._visits) <= AT_HAND
    assert list(past._visits) == names[-AT_HAND:]

"""One string round by round, and what is still to be read after work."""

from __future__ import annotations

from logic.bench.plan.rounds import string_history, unread_after_work
from logic.testing import job_with, mm, number
from shared.job import Job, Pass, Proof, Round
from shared.readings import Buzz, BuzzReading
from shared.work import Work, WorkKind


def worked_on() -> Job:
    """A guitar shimmed after string 6 was read and filed, then filled at string 6."""
    first = Round(
        work=Work(what=WorkKind.SHIM, strings=(1, 2, 3, 4, 5, 6)),
        readings=(number(mm(0.6), 6), number(mm(0.5), 1)),
        passes=(Pass(string=6, strokes=3),),
    )
    second = Round(
        work=Work(what=WorkKind.FILL, strings=(6,)),
        readings=(number(mm(0.2), 6),),
        proofs=(Proof(string=6, buzz=Buzz.SOFT),),
    )
    made = job_with("electric guitar")
    return made.model_copy(
        update={"rounds": (first, second), "readings": (number(mm(0.45), 1), number(mm(0.5), 6))}
    )


def test_a_string_has_as_many_rounds_as_work_touched_it() -> None:
    """Oldest first, each with the work it stood before; the last is still going on."""
    rounds = string_history(worked_on(), 6)
    assert [each.ended_by and each.ended_by.what for each in rounds] == [
        WorkKind.SHIM,
        WorkKind.FILL,
        None,
    ]
    assert [[r.clearance.mm for r in each.readings] for each in rounds] == [[0.6], [0.2], [0.5]]  # type: ignore[attr-defined]
    assert (len(rounds[0].passes), len(rounds[1].proofs)) == (1, 1)
    assert len(string_history(worked_on(), 1)) == 2


def test_a_string_that_nobody_worked_on_has_one_round() -> None:
    """There is always one that is going on."""
    (only,) = string_history(job_with("electric guitar"), 3)
    assert (only.readings, only.ended_by) == ((), None)


def test_what_work_touched_is_unread_until_its_height_is_read() -> None:
    """A buzz alone is no height; a clearance typed at the proof is one."""
    job = worked_on()
    assert unread_after_work(job) == (5, 4, 3, 2)
    heard = (*job.readings, BuzzReading(string=2, buzz=Buzz.NONE))
    assert unread_after_work(job.model_copy(update={"readings": heard})) == (5, 4, 3, 2)
    proved = (Proof(string=2, clearance=mm(0.4)),)
    assert unread_after_work(job.model_copy(update={"proofs": proved})) == (5, 4, 3)

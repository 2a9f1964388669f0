"""Proof: nothing that was worked on is finished in silence."""

from __future__ import annotations

import pytest

from logic.bench.visits.proof import Proven, proven, unproven
from shared.job import Proof
from shared.readings import Buzz
from tests.logic.bench.bench_day import filed, lowered_job


@pytest.mark.parametrize(
    ("proofs", "state"),
    [
        ((), Proven.PLAY_IT),
        ((Proof(string=6),), Proven.PLAY_IT),
        ((Proof(string=6, buzz=Buzz.NONE),), Proven.CLEAN),
        ((Proof(string=6, buzz=Buzz.HARD),), Proven.BUZZES),
        ((Proof(string=6, unproven="owner could not wait"),), Proven.EXCUSED),
        ((Proof(string=6, buzz=Buzz.HARD), Proof(string=6, buzz=Buzz.NONE)), Proven.CLEAN),
    ],
)
def test_the_last_proof_counts(proofs: tuple[Proof, ...], state: Proven) -> None:
    """A filed slot waits to be played, and the latest answer is its proof."""
    assert proven(lowered_job(proofs=proofs), 6) is state


def test_a_pass_after_the_last_reading_is_read_first() -> None:
    """Filed and not read again is not proven, whatever was played before."""
    made = lowered_job(passes=(filed(6, 3, 2), filed(6, 6, 3), filed(6, 1, 5)))
    assert proven(made, 6) is Proven.READ_FIRST
    assert unproven(made) == (6,)


def test_untouched_strings_need_no_proof() -> None:
    """A string that was not worked on does not hold up the job."""
    assert proven(lowered_job(), 1) is Proven.UNTOUCHED
    assert unproven(lowered_job()) == ()


def test_an_unproven_slot_holds_the_job_until_a_reason_is_given() -> None:
    """The job lists the slot; with a reason it may be closed."""
    assert unproven(lowered_job(proofs=())) == (6,)
    assert unproven(lowered_job(proofs=(Proof(string=6, unproven="string broke"),))) == ()

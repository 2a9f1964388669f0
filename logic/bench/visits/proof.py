"""Proof: every string that was worked on is read again, and every one that was filed is played open
too, soft, normal and hard."""

from __future__ import annotations

from enum import StrEnum

from logic.bench.plan.string_belief import was_worked_on
from shared.job import Job, Proof
from shared.readings import Buzz


class Proven(StrEnum):
    """Where the proof of one string stands."""

    UNTOUCHED = "not worked on"
    READ_FIRST = "read it again first"
    READ_SINCE = "read again since"
    PLAY_IT = "play it soft, normal and hard"
    CLEAN = "rings clean"
    BUZZES = "buzzes"
    EXCUSED = "closed without proof"


def proof_of(job: Job, string: int) -> Proof | None:
    """The last proof of one string, if it was taken."""
    taken = [proof for proof in job.proofs if proof.string == string]
    return taken[-1] if taken else None


def cents_noted(job: Job, string: int) -> float | None:
    """What a tuner showed at fret 1 in a proof that still waits for what is heard, cents; None
    where none was kept."""
    proof = proof_of(job, string)
    return proof.cents if proof is not None and proof.buzz is Buzz.UNKNOWN else None


def proven(job: Job, string: int) -> Proven:
    """Where the proof of one string stands. A reading, if not the number of the proof itself,
    must follow the last pass and the last work of another kind; after that a slot that no file was
    in need not be played to be proven."""
    passes = [made for made in job.passes if made.string == string]
    proof = proof_of(job, string)
    worked = was_worked_on(job, string)
    if proof is None and not passes and not worked:
        return Proven.UNTOUCHED
    readings = sum(reading.string == string for reading in job.readings)
    if proof is not None and proof.unproven:
        return Proven.EXCUSED
    numbered = proof is not None and proof.clearance is not None
    unread = not numbered and readings <= (passes[-1].after if passes else 0)
    if unread and (passes or worked):
        return Proven.READ_FIRST
    if proof is None and not passes:
        return Proven.READ_SINCE
    if proof is None or proof.buzz is Buzz.UNKNOWN:
        return Proven.PLAY_IT
    return Proven.CLEAN if proof.buzz is Buzz.NONE else Proven.BUZZES


def unproven(job: Job) -> tuple[int, ...]:
    """Strings that were worked on and not read since, or filed and not proven, and not excused with
    a reason."""
    waiting = (Proven.READ_FIRST, Proven.PLAY_IT)
    strings = (spec.string for spec in job.instrument.strings)
    return tuple(string for string in strings if proven(job, string) in waiting)

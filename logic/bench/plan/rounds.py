"""What happened to one string, round by round, and what is still to be read after work."""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.measuring.kinds import kind_of
from shared.job import Job, Pass, Proof
from shared.readings import BuzzReading, Reading, UnknownReading
from shared.work import Work


@dataclass(frozen=True)
class StringRound:
    """What was read, filed and proved of one string before one piece of work; or, where none has
    followed yet, up to now."""

    readings: tuple[Reading, ...]
    passes: tuple[Pass, ...]
    proofs: tuple[Proof, ...]
    ended_by: Work | None
    """The work that it stood before; None for the round that is still going on."""


def string_history(job: Job, string: int) -> tuple[StringRound, ...]:
    """The rounds of one string, oldest first; the last is the one that is going on, and there is
    always one."""
    rounds = [
        StringRound(
            tuple(one for one in done.readings if one.string == string),
            tuple(one for one in done.passes if one.string == string),
            tuple(one for one in done.proofs if one.string == string),
            done.work,
        )
        for done in job.rounds
        if string in done.work.strings
    ]
    now = StringRound(
        tuple(one for one in job.readings if one.string == string),
        tuple(one for one in job.passes if one.string == string),
        tuple(one for one in job.proofs if one.string == string),
        None,
    )
    return (*rounds, now)


def _of_height(reading: Reading) -> bool:
    says_nothing = isinstance(reading, BuzzReading | UnknownReading)
    return kind_of(reading).only_height and not says_nothing


def unread_after_work(job: Job) -> tuple[int, ...]:
    """The strings that work has touched and whose height nobody has read since, as the instrument
    lists them."""
    worked_on = {string for done in job.rounds for string in done.work.strings}
    read = {one.string for one in job.readings if _of_height(one)}
    read |= {proof.string for proof in job.proofs if proof.clearance is not None}
    strings = (spec.string for spec in job.instrument.strings)
    return tuple(string for string in strings if string in worked_on - read)

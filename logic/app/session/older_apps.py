"""What apps that do not know `work.done`, or where frets can be, are told in place of it.

The first keep the entry and go on with readings that are no longer true, the second reckon with
frets at whole semitones and one scale. So it is answered for them that the saddle was moved, which
bars every cut there; and once all that the work touched is read again, or the board is one that
they know, that it was not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from logic.app.session.actions import Entry
from logic.app.session.open_job import OpenedJob
from logic.bench.plan.rounds import unread_after_work
from shared.events import Kind
from shared.instrument import Instrument
from shared.job import Job, Proof
from shared.readings import Reading

GATE = "saddle_moved"
STALE, READ_AGAIN = "yes", "no"
_FLAGS = ("for_older_apps", "for_apps_without_boards")


def speaks_to_older_apps(body: Mapping[str, Any]) -> bool:
    """Whether an answer speaks to older apps alone."""
    return any(body.get(flag) for flag in _FLAGS)


def for_older_apps(job: str, answer: str) -> Entry:
    """One answer that speaks to older apps alone."""
    body = {"job": job, "gate": GATE, "string": None, "answer": answer, "for_older_apps": True}
    return Kind.CHECK_ANSWERED, body


def freed_for_older_apps(entries: tuple[Entry, ...], work: OpenedJob) -> tuple[Entry, ...]:
    """`entries`, with the word that nothing is stale any more before them, where they read the last
    string that work had touched. Where a technician says that the readings are stale, that stays
    so."""
    held = work.document.said_to_older_apps == STALE
    if not held or work.job.checks.get(GATE) == STALE:
        return entries
    job = with_taken(work.job, entries, work.id)
    if job is work.job or unread_after_work(job) or is_misread_by_older_apps(job.instrument):
        return entries
    return (for_older_apps(work.id, READ_AGAIN), *entries)


def with_taken(job: Job, entries: tuple[Entry, ...], name: str) -> Job:
    """`job` with the readings and proofs that are about to be recorded."""
    own = [(kind, body) for kind, body in entries if body.get("job") == name]
    read = [Reading.model_validate(b["reading"]) for k, b in own if k is Kind.READING_TAKEN]
    proved = [Proof.model_validate(b["proof"]) for k, b in own if k is Kind.PROOF_TAKEN]
    if not (read or proved):
        return job
    more = {"readings": (*job.readings, *read), "proofs": (*job.proofs, *proved)}
    taken: Job = job.model_copy(update=more)
    return taken


# --- boards ---


def is_misread_by_older_apps(instrument: Instrument) -> bool:
    """Whether an app that does not know `board`, or a string's own `scale`, reckons with other
    places of frets than this one."""
    own_scale = any(spec.scale is not None for spec in instrument.strings)
    return own_scale or not instrument.fretboard.is_semitone


def with_boards_guarded(
    entries: tuple[Entry, ...], work_here: Callable[[], OpenedJob | None]
) -> tuple[Entry, ...]:
    """`entries`, each that opens or changes a job on such an instrument followed by what bars a cut
    in apps that misread it; so is an answer that would free them."""
    guarded: list[Entry] = []
    for kind, body in entries:
        guarded.append((kind, body))
        guarded += _guard(kind, body, work_here)
    return tuple(guarded)


def _guard(
    kind: Kind, body: dict[str, Any], work_here: Callable[[], OpenedJob | None]
) -> tuple[Entry, ...]:
    if kind is Kind.JOB_OPENED:
        return _without_boards(body, STALE) if is_misread_by_older_apps(body["value"]) else ()
    if kind is Kind.JOB_CHANGED and body["field"] == "instrument":
        misread = is_misread_by_older_apps(body["value"])
        work = work_here()
        held = work is not None and work.document.said_to_apps_without_boards == STALE
        if misread == held or work is None:
            return ()
        return _without_boards(body, STALE if misread else _answered_there(work))
    if kind is Kind.CHECK_ANSWERED and body["gate"] == GATE and not speaks_to_older_apps(body):
        work = work_here()
        misread = work is not None and is_misread_by_older_apps(work.job.instrument)
        return _without_boards(body, STALE) if misread and body["answer"] != STALE else ()
    return ()


def _answered_there(work: OpenedJob) -> str:
    """What holds for such apps once the board is one that they know: what a technician said, and
    what is stale after work."""
    stale = work.job.checks.get(GATE) == STALE or work.document.said_to_older_apps == STALE
    return STALE if stale else READ_AGAIN


def _without_boards(body: dict[str, Any], answer: str) -> tuple[Entry, ...]:
    said = {"job": body["job"], "gate": GATE, "string": None, "answer": answer}
    return ((Kind.CHECK_ANSWERED, said | {"for_apps_without_boards": True}),)

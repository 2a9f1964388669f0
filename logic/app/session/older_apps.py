"""What apps are told in place of `work.done`, of where frets can be, or of a visit of the whole
instrument, where they do not know it.

The first keep the entry and go on with readings that are no longer true, the second reckon with
frets at whole semitones and one scale, the third go on with what a step has moved and cut before
relief and action are in order. So it is answered for them that the saddle was moved, which bars
every cut there; and once all that the work touched is read again, the board is one that they know,
or nothing of the visit bars a cut, that it was not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from logic.app.session.actions import Entry
from logic.app.session.open_job import OpenedJob
from logic.bench.checks.gates import cuts_wait_for_visit
from logic.bench.plan.rounds import unread_after_work
from shared.events import Kind
from shared.instrument import Instrument
from shared.job import Job, Proof
from shared.readings import Reading
from shared.setup import ReferStep, Scope, SetBackStep, SkipStep

GATE = "saddle_moved"
STALE, READ_AGAIN = "yes", "no"
_FLAGS = ("for_older_apps", "for_apps_without_boards", "for_apps_without_visits")


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
    if work.document.said_to_apps_without_visits == STALE:
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
    said = work.document
    others = (said.said_to_older_apps, said.said_to_apps_without_visits)
    stale = work.job.checks.get(GATE) == STALE or STALE in others
    return STALE if stale else READ_AGAIN


def _without_boards(body: dict[str, Any], answer: str) -> tuple[Entry, ...]:
    said = {"job": body["job"], "gate": GATE, "string": None, "answer": answer}
    return ((Kind.CHECK_ANSWERED, said | {"for_apps_without_boards": True}),)


# --- visits of the whole instrument ---


def with_visits_guarded(
    entries: tuple[Entry, ...], work_here: Callable[[], OpenedJob | None]
) -> tuple[Entry, ...]:
    """`entries`, each that may bar a cut in a visit of the whole instrument followed by what bars
    it in apps that know no such visit; so is an answer that would free them."""
    guarded: list[Entry] = []
    for kind, body in entries:
        guarded.append((kind, body))
        if _may_bar(kind, body) or (_frees(kind, body) and _barred_in_visit(work_here())):
            guarded.append(_without_visits(body["job"], STALE))
    return tuple(guarded)


def said_anew_of_visit(work: OpenedJob) -> Entry | None:
    """What apps that know no such visit are to hear now; None where they know already."""
    bars = cuts_wait_for_visit(work.standing.looked_at)
    held = work.document.said_to_apps_without_visits == STALE
    if bars and not held:
        return _without_visits(work.id, STALE)
    others = unread_after_work(work.job) or is_misread_by_older_apps(work.job.instrument)
    if held and not bars and not others and work.job.checks.get(GATE) != STALE:
        return _without_visits(work.id, READ_AGAIN)
    return None


def _may_bar(kind: Kind, body: dict[str, Any]) -> bool:
    """Whether something that was done, or what the visit is for, may bar every cut."""
    if kind is Kind.SETUP_STEP:
        return not isinstance(body["step"], SkipStep | ReferStep | SetBackStep)
    wide = body.get("field") == "scope" and body.get("value") not in (None, Scope.NUT)
    return kind is Kind.SETUP_CHOSEN and wide


def _frees(kind: Kind, body: dict[str, Any]) -> bool:
    answered = kind is Kind.CHECK_ANSWERED and body["gate"] == GATE
    return answered and body["answer"] != STALE and not body.get("for_apps_without_visits")


def _barred_in_visit(work: OpenedJob | None) -> bool:
    return work is not None and work.document.said_to_apps_without_visits == STALE


def _without_visits(job: str, answer: str) -> Entry:
    said = {"job": job, "gate": GATE, "string": None, "answer": answer}
    return Kind.CHECK_ANSWERED, said | {"for_apps_without_visits": True}

"""What apps that do not know `work.done` are said about the readings that it ends.

Such an app keeps the entry and goes on with readings that are no longer true. So it is answered for
it that the saddle was moved, which bars every cut there; and once all that the work touched is read
again, that it was not.
"""

from __future__ import annotations

from logic.app.session.actions import Entry
from logic.app.session.open_job import OpenedJob
from logic.bench.plan.rounds import unread_after_work
from shared.events import Kind
from shared.job import Job, Proof
from shared.readings import Reading

GATE = "saddle_moved"
STALE, READ_AGAIN = "yes", "no"


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
    if job is work.job or unread_after_work(job):
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

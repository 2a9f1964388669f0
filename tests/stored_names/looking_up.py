"""What a history and a job file of the present version hold, as the golden files have it."""

from __future__ import annotations

from typing import Any

from logic.history import History
from logic.history.exchange.spreadsheet import readings_csv
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from tests.logic.history.factory import documents


def looked_up(history: History) -> dict[str, Any]:
    """What screens read of a history, as JSON: the folded documents, lists and typed jobs."""
    jobs = {line.id: job for line in history.jobs() if (job := history.job(line.id))}
    return {
        "documents": documents(history),
        "jobs": [line.model_dump(mode="json") for line in history.jobs()],
        "instruments": [line.model_dump(mode="json") for line in history.instruments()],
        "typed": {name: job.model_dump(mode="json") for name, job in jobs.items()},
        "as_jobs": {
            name: job.as_job().model_dump(mode="json") for name, job in jobs.items() if job
        },
        "vector": history.vector,
        "spreadsheet": readings_csv(history),
    }


def as_read(text: str) -> dict[str, Any]:
    """A job file as it is read, with what was assumed."""
    job, assumed = read_job(text, TRADE)
    return {
        "job": job.model_dump(mode="json"),
        "assumed": [each.model_dump(mode="json") for each in assumed],
    }

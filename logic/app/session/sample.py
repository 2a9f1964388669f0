"""The sample job: a made-up instrument of a made-up workshop, to play with."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from logic.bench.tables.trade_tables import TradeTables
from logic.jobfiles.reading import read_job
from shared.events import Kind
from shared.job import Job
from shared.words import say


@lru_cache(maxsize=1)
def sample_job(trade: TradeTables) -> Job:
    """The job of `assets/sample.json`, its label saying that it is a sample; read once, since every
    screen of the walk asks whether it shows the sample."""
    job, _ = read_job(trade.sample, trade)
    return job


def is_sample(job: Job, trade: TradeTables) -> bool:
    """Whether it is on the instrument of the sample job."""
    label = sample_job(trade).instrument.label
    return job.instrument.label in (label, say(label))


def begun_events(job: Job, name: str) -> Iterator[tuple[Kind, dict[str, Any]]]:
    """What was answered and read in `job`, as it is recorded under `name`."""
    for gate, answer in job.checks.items():
        answers = answer if isinstance(answer, dict) else {None: answer}
        for string, said in answers.items():
            number = None if string is None else int(string)
            body = {"job": name, "gate": gate, "string": number, "answer": said}
            yield Kind.CHECK_ANSWERED, body
    for reading in job.readings:
        yield Kind.READING_TAKEN, {"job": name, "reading": reading}

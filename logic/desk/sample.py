"""The sample job: a made-up instrument of a made-up workshop, to play with."""

from __future__ import annotations

import json

from logic.bench.trade import Trade
from logic.jobfile import read_job
from shared.job import Job


def sample_job(trade: Trade) -> Job:
    """The job of `assets/sample.json`, its label saying that it is a sample."""
    job, _ = read_job(json.dumps(trade.tables["sample"]), trade)
    return job

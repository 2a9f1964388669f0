"""Prints the calls for one job: what to do with each slot, by how much, with which file, how sure
that is, and why. Figures are guidance: the technician's judgement and local rules stand."""

from __future__ import annotations

import argparse
import json

from logic.bench.plan import make_plan
from logic.commands.job_input import add_job, add_json, add_unit, job_of, unit_of
from logic.commands.plan_table import plan_table
from logic.trade import load_trade


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, a unit for the table, or JSON instead."""
    add_job(parser)
    add_unit(parser)
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Prints the plan; InputError when the job cannot be used."""
    job, assumed = job_of(options)
    plan = make_plan(job, load_trade(), assumed)
    if options.json:
        print(json.dumps(plan.model_dump(mode="json"), ensure_ascii=False, indent=2))
    else:
        print(plan_table(plan, job.instrument, job.player, unit_of(options)))
    return 0

"""Prints the calls for one job: what to do with each slot, and why.

clearance  of the open string over the first fret, with its 95 % interval
window     from the lowest clearance that stays clean to the highest that stays in tune
target     where in the window to aim
slot       how much to cut from the slot's floor, or to add to it
file       how wide a file to take
sure       how likely the call is right

Figures are guidance: the technician's judgement and local workshop rules stand."""

from __future__ import annotations

import argparse
import json

from logic.bench.what_if.what_if import plan_if, what_if
from logic.cli.job_input import add_job, add_json, add_unit, job_of, unit_of
from logic.cli.plan_table import plan_table
from logic.cli.printing import show
from logic.cli.what_if_flags import add_what_if, changes_of
from logic.trade_loader import load_trade_tables
from shared.units import FINE_PLACES


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, a unit for the table, or JSON instead, and what might be different."""
    add_job(parser)
    add_unit(parser, FINE_PLACES, bare_inches=True)
    add_json(parser)
    add_what_if(parser)


def run(options: argparse.Namespace) -> int:
    """Prints the plan; InputError when the job cannot be used."""
    trade = load_trade_tables()
    job, assumed = job_of(options)
    changes = changes_of(options, trade)
    job, plan = what_if(job, changes, trade), plan_if(job, changes, trade, assumed)
    if options.json:
        print(json.dumps(plan.model_dump(mode="json"), ensure_ascii=False, indent=2))
    else:
        show(plan_table(plan, job.instrument, job.player, unit_of(options)))
    return 0

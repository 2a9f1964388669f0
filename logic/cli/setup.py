"""Prints how a visit of the whole instrument stands: its stages, what is known, what comes next.

what       relief of one side of the neck, between the holds named; action of one string
believed   with its 95 % interval; below zero a neck bows back
window     from the lowest to the highest that is wanted: the player's own, else common practice
target     where in the window to aim
stands     below, inside or above the window, as far as it is known

A visit is whole or a check where the job says so: {"setup": {"scope": "whole", "readings": […]}}.
Figures are guidance: the technician's judgement and local workshop rules stand."""

from __future__ import annotations

import argparse
import json

from logic.bench.checks.work_done import as_it_stands
from logic.bench.plan.plan import make_plan
from logic.bench.setup.state import setup_state
from logic.cli.job_input import add_job, add_json, add_unit, job_of, unit_of
from logic.cli.printing import show
from logic.cli.setup_table import setup_table
from logic.trade_loader import load_trade_tables
from shared.units import FINE_PLACES


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, a unit for the table, or the plan as JSON instead."""
    add_job(parser)
    add_unit(parser, FINE_PLACES, bare_inches=True)
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Prints where the visit stands; InputError when the job cannot be used."""
    trade = load_trade_tables()
    job, assumed = job_of(options)
    if options.json:
        plan = make_plan(job, trade, assumed)
        print(json.dumps(plan.model_dump(mode="json"), ensure_ascii=False, indent=2))
        return 0
    stands = as_it_stands(job, trade)
    show(setup_table(setup_state(stands, trade), stands, unit_of(options)))
    return 0

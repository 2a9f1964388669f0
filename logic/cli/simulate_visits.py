"""Whole visits for `simulate --jobs`: played in parts side by side, counted, printed."""

from __future__ import annotations

import json
import os
from concurrent.futures import ProcessPoolExecutor
from typing import Any

from logic.bench.simulation.tally import Tally, play, report, together
from logic.trade_loader import load_trade_tables
from shared.errors import InputError
from shared.words import numeral, say

MOST_JOBS = 1_000_000
_IN_ONE_PART = 50


def visits(jobs: int, seed: int, *, as_json: bool) -> str:
    """What so many visits came to, as a table or as JSON. InputError where nobody plays so many."""
    if not 1 <= jobs <= MOST_JOBS:
        raise InputError(
            "--jobs", str(jobs), say("write a number from 1 to {most}", most=MOST_JOBS)
        )
    found = {
        "format": "nutwright.simulation",
        "version": 1,
        "jobs": jobs,
        "seed": seed,
        **report(_played(jobs, seed)),
    }
    return json.dumps(found, indent=1) if as_json else _table(found)


def _played(jobs: int, seed: int) -> dict[str, Tally]:
    """The same whatever plays it: each visit has a seed of its own."""
    parts = [
        (first, min(_IN_ONE_PART, jobs - first), seed) for first in range(0, jobs, _IN_ONE_PART)
    ]
    if len(parts) == 1:
        return _part(parts[0])
    with ProcessPoolExecutor(min(len(parts), os.cpu_count() or 1)) as pool:
        return together(pool.map(_part, parts))


def _part(part: tuple[int, int, int]) -> dict[str, Tally]:
    return play(load_trade_tables(), *part)


_COLUMNS = (
    "wrong_cuts_per_1000",
    "left_low_per_1000",
    "left_high_per_1000",
    "read_again_needlessly_per_1000",
    "questions_a_job",
    "leaves_a_string",
)


def _table(found: dict[str, Any]) -> str:
    heads = (
        say("wrong cuts/1000"),
        say("left low/1000"),
        say("left high/1000"),
        say("read again/1000"),
        say("questions"),
        say("leaves a string"),
    )
    lines = [
        say("{jobs} visits a habit, seed {seed}", jobs=found["jobs"], seed=found["seed"]),
        "",
        f"{say('habit'):<30}" + "".join(f"{head:>18}" for head in heads),
        *(_line(row) for row in found["habits"]),
        "",
        _sure(found["sure_cuts"]),
    ]
    return "\n".join(lines)


def _line(row: dict[str, Any]) -> str:
    figures = (numeral(float(row[name]), ">18.2f") for name in _COLUMNS)
    return f"{say(row['habit']):<30}" + "".join(figures)


def _sure(sure: dict[str, int]) -> str:
    return say(
        "Calls to cut that were given at 95 % and more: {given}, of which {right} were right.",
        given=sure["given"],
        right=sure["right"],
    )

"""Short ways to write a job in a test."""

from __future__ import annotations

import json
from typing import Any

from logic.jobfiles.reading import read_job
from logic.trade_loader import load_trade_tables
from shared.job import Gate, Job

TRADE = load_trade_tables()
ELECTRIC = {"kind": "electric guitar"}
ALL = tuple(range(1, 7))


def job(instrument: dict[str, Any] | None = None, **parts: Any) -> Job:
    """A job as a file would hold it."""
    read, _ = read_job(json.dumps({"instrument": instrument or ELECTRIC, **parts}), TRADE)
    return read


def touch(
    leaf: str, contact: str, buzz: str = "none", strings: tuple[int, ...] = ALL
) -> list[dict[str, Any]]:
    """The same answer with the same leaf on each string."""
    return [{"string": s, "leaf": leaf, "contact": contact, "buzz": buzz} for s in strings]


def cents(string: int, by_fret: dict[int, float]) -> list[dict[str, Any]]:
    """What a tuner shows at some frets of one string."""
    return [{"string": string, "fret": fret, "cents": value} for fret, value in by_fret.items()]


def find(gates: tuple[Gate, ...], name: str, string: int | None = None) -> Gate:
    """The gate of this name that speaks of `string`."""
    return next(
        gate
        for gate in gates
        if gate.gate == name and (string is None or not gate.strings or string in gate.strings)
    )

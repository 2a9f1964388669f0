"""What tests share: the trade tables, lengths, readings and jobs, written in few words.

For tests alone: nothing of the product imports it, and it does not travel to a device.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from logic.jobfiles.reading import preset_instrument, preset_kit, read_job
from logic.trade_loader import load_trade_tables
from shared.instrument import Instrument
from shared.job import Gate, Job
from shared.kit import Kit
from shared.readings import Buzz, CentsReading, ClearanceReading, Contact, LeafReading, Reading
from shared.units import Length, Unit

TRADE = load_trade_tables()
"""The tables that ship with the app."""
ELECTRIC = {"kind": "electric guitar"}
"""The instrument of a job file that says nothing but its kind."""
SIX_STRINGS = tuple(range(1, 7))
LOOKED_AT: dict[str, Any] = {"relief": "ok", "frets": "ok"}
"""Relief and first frets looked at and right: without these answers nothing is cut or raised."""


# --- lengths ---


def mm(amount: float) -> Length:
    """A length in millimetres, to a millionth."""
    return Length.of(round(amount, 6))


def thou(amount: float) -> Length:
    """A length in thousandths of an inch, to a thousandth of one."""
    return Length.of(round(amount, 3), Unit.THOU)


# --- readings ---


def touch(
    leaf: Length | tuple[Length, ...],
    contact: Contact,
    string: int = 1,
    buzz: Buzz = Buzz.UNKNOWN,
) -> LeafReading:
    """What a hand felt with one leaf, or with two together, under one string."""
    held = leaf[0] if isinstance(leaf, tuple) and len(leaf) == 1 else leaf
    return LeafReading(string=string, leaf=held, contact=contact, buzz=buzz)


def number(amount: Length, string: int = 1) -> ClearanceReading:
    """A clearance over fret 1 that was measured as a number."""
    return ClearanceReading(string=string, clearance=amount)


def sharp_by(cents: float, fret: int = 1, string: int = 1) -> CentsReading:
    """What a tuner shows for one string stopped at one fret."""
    return CentsReading(string=string, fret=fret, cents=cents)


# --- instruments, kits and jobs ---


def instrument(kind: str = "electric guitar") -> Instrument:
    """The usual instrument of a kind."""
    return preset_instrument(kind, TRADE)


def usual_kit() -> Kit:
    """The leaves, files and stock that a bench is taken to have until somebody says otherwise."""
    return preset_kit(TRADE)


def job(instrument: dict[str, Any] | None = None, **parts: Any) -> Job:
    """A job as a job file would hold it: the instrument and the parts in the file's own words."""
    read, _ = read_job(json.dumps({"instrument": instrument or ELECTRIC, **parts}), TRADE)
    return read


def job_with(kind: str, readings: Iterable[Reading] = (), **fields: Any) -> Job:
    """A job on the usual instrument of a kind with the usual kit, from values."""
    return Job(instrument=instrument(kind), kit=usual_kit(), readings=tuple(readings), **fields)


def touches(
    leaf: str, contact: str, buzz: str = "none", strings: tuple[int, ...] = SIX_STRINGS
) -> list[dict[str, Any]]:
    """The same answer with the same leaf on each string, as a job file writes it."""
    return [{"string": s, "leaf": leaf, "contact": contact, "buzz": buzz} for s in strings]


def cents_by_fret(string: int, by_fret: dict[int, float]) -> list[dict[str, Any]]:
    """What a tuner shows at some frets of one string, as a job file writes it."""
    return [{"string": string, "fret": fret, "cents": value} for fret, value in by_fret.items()]


def gate_named(gates: tuple[Gate, ...], name: str, string: int | None = None) -> Gate:
    """The gate of this name that speaks of `string`; StopIteration where none does."""
    return next(
        gate
        for gate in gates
        if gate.gate == name and (string is None or not gate.strings or string in gate.strings)
    )

"""How fast a tap becomes a call: `python -m tests.benchmarks.bench_calls`.

Every figure is a ratio to one yardstick of the same run: reading the same job from its text, which
is the least that any answer to it could cost.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable

from logic.bench.plan.plan import make_plan, string_state
from logic.jobfiles.reading import preset_instrument, preset_kit
from logic.testing import TRADE
from shared.job import Job
from shared.readings import Contact, LeafReading
from shared.units import Length, Unit

ROUNDS = 60


def milliseconds(work: Callable[[], object]) -> float:
    """The median of several runs, after one that fills what is remembered."""
    work()
    took = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        took.append((time.perf_counter() - start) * 1e3)
    return statistics.median(took)


def half_read(kind: str) -> Job:
    """A job in which every string has answered three leaves and still asks for a fourth."""
    instrument = preset_instrument(kind, TRADE)
    readings = tuple(
        LeafReading(string=spec.string, leaf=Length.of(leaf, Unit.THOU), contact=Contact.NONE)
        for spec in instrument.strings
        for leaf in (14, 16, 18)
    )
    return Job(instrument=instrument, kit=preset_kit(TRADE), readings=readings)


def main() -> None:
    """Print the figures."""
    argparse.ArgumentParser(description=__doc__).parse_args()
    for kind in ("electric guitar", "12-string guitar"):
        job = half_read(kind)
        text = job.model_dump_json()
        yardstick = milliseconds(lambda text=text: Job.model_validate_json(text))
        tap = milliseconds(lambda job=job: string_state(job, 1, TRADE))
        plan = milliseconds(lambda job=job: make_plan(job, TRADE))
        print(
            f"{kind}: one tap {tap:.2f} ms ({tap / yardstick:.1f} × reading the job), "
            f"whole plan {plan:.2f} ms ({plan / yardstick:.1f} ×)"
        )


if __name__ == "__main__":
    main()

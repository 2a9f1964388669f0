"""Says what to do next in every slot that is to be lowered: the leaf to read with, or how many
light strokes with which file, or why to stop. It goes by the job's own readings and passes. Cutting
is one-way: the technician's judgement and local rules stand."""

from __future__ import annotations

import argparse
import json

from logic.bench.cut_job import SlotCut, say, slot_cut
from logic.bench.plan import make_plan
from logic.commands.job_input import add_job, add_json, add_unit, job_of, unit_of
from logic.trade import load_trade
from shared.errors import InputError
from shared.job import CallKind, Job


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, and one string if only one is asked for."""
    add_job(parser)
    add_unit(parser)
    add_json(parser)
    parser.add_argument("--string", type=int, help="only this string")


def run(options: argparse.Namespace) -> int:
    """Prints the next step of each slot; InputError when the job cannot be used."""
    job, _ = job_of(options)
    trade = load_trade()
    slots = [slot_cut(job, string, trade) for string in _strings(options, job)]
    if options.json:
        print(json.dumps([_step(slot) for slot in slots], indent=2))
        return 0
    unit = unit_of(options)
    for slot in slots:
        name = job.instrument.name_of(slot.bench.string)
        print(f"String {name}:", *say(slot, trade, unit), sep="\n  ")
    if not slots:
        print("No slot is to be lowered.")
    return 0


def _strings(options: argparse.Namespace, job: Job) -> list[int]:
    """The string asked for, else all that are called lower or have been filed."""
    known = [spec.string for spec in job.instrument.strings]
    if options.string is not None:
        if options.string not in known:
            raise InputError("--string", str(options.string), f"strings here: {sorted(known)}")
        return [options.string]
    calls = make_plan(job, load_trade()).strings
    wanted = {call.string for call in calls if call.call is CallKind.LOWER}
    wanted |= {made.string for made in job.passes}
    return [string for string in known if string in wanted]


def _step(slot: SlotCut) -> dict[str, object]:
    found = slot.clearance_mm
    return {
        "string": slot.bench.string,
        "step": slot.move.step.value,
        "leaf_mm": [leaf.mm for leaf in slot.move.leaves],
        "strokes": slot.move.strokes,
        "file_mm": slot.file.file.mm if slot.file.file else None,
        "clearance_mm": {"estimate": found.estimate, "low": found.low, "high": found.high},
        "stop_line_mm": round(slot.bench.stop_mm, 4),
        "chance_past": round(slot.move.chance_past, 5),
        "odd": slot.move.odd.value if slot.move.odd else None,
    }

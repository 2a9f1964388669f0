"""Says what to do next in every slot that is to be lowered: the leaf to read with, or how many
light strokes with which file, or why to stop. It goes by the job's own readings and passes. Cutting
is one-way: the technician's judgement and local rules stand."""

from __future__ import annotations

import argparse
import json

from logic.bench.cutting.slot_cut import SlotCut, cut_lines, slot_cut
from logic.bench.plan.plan import make_plan
from logic.cli.job_input import add_job, add_json, add_unit, job_of
from logic.cli.printing import show
from logic.trade_loader import load_trade_tables
from shared.errors import InputError
from shared.job import CallKind, Job, Plan, StringCall
from shared.units import WORKED_PLACES
from shared.words import say


def arguments(parser: argparse.ArgumentParser) -> None:
    """A job, and one string if only one is asked for."""
    add_job(parser)
    add_unit(parser, WORKED_PLACES)
    add_json(parser)
    parser.add_argument("--string", type=int, help="only this string")


def run(options: argparse.Namespace) -> int:
    """Prints the next step of each slot; InputError when the job cannot be used."""
    job, _ = job_of(options)
    trade = load_trade_tables()
    plan = make_plan(job, trade)
    calls = _calls(options, job, plan)
    ready = {call.string: slot_cut(job, call.string, trade) for call in calls if _may(call, job)}
    if options.json:
        print(json.dumps([_barred(c) | _step(ready.get(c.string)) for c in calls], indent=2))
        return 0
    if any(way.recommended and way.method not in ("fill", "strip") for way in plan.nut.options):
        show(plan.nut.advice)
    for call in calls:
        slot = ready.get(call.string)
        lines = cut_lines(slot, trade) if slot else (f"{say(call.call.value)}: {call.why}",)
        name = job.instrument.name_of(call.string)
        show(say("String {name}:", name=name), *lines, sep="\n  ")
    if not calls:
        show(say("No slot is to be lowered."))
    return 0


def _calls(options: argparse.Namespace, job: Job, plan: Plan) -> list[StringCall]:
    """The call of the string asked for, else of all that are to be lowered or have been filed."""
    calls = plan.strings
    if options.string is not None:
        known = sorted(call.string for call in calls)
        if options.string not in known:
            ask = say("strings here: {known}", known=known)
            raise InputError("--string", str(options.string), ask)
        return [call for call in calls if call.string == options.string]
    return [call for call in calls if call.call is CallKind.LOWER or _filed(call.string, job)]


def _filed(string: int, job: Job) -> bool:
    return any(made.string == string for made in job.passes)


def _may(call: StringCall, job: Job) -> bool:
    """Whether a file may go on: what must be checked, eased or widened first is never cut before
    that."""
    if call.call in _COMES_FIRST:
        return False
    return call.call is CallKind.LOWER or _filed(call.string, job)


_COMES_FIRST = (CallKind.CHECK_FIRST, CallKind.EASE, CallKind.WIDEN, CallKind.RAISE)


def _barred(call: StringCall) -> dict[str, object]:
    return {"string": call.string, "step": call.call.value, "why": call.why}


def _step(slot: SlotCut | None) -> dict[str, object]:
    """What the cut asks for; nothing where something else comes first."""
    if slot is None:
        return {}
    found = slot.clearance_mm
    return {
        "step": slot.move.step.value,
        "leaf_mm": [leaf.mm for leaf in slot.move.leaves],
        "strokes": slot.move.strokes,
        "half": slot.move.half,
        "file_mm": slot.file.file.mm if slot.file.file else None,
        "clearance_mm": {"estimate": found.estimate, "low": found.low, "high": found.high},
        "stop_line_mm": round(slot.setting.stop_mm, 4),
        "chance_past": round(slot.move.chance_past, 5),
        "odd": slot.move.odd.value if slot.move.odd else None,
    }

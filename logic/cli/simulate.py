"""Plays the cutting of many slots that never existed: ours, which is the code of the app, beside
plain habits, on the same set-up. An overshoot ends more than 0.025 mm below the target; a slot
left high ends more than that above it. With --jobs it plays whole visits, to instruments with any
fault, answers and readings with their errors. The figures describe the set-up, not a shop."""

from __future__ import annotations

import argparse
import json

from logic.bench.simulation.slot_cutting import Score, rows, simulate, stressed
from logic.cli.job_input import add_json
from logic.cli.printing import show
from logic.cli.simulate_visits import visits
from logic.trade_loader import load_trade_tables
from shared.errors import InputError
from shared.words import numeral, say, say_as

MOST_SLOTS = 1_000_000


def arguments(parser: argparse.ArgumentParser) -> None:
    """How many slots, from which seed, for which pairs, and whether to strain the assumptions."""
    parser.add_argument("--slots", type=int, default=10_000, help="slots per habit (10000)")
    parser.add_argument(
        "--jobs", type=int, help="whole visits instead of slots: so many instruments with any fault"
    )
    parser.add_argument(
        "--seed", type=int, default=1, help="the same seed plays the same slots (1)"
    )
    pair = parser.add_mutually_exclusive_group()
    pair.add_argument("--known", action="store_true", help="only pairs that cut a few slots before")
    pair.add_argument("--unknown", action="store_true", help="only pairs never put together before")
    parser.add_argument(
        "--strained", action="store_true", help="also with each assumption off by a factor of two"
    )
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Prints the scores; InputError where there is nothing to simulate."""
    if options.jobs is not None:
        show(visits(options.jobs, options.seed, as_json=options.json))
        return 0
    if not 1 <= options.slots <= MOST_SLOTS:
        ask = say("write a number from 1 to {most}", most=MOST_SLOTS)
        raise InputError("--slots", str(options.slots), ask)
    pairs = (
        ("known",) if options.known else ("unknown",) if options.unknown else ("unknown", "known")
    )
    trade = load_trade_tables()
    worlds = {"as set up": trade.simulation}
    if options.strained:
        worlds |= stressed(worlds["as set up"], trade.reading.leaf_tolerance_mm)
    played = {
        name: simulate(world, trade, options.slots, options.seed, pairs)
        for name, world in worlds.items()
    }
    if options.json:
        print(_json(options, played))
    else:
        show(_table(options, played))
    return 0


def _json(options: argparse.Namespace, played: dict[str, list[Score]]) -> str:
    first, *others = played.items()
    answer: dict[str, object] = {
        "format": "nutwright.simulation",
        "version": 1,
        "slots": options.slots,
        "seed": options.seed,
        "habits": list(rows(first[1])),
    }
    if others:
        answer["strained"] = [{"world": name, "habits": list(rows(s))} for name, s in others]
    return json.dumps(answer, indent=2)


def _table(options: argparse.Namespace, played: dict[str, list[Score]]) -> str:
    asked = {"slots": options.slots, "seed": options.seed}
    lines = [say("{slots} slots a habit, seed {seed}", **asked), "", _head()]
    for name, scores in played.items():
        if name != "as set up":
            lines += ["", f"{say(name)}:"]
        lines += [_line(score) for score in scores]
    return "\n".join(lines)


def _head() -> str:
    return (
        f"{say('habit'):<34}{say('pair'):<9}{say('touches'):>8}{say('passes'):>8}"
        f"{say('overshoots/1000'):>17}{say('left high/1000'):>16}{say('ends over, mm'):>15}"
    )


def _line(score: Score) -> str:
    pair = say_as("pair", score.pair)
    return (
        f"{say(score.habit):<34}{pair:<9}"
        f"{numeral(score.touches, '>8.2f')}{numeral(score.passes, '>8.2f')}"
        f"{numeral(score.overshoots_per_1000, '>17.1f')}{score.left_high_per_1000:>16.0f}"
        f"{numeral(score.ended_over_target_mm, '>15.3f')}"
    )

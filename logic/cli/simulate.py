"""Plays the cutting of many slots that never existed: ours, which is the code of the app, beside
plain habits, on the same set-up. An overshoot ends more than 0.025 mm below the target; a slot
left high ends more than that above it. With --jobs it plays whole visits, to instruments with any
fault, answers and readings with their errors. The figures describe the set-up, not a shop."""

from __future__ import annotations

import argparse
import json

from logic.bench.simulation.cut_bound import PRICES, Point, curve
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
    parser.add_argument(
        "--bound", action="store_true", help="instead the best that any way of cutting could do"
    )
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Prints the scores; InputError where there is nothing to simulate."""
    if options.jobs is not None:
        show(visits(options.jobs, options.seed, as_json=options.json))
        return 0
    if options.bound:
        points = curve(load_trade_tables().simulation, PRICES)
        print(json.dumps(_bound(points), indent=2)) if options.json else show(_bound_table(points))
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


def _bound(points: list[Point]) -> dict[str, object]:
    rows = [
        {
            "overshoot_price": point.prices.overshoot,
            "touch_price": point.prices.touch,
            "cost": round(point.expected.cost, 3),
            "touches": round(point.expected.touches, 2),
            "overshoots_per_1000": round(1000 * point.expected.overshoots, 2),
            "left_high_per_1000": round(1000 * point.expected.left_high, 1),
        }
        for point in points
    ]
    return {"format": "nutwright.bound", "version": 1, "points": rows}


def _bound_table(points: list[Point]) -> str:
    lines = [
        say(
            "No way of cutting does better than this, each with one price for an error and a touch"
        ),
        "",
        f"{say('touches'):>8}{say('overshoots/1000'):>17}{say('left high/1000'):>16}",
    ]
    for each in (point.expected for point in points):
        past, high = 1000 * each.overshoots, 1000 * each.left_high
        lines.append(
            f"{numeral(each.touches, '>8.2f')}{numeral(past, '>17.1f')}{numeral(high, '>16.1f')}"
        )
    return "\n".join(lines)


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

"""The cutting benchmark: the app's way of cutting and plain habits, on the same simulated slots.

The app's is its own code, reading by reading and pass by pass; the plain habits are what hands
do without it. Figures describe the simulation's set-up, `assets/simulation.json`, not a shop.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

from logic.bench.cutting.cutting import (
    CutSetting,
    CutStep,
    after_pass,
    after_reading,
    begin,
    next_move,
    slot_seen,
)
from logic.bench.cutting.removal import Pair, Rate, SlotSeen, learn, prior_for
from logic.bench.measuring.posterior import kind_prior
from logic.bench.simulation.hand import Hand
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.string_window import StringWindow
from shared.job import Pass
from shared.readings import Contact, LeafReading
from shared.words import mark

if TYPE_CHECKING:
    from logic.bench.tables.simulation import SimulationTable

_STRING = 6
_PAIR = Pair(0.46, "bone")
_KIND = "electric guitar"
_MOST_STEPS = 400
"""No habit needs so many; one that does is broken."""


@dataclass(frozen=True)
class CutOutcome:
    """One slot when it was left: what it cost and where it ended against the target."""

    touches: int
    passes: int
    over_mm: float


@dataclass(frozen=True)
class Score:
    """A habit over many slots."""

    habit: str
    pair: str
    slots: int
    touches: float
    passes: float
    overshoots_per_1000: float
    left_high_per_1000: float
    ended_over_target_mm: float


class Slot:
    """One simulated slot under one simulated hand; counts what is done to it."""

    def __init__(self, world: SimulationTable, random: Random, stroke_log_mm: float) -> None:
        self.world, self.random, self.stroke_log_mm = world, random, stroke_log_mm
        extra = abs(random.gauss(0.0, world.start_spread_mm))
        self.clearance_mm = world.target_mm + world.start_over_mm + extra
        self.hand = Hand(random, world, world.leaf_error_mm)
        self.passes = 0

    @property
    def touches(self) -> int:
        """How often a leaf was slid in."""
        return self.hand.touches

    def touch(self, leaf_mm: float) -> Contact:
        """What the hand says of a leaf."""
        return self.hand.feel(self.clearance_mm, leaf_mm)

    def file(self, strokes: int, *, half: bool = False) -> None:
        """One pass of so many strokes; each takes a lognormal depth. Half strokes of one pass are
        made with one pressure."""
        self.passes += 1
        shared = self.random.gauss(0.0, self.world.true_sd_log_stroke)
        usual = self.stroke_log_mm + (self._half_log() if half else 0.0)
        for _ in range(strokes):
            own = self.random.gauss(0.0, self.world.true_sd_log_stroke)
            luck = shared if self.world.pass_varies_as_one else own
            self.clearance_mm -= math.exp(usual + luck)

    def _half_log(self) -> float:
        spread = self.random.gauss(0.0, self.world.true_sd_log_half_stroke)
        return math.log(self.world.true_half_stroke_share) + spread

    def outcome(self) -> CutOutcome:
        """What it cost and where it ended when it was left."""
        return CutOutcome(self.touches, self.passes, self.clearance_mm - self.world.target_mm)


def stressed(world: SimulationTable, tolerance_mm: float) -> dict[str, SimulationTable]:
    """The same set-up with one assumption at a time off by a factor of two, or made harsher:
    leaves that are off by their `tolerance_mm`, strokes that share their luck."""
    changes: dict[str, dict[str, float]] = {
        mark("strokes take twice as much"): {
            "true_stroke_median_mm": 2 * world.true_stroke_median_mm
        },
        mark("strokes take half as much"): {
            "true_stroke_median_mm": world.true_stroke_median_mm / 2
        },
        mark("pairs differ twice as much"): {"true_sd_log_pair": 2 * world.true_sd_log_pair},
        mark("strokes differ twice as much"): {"true_sd_log_stroke": 2 * world.true_sd_log_stroke},
        mark("half strokes take twice as much"): {
            "true_half_stroke_share": 2 * world.true_half_stroke_share
        },
        mark("a pass varies as one"): {"pass_varies_as_one": True},
        mark("the hand is half as sure"): {"hand_spread_mm": 2 * world.hand_spread_mm},
        mark("light contact is twice as wide"): {
            "hand_light_half_width_mm": 2 * world.hand_light_half_width_mm
        },
        mark("light contact is half as wide"): {
            "hand_light_half_width_mm": world.hand_light_half_width_mm / 2
        },
        mark("leaves are off by up to 0.00035 in"): {"leaf_error_mm": tolerance_mm},
    }
    return {name: world.model_copy(update=change) for name, change in changes.items()}


def simulate(
    world: SimulationTable, trade: TradeTables, slots: int, seed: int, pairs: tuple[str, ...]
) -> list[Score]:
    """Every habit over so many slots. Ours once per kind of pair; plain habits know no pairs."""
    scores = []
    for pair in pairs:
        run = _unknown_pairs if pair == "unknown" else _known_pairs
        # text seeds the same way in every Python
        outcomes = run(world, trade, slots, Random(f"{seed} nutwright {pair}"))
        scores.append(_score("nutwright", pair, outcomes, world))
    for name, habit in PLAIN.items():
        outcomes = _cut_by_habit(habit, world, slots, Random(f"{seed} {name}"))
        scores.append(_score(name, mark("either"), outcomes, world))
    return scores


def _score(habit: str, pair: str, outcomes: list[CutOutcome], world: SimulationTable) -> Score:
    count = len(outcomes)
    past = sum(outcome.over_mm < -world.tolerance_mm for outcome in outcomes)
    high = sum(outcome.over_mm > world.tolerance_mm for outcome in outcomes)
    return Score(
        habit=habit,
        pair=pair,
        slots=count,
        touches=sum(outcome.touches for outcome in outcomes) / count,
        passes=sum(outcome.passes for outcome in outcomes) / count,
        overshoots_per_1000=1000 * past / count,
        left_high_per_1000=1000 * high / count,
        ended_over_target_mm=sum(outcome.over_mm for outcome in outcomes) / count,
    )


def _pair_log_mm(world: SimulationTable, random: Random) -> float:
    return math.log(world.true_stroke_median_mm) + world.true_sd_log_pair * random.gauss(0.0, 1.0)


def _unknown_pairs(
    world: SimulationTable, trade: TradeTables, slots: int, random: Random
) -> list[CutOutcome]:
    """Every slot with a file and material that this bench has never put together."""
    rate = learn([], _PAIR, prior_for(_PAIR.material, trade.cutting.removal))
    setting = _setting(world, trade, rate, known=False)
    return [
        _cut_by_the_app(Slot(world, random, _pair_log_mm(world, random)), setting, trade)[0]
        for _ in range(slots)
    ]


def _known_pairs(
    world: SimulationTable, trade: TradeTables, slots: int, random: Random
) -> list[CutOutcome]:
    """Slots cut with a pair that has cut a few before; what was learned there is used here."""
    prior = prior_for(_PAIR.material, trade.cutting.removal)
    outcomes: list[CutOutcome] = []
    while len(outcomes) < slots:
        stroke_log_mm = _pair_log_mm(world, random)
        seen: list[SlotSeen] = []
        for turn in range(world.known_after_slots + world.slots_per_known_pair):
            setting = _setting(world, trade, learn(seen, _PAIR, prior), known=bool(seen))
            outcome, seen_slot = _cut_by_the_app(Slot(world, random, stroke_log_mm), setting, trade)
            seen.append(seen_slot)
            if turn >= world.known_after_slots:
                outcomes.append(outcome)
    return outcomes[:slots]


def _setting(world: SimulationTable, trade: TradeTables, rate: Rate, *, known: bool) -> CutSetting:
    target, side, edge_sd = world.target_mm, world.window_side_mm, world.window_edge_sd_mm
    window = StringWindow(_STRING, target - side, target, target + side, edge_sd, edge_sd)
    prior = prior_for(_PAIR.material, trade.cutting.removal)
    return CutSetting(
        string=_STRING,
        window=window,
        leaves=world.leaves,
        rate=rate,
        pair_known=known,
        sd_log_pass=prior.sd_log_pass,
        reading=trade.reading,
        call=trade.call,
        cut=trade.cutting,
    )


def _cut_by_the_app(
    slot: Slot, setting: CutSetting, trade: TradeTables
) -> tuple[CutOutcome, SlotSeen]:
    """One slot, cut as the app would have it cut."""
    cut = begin(kind_prior(_KIND, trade), setting)
    for _ in range(_MOST_STEPS):
        move = next_move(cut, setting)
        if move.step is CutStep.READ:
            contact = slot.touch(sum(leaf.mm for leaf in move.leaves))
            leaf = move.leaves[0] if len(move.leaves) == 1 else (move.leaves[0], move.leaves[1])
            cut = after_reading(
                cut, LeafReading(string=_STRING, leaf=leaf, contact=contact), setting
            )
        elif move.step is CutStep.FILE:
            slot.file(move.strokes, half=move.half)
            made = Pass(string=_STRING, strokes=move.strokes).counted(move.strokes, half=move.half)
            cut = after_pass(cut, made, setting)
        else:
            return slot.outcome(), slot_seen(cut, _PAIR, setting)
    raise AssertionError("a cut that never ends")


def _cut_by_habit(
    habit: Habit, world: SimulationTable, slots: int, random: Random
) -> list[CutOutcome]:
    outcomes = []
    for _ in range(slots):
        slot = Slot(world, random, _pair_log_mm(world, random))
        habit(slot)
        outcomes.append(slot.outcome())
    return outcomes


def _one_leaf(strokes: int) -> Habit:
    """The leaf nearest the target: while it does not touch, so many strokes."""

    def cut(slot: Slot) -> None:
        leaf = _nearest_mm(slot.world)
        while slot.touch(leaf) is Contact.NONE:
            slot.file(strokes)

    return cut


def _bisecting(strokes: int) -> Habit:
    """Find the height by halving the leaves, then so many strokes; again until it is right."""

    def cut(slot: Slot) -> None:
        nearest = _nearest_mm(slot.world)
        while _halved_mm(slot) > nearest + 1e-9:
            slot.file(strokes)

    return cut


def _halved_mm(slot: Slot) -> float:
    """The leaf that touches lightly, or the thinnest that is too thick, by halving."""
    leaves = [leaf.mm for leaf in slot.world.leaves]
    low, high = 0, len(leaves)
    while low < high:
        middle = (low + high) // 2
        contact = slot.touch(leaves[middle])
        if contact is Contact.LIGHT:
            return leaves[middle]
        low, high = (middle + 1, high) if contact is Contact.NONE else (low, middle)
    return leaves[min(low, len(leaves) - 1)]


def _nearest_mm(world: SimulationTable) -> float:
    return min((leaf.mm for leaf in world.leaves), key=lambda mm: abs(mm - world.target_mm))


Habit = Callable[[Slot], None]
PLAIN: dict[str, Habit] = {
    mark("one leaf, five strokes"): _one_leaf(5),
    mark("one leaf, two strokes"): _one_leaf(2),
    mark("halving the leaves, two strokes"): _bisecting(2),
}
"""What hands do without a plan."""


def rows(scores: list[Score]) -> Iterator[dict[str, str | float]]:
    """Scores as JSON objects, rounded to what the numbers can bear."""
    for score in scores:
        yield {
            "habit": score.habit,
            "pair": score.pair,
            "touches": round(score.touches, 2),
            "passes": round(score.passes, 2),
            "overshoots_per_1000": round(score.overshoots_per_1000, 2),
            "left_high_per_1000": round(score.left_high_per_1000, 1),
            "ended_over_target_mm": round(score.ended_over_target_mm, 4),
        }

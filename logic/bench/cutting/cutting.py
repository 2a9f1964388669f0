"""One slot, from the call to done: how many strokes now, which leaf next, and when to stop.

The next pass is the largest whole number of strokes whose chance of going past the stop line is
at most one in a hundred. The stop line is the lower side of the target plus a guard; besides, a
pass is expected to end above the target, so that the last bit stays for play-in. The first pass
of a file on a nut material that this bench has not cut before is three light strokes, or fewer.
Between passes a leaf is asked for as long as knowing the clearance better would allow clearly
more strokes. A cut is the fold of its records, so it can be left and taken up anywhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from logic.bench.cutting.cut_setting import CutSetting as CutSetting
from logic.bench.cutting.good_enough import good_enough, sinks_below
from logic.bench.cutting.next_touch import NextTouch, any_leaf, is_worth_it, next_touch
from logic.bench.cutting.oddities import Oddity, odd_explanations
from logic.bench.cutting.passes import NextPass, largest_pass, pays
from logic.bench.cutting.removal import Pair, SlotSeen
from logic.bench.cutting.slot_belief import SlotBelief, afresh_belief, rate_rows, start_belief
from logic.bench.measuring.grid import CLEARANCE, Curve, Posterior
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.next_leaf import Stack, first_leaf
from logic.bench.measuring.posterior import likelihood
from shared.errors import InputError
from shared.job import Pass
from shared.readings import Reading
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.cutting import CuttingTable


class CutStep(StrEnum):
    """What to do next at the slot."""

    READ = "read"
    FILE = "file"
    DONE = "done"
    STOP = "stop"


@dataclass(frozen=True)
class CutState:
    """Where one slot stands. `odd` holds the odd explanations of the last pass, each as chances
    over the reading grid against a total of one for the ordinary explanation."""

    belief: SlotBelief
    passes: int = 0
    strokes: int = 0
    """Whole strokes made so far."""
    half_strokes: int = 0
    touches: int = 0
    used: frozenset[Stack] = frozenset()
    odd: tuple[tuple[Oddity, Curve], ...] = ()
    before: SlotBelief | None = None
    sharing: tuple[Reading, ...] = ()
    """Readings since the last pass that share an error with more of their kind."""

    @property
    def clearance(self) -> Posterior:
        """What is believed of the clearance now."""
        return self.belief.clearance

    def suspicion(self) -> tuple[Oddity | None, float]:
        """The likeliest odd explanation of the last pass, and the chance that one of them holds."""
        masses = {kind: sum(curve) for kind, curve in self.odd}
        if not masses or not self.touches:
            return None, 0.0
        odd = sum(masses.values())
        return max(masses, key=masses.__getitem__), odd / (1.0 + odd)

    def oddity(self, table: CuttingTable) -> Oddity | None:
        """What the last pass seems to have done, if that is odd."""
        kind, chance = self.suspicion()
        return kind if chance >= table.odd_from else None


@dataclass(frozen=True)
class CutMove:
    """The next thing to do, with the figures behind it. `chance_past` is that of the strokes
    named, or, when it is time to stop, of one more stroke."""

    step: CutStep
    leaves: Stack = ()
    strokes: int = 0
    half: bool = False
    """Whether they are half strokes."""
    chance_past: float = 0.0
    odd: Oddity | None = None
    near: bool = False
    """Done though not surely on its target: what is left is less than the hand can tell."""
    under: bool = False
    """Stopped because it stands under its window: nothing more comes off."""
    waits: bool = False
    """Stopped because something else comes first in a visit of the whole instrument."""


def begin(clearance: Posterior, setting: CutSetting) -> CutState:
    """A slot before its first pass; `clearance` is what the readings so far have said."""
    return CutState(start_belief(clearance, setting.rate))


def after_record(cut: CutState, entry: Reading | Pass, setting: CutSetting) -> CutState:
    """The cut after one more record of this string, a reading or a pass."""
    return (
        after_pass(cut, entry, setting)
        if isinstance(entry, Pass)
        else after_reading(cut, entry, setting)
    )


def replay(
    clearance: Posterior, entries: Iterable[Reading | Pass], setting: CutSetting
) -> CutState:
    """The cut that these records of one string make, in their order.

    What was replayed before is remembered, so that one more record costs one step.
    """
    records = tuple(entries)
    for upto in range(_CHAIN_LENGTH, len(records), _CHAIN_LENGTH):
        _replayed(clearance, records[:upto], setting)
    return _replayed(clearance, records, setting)


_CHAIN_LENGTH = 50
"""Records replayed in one chain of calls."""


@lru_cache(maxsize=40)  # each some 60 kB in the browser; a long cut has some thirty
def _replayed(
    clearance: Posterior, records: tuple[Reading | Pass, ...], setting: CutSetting
) -> CutState:
    if not records:
        return begin(clearance, setting)
    return after_record(_replayed(clearance, records[:-1], setting), records[-1], setting)


def after_reading(cut: CutState, reading: Reading, setting: CutSetting) -> CutState:
    """After one more reading. A buzz alone says nothing of the height."""
    curve = _likelihood_after(cut.sharing, reading, setting)
    if curve is None:
        return cut
    sharing = cut.sharing
    if kind_of(reading).shares_an_error:
        sharing = (*sharing, reading)
    belief, likely = cut.belief.after_reading(curve)
    odd = tuple((kind, _reweighted(mass, curve, likely)) for kind, mass in cut.odd)
    before = cut.before.after_reading(curve)[0] if cut.before else None
    used = cut.used | {reading.leaves} if reading.leaves else cut.used
    touched = replace(cut, touches=cut.touches + 1, used=used, sharing=sharing)
    return replace(touched, belief=belief, odd=odd, before=before)


def _likelihood_after(
    sharing: tuple[Reading, ...], reading: Reading, setting: CutSetting
) -> Curve | None:
    """How likely the reading is at each clearance, after those that share its error."""
    kind = kind_of(reading)
    if not sharing or not kind.shares_an_error:
        return likelihood(reading, setting.reading, setting.geometry)
    now = kind.together((*sharing, reading), setting.reading, setting.geometry)
    before = kind.together(sharing, setting.reading, setting.geometry)
    if now is None or before is None:
        return now
    return tuple([after / earlier for after, earlier in zip(now, before, strict=True)])


def after_pass(cut: CutState, made: Pass, setting: CutSetting) -> CutState:
    """After one more pass. Strokes that nobody makes are refused.

    A pass that took nothing is believed to have taken nothing, and says nothing about the file;
    after any other odd pass the clearance is believed afresh.
    """
    check_strokes(made.made, setting.cut)
    kind = setting.strokes(half=made.half)
    start = _believed_after(cut, setting)
    return CutState(
        belief=start.after_pass(made.made * kind.share, kind.sd_log_pass),
        passes=cut.passes + 1,
        strokes=cut.strokes + (0 if made.half else made.made),
        half_strokes=cut.half_strokes + (made.made if made.half else 0),
        odd=odd_explanations(start.clearance.mass, setting.cut),
        before=start,
    )


def next_move(cut: CutState, setting: CutSetting) -> CutMove:
    """What to do now."""
    odd = cut.oddity(setting.cut)
    belief = _believed_after(cut, setting)
    touch = _next_touch(cut, belief, setting)
    if not cut.touches or _suspected_odd(cut, setting):
        leaf = touch.leaves or any_leaf(belief, setting, cut.used)
        return CutMove(CutStep.READ if leaf else CutStep.STOP, leaf, odd=odd)
    return _move_with_known_height(cut, setting, belief, touch, odd)


def _next_touch(cut: CutState, belief: SlotBelief, setting: CutSetting) -> NextTouch:
    """The leaf that tells most; of a slot of which nothing was read, the one nearest to its
    target."""
    if cut.touches or cut.passes:
        return next_touch(belief, setting, cut.used)
    target = setting.window.target_mm
    return NextTouch(first_leaf(setting.leaves, target, setting.reading, setting.call))


def _move_with_known_height(
    cut: CutState, setting: CutSetting, belief: SlotBelief, touch: NextTouch, odd: Oddity | None
) -> CutMove:
    """What to do once a leaf has spoken since the last pass; `touch` is the one that would tell
    more."""
    again = bool(touch.leaves) and cut.touches < setting.cut.most_touches_between_passes
    ended = _ended(belief, setting, odd, can_read_on=again)
    if ended is not None:
        return ended
    most = _pass_limit(cut, setting, odd)
    made = largest_pass(belief, setting, most)
    if not pays(made, belief, setting):
        made = replace(made, count=0)
    if again and is_worth_it(touch, belief, setting, made, most):
        return CutMove(CutStep.READ, touch.leaves, odd=odd)
    named = made if made.count else NextPass(1, setting.strokes(half=True))
    step = CutStep.FILE if made.count else CutStep.STOP
    chance = named.chance_below(belief, setting.stop_mm)
    return CutMove(step, (), made.count, made.strokes.half, chance, odd)


def _ended(
    belief: SlotBelief, setting: CutSetting, odd: Oddity | None, *, can_read_on: bool
) -> CutMove | None:
    """The end of a cut: under its window, on its target, or as near as a hand can tell; None where
    it goes on."""
    height, window = belief.clearance, setting.window
    if sinks_below(height, window):
        return CutMove(CutStep.STOP, odd=odd, under=True)
    if height.probability_below(setting.upper_side_mm) >= setting.call.sure:
        return CutMove(CutStep.DONE, odd=odd)
    near = good_enough(
        height, window, setting.reading, setting.call, setting.cut, can_read_on=can_read_on
    )
    return CutMove(CutStep.DONE, odd=odd, near=True) if near else None


def check_strokes(strokes: int, table: CuttingTable) -> None:
    """InputError when nobody would make so many strokes in one pass, or none."""
    if not 1 <= strokes <= table.strokes_questioned_above:
        raise InputError(
            "strokes",
            strokes,
            say(
                "count the strokes of one pass: 1 to {most}, then read",
                most=table.strokes_questioned_above,
            ),
        )


def slot_seen(cut: CutState, pair: Pair, setting: CutSetting) -> SlotSeen:
    """What this slot says about the pair: how likely its records are at each removal."""
    now = _believed_after(cut, setting)
    start = rate_rows(setting.rate)[1]
    gains = (
        math.log((after + 1e-12) / (before + 1e-12))
        for after, before in zip(now.rate_weights, start, strict=True)
    )
    return SlotSeen(pair, tuple(map(math.log, now.rates_mm)), tuple(gains))


def _suspected_odd(cut: CutState, setting: CutSetting) -> bool:
    """Whether the last pass may have been odd, and too few leaves have spoken to say so."""
    few = cut.touches < setting.cut.touches_to_be_sure
    return few and cut.suspicion()[1] >= setting.cut.odd_suspected_from


def _pass_limit(cut: CutState, setting: CutSetting, odd: Oddity | None) -> int:
    """The most strokes of the next pass: three light ones where this file and material are new to
    the bench, or something is odd."""
    careful = odd is not None or not (setting.pair_known or cut.passes)
    return setting.cut.first_pass_strokes if careful else setting.cut.most_strokes_in_a_pass


def _believed_after(cut: CutState, setting: CutSetting) -> SlotBelief:
    """What is believed once the last pass is taken for what it most likely was: ordinary or odd."""
    odd = cut.oddity(setting.cut)
    if odd is None or cut.before is None:
        return cut.belief
    if odd is Oddity.NOTHING:
        return cut.before
    afresh = dict(cut.odd)[odd]
    whole = sum(afresh)
    return afresh_belief(cut.before, Posterior(CLEARANCE, tuple(m / whole for m in afresh)))


def _reweighted(mass: Curve, curve: Curve, likely: float) -> Curve:
    return tuple([m * c / likely for m, c in zip(mass, curve, strict=True)])

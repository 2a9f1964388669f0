"""How hard this player plucks: a distribution of force, and what clean and buzzing strings teach.

The force is the part of a pluck that drives the string at right angles to the board. One player's
plucks are log-normal about a usual force; players of one attack differ log-normally about the
table's. Everything that was heard ("buzzes at normal playing at this clearance") moves the belief
about that usual force by Bayes' rule on a grid.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from logic.bench.instrument.strung_string import StrungString, family_of
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.vocabulary import Strength
from logic.physics.neck import nut_height_mm
from logic.physics.vibration import first_touch, pluck_stiffness_n_per_mm
from shared.instrument import Attack
from shared.readings import Buzz

_STANDARD = NormalDist()
_REACH, _CELLS = 4.0, 81
_NEVER = 1e-6
"""Probability left to what should never be heard, so that odd answers still leave a belief."""

_HEARD: dict[Buzz, tuple[tuple[Strength, bool], ...]] = {
    Buzz.SOFT: ((Strength.SOFT, True),),
    Buzz.NORMAL: ((Strength.SOFT, False), (Strength.NORMAL, True)),
    Buzz.HARD: ((Strength.NORMAL, False), (Strength.HARD, True)),
    Buzz.NONE: ((Strength.HARD, False),),
    Buzz.UNKNOWN: (),
}
"""What each answer says was heard, by strength: whether it buzzed."""


@dataclass(frozen=True)
class PluckForces:
    """A player's plucks on instruments of one family: usual force, and how sure that is (sd of the
    log)."""

    from_bridge_mm: float
    usual_n: float
    usual_sd_log: float
    spread_log: float

    def force_n(self, clean_share: float) -> float:
        """The force that a share of the plucks stays under."""
        return self.usual_n * math.exp(self.spread_log * _STANDARD.inv_cdf(clean_share))


@dataclass(frozen=True)
class BuzzObservation:
    """One thing that was heard: a string, its clearance, the gentlest playing that buzzed."""

    strung: StrungString
    clearance_mm: float
    buzz: Buzz


def pluck_forces(kind: str, attack: Attack, trade: TradeTables) -> PluckForces:
    """What to expect of a player of this attack on this kind of instrument."""
    table, family = trade.attack, family_of(kind, trade)
    spread = table.pluck_sd_log
    under = family.force_n * table.attack_share[attack]
    return PluckForces(
        from_bridge_mm=family.from_bridge_mm,
        usual_n=under / math.exp(spread * _STANDARD.inv_cdf(table.clean_share)),
        usual_sd_log=table.player_sd_log,
        spread_log=spread,
    )


def touching_force_n(strung: StrungString, clearance_mm: float, from_bridge_mm: float) -> float:
    """The pluck at which the open string first touches a fret, in newtons."""
    nut = nut_height_mm(strung.neck, clearance_mm)
    touch = first_touch(strung.neck, nut, from_bridge_mm)
    stiff = pluck_stiffness_n_per_mm(from_bridge_mm, strung.wire.tension_n, strung.neck.scale_mm)
    return touch.height_mm * stiff


def learned(
    expected: PluckForces, evidence: Iterable[BuzzObservation], trade: TradeTables
) -> PluckForces:
    """The player's plucks after what was heard; the same plucks where nothing was."""
    telling = [one for one in evidence if _HEARD[one.buzz]]
    if not telling:
        return expected
    steps = [_REACH * (2.0 * cell / (_CELLS - 1) - 1.0) for cell in range(_CELLS)]
    logs = [math.log(expected.usual_n) + expected.usual_sd_log * step for step in steps]
    weights = [math.exp(-step * step / 2.0) for step in steps]
    for one in telling:
        touch = touching_force_n(one.strung, one.clearance_mm, expected.from_bridge_mm)
        weights = [
            w * _chance(one.buzz, touch, log, expected, trade)
            for w, log in zip(weights, logs, strict=True)
        ]
    total = sum(weights)
    mean = sum(w * log for w, log in zip(weights, logs, strict=True)) / total
    spread = sum(w * (log - mean) ** 2 for w, log in zip(weights, logs, strict=True)) / total
    return PluckForces(
        expected.from_bridge_mm, math.exp(mean), math.sqrt(spread), expected.spread_log
    )


def _chance(
    buzz: Buzz, touch: float, usual_log: float, expected: PluckForces, trade: TradeTables
) -> float:
    """How likely this is to be heard, where a string touches at `touch` newtons, from a player of
    that usual force."""
    if touch <= 0.0:
        return 1.0
    shares, chance = trade.attack.strength_share, 1.0
    for strength, buzzed in _HEARD[buzz]:
        off = (usual_log + math.log(shares[strength]) - math.log(touch)) / expected.spread_log
        chance *= max(_STANDARD.cdf(off if buzzed else -off), _NEVER)
    return chance

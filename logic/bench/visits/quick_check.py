"""The quick check: one leaf a string, chosen from the instrument's own record, says what moved.

Of a string that was measured before, one of three things is true: it stands as it did, lower, or
higher. Each says where the clearance h now lies,

    as it was:  h is normal about the last clearance,
    lower:      h lies below it by at least d, and by an exponential excess more,
    higher:     the same above,

and so how likely each answer to a leaf is. The leaf that is asked for is the one whose answer is
expected to tell most about which of the three is true (Shannon's mutual information, in nats).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property, lru_cache
from operator import mul
from typing import TYPE_CHECKING

from logic.bench.measuring.grid import CLEARANCE, FAINTEST, GRID_MM, Curve, Posterior, phi
from logic.bench.measuring.kinds.leaf import contact_curve
from logic.bench.plan.string_belief import clearance_interval
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Interval, Job
from shared.readings import Buzz, Contact, LeafReading, Reading
from shared.units import Length

if TYPE_CHECKING:
    from logic.bench.tables.quick_check import QuickCheckTable
    from logic.bench.tables.reading import ReadingTable

QUICK_CHECK = "quick check"
"""The complaint of a job that is one."""
TWO_THIRDS = 0.6827
"""Share of a normal distribution within one standard deviation."""
NORMAL_95 = 1.96
"""Standard deviations either side that hold 95 % of a normal distribution."""


class Moved(StrEnum):
    """What became of one string since it was last measured."""

    AS_IT_WAS = "as it was"
    LOWER = "lower than it was"
    HIGHER = "higher than it was"
    UNSURE = "not sure yet"


@dataclass(frozen=True)
class KnownClearance:
    """A clearance on record, and its standard uncertainty; millimetres."""

    clearance_mm: float
    sd_mm: float
    believed_mm: Interval | None = None
    """What its plan had for it, with the 95 % interval; None where only the two figures are known.
    """

    @classmethod
    def of(cls, believed: Posterior) -> KnownClearance:
        """The middle of a belief, and half of what holds two thirds of it: long tails of what is
        only just possible do not blur what is known."""
        low, high = believed.interval(TWO_THIRDS)
        found = clearance_interval(believed)
        return cls(found.estimate, (high - low) / 2, found)

    @property
    def interval_mm(self) -> Interval:
        """The clearance with its 95 % interval."""
        if self.believed_mm is not None:
            return self.believed_mm
        middle, reach = self.clearance_mm, NORMAL_95 * self.sd_mm
        return Interval(estimate=middle, low=max(0.0, middle - reach), high=middle + reach)


@dataclass(frozen=True)
class StringCheck:
    """What the quick check says of one string."""

    string: int
    was: KnownClearance
    moved: Moved
    probability: float
    """Of what `moved` says; of the likeliest of the three where it is not sure yet."""
    now: KnownClearance
    buzzes: bool
    """Whether the open string was heard to buzz."""


def checked(
    job: Job, known: Mapping[int, KnownClearance], trade: TradeTables
) -> tuple[StringCheck, ...]:
    """What the answers of `job` say of every string that is on record and has been answered."""
    answered = {reading.string for reading in job.readings}
    strings = (spec.string for spec in job.instrument.strings)
    return tuple(
        check_string(job.readings, string, known[string], trade)
        for string in strings
        if string in answered and string in known
    )


def check_string(
    readings: Iterable[Reading], string: int, was: KnownClearance, trade: TradeTables
) -> StringCheck:
    """What the answers about one string say: it stands as it was, lower, higher, or not sure."""
    own = [reading for reading in readings if reading.string == string]
    believed = _believed(tuple(_contacts(own).items()), was, trade)
    shares = believed.shares
    likeliest = max(shares, key=shares.__getitem__)
    sure = shares[likeliest] >= trade.quick_check.sure_from_probability
    buzz = next((one.buzz for one in reversed(own) if one.buzz is not Buzz.UNKNOWN), Buzz.UNKNOWN)
    return StringCheck(
        string=string,
        was=was,
        moved=likeliest if sure else Moved.UNSURE,
        probability=shares[likeliest],
        now=KnownClearance.of(believed.of(likeliest) if sure else believed.whole),
        buzzes=buzz not in (Buzz.NONE, Buzz.UNKNOWN),
    )


def quick_leaf(
    was: KnownClearance, kit: Iterable[Length], readings: Iterable[Reading], trade: TradeTables
) -> Length | None:
    """The leaf of the kit whose answer is expected to tell most about whether a string moved; of
    equals the one nearest to where it stood. `readings` are the answers about this string so far.
    None where no leaf tells anything."""
    contacts = _contacts(readings)
    believed = _believed(tuple(contacts.items()), was, trade)
    informative = [
        (round(believed.information_nats(leaf), 9), leaf)
        for leaf in set(kit)
        if (leaf,) not in contacts
    ]
    most, leaf = max(
        informative,
        key=lambda one: (one[0], -abs(one[1].mm - was.clearance_mm), -one[1].mm),
        default=(0.0, None),
    )
    return leaf if most >= trade.quick_check.least_nats else None


def moved_strings(strings: Iterable[StringCheck]) -> tuple[StringCheck, ...]:
    """Those of which something must be done or known: moved, not sure, or heard to buzz."""
    return tuple(s for s in strings if s.moved is not Moved.AS_IT_WAS or s.buzzes)


def _contacts(readings: Iterable[Reading]) -> dict[tuple[Length, ...], Contact]:
    """The last answer to each leaf: a second touch with one leaf shares that leaf's own error."""
    return {one.leaves: one.contact for one in readings if isinstance(one, LeafReading)}


class _Belief:
    """The three things that may be true, each with its probability and its clearances."""

    def __init__(self, masses: dict[Moved, Curve], reading: ReadingTable, slip: float) -> None:
        self._masses = masses
        self._reading = reading
        self._slip = slip

    @cached_property
    def shares(self) -> dict[Moved, float]:
        """How probable each of the three is."""
        sums = {true: sum(mass) for true, mass in self._masses.items()}
        total = sum(sums.values())
        return {true: one / total for true, one in sums.items()}

    @property
    def whole(self) -> Posterior:
        """Where the string stands, whichever of the three is true."""
        return _posterior(tuple(map(sum, zip(*self._masses.values(), strict=True))))

    def of(self, true: Moved) -> Posterior:
        """Where the string stands if this one is true."""
        return _posterior(self._masses[true])

    def information_nats(self, leaf: Length) -> float:
        """How much the answer to `leaf` is expected to tell of which is true, in nats."""
        before = [sum(mass) for mass in self._masses.values()]
        joint = []
        for contact in (Contact.NONE, Contact.HEAVY):
            curve = contact_curve((leaf,), contact, self._reading)
            meant = [sum(map(mul, mass, curve)) for mass in self._masses.values()]
            joint.append(
                [_with_slips(m, b, self._slip) for m, b in zip(meant, before, strict=True)]
            )
        light = [max(b - n - h, FAINTEST) for b, n, h in zip(before, *joint, strict=True)]
        total = sum(before)
        return (_entropy(before) - sum(map(_entropy, (*joint, light)))) / total


@lru_cache(maxsize=24)  # the strings of an instrument; each some 20 kB in the browser
def _believed(
    contacts: tuple[tuple[tuple[Length, ...], Contact], ...],
    was: KnownClearance,
    trade: TradeTables,
) -> _Belief:
    """What is believed of a string that stood at `was`, after these answers. Remembered: of an
    instrument that is checked every night, most answers are those of the night before."""
    reading = trade.reading
    slip = 1.0 - trade.call.most_confidence
    masses = _prior_masses(was, trade.quick_check)
    for leaves, contact in contacts:
        contact_chances = contact_curve(leaves, contact, reading)
        curve = [_with_slips(chance, 1.0, slip) for chance in contact_chances]
        masses = {true: tuple(map(mul, mass, curve)) for true, mass in masses.items()}
    return _Belief(masses, reading, slip)


def _with_slips(chance: float, of: float, slip: float) -> float:
    """The chance of an answer where one in so many is a slip of the hand, whatever is true."""
    return (1.0 - slip) * chance + slip * of / 3.0


def _entropy(masses: Iterable[float]) -> float:
    """Entropy within one outcome, weighted by that outcome's probability."""
    some = [mass for mass in masses if mass > 0.0]
    total = sum(some)
    return -sum(mass * math.log(mass / total) for mass in some)


@lru_cache(maxsize=24)
def _prior_masses(was: KnownClearance, table: QuickCheckTable) -> dict[Moved, Curve]:
    """What is believed before any leaf: mostly that nothing happened."""
    spread = math.hypot(was.sd_mm, table.settles_mm)
    stays = [math.exp(-0.5 * ((h - was.clearance_mm) / spread) ** 2) for h in GRID_MM]
    lower = [_shift_likelihood(was.clearance_mm - h, spread, table) for h in GRID_MM]
    higher = [_shift_likelihood(h - was.clearance_mm, spread, table) for h in GRID_MM]
    shares = {
        Moved.AS_IT_WAS: 1.0 - table.moved_probability,
        Moved.LOWER: table.moved_probability * table.lower_share_of_moved,
        Moved.HIGHER: table.moved_probability * (1.0 - table.lower_share_of_moved),
    }
    curves = zip(shares, (stays, lower, higher), strict=True)
    return {true: _scaled_to(curve, shares[true]) for true, curve in curves}


def _shift_likelihood(by_mm: float, spread: float, table: QuickCheckTable) -> float:
    """How likely a string that moved is to have gone this far, known only within `spread`."""
    far = phi((by_mm - table.moved_from_mm) / spread)
    return far * math.exp(-max(by_mm - table.moved_from_mm, 0.0) / table.moved_by_mm)


def _scaled_to(curve: Iterable[float], share: float) -> Curve:
    weights = [max(value, FAINTEST) for value in curve]
    total = sum(weights)
    return tuple([share * weight / total for weight in weights])


def _posterior(mass: Curve) -> Posterior:
    return Posterior(CLEARANCE, _scaled_to(mass, 1.0))

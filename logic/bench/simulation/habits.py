"""What a bench may do on one visit: as the app has it, and two plain habits beside."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from logic.bench.instrument.presets import preset_kit
from logic.bench.instrument.targets import aim
from logic.bench.simulation.drawing_instruments import Drawn, complaint
from logic.bench.simulation.judging import CutJudged, why_wrong
from logic.bench.simulation.person import Person
from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.simulation.visit import SimulatedVisit, VisitOutcome
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import NutType
from shared.job import CallKind
from shared.readings import Contact
from shared.words import mark

Habit = Callable[[Drawn, Random, TradeTables], VisitOutcome]
_NO_FILE = (NutType.CLAMPING, NutType.ROLLER)
"""Nuts that nobody takes a file to, whatever the habit."""


def _as_the_app(drawn: Drawn, random: Random, trade: TradeTables) -> VisitOutcome:
    return SimulatedVisit(drawn, random, trade, asks_all=False).play()


def _asking_everything(drawn: Drawn, random: Random, trade: TradeTables) -> VisitOutcome:
    return SimulatedVisit(drawn, random, trade, asks_all=True).play()


def _over_the_table(drawn: Drawn, random: Random, trade: TradeTables) -> VisitOutcome:
    """Every string is read by halving the leaves and cut to the table's figure; nothing is asked
    but which nut it is, which is seen."""
    person, true = Person(random, trade), drawn.true
    said = complaint(random, drawn.causes[0])
    faults = tuple(cause.fault for cause in drawn.causes)
    out = VisitOutcome(faults, said, len(true.strings), rounds=1)
    low_before = true.too_low
    out.wanted_a_cut = _wanting_a_cut(true, out)
    for string in true.strings:
        target = aim(true.instrument.spec(string), true.instrument, true.player, trade).usual_mm
        read = _halved_mm(person, true, string, out)
        if read > target and true.instrument.nut.type not in _NO_FILE:
            true = _cut(true, string, target, random, out)
    out.left_low = len(true.too_low - low_before)
    out.left_high = _wanting_a_cut(true, out)
    return out


def _halved_mm(person: Person, true: TrueInstrument, string: int, out: VisitOutcome) -> float:
    """The leaf that touches lightly, or the thickest under which nothing is felt."""
    leaves = sorted(preset_kit(person.trade).leaves)
    low, high = 0, len(leaves)
    while low < high:
        middle = (low + high) // 2
        out.leaves += 1
        contact = person.feels(true, string, (leaves[middle],)).contact
        if contact is Contact.LIGHT:
            return leaves[middle].mm
        low, high = (middle + 1, high) if contact is Contact.NONE else (low, middle)
    return leaves[max(low - 1, 0)].mm


def _cut(
    true: TrueInstrument, string: int, target_mm: float, random: Random, out: VisitOutcome
) -> TrueInstrument:
    visits = true.trade.simulation.visits
    ends = random.gauss(target_mm + visits.cut_ends_over_target_mm, visits.cut_end_sd_mm)
    off = true.gap_mm(string) - ends
    if off <= 0.0:
        return true
    after = true.with_floor(string, true.floors_mm[string] - off)
    wrong = why_wrong(true, after, string, _minds(out))
    out.cuts.append(CutJudged(CallKind.LOWER, 1.0, wrong, past_a_gate=True))
    return after


def _wanting_a_cut(true: TrueInstrument, out: VisitOutcome) -> int:
    minds = _minds(out)
    return sum(true.is_plainly_too_high(s, somebody_minds=minds) for s in true.strings)


def _minds(out: VisitOutcome) -> bool:
    return out.said == "stiff in first position"


OURS = "nutwright"
HABITS: dict[str, Habit] = {
    OURS: _as_the_app,
    mark("cut what is over the table"): _over_the_table,
    mark("ask everything"): _asking_everything,
}
"""What is compared, by name."""

"""Carries out what a plan advises on a true instrument, as well as hands do."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from random import Random

from logic.bench.instrument.frets import cut_share
from logic.bench.raising.positions import carried_out
from logic.bench.simulation.judging import CutJudged, why_wrong
from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.tables.simulation import Fault
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.vocabulary import RaiseMethod
from shared.job import CallKind, GateState, Plan, RaiseOption, StringCall

_UNANSWERED = (GateState.OPEN, GateState.FAILED)
_MUST_BE_ANSWERED = ("relief", "frets")


@dataclass
class Done:
    """An instrument after the work, and the cuts that were made."""

    true: TrueInstrument
    cuts: list[CutJudged] = field(default_factory=list)
    slots_eased: set[int] = field(default_factory=set)
    """Strings whose slots were eased or widened, so that they may lie otherwise."""


class Bench:
    """The hands that cut and fill."""

    def __init__(self, random: Random, trade: TradeTables) -> None:
        self.random, self.visits = random, trade.simulation.visits
        self.eased: set[int] = set()

    def carry_out(
        self,
        true: TrueInstrument,
        plan: Plan,
        minds: Callable[[int], bool],
        entered_over_mm: Callable[[int], float],
    ) -> Done:
        """Slots are eased and widened first, for the strings have to be read again then; else the
        recommended option is carried out, and every slot lowered that is called so. While
        something is to be looked at once more, nothing is cut."""
        done = Done(true)
        owed = bool(plan.before_the_file)
        for call in plan.strings:
            if call.call is CallKind.EASE or not owed:
                self._ease(done, call, plan)
        if done.slots_eased:
            return done
        option = next((one for one in plan.nut.options if one.recommended), None)
        based = option is not None and option.method == RaiseMethod.BASE
        if option is not None and not (based and owed):
            self._take(done, option, plan, minds)
        for call in plan.strings if not (based or owed) else ():
            if call.call is CallKind.LOWER:
                self._lower(done, call, plan, minds(call.string), entered_over_mm(call.string))
        return done

    def _ease(self, done: Done, call: StringCall, plan: Plan) -> None:
        """Once a string: what that does not help is not helped by more of it."""
        if call.call not in (CallKind.EASE, CallKind.WIDEN) or call.string in self.eased:
            return
        self.eased.add(call.string)
        done.slots_eased.add(call.string)
        true = done.true
        if call.call is CallKind.WIDEN:
            tight = true.has(Fault.RIDES, call.string)
            wrong = "" if tight else "its slot was wide enough"
            done.cuts.append(_judged(call, wrong, plan))
        done.true = _without_on(true, Fault.BINDS, call.string)
        if call.call is CallKind.WIDEN:
            done.true = _without_on(done.true, Fault.RIDES, call.string)

    def _ends_over_mm(self) -> float:
        """Where a cut that is read between its passes ends."""
        return self.random.gauss(self.visits.cut_ends_over_target_mm, self.visits.cut_end_sd_mm)

    def _lower(
        self, done: Done, call: StringCall, plan: Plan, minds: bool, entered_over_mm: float
    ) -> None:
        """Down until the target is read; nothing comes off a slot that reads so already."""
        true, string = done.true, call.string
        read = true.gap_mm(string) + entered_over_mm
        off = read - _cut_to_mm(call) - self._ends_over_mm()
        if off <= 0.0:
            return
        after = true.with_floor(string, true.floors_mm[string] - off)
        done.cuts.append(_judged(call, why_wrong(true, after, string, minds), plan))
        done.true = after

    def _take(
        self, done: Done, option: RaiseOption, plan: Plan, minds: Callable[[int], bool]
    ) -> None:
        """An option for the whole nut, on what is true. What is filled, renewed or lifted too far
        is cut to the target, and ends where cuts end."""
        true = done.true
        shares = {string: cut_share(true.instrument, string) for string in true.strings}
        floors = carried_out(option, true.floors_mm, shares)
        if option.method == RaiseMethod.BASE:
            self._base(done, floors, plan, minds)
            return
        cut_anew = {cut.string for cut in option.lower_after}
        if option.method in (RaiseMethod.FILL, RaiseMethod.NEW_NUT):
            cut_anew |= option.lifts_mm.keys()
        for call in plan.strings:
            if call.string in cut_anew:
                floors[call.string] = _cut_to_mm(call) + self._ends_over_mm()
        for string, floor in floors.items():
            done.true = done.true.with_floor(string, max(floor, 0.0))

    def _base(
        self,
        done: Done,
        floors: Mapping[int, float],
        plan: Plan,
        minds: Callable[[int], bool],
    ) -> None:
        """The base comes down under every string at once, and each is judged by itself."""
        before = done.true
        for string, floor in floors.items():
            done.true = done.true.with_floor(string, floor)
        for call in plan.strings:
            wrong = why_wrong(before, done.true, call.string, minds(call.string))
            done.cuts.append(_judged(call, wrong, plan))


def _cut_to_mm(call: StringCall) -> float:
    return call.window_mm.cut_to or call.window_mm.target


def _judged(call: StringCall, wrong: str, plan: Plan) -> CutJudged:
    return CutJudged(call.call, call.confidence, wrong, _past_a_gate(call, plan))


def _past_a_gate(call: StringCall, plan: Plan) -> bool:
    """Whether a check that bars this cut has failed or is open, or relief or frets were skipped.
    What bars inside the window alone bars no cut of a string that stands over it."""
    own = [gate for gate in plan.gates if not gate.strings or call.string in gate.strings]
    standing = (each for each in own if each.state in _UNANSWERED and not each.inside_window)
    barred = any(call.call in gate.forbids for gate in standing)
    skipped = {gate.gate for gate in own if gate.state is GateState.SKIPPED}
    return barred or bool(skipped & set(_MUST_BE_ANSWERED))


def _without_on(true: TrueInstrument, fault: Fault, string: int) -> TrueInstrument:
    """The instrument without a fault of one string; the last one takes the fault along."""
    left = tuple(other for other in true.faults.get(fault, ()) if other != string)
    if left or fault not in true.faults:
        return true.with_faults({**true.faults, fault: left} if left else true.faults)
    return true.without(fault)

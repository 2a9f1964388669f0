"""The person at the bench: answers, feels and listens, and now and then is wrong or not sure."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from logic.bench.instrument.plausibility import read_length
from logic.bench.simulation.drawing_instruments import evenly
from logic.bench.simulation.hand import Hand
from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.tables.simulation import Fault
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import fret_position_mm
from shared.job import AnswerToCheck, GateState
from shared.readings import Buzz, BuzzReading, ClearanceReading, LeafReading
from shared.units import Length, LengthOf

if TYPE_CHECKING:
    from logic.bench.tables.rules import Rule

NOT_SURE = "not sure"
Answered = AnswerToCheck | dict[str, AnswerToCheck]
"""What a job keeps as the answer to one check."""


class Person:
    """Sees a true instrument through answers, leaves and ears."""

    def __init__(self, random: Random, trade: TradeTables) -> None:
        self.random, self.trade, self.visits = random, trade, trade.simulation.visits
        tolerance = trade.reading.leaf_tolerance_mm
        self.hand = Hand(random, trade.simulation, tolerance, self.visits.lapse_share)

    def answers(self, true: TrueInstrument, gate: str) -> Answered:
        """What is said to one question: the truth, now and then something else, or not sure."""
        rule, luck = self.trade.rules.rule(gate), self.random.random()
        if luck < self.visits.not_sure_share:
            return NOT_SURE
        wrong = luck < self.visits.not_sure_share + self.visits.wrong_answer_share
        if gate in _MEASURED:
            return _MEASURED[gate](self, true, wrong)
        if rule.per_string:
            return self._string_by_string(true, rule, wrong)
        truth = _whole(true, rule)
        return self._another(rule, truth) if wrong else truth

    def _string_by_string(self, true: TrueInstrument, rule: Rule, wrong: bool) -> Answered:
        by_string: dict[str, AnswerToCheck] = {
            str(string): _truth(true, rule, string) for string in true.strings
        }
        if wrong:
            string = str(self.random.choice(true.strings))
            by_string[string] = self._another(rule, str(by_string[string]))
        said = set(by_string.values())
        return said.pop() if len(said) == 1 else by_string

    def _another(self, rule: Rule, truth: str) -> str:
        """Any other answer that is offered."""
        others = [one.id for one in rule.options if one.label and one.id != truth]
        return self.random.choice(others) if others else NOT_SURE

    def feels(self, true: TrueInstrument, string: int, leaves: tuple[Length, ...]) -> LeafReading:
        """What a leaf, or two together, says under a string."""
        film = self.trade.reading.film_mm * (len(leaves) - 1)
        contact = self.hand.feel(true.gap_mm(string), sum(leaf.mm for leaf in leaves) + film)
        leaf = leaves[0] if len(leaves) == 1 else (leaves[0], leaves[1])
        return LeafReading(string=string, leaf=leaf, contact=contact)

    def hears(self, true: TrueInstrument, string: int) -> BuzzReading:
        """How an open string rings, or how it seemed to."""
        truth = true.buzzes(string)
        if self.random.random() < self.visits.wrong_answer_share:
            truth = self.random.choice([one for one in Buzz if one not in (truth, Buzz.UNKNOWN)])
        return BuzzReading(string=string, buzz=truth)

    def measures(self, true: TrueInstrument, string: int) -> ClearanceReading:
        """A number over the fret, where no leaf is so thick."""
        read = self.random.gauss(true.gap_mm(string), self.visits.number_sd_mm)
        return ClearanceReading(string=string, clearance=Length.of(round(max(read, 0.0), 2)))

    def types(self, true: TrueInstrument, string: int) -> ClearanceReading:
        """A number that was measured over the board, and written down as one over the fret.
        InputError where it can hardly be."""
        over_board = true.gap_mm(string) + evenly(self.random, self.visits.crown_mm)
        read = max(self.random.gauss(over_board, self.visits.number_sd_mm), 0.0)
        kind = true.instrument.kind
        length = read_length(LengthOf.CLEARANCE, f"{read:.2f} mm", self.trade, kind)
        return ClearanceReading(string=string, clearance=length)

    def _relief(self, true: TrueInstrument, wrong: bool) -> str:
        usual = self.trade.relief.of(true.instrument.kind)
        read = self.random.gauss(true.relief_mm, self.visits.relief_reading_sd_mm)
        if wrong:
            most = usual.high.mm + self.visits.relief_high_mm.high
            read = self.random.uniform(-self.visits.back_bow_mm.high, most)
        return f"{read:.2f} mm"

    def _action(self, true: TrueInstrument, wrong: bool) -> str:
        """Of the string that stands highest an octave up, and the saddle anywhere where wrong."""
        now = max(true.measured_as_it_stands().action_12.values()).mm
        if wrong:
            off = evenly(self.random, self.visits.action_off_mm) * self.random.choice((-1, 0, 1))
            now += off - true.action_off_mm
        return f"{self.random.gauss(now, self.visits.action_reading_sd_mm):.2f} mm"

    def _shim(self, true: TrueInstrument, wrong: bool) -> str:
        there = true.shim_mm > 0.0
        return "no" if there is wrong else f"{true.shim_mm or 0.2:.2f} mm"

    def _nut_place(self, true: TrueInstrument, wrong: bool) -> str:
        place = (
            fret_position_mm(true.instrument.scale.mm, true.instrument.semitones_at(1))
            + true.nut_off_mm
        )
        if wrong:
            place += evenly(self.random, self.visits.nut_off_mm) * self.random.choice((-1, 1))
        return f"{self.random.gauss(place, self.visits.nut_reading_sd_mm):.1f} mm"

    def _nut_type(self, true: TrueInstrument, wrong: bool) -> str:
        truth = true.instrument.nut.type.value
        return self._another(self.trade.rules.rule("nut_type"), truth) if wrong else truth

    def _strength(self, true: TrueInstrument, wrong: bool) -> Answered:
        del wrong  # an ear errs string by string
        return {str(string): self.hears(true, string).buzz.value for string in true.strings}


_MEASURED = {
    "relief": Person._relief,
    "action": Person._action,
    "shim": Person._shim,
    "nut_position": Person._nut_place,
    "nut_type": Person._nut_type,
    "attack": Person._strength,
}
"""Questions whose answer is measured, not chosen by a fault."""


def _truth(true: TrueInstrument, rule: Rule, string: int) -> str:
    """What is so for one string."""
    rows = true.trade.simulation.visits.answers
    found = (row.answer for row in rows if row.rule == rule.id and true.has(row.fault, string))
    return next(found, _sound(rule))


def _whole(true: TrueInstrument, rule: Rule) -> str:
    """What is so for the whole instrument."""
    rows = true.trade.simulation.visits.answers
    found = (row.answer for row in rows if row.rule == rule.id and true.has(row.fault))
    return next(found, _sound(rule))


def _sound(rule: Rule) -> str:
    """The answer with which the check passes; where none does, nobody can tell."""
    passing = [one.id for one in rule.options if one.label and one.state is GateState.PASSED]
    return passing[0] if passing else NOT_SURE


def is_wrongly_entered(true: TrueInstrument, string: int) -> bool:
    """Whether this string's height was taken down wrongly."""
    return true.has(Fault.ENTERED_WRONG, string)

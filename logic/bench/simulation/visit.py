"""One visit, played as the app plays it: asked, read, decided, put right and cut."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from random import Random

from logic.bench.checks.gates import (
    ENTRY_IN_DOUBT,
    NUT_TYPE,
    all_questions,
    called_for_by_readings,
    evaluate_gates,
    next_questions,
    preconditions,
)
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.second_look import READ_ONCE
from logic.bench.instrument.presets import preset_kit
from logic.bench.plan.plan import JobContext, job_context, plan_from, state_in
from logic.bench.plan.walk import WalkQuestion, question_of, walk_order
from logic.bench.simulation.carrying_out import Bench
from logic.bench.simulation.drawing_instruments import Drawn, complaint
from logic.bench.simulation.judging import CallJudged, CutJudged, against_truth
from logic.bench.simulation.person import NOT_SURE, Person, is_wrongly_entered
from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.tables.simulation import Fault
from logic.bench.tables.trade_tables import TradeTables
from shared.errors import InputError
from shared.instrument import NutType
from shared.job import CallKind, Complaint, Gate, GateState, Job, Plan, SecondLook
from shared.readings import Buzz, Reading
from shared.reasons import CallReason

_ROOM_AND_BUZZ = "room_and_buzz"
_ACTION = "action"
_HEARD = "buzz open"
_WHEN_PLAYED = (Buzz.SOFT, Buzz.NORMAL)
"""Buzzes that somebody complains of."""


@dataclass
class VisitOutcome:
    """What one visit cost and came to."""

    faults: tuple[Fault, ...]
    said: str
    strings: int
    questions: int = 0
    leaves: int = 0
    rounds: int = 0
    calls: list[CallJudged] = field(default_factory=list)
    cuts: list[CutJudged] = field(default_factory=list)
    read_again_needlessly: int = 0
    """In the last plan of the visit."""
    left_low: int = 0
    """Strings that the visit left lower than stays clean and that were not so before."""
    left_high: int = 0
    """Strings whose slot still wants a cut."""
    wanted_a_cut: int = 0
    """Strings whose slot wanted one when the instrument came in."""
    put_right: set[Fault] = field(default_factory=set)
    blamed: list[str] = field(default_factory=list)
    """Checks that failed and calls that were given, in the order they came up."""


class SimulatedVisit:
    """One visit while it goes on."""

    def __init__(self, drawn: Drawn, random: Random, trade: TradeTables, *, asks_all: bool) -> None:
        self.trade, self.visits, self.asks_all = trade, trade.simulation.visits, asks_all
        self.person = Person(random, trade)
        self.true = drawn.true
        said = complaint(random, drawn.causes[0])
        self.job = _job_of(drawn, said, random, trade)
        self.bench = Bench(random, trade)
        context = RuleContext(self.job, trade)
        self.minded = {s for s in self.true.strings if context.complained_of_height(s)}
        self.looked_again: set[str] = set()
        self.reads_numbers = True
        self.out = VisitOutcome(
            tuple(cause.fault for cause in drawn.causes), said, len(drawn.true.strings)
        )

    def play(self) -> VisitOutcome:
        """The whole visit."""
        low_before = self.true.too_low
        self.out.wanted_a_cut = self._wanting_a_cut()
        self._before_a_leaf()
        for _ in range(self.visits.most_rounds):
            if not self._put_right(_failed_checks(evaluate_gates(self.job, self.trade))):
                break
        for _ in range(self.visits.most_rounds):
            self.out.rounds += 1
            self._walk()
            plan = self._checked()
            self._note(plan)
            if not (self._put_right(_failed(plan)) or self._look_and_cut(plan)):
                break
        self.out.left_low = len(self.true.too_low - low_before)
        self.out.left_high = self._wanting_a_cut()
        return self.out

    def _wanting_a_cut(self) -> int:
        return sum(
            self.true.is_plainly_too_high(string, somebody_minds=self._minds(string))
            for string in self.true.strings
        )

    # --- asking ---

    def _before_a_leaf(self) -> None:
        """What the intake shows and the page of what must be true, then the questions that the
        complaint opens."""
        self._keep(NUT_TYPE, self.person.answers(self.true, NUT_TYPE))
        self._page()
        asked: set[str] = set()
        if self.asks_all:
            self._ask_everything()
            return
        while len(asked) < self.visits.most_questions_before_leaf:
            questions = next_questions(self.job, self.trade)
            left = (each.gate for each in questions if not (each.page or each.waits))
            gate = next((gate for gate in left if gate not in asked), None)
            if gate is None:
                return
            asked.add(gate)
            self._answer(gate)

    def _page(self) -> None:
        """One look at everything that must be true: what is seen is put right on the spot."""
        self.out.questions += 1
        luck, shares = self.person.random.random(), self.visits
        page = preconditions(self.trade)
        unsure = self.person.random.choice(page) if luck < shares.not_sure_share else None
        overlooked = 0.0 <= luck - shares.not_sure_share < shares.wrong_answer_share
        for question in page:
            if not overlooked and question is not unsure:
                self._cure_faults_behind({question.gate})
            sound = next(choice.key for choice in question.choices if choice.good)
            self._keep(question.gate, NOT_SURE if question is unsure else sound)

    def _ask_everything(self) -> None:
        for question in all_questions(self.trade):
            rule = self.trade.rules.rule(question.gate)
            if not question.page and RuleContext(self.job, self.trade).applies(rule):
                self._answer(question.gate)

    def _answer(self, gate: str) -> None:
        self.out.questions += 1
        self._keep(gate, self.person.answers(self.true, gate))

    def _keep(self, gate: str, answer: object) -> None:
        """An answer anew, which no earlier second look speaks of."""
        checks = {**self.job.checks, gate: answer}
        again = {name: said for name, said in self.job.looked_again.items() if name != gate}
        self.job = self.job.model_copy(update={"checks": checks, "looked_again": again})

    def _look_again(self, look: SecondLook) -> None:
        """A second look, which knows nothing of the first; a first one where nobody looked yet."""
        if look.check == READ_ONCE:
            self._touch_again(look)
            return
        if not look.answered:
            self._answer(look.check)
            return
        self.out.questions += 1
        said = self.person.answers(self.true, look.check)
        again = {**self.job.looked_again, look.check: said}
        self.job = self.job.model_copy(update={"looked_again": again})

    def _touch_again(self, look: SecondLook) -> None:
        """The leaf that is named under the string, or a number where none is thick enough."""
        leaves = tuple(leaf for leaf in self.job.kit.leaves if leaf.mm in look.leaf_mm)
        read, string = self.person, look.strings[0]
        self.out.leaves += 1
        touched = read.feels(self.true, string, leaves) if leaves else None
        self.job = _with(self.job, touched or read.measures(self.true, string))

    # --- reading ---

    def _walk(self) -> None:
        """Every string by the leaves that are asked for, and by ear where that decides."""
        context = job_context(self.job, self.trade)
        for string in walk_order(self.job.instrument):
            for reading in self._said_at_once(string):
                context = self._taken(context, reading)
            context = self._read(context, string)
        self.reads_numbers = False

    def _said_at_once(self, string: int) -> list[Reading]:
        """The buzz that was complained of, and a number that was taken down wrongly."""
        known: list[Reading] = []
        if any(reading.string == string for reading in self.job.readings):
            return known
        heard = self.person.hears(self.true, string)
        if self.out.said == _HEARD and heard.buzz in _WHEN_PLAYED:
            known.append(heard)
        if self.reads_numbers and is_wrongly_entered(self.true, string):
            try:
                known.append(self.person.types(self.true, string))
            except InputError:
                self.out.questions += 1  # asked back, and measured properly then
        return known

    def _read(self, context: JobContext, string: int) -> JobContext:
        for _ in range(self.visits.most_leaves_a_string):
            state = state_in(context, string)
            match question_of(state):
                case WalkQuestion.LEAF:
                    self.out.leaves += 1
                    leaves = state.advice.leaves
                    context = self._taken(context, self.person.feels(self.true, string, leaves))
                case WalkQuestion.BUZZ:
                    context = self._taken(context, self.person.hears(self.true, string))
                case _:
                    break
        return context

    def _taken(self, context: JobContext, reading: Reading) -> JobContext:
        self.job = _with(self.job, reading)
        return replace(context, job=_with(context.job, reading))

    # --- deciding ---

    def _checked(self) -> Plan:
        """The plan, once what the readings opened and what its calls wait for has been answered."""
        for gate in self._opened_by_readings():
            self._answer(gate)
        for _ in range(self.visits.most_checks_afterwards):
            context = job_context(self.job, self.trade)
            calls = tuple(state_in(context, s).call for s in self.true.strings)
            waiting = (call.open_check for call in calls if call.call is CallKind.CHECK_FIRST)
            check = next((one.check for one in waiting if one is not None), None)
            if check is None:
                break
            self._answer(check)
        return self._planned()

    def _planned(self) -> Plan:
        context = job_context(self.job, self.trade)
        order = [spec.string for spec in self.job.instrument.strings]
        calls = tuple(state_in(context, string).call for string in order)
        return plan_from(context, calls).plan

    def _opened_by_readings(self) -> list[str]:
        """Questions that what was read gives a reason to ask."""
        called_for = {*ENTRY_IN_DOUBT, *called_for_by_readings(RuleContext(self.job, self.trade))}
        left = next_questions(self.job, self.trade)
        return [each.gate for each in left if each.gate in called_for]

    def _note(self, plan: Plan) -> None:
        """What the plan says, against what is true now."""
        self.out.blamed += [gate.gate for gate in plan.gates if gate.state is GateState.FAILED]
        self.out.blamed += [call.call.value for call in plan.strings]
        self.out.read_again_needlessly = 0
        for call in plan.strings:
            self.out.calls.append(against_truth(self.true, call, self._minds(call.string)))
            trusted = not any(self.true.has(fault, call.string) for fault in _UNTRUE_READINGS)
            needless = call.call is CallKind.READ_AGAIN and trusted
            self.out.read_again_needlessly += needless

    def _minds(self, string: int) -> bool:
        return string in self.minded

    # --- doing ---

    def _put_right(self, failed: set[str]) -> bool:
        """What a failed check names is looked at, and put right if it is so; else the answer is
        looked at again, once. Whether anything has changed."""
        touched = self._cure_faults_behind(failed)
        if touched:
            self._reanswer(failed)
            self._read_anew(touched)
            return True
        doubtful = (failed & self.job.checks.keys()) - self.looked_again
        self.looked_again |= doubtful
        before = self.job
        for gate in sorted(doubtful):
            self._answer(gate)
        return before != self.job

    def _read_anew(self, strings: set[int]) -> None:
        """What was worked on is read again, and nothing else."""
        left = tuple(each for each in self.job.readings if each.string not in strings)
        self.job = self.job.model_copy(update={"readings": left})

    def _cure_faults_behind(self, gates: set[str]) -> set[int]:
        """Put right every fault that one of these checks leads to; the strings that were worked on,
        which are all of them where the fault is the whole instrument's."""
        cured = [
            fault
            for row in self.visits.cures
            if gates & set(row.gates)
            for fault in row.faults
            if self.true.has(fault)
        ]
        self.out.put_right |= set(cured)
        touched: set[int] = set()
        for fault in cured:
            touched |= set(self.true.faults[fault] or self.true.strings)
            self.true = self.true.without(fault)
        return touched

    def _reanswer(self, gates: set[str]) -> None:
        """What was put right is answered anew, as part of that work."""
        for gate in sorted(gates & self.job.checks.keys()):
            self._keep(gate, self.person.answers(self.true, gate))

    def _look_and_cut(self, plan: Plan) -> bool:
        """The look before the first file, then the file; whether the strings have to be read
        again."""
        if not plan.before_the_file:
            return self._carry_out(plan)
        for _ in range(self.visits.most_second_looks):
            if not plan.before_the_file:
                break
            self._look_again(plan.before_the_file[0])
            plan = self._planned()
        self._note(plan)
        return self._put_right(_failed(plan)) or self._carry_out(plan)

    def _carry_out(self, plan: Plan) -> bool:
        """The plan's calls; whether the strings have to be read again."""
        shims = RuleContext(self.job, self.trade).nut_type == NutType.CLAMPING
        if shims:
            return False  # whole shims, which come out and go back in
        done = self.bench.carry_out(self.true, plan, self._minds, self._entered_over_mm)
        self.true = done.true
        self.out.cuts += done.cuts
        if done.slots_eased:
            self._reanswer({"ping", "after_bend", "seated", "slot_width"})
            self._read_anew(done.slots_eased)
        return bool(done.slots_eased)

    def _entered_over_mm(self, string: int) -> float:
        """How far over its truth this string's height goes on being taken down."""
        wrong = self.reads_numbers and is_wrongly_entered(self.true, string)
        return self.visits.crown_mm.low if wrong else 0.0


_UNTRUE_READINGS = (Fault.ENTERED_WRONG, Fault.OFF_PITCH, Fault.CAPO_ON)


def _failed(plan: Plan) -> set[str]:
    """Checks that have failed, or that something read speaks against."""
    found = _failed_checks(plan.gates)
    if any(call.reason == CallReason.SADDLE_FIRST for call in plan.strings):
        found.add(_ACTION)
    if any(call.reason == CallReason.NOT_HEIGHT for call in plan.strings):
        found.add(_ROOM_AND_BUZZ)
    return found


def _failed_checks(gates: Iterable[Gate]) -> set[str]:
    return {gate.gate for gate in gates if _speaks_up(gate)}


def _speaks_up(gate: Gate) -> bool:
    return gate.state is GateState.FAILED or (
        gate.state is GateState.OPEN and gate.imposes is not None
    )


def _with(job: Job, reading: Reading) -> Job:
    return job.model_copy(update={"readings": (*job.readings, reading)})


def _job_of(drawn: Drawn, said: str, random: Random, trade: TradeTables) -> Job:
    """What was written down when the instrument came in."""
    true: TrueInstrument = drawn.true
    strings = true.faults.get(drawn.causes[0].fault, ())
    said_of = strings if len(strings) < len(true.strings) and random.random() < 0.5 else ()
    return Job(
        instrument=drawn.entered,
        player=true.player,
        kit=preset_kit(trade),
        complaints=(Complaint.model_validate({"is": said, "strings": said_of}),),
    )

"""What to rule out before anything is cut: the gates of one job, and the questions still to ask."""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import partial
from typing import TYPE_CHECKING

from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.complaints import shortened
from logic.bench.checks.conclusions import gates_of
from logic.bench.checks.derived_facts import DERIVED_FACTS
from logic.bench.checks.expected_information import bits_for_the_effort, expected_bits
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.rule_words import rule_asked, rule_reason
from logic.bench.checks.whole_visit import OF_THE_VISIT
from logic.bench.checks.work_done import tidy
from logic.bench.setup.staleness import stale_strings
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.job import CallKind, Gate, GateState, Job
from shared.reasons import GateReason
from shared.setup import Scope
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.rules import Rule, RuleSet


@dataclass(frozen=True)
class GateChoice:
    """One answer that a question offers: the word that is kept, and the words that are read."""

    key: str
    label: str
    good: bool
    """Whether the gate passes with it."""


@dataclass(frozen=True)
class GateQuestion:
    """One thing to ask. Every question can be skipped by answering `skipped`."""

    gate: str
    text: str
    why: str
    kind: str
    """`choice`, or `length` where a length may be typed as well."""
    choices: tuple[GateChoice, ...]
    per_string: bool
    strings: tuple[int, ...]
    """Strings that have no answer yet."""
    page: str = ""
    waits: bool = False
    """Whether it may wait until the strings have been read: it tells too little for its effort to
    hold up a leaf, and the readings may make it needless."""


def evaluate_gates(job: Job, trade: TradeTables) -> tuple[Gate, ...]:
    """The gates of this job, in the order they are asked.

    Open are those that the complaint needs and nobody answered, and those that the readings
    contradict; what was never asked counts as skipped, and says so.
    """
    return gates_in(RuleContext(job, trade))


def gates_in(context: RuleContext) -> tuple[Gate, ...]:
    """The same of a job that the rules look at already."""
    made: list[Gate] = []
    nut_alone = context.visit.scope is Scope.NUT
    for rule in context.rule_set.rules:
        if rule.page == "look" and nut_alone and not _was_answered(rule, context):
            continue
        opened, listed = _needed_and_listed(rule, context)
        made += gates_of(rule, context, opened, listed)
    return (*made, *_not_understood(context), *_unknown_checks(context.job, context.rule_set))


def _was_answered(rule: Rule, context: RuleContext) -> bool:
    """Whether somebody answered it, at the first look or the second."""
    return bool(context.answers(rule) or context.answers_again(rule))


def cuts_wait_for_visit(context: RuleContext) -> bool:
    """Whether a step has moved what was read of a string, or something of a visit of the whole
    instrument bars every cut."""
    rules = () if context.visit.scope is Scope.NUT else context.rule_set.rules
    gates = (
        gate
        for rule in rules
        if rule.page == "look" or rule.derived_fact in OF_THE_VISIT
        for gate in gates_of(rule, context, frozenset(), listed=False)
    )
    barred = any(CallKind.LOWER in g.forbids and g.state is not GateState.PASSED for g in gates)
    return barred or bool(stale_strings(context.job, context.trade))


def most_pressing_first(gates: tuple[Gate, ...], rule_set: RuleSet) -> tuple[Gate, ...]:
    """The gates with those that lack an answer in the order in which they are to be answered: what
    every reading stands on, then relief and first frets, then the rest. The others keep their
    places."""
    lacking = iter(sorted((g for g in gates if g.lacks), key=lambda g: _presses(g, rule_set)))
    return tuple(next(lacking) if gate.lacks else gate for gate in gates)


def _presses(gate: Gate, rule_set: RuleSet) -> int:
    rule = rule_set.rule(gate.gate)
    return 0 if rule.page else 1 if rule.careful else 2


def preconditions(trade: TradeTables) -> tuple[GateQuestion, ...]:
    """What must be true before a leaf is picked up, for one page."""
    return tuple(_question(rule, ()) for rule in trade.rules.rules if rule.page == "before")


def look_questions(trade: TradeTables) -> tuple[GateQuestion, ...]:
    """What a visit of the whole instrument looks at before anything is measured, for one page."""
    return tuple(_question(rule, ()) for rule in trade.rules.rules if rule.page == "look")


def all_questions(trade: TradeTables) -> tuple[GateQuestion, ...]:
    """Every question that can be asked, in order."""
    return tuple(_question(rule, ()) for rule in trade.rules.rules if rule.asked)


def next_questions(job: Job, trade: TradeTables) -> tuple[GateQuestion, ...]:
    """What was said, and what is known so far, make it worth asking: once each.

    The kind of nut first, then what has to be answered, then the rest, in each the most informative
    for its effort first. Before the first leaf no more than the table of causes allows, relief and
    frets among them; the rest is asked after the readings.
    """
    context = RuleContext(job, trade)
    left = _worth_asking(context)
    table, said = (
        trade.causes,
        tuple(heard.row.id for heard in context.complaints if not heard.row.fact),
    )
    answered = _answered(context)
    bits = {rule.id: expected_bits(rule.id, said, answered, table) for rule in left}
    worth = {name: bits_for_the_effort(each, name, table) for name, each in bits.items()}
    ordered = sorted(left, key=lambda rule: (_rank(rule, context), -worth[rule.id]))
    if not job.readings:
        ordered = _before_first_leaf(ordered, bits, context)
    early = partial(_asked_at_once, worth=worth, context=context)
    return tuple(
        replace(_question(rule, _unanswered(rule, context), job.instrument), waits=not early(rule))
        for rule in ordered
    )


def _asked_at_once(rule: Rule, worth: dict[str, float], context: RuleContext) -> bool:
    """Whether a question comes before the first leaf: it holds in any case, has to be answered, or
    tells enough of the call for its effort."""
    held = _in_any_case(rule, context) or rule.id in context.needed
    return held or bool(context.job.readings) or worth[rule.id] >= context.trade.causes.at_once_bits


def _worth_asking(context: RuleContext) -> list[Rule]:
    """Questions that are wanted, apply, and have no answer for some string."""
    called_for = called_for_by_readings(context)
    wanted = {NUT_TYPE, *ENTRY_IN_DOUBT, *context.needed, *called_for}
    if not context.job.to_my_target:
        wanted |= context.offered
    return [
        rule
        for rule in context.rule_set.rules
        if rule.id in wanted and rule.asked and context.applies(rule) and _unanswered(rule, context)
    ]


def called_for_by_readings(context: RuleContext) -> set[str]:
    """Rules that what was read makes worth asking, though nobody's words did."""
    rules = (rule for rule in context.rule_set.rules if any(one.asks for one in rule.options))
    return {
        rule.id
        for rule in rules
        for found in DERIVED_FACTS[rule.derived_fact](context).values()
        if rule.option(found.option).asks
    }


def _before_first_leaf(
    ordered: list[Rule], bits: dict[str, float], context: RuleContext
) -> list[Rule]:
    """As many of them as are asked before the first leaf, in the same order: nut, relief and frets
    in any case, then what has to be answered, then what tells enough."""
    table = context.trade.causes
    room = table.most_before_first_leaf - _asked_so_far(context)
    held = [rule for rule in ordered if _in_any_case(rule, context)]
    must = [rule for rule in ordered if rule.id in context.needed and rule not in held]
    rest = [rule for rule in ordered if rule not in (*held, *must)]
    telling = [rule for rule in rest if bits[rule.id] >= table.least_bits]
    cards = sum(not rule.page for rule in held)
    chosen = [*held, *[*must, *telling][: max(room - cards, 0)]]
    return [rule for rule in ordered if rule in chosen]


def _in_any_case(rule: Rule, context: RuleContext) -> bool:
    """Whether it changes what every other answer means, or was begun with one string."""
    held = (NUT_TYPE, *ENTRY_IN_DOUBT)
    on_the_page = bool(rule.page)  # it is asked there, and no card of its own
    return rule.id in held or rule.careful or on_the_page or bool(context.answers(rule))


def _asked_so_far(context: RuleContext) -> int:
    """Cards that were answered or skipped; what stands on a page or came with the complaint is
    none."""
    return sum(
        bool(context.answers(rule)) and not _unanswered(rule, context)
        for rule in context.rule_set.rules
        if rule.asked and not rule.page and rule.id not in (*NO_CARD, *context.known)
    )


def _answered(context: RuleContext) -> tuple[tuple[str, str], ...]:
    """Each rule that was answered, with its option."""
    found = ((rule.id, _found(rule, context)) for rule in context.rule_set.rules)
    return tuple((rule, option) for rule, option in found if option)


def _found(rule: Rule, context: RuleContext) -> str:
    """The option that was answered, of any string; a fault before what is well."""
    answers = context.answers(rule).values() if rule.asked else ()
    found = [answer.option for answer in answers if isinstance(answer, AnswerFound)]
    failing = [each for each in found if rule.option(each).state is not GateState.PASSED]
    return next(iter([*failing, *found]), "")


def _rank(rule: Rule, context: RuleContext) -> int:
    if context.answers(rule):
        return 0  # begun with one string, it is finished first
    if rule.id == NUT_TYPE:
        return 1  # it decides what there is to ask
    if rule.id in context.turned_on:
        return 2
    return 4 if rule.id in context.in_doubt and not rule.careful else 3


def _needed_and_listed(rule: Rule, context: RuleContext) -> tuple[frozenset[int], bool]:
    """The strings of which the rule's answer is needed, and whether it is worth a line without
    one."""
    if not rule.asked or not context.applies(rule):
        return frozenset(), False
    return context.needed_of(rule), rule.id in context.offered or rule.minimal


COMPLAINT = mark("complaint")
"""The gate that stands for words which nobody understood."""
NUT_TYPE = "nut_type"
ENTRY_IN_DOUBT = ("tension", "measured_over")
"""Asked whatever was said, of entries that can hardly be meant."""
NO_CARD = ("time",)
"""Asked beside the intake, and no card of its own."""


def _unanswered(rule: Rule, context: RuleContext) -> tuple[int, ...]:
    """Strings that are asked about and have no answer; an answer on the whole instrument counts for
    each."""
    answers = context.answers(rule)
    asked = _asked_of(rule, context)
    return () if None in answers else tuple(s for s in asked if s not in answers)


def _asked_of(rule: Rule, context: RuleContext) -> tuple[int, ...]:
    """The strings that a question is about: those that its answer is needed of, where it is asked
    for nothing else, and those that were read so that it is worth asking."""
    strings, needed = context.strings_of(rule), context.needed_of(rule)
    if not needed or rule.id in context.offered:
        return strings
    read = DERIVED_FACTS[rule.derived_fact](context) if rule.derived_fact else {}
    worth = {string for string, found in read.items() if rule.option(found.option).asks}
    return tuple(s for s in strings if s in needed or s in worth or None in worth)


def _question(
    rule: Rule, strings: tuple[int, ...], instrument: Instrument | None = None
) -> GateQuestion:
    return GateQuestion(
        gate=rule.id,
        text=rule_asked(rule, instrument),
        why=rule_reason(rule, instrument),
        kind=rule.kind,
        choices=tuple(
            GateChoice(option.id, say(option.label), option.state is GateState.PASSED)
            for option in rule.options
            if option.label
        ),
        per_string=rule.per_string,
        strings=strings,
        page=rule.page,
    )


def _not_understood(context: RuleContext) -> tuple[Gate, ...]:
    """What was said and means nothing here, named back so that none is lost silently."""
    return tuple(
        Gate(
            gate=COMPLAINT,
            state=GateState.OPEN,
            ask=say("Pick what comes nearest."),
            why=say("Not understood: “{words}”.", words=shortened(words)),
            reason=GateReason.COMPLAINT_NOT_UNDERSTOOD.value,
        )
        for words in context.understood.not_understood
    )


def _unknown_checks(job: Job, rule_set: RuleSet) -> tuple[Gate, ...]:
    """Answers to questions that nobody here asks, named back so that none is lost silently."""
    known = {name for rule in rule_set.rules for name in (*rule.names, *rule.uses)}
    return tuple(_unknown(name, known) for name in job.checks if tidy(name) not in known)


def _unknown(name: str, known: set[str]) -> Gate:
    near = get_close_matches(name, sorted(known), n=1)
    kept = say("This answer is kept, but it decides nothing.")
    hint = say("Did you mean “{name}”?", name=near[0]) if near else ""
    return Gate(
        gate=name[:60],
        state=GateState.SKIPPED,
        ask=say("No question of this name is asked here."),
        why=f"{kept} {hint}".strip(),
        reason=GateReason.NO_SUCH_QUESTION.value,
    )

"""From answers, evaluated lengths and derived facts to what one rule concludes per string."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from logic.bench.checks.answers import (
    Answer,
    AnswerFound,
    AtOdds,
    Contradicted,
    Skip,
    Unreadable,
    Unsure,
    read_answer,
    words_of,
)
from logic.bench.checks.circumstances import as_it_stands
from logic.bench.checks.derived_facts import DERIVED_FACTS
from logic.bench.checks.evaluators import EVALUATORS
from logic.bench.checks.reasons import check_said
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.rule_words import board_facts, rule_asked, rule_reason
from shared.job import CallKind, Gate, GateState
from shared.reasons import GateReason, Lack, OpenCheck
from shared.units import Length
from shared.words import inside, say, say_known
from shared.work import WorkKind

if TYPE_CHECKING:
    from logic.bench.tables.rules import Rule

EVERY_CUT = (CallKind.LOWER, CallKind.RAISE, CallKind.WIDEN)


@dataclass(frozen=True)
class Conclusion:
    """Where a rule stands for one string."""

    state: GateState
    imposes: CallKind | None = None
    reason: str = ""
    says: str = ""
    forbids: tuple[CallKind, ...] = ()
    instead: CallKind = CallKind.CHECK_FIRST
    inside_window: bool = False
    lacks: Lack | None = None
    weighs: bool = True
    """Whether a cut is less sure where nobody had a reason to ask it."""

    @property
    def means(self) -> tuple[GateState, CallKind | None, str]:
        """What makes it another conclusion, whatever figures stand in its words."""
        return self.state, self.imposes, self.reason


def gates_of(
    rule: Rule, context: RuleContext, opened: frozenset[int], listed: bool
) -> tuple[Gate, ...]:
    """The gates that a rule makes for a job: strings that stand alike share one, passed first.

    `opened`: strings of which its answer is needed. `listed`: show it even where nobody answered.
    """
    alike: dict[Conclusion, list[int]] = defaultdict(list)
    for string, conclusion in conclude(rule, context, opened, listed).items():
        alike[conclusion].append(string)
    ordered = sorted(alike.items(), key=lambda pair: pair[0].state is not GateState.PASSED)
    return tuple(
        _gate(rule, conclusion, tuple(strings), context) for conclusion, strings in ordered
    )


def conclude(
    rule: Rule, context: RuleContext, opened: frozenset[int], listed: bool
) -> dict[int, Conclusion]:
    """What the rule concludes for each string that it has something to say of."""
    answers = context.answers(rule)
    derived = DERIVED_FACTS[rule.derived_fact](context) if rule.derived_fact else {}
    again = context.answers_again(rule)
    if any(string not in (None, *context.strings) for string in (*answers, *again)):
        return dict.fromkeys(context.strings, _no_such_string(rule))
    blanks = _unanswered(rule, context, opened, listed)
    if not (answers or derived or again):
        return blanks
    conclusions: dict[int, Conclusion] = {}
    for string in context.strings_of(rule):
        second = again.get(string, again.get(None))
        answer = answers.get(string, answers.get(None, second))
        found = derived.get(string, derived.get(None))
        conclusion = (
            _two_meanings(rule, context, string)
            or _looked_otherwise(rule, context, string, answer, second)
            or _conclude(rule, context, string, answer, found)
            or blanks.get(string)
        )
        waits = string in opened and answer is None
        if waits and conclusion is not None and conclusion.state is GateState.SKIPPED:
            conclusion = blanks[string]  # what the readings make worth asking is no answer to it
        if conclusion is not None:
            conclusions[string] = conclusion
    return _of_the_whole(conclusions) if rule.whole else conclusions


def _of_the_whole(found: dict[int, Conclusion]) -> dict[int, Conclusion]:
    """The same with what failed for one string failing for those that pass."""
    failed = [one for one in found.values() if one.state is GateState.FAILED]
    return {
        string: failed[0] if failed and one.state is GateState.PASSED else one
        for string, one in found.items()
    }


def _two_meanings(rule: Rule, context: RuleContext, string: int) -> Conclusion | None:
    """Where answers given for this string and for all, or under two names, mean different things:
    neither is believed. None where they agree."""
    said = context.said.get(rule.id, [])
    if len(said) < 2:
        return None
    meant: dict[object, tuple[str, str]] = {}
    for one in (each for each in said if each.string in (None, string)):
        follows = concluded_from(rule, context, string, read_answer(rule, one.name, one.raw))
        meant.setdefault(follows.means, (one.name, words_of(one.raw)))
    return _at_odds(rule, AtOdds(tuple(meant.values()))) if len(meant) > 1 else None


def _looked_otherwise(
    rule: Rule, context: RuleContext, string: int, first: Answer | None, second: Answer | None
) -> Conclusion | None:
    """Where a second look said something else than the first: neither is believed. None where they
    agree, or where the second said nothing."""
    if first is None or second is None or isinstance(second, Skip | Unsure):
        return None
    one, other = (concluded_from(rule, context, string, each) for each in (first, second))
    if one.means == other.means:
        return None
    says = say(
        "First “{first}” was said, and “{second}” at the second look: look a third time.",
        first=_word(rule, first),
        second=_word(rule, second),
    )
    return _disagreeing(says)


def _word(rule: Rule, answer: Answer) -> str:
    """An answer as it was given: what its button says, or the length that was typed."""
    return _labelled(rule, answer.option) if isinstance(answer, AnswerFound) else str(answer)


def _labelled(rule: Rule, name: str) -> str:
    """What the button of an option says; its name, where it has no button."""
    option = next((each for each in rule.options if each.id == name), None)
    return say(option.label) if option is not None and option.label else name


def _conclude(
    rule: Rule,
    context: RuleContext,
    string: int,
    answer: Answer | None,
    derived: AnswerFound | None,
) -> Conclusion | None:
    answered = None if answer is None else concluded_from(rule, context, string, answer)
    if derived is None:
        return answered
    found = _of_option(rule, derived, context, string)
    if answered is None or found.state is GateState.PASSED:
        return answered or found
    return _answered_and_found(rule, answered, found, answer)


def _answered_and_found(
    rule: Rule, answered: Conclusion, found: Conclusion, answer: Answer | None
) -> Conclusion:
    """An answer beside a finding that is no pass: they may disagree, and then both are named."""
    settled = isinstance(answer, AnswerFound) and rule.option(answer.option).settles
    if settled:
        return answered
    if answered.state is GateState.PASSED:
        return _conflict(rule, answer, found)
    return found


def concluded_from(rule: Rule, context: RuleContext, string: int, answer: Answer) -> Conclusion:
    """What one answer concludes for one string, whatever else speaks of it."""
    if isinstance(answer, Length):
        answer = EVALUATORS[rule.evaluator](context, string, answer)
    if isinstance(answer, AnswerFound):
        return _of_option(rule, as_it_stands(rule, answer, context, string), context, string)
    if isinstance(answer, Skip):
        return _left_out(rule, context)
    if isinstance(answer, Unreadable):
        return _unreadable(answer)
    if isinstance(answer, AtOdds):
        return _at_odds(rule, answer)
    if isinstance(answer, Contradicted):
        return _contradicted(rule, answer)
    assert isinstance(answer, Unsure)
    return _open(rule, context, Lack.KNOWLEDGE)


def _of_option(rule: Rule, found: AnswerFound, context: RuleContext, string: int) -> Conclusion:
    """What an option concludes; `{first}` of its sentence is the string's own first fret."""
    option = rule.option(found.option)
    first = context.job.instrument.board_fret(string, 1)
    return Conclusion(
        state=option.state,
        imposes=option.imposes,
        reason=option.reason or (GateReason.NOT_ASKED if option.asks else ""),
        says=say_known(
            option.says, {"first": first, **board_facts(context.job.instrument)} | found.facts
        ),
        forbids=option.forbids,
        instead=option.instead,
        inside_window=option.inside_window,
    )


def _unanswered(
    rule: Rule, context: RuleContext, opened: frozenset[int], listed: bool
) -> dict[int, Conclusion]:
    """Where the rule stands for each string while nobody answers: what nobody had a reason to ask
    is taken as right, and said to be where it is listed."""
    weighs = rule.minimal and rule.look_again != "where all stand high"
    never_asked = Conclusion(GateState.SKIPPED, reason=GateReason.NOT_ASKED, weighs=weighs)
    needed = _open(rule, context, Lack.ANSWER) if opened else never_asked
    ended = context.after_work.ended.get(rule.id, {})
    return {
        string: _since_work(needed, ended.get(string), context) if string in opened else never_asked
        for string in context.strings_of(rule)
        if listed or string in opened
    }


def _since_work(needed: Conclusion, work: WorkKind | None, context: RuleContext) -> Conclusion:
    """What has to be answered, with the work before which it had been."""
    return needed if work is None else replace(needed, says=say(context.trade.work.row(work).why))


def _open(rule: Rule, context: RuleContext, lacks: Lack) -> Conclusion:
    reason = OpenCheck(check=rule.id, lacks=lacks).reason
    return _unknown(rule, context, GateState.OPEN, reason, lacks)


def _left_out(rule: Rule, context: RuleContext) -> Conclusion:
    return _unknown(rule, context, GateState.SKIPPED, GateReason.SKIPPED, Lack.LEFT_OUT)


def _unknown(
    rule: Rule, context: RuleContext, state: GateState, reason: str, lacks: Lack
) -> Conclusion:
    """Nobody knows the answer: what the worst one would bar is barred, and once it was asked, only
    what cannot be undone."""
    forbids = rule.bars if lacks is Lack.ANSWER else rule.bars_undecided
    if not context.holds(rule.raise_needs):
        forbids = tuple(kind for kind in forbids if kind is not CallKind.RAISE)
    return Conclusion(
        state, reason=reason, forbids=forbids, inside_window=rule.inside_window, lacks=lacks
    )


def _unreadable(answer: Unreadable) -> Conclusion:
    says = say(
        "“{answer}” is no answer to this; {ask}.",
        answer=answer.written[:40],
        ask=answer.ask,
    )
    return Conclusion(
        GateState.OPEN, reason=GateReason.NOT_UNDERSTOOD, says=says, forbids=EVERY_CUT
    )


def _at_odds(rule: Rule, answer: AtOdds) -> Conclusion:
    (one, this), (other, that) = answer.answers[:2]
    says = say(
        "“{one}” says {this} and “{other}” says {that}, and both are names of “{check}”:"
        " keep the one that is right and take the other out.",
        one=one,
        this=this,
        other=other,
        that=that,
        check=check_said(rule.id),
    )
    return _disagreeing(says)


def _contradicted(rule: Rule, answer: Contradicted) -> Conclusion:
    says = say(
        "“{heard}” was told, and “{check}” was answered with “{answered}”:"
        " keep the one that is right and take the other back.",
        heard=say(answer.heard),
        check=check_said(rule.id),
        answered=_labelled(rule, answer.answered),
    )
    return _disagreeing(says)


def _no_such_string(rule: Rule) -> Conclusion:
    says = say(
        "“{check}” was answered for a string that is not on this instrument.",
        check=check_said(rule.id),
    )
    return Conclusion(
        GateState.OPEN, reason=GateReason.NOT_UNDERSTOOD, says=says, forbids=EVERY_CUT
    )


def _conflict(rule: Rule, answer: Answer | None, found: Conclusion) -> Conclusion:
    word = "" if answer is None else _word(rule, answer)
    says = say(
        "The answers disagree: “{word}” was said, but {found}", word=word, found=inside(found.says)
    )
    return _disagreeing(says)


def _disagreeing(says: str) -> Conclusion:
    """Of two answers one is wrong, and nobody knows which: no call stands on either."""
    return Conclusion(
        GateState.OPEN,
        imposes=CallKind.CHECK_FIRST,
        reason=GateReason.AT_ODDS,
        says=says,
        forbids=EVERY_CUT,
    )


def _gate(
    rule: Rule, conclusion: Conclusion, strings: tuple[int, ...], context: RuleContext
) -> Gate:
    return Gate(
        gate=rule.id,
        state=conclusion.state,
        ask=rule_asked(rule, context.job.instrument),
        why=conclusion.says or rule_reason(rule, context.job.instrument),
        strings=() if len(strings) == len(context.strings) else strings,
        imposes=conclusion.imposes,
        reason=str(conclusion.reason),
        forbids=conclusion.forbids,
        instead=conclusion.instead,
        inside_window=conclusion.inside_window,
        lacks=conclusion.lacks,
        weighs=conclusion.weighs,
    )

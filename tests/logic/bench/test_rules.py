"""The rule book itself: complete, sourced, and every name in it stands for something."""

from __future__ import annotations

import pytest

from logic.bench.checks.answers import AnswerFound, Unreadable, read_answer
from logic.bench.checks.complaints import complaints
from logic.bench.checks.derived_facts import DERIVED_FACTS
from logic.bench.checks.evaluators import EVALUATORS, relief_range
from logic.bench.checks.rule_context import CONDITIONS, RuleContext
from logic.bench.tables.rules import Rule
from logic.testing import ELECTRIC, TRADE, job
from shared.errors import InputError
from shared.job import CallKind, GateState
from shared.units import Length

BOOK = TRADE.rules
CUTS = {CallKind.LOWER, CallKind.RAISE, CallKind.WIDEN}
by_rule = pytest.mark.parametrize("rule", BOOK.rules, ids=lambda rule: rule.id)


@by_rule
def test_every_rule_names_what_exists(rule: Rule) -> None:
    """Judges, witnesses, conditions and opened rules are all there."""
    assert not rule.evaluator or rule.evaluator in EVALUATORS
    assert not rule.derived_fact or rule.derived_fact in DERIVED_FACTS
    assert (rule.kind == "length") == bool(rule.evaluator)
    for need in rule.needs:
        gate, equals, option = need.partition("=")
        assert BOOK.rule(gate).option(option) if equals else need in CONDITIONS
    for option in rule.options:
        assert all(BOOK.rule(opened).asked for opened in option.opens)


@by_rule
def test_every_rule_is_plain_and_sourced(rule: Rule) -> None:
    """One line to ask, one line why, and where it comes from; a failed gate says what to do, an
    open one may ask, and what only makes a question worth asking needs no reason of its own."""
    assert rule.source
    assert len(rule.ask) <= 110
    assert len(rule.why) <= 160
    for option in rule.options:
        if option.state is not GateState.PASSED:
            assert option.reason or option.asks
            ends = (".", "}", "?") if option.state is GateState.OPEN else (".", "}")
            assert option.says.endswith(ends)
        if option.imposes is CallKind.CHECK_FIRST:
            assert CUTS & set(option.forbids)


@by_rule
def test_what_bars_a_deeper_slot_bars_a_wider_one(rule: Rule) -> None:
    """Widening is cutting: whatever forbids *lower* forbids *widen*, but for answers that are about
    how the string fits its slot and so ask for one of the two."""
    for option in rule.options:
        if option.imposes not in (CallKind.WIDEN, CallKind.EASE):
            assert (CallKind.LOWER in option.forbids) == (CallKind.WIDEN in option.forbids)


@by_rule
def test_nothing_bars_what_can_be_undone(rule: Rule) -> None:
    """Easing a slot is never forbidden: it takes no material."""
    assert not any(CallKind.EASE in option.forbids for option in rule.options)


@by_rule
def test_not_knowing_bars_what_the_worst_answer_bars(rule: Rule) -> None:
    """Every cut or raise that some answer forbids or replaces is barred while the answer is not
    known; relief and first frets bar all three."""
    instead = {CallKind.CHECK_FIRST, CallKind.READ_AGAIN, CallKind.LEAVE}
    replaced = any(option.imposes in instead for option in rule.options)
    worst = {call for option in rule.options for call in option.forbids} & CUTS
    worst = CUTS if replaced else worst
    assert set(rule.bars) == worst
    assert not rule.careful or {CallKind.LOWER, CallKind.WIDEN} <= worst
    assert rule.id not in ("relief", "frets") or (rule.careful and worst == CUTS)


@by_rule
def test_every_asked_rule_can_pass(rule: Rule) -> None:
    """What is asked has an answer that passes, and no two answers share a word."""
    offered = [option for option in rule.options if option.label]
    passing = [option for option in offered if option.state is GateState.PASSED]
    assert not rule.asked or passing
    words = [word for option in rule.options for word in {option.id.casefold(), *option.also}]
    assert len(words) == len(set(words))


def test_no_name_means_two_questions() -> None:
    """A check filed under a name reaches one rule."""
    names = [name for rule in BOOK.rules for name in (*rule.names, *rule.uses)]
    assert len(names) == len(set(names))


def test_complaints_open_rules_that_exist() -> None:
    """Each complaint opens at least one question, or as a fact answers one, and answers none that
    it also asks."""
    for complaint in complaints(TRADE):
        opened = {*complaint.must, *complaint.ask}
        assert all(BOOK.rule(gate).asked for gate in opened)
        assert complaint.known if complaint.fact else opened
        assert not opened & set(complaint.known)
        for gate, option in complaint.known.items():
            assert BOOK.rule(gate).option(option)


def judged(rule: str, value: str, string: int | None = None, **instrument: object) -> str:
    """The option that a length comes to."""
    case = RuleContext(job({**ELECTRIC, **instrument}), TRADE)
    return EVALUATORS[rule](case, string, Length.parse(value)).option


@pytest.mark.parametrize(
    ("relief", "option"),
    [
        ("0 mm", "ok"),
        ("0.011 in", "ok"),
        ("0.012 in", "ok"),
        ("0.020 in", "ok"),
        ("0.022 in", "high"),
        ("1.2 mm", "high"),
        ("-0.1 mm", "back-bow"),
        ("12 mm", "beyond belief"),
        ("-4 mm", "beyond belief"),
    ],
)
def test_relief_against_published_ranges(relief: str, option: str) -> None:
    """0.012 to 0.020 in (a US guitar monthly, March 2012, p. 174) and 0.011 in (a repair shop's
    page) pass on a six-string; more than that, less than none, and the absurd do not."""
    assert judged("relief", relief) == option


def test_a_classical_builders_relief_passes() -> None:
    """0.003 to 0.010 in at fret 7 (a builder's page) is in range on a nylon-string guitar."""
    low, high = relief_range(RuleContext(job({"kind": "nylon-string guitar"}), TRADE))
    assert low <= Length.parse("0.003 in") < Length.parse("0.010 in") <= high


@pytest.mark.parametrize(
    ("slot", "option"),
    [("46 thou", "ok"), ("49 thou", "ok"), ("42 thou", "narrow"), ("60 thou", "wide")],
)
def test_slot_width_against_the_string(slot: str, option: str) -> None:
    """Up to three thou over a .046 string fits; narrower rides, much wider rattles (common
    practice, no source)."""
    assert judged("slot_width", slot, 6) == option


@pytest.mark.parametrize(
    ("distance", "option"),
    [
        ("36.35 mm", "ok"),
        ("35.3 mm", "ok"),
        ("38.35 mm", "long"),
        ("33.2 mm", "short"),
        ("2 mm", "off"),
        ("0.1 mm", "ok"),
        ("80 mm", "beyond belief"),
    ],
)
def test_nut_position_against_equal_temperament(distance: str, option: str) -> None:
    """Fret 1 lies 0.0561 of the scale from the nut: 36.35 mm on 647.7 mm; a millimetre short is
    some builders' custom (common practice, no source)."""
    assert judged("nut_position", distance, scale="647.7 mm") == option


@pytest.mark.parametrize(
    ("string", "depth", "option"),
    [(6, "0.6 mm", "ok"), (6, "0.4 mm", "shallow"), (1, "0.2 mm", "ok"), (1, "0.1 mm", "shallow")],
)
def test_slot_depth_against_diameter(string: int, depth: str, option: str) -> None:
    """Half of a wound string and most of a plain one are buried (common practice, no source)."""
    assert judged("slot_depth", depth, string) == option


@pytest.mark.parametrize(
    ("rule", "name", "raw", "option"),
    [
        ("capo", "capo", 1.0, "on"),
        ("capo", "capo", False, "off"),
        ("behind_nut", "behind_nut_fouled", "yes", "fouled"),
        ("board", "fretless", True, "bare board"),
        ("board", "fretted", True, "frets"),
        ("frets", "fret1_rocks", "yes", "bad"),
        ("bears_at_front", "break_point", "Back", "no"),
        ("slot_shape", "profile", "V", "V"),
        ("nut_type", "zero_fret", "yes", "zero fret"),
        ("tuning", "tuning", "drop D", "yes"),
        ("relief", "relief", "Fine", "ok"),
    ],
)
def test_words_of_the_trade_are_understood(
    rule: str, name: str, raw: str | bool | float, option: str
) -> None:
    """The same answer in other words, or under another name, comes to the same."""
    assert read_answer(BOOK.rule(rule), name, raw) == AnswerFound(option)


def test_a_length_below_nothing_is_refused_but_for_relief() -> None:
    """A slot cannot be narrower than nothing; a neck can bend back."""
    assert isinstance(read_answer(BOOK.rule("slot_width"), "slot_width", "-1 mm"), Unreadable)
    assert read_answer(BOOK.rule("relief"), "relief", "-1 mm") == Length.parse("-1 mm")


def test_a_string_that_is_not_there_is_refused_with_its_name() -> None:
    """A check for string 9 of six is named back before any plan is made."""
    with pytest.raises(InputError, match="9"):
        job(checks={"seated": {"9": "yes"}})

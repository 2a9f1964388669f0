"""One job seen by the rules: which of them apply, and what has been answered."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from logic.bench.checks.answers import (
    Answer,
    AnswerFound,
    AtOdds,
    Contradicted,
    Raw,
    Skip,
    Unsure,
    read_answer,
    words_of,
)
from logic.bench.checks.complaints import Heard, Understood, understood
from logic.bench.checks.odd_entries import (
    OddTension,
    great_clearances,
    odd_tensions,
)
from logic.bench.checks.work_done import Standing, standing, tidy
from logic.bench.instrument.frets import has_octave_fret
from logic.bench.instrument.presets import kinds, preset_instrument
from logic.bench.measuring.held import usable
from logic.bench.setup.as_read import FiguresRead, figures_read
from logic.bench.setup.measured import SetupState
from logic.bench.setup.state import setup_state
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.string_window import StringWindow, windows
from shared.instrument import Instrument, NutType
from shared.job import Checks, Job
from shared.readings import Buzz, BuzzReading, Reading

if TYPE_CHECKING:
    from logic.bench.tables.complaints import ComplaintRow
    from logic.bench.tables.rules import Rule, RuleSet


@dataclass(frozen=True)
class Said:
    """One answer as the job holds it: for which string (None: all), and under which name."""

    string: int | None
    name: str
    raw: Raw


@dataclass(frozen=True)
class RuleContext:
    """One job, with the rules and tables that it is evaluated by."""

    job: Job
    """As it stands, whatever came in: without what work that was done has ended."""
    trade: TradeTables

    def __post_init__(self) -> None:
        object.__setattr__(self, "job", self.after_work.job)

    @cached_property
    def after_work(self) -> Standing:
        """What work that was done has left, and what is to be answered again."""
        return standing(self.job, self.trade)

    @cached_property
    def rule_set(self) -> RuleSet:
        """The rules."""
        return self.trade.rules

    @cached_property
    def understood(self) -> Understood:
        """What was said or noticed, and what of it means nothing here."""
        return understood(self.job, self.trade)

    @property
    def complaints(self) -> tuple[Heard, ...]:
        """Every complaint that was understood, each with the strings it was said of."""
        return self.understood.heard

    def complained(self, name: str) -> bool:
        """Whether the complaint of this id was made, of any string."""
        return any(heard.row.id == name for heard in self.complaints)

    def complained_of_height(self, string: int) -> bool:
        """Whether somebody said that this string is too high at the nut: stiff, hard to press,
        painful. Sharpness is no complaint of height: much else makes it."""
        return any(
            heard.row.speaks_of == "too high" and heard.speaks_of(string)
            for heard in self.complaints
        )

    @cached_property
    def offered(self) -> frozenset[str]:
        """Rules that the complaints offer and that block nothing; none that one of them settles."""
        settled = {rule for heard in self.complaints for rule in heard.row.settles}
        asked = {rule for heard in self.complaints for rule in heard.row.ask}
        return frozenset(asked - settled)

    @cached_property
    def known(self) -> dict[str, str]:
        """Answers that the complaints themselves give."""
        heard_answers = (each for heard in self.complaints for each in heard.row.known.items())
        return {rule: said for rule, said in heard_answers if self._fits_the_kind(rule)}

    @cached_property
    def facts(self) -> dict[str, ComplaintRow]:
        """What was told in words that answers a check, by that check."""
        rows = (heard.row for heard in self.complaints if heard.row.fact)
        return {rule: row for row in rows for rule in row.known if rule in self.known}

    def _fits_the_kind(self, rule: str) -> bool:
        """Whether it is asked of this kind of instrument at all: a head is of banjos alone."""
        of_a_kind = (need for need in self.rule_set.rule(rule).needs if need in OF_A_KIND)
        return all(map(self._holds, of_a_kind))

    @cached_property
    def strings(self) -> tuple[int, ...]:
        """Every string of the instrument."""
        return tuple(spec.string for spec in self.job.instrument.strings)

    def strings_of(self, rule: Rule) -> tuple[int, ...]:
        """The strings that a rule speaks of: of a rule for a few, those too that somebody answered
        it for, such as a drone on the common nut."""
        if not rule.of:
            return self.strings
        answered = self.answers(rule)
        return tuple(s for s in self.strings if s in self.with_own_nut or s in answered)

    @cached_property
    def with_own_nut(self) -> tuple[int, ...]:
        """The strings that start at a small nut of their own."""
        return tuple(spec.string for spec in self.job.instrument.strings if spec.from_fret)

    @cached_property
    def visit(self) -> SetupState:
        """The visit of the whole instrument; of one for the nut alone nothing but its scope."""
        return setup_state(self.job, self.trade)

    @cached_property
    def measured(self) -> FiguresRead:
        """Relief and action as they were measured since something last moved them."""
        return figures_read(self.job, self.trade)

    @cached_property
    def windows(self) -> dict[int, StringWindow]:
        """The window of every string."""
        return windows(self.job.instrument, self.job.player, self.trade)

    @cached_property
    def usual(self) -> Instrument | None:
        """An instrument of this kind as it usually is, where the kind has strings of its own."""
        kind = self.job.instrument.kind
        known = kind in kinds(self.trade) and kind != "other"
        return preset_instrument(kind, self.trade) if known else None

    @cached_property
    def needed(self) -> frozenset[str]:
        """Rules that have to be answered: those that the fault turns on, the careful ones whatever
        was said, and more while words are left that nobody understood."""
        rules = self.rule_set.rules
        careful = {rule.id for rule in rules if rule.careful and self.applies(rule)}
        return frozenset(self.turned_on) | self.in_doubt | careful

    def needed_of(self, rule: Rule) -> frozenset[int]:
        """Strings of which a rule has to be answered; none where it need not be. What was said of
        one string opens no question of another."""
        if rule.id not in self.needed:
            return frozenset()
        of_all = rule.careful or rule.id in self.in_doubt or not rule.per_string
        return frozenset(self.strings_of(rule)) if of_all else self.turned_on[rule.id]

    @cached_property
    def in_doubt(self) -> frozenset[str]:
        """Rules that words which nobody understood may have spoken of: a capo left on, strings let
        down, a card under the nut. None once everything is understood, or a complaint is picked."""
        if not self.understood.not_understood:
            return frozenset()
        rules = (rule for rule in self.rule_set.rules if rule.minimal or rule.tellable)
        return frozenset(rule.id for rule in rules if self.applies(rule))

    @cached_property
    def turned_on(self) -> Mapping[str, frozenset[int]]:
        """Rules that the complaints and the answers so far turn on, each with the strings that they
        speak of."""
        found: dict[str, frozenset[int]] = {}
        for name, strings in self._turning_on():
            found[name] = found.get(name, frozenset()) | frozenset(strings or self.strings)
        return found

    def _turning_on(self) -> Iterator[tuple[str, tuple[int, ...]]]:
        """Each rule that something turns on, and the strings that it speaks of; none: all."""
        for heard in self.complaints:
            yield from ((name, heard.strings) for name in heard.row.must)
        for asked in (self.after_work.ended, self.after_work.opened):
            yield from ((name, tuple(strings)) for name, strings in asked.items())
        for rule in self.rule_set.rules:
            for string, answer in self.answers(rule).items():
                if isinstance(answer, AnswerFound):
                    opens = rule.option(answer.option).opens
                    yield from ((name, () if string is None else (string,)) for name in opens)

    @cached_property
    def readings(self) -> tuple[Reading, ...]:
        """The job's readings as far as this board has what they need, and the buzzes that were
        answered instead of read."""
        taken = usable(self.job.readings, self.fretted)
        read = {r.string for r in taken if r.buzz is not Buzz.UNKNOWN}
        answered = ((string, self.answered_option("attack", string)) for string in self.strings)
        return taken + tuple(
            BuzzReading(string=string, buzz=Buzz(strength))
            for string, strength in answered
            if string not in read and strength in _STRENGTHS
        )

    @cached_property
    def odd_tensions(self) -> dict[int, OddTension]:
        """Strings whose gauge and pitch cannot both be meant."""
        return odd_tensions(self.job.instrument, self.usual, self.trade)

    @cached_property
    def great_clearances(self) -> frozenset[int]:
        """Strings read so high that it may have been over the board."""
        nut = self.job.instrument.nut.model_copy(update={"type": NutType(self.nut_type)})
        board = {"fretted": self.fretted, "nut": nut}
        instrument = self.job.instrument.model_copy(update=board)
        return great_clearances(self.readings, instrument, self.trade)

    @cached_property
    def stored_answers(self) -> dict[str, Raw | dict[str, Raw]]:
        """The job's answers, by the name of their check as it is spelled here."""
        return {tidy(name): answer for name, answer in self.job.checks.items()}

    @cached_property
    def said(self) -> dict[str, list[Said]]:
        """Every answer of the job, by the rule that it belongs to, in the order of its names."""
        return self._by_rule(self.job.checks)

    def _by_rule(self, checks: Checks) -> dict[str, list[Said]]:
        rules = {name: rule for rule in self.rule_set.rules for name in rule.names}
        found: dict[str, list[Said]] = {}
        for check, stored in checks.items():
            rule = rules.get(name := tidy(check))
            if rule is None:
                continue
            answers = found.setdefault(rule.id, [])
            if isinstance(stored, dict):
                answers += [Said(_string(key), name, raw) for key, raw in stored.items()]
            else:
                answers.append(Said(None, name, stored))
            answers.sort(key=lambda one, names=rule.names: names.index(one.name))  # type: ignore[misc]
        return found

    def answers(self, rule: Rule) -> Mapping[int | None, Answer]:
        """Answers read as this rule's options, by string (None: for all)."""
        if rule.id not in self._read:
            self._read[rule.id] = self._answers_read(rule)
        return self._read[rule.id]

    def answers_again(self, rule: Rule) -> Mapping[int | None, Answer]:
        """What the same was answered at the second look, by string (None: for all)."""
        return self._read_again.get(rule.id, {})

    @cached_property
    def _read_again(self) -> dict[str, dict[int | None, Answer]]:
        rules = self.rule_set
        return {
            name: {one.string: read_answer(rules.rule(name), one.name, one.raw) for one in said}
            for name, said in self._by_rule(self.job.looked_again).items()
        }

    @cached_property
    def touched_mm(self) -> dict[int, tuple[float, float] | None]:
        """What touch allows of each string, millimetres, worked out once when it is asked for."""
        return {}

    @cached_property
    def _read(self) -> dict[str, dict[int | None, Answer]]:
        """Answers by rule, each read once."""
        return {}

    def _answers_read(self, rule: Rule) -> dict[int | None, Answer]:
        read: dict[int | None, Answer] = {}
        if rule.id in self.known:
            read[None] = read_answer(rule, rule.id, self.known[rule.id])
        said = self.said.get(rule.id, [])
        for one in reversed(said):
            read[one.string] = read_answer(rule, one.name, one.raw)
        read |= _at_odds(rule, said) if len(said) > 1 else {}
        fact = self.facts.get(rule.id)
        return _beside_the_fact(rule, fact, read) if fact and said else read

    def answered_option(self, gate: str, string: int | None = None) -> str:
        """The option that was answered to a gate; empty when none was."""
        answers = self.answers(self.rule_set.rule(gate))
        answer = answers.get(string, answers.get(None))
        return answer.option if isinstance(answer, AnswerFound) else ""

    def ever_answered(self, gate: str, option: str) -> bool:
        """Whether this option was answered for any string."""
        answers = self.answers(self.rule_set.rule(gate)).values()
        return any(
            isinstance(answer, AnswerFound) and answer.option == option for answer in answers
        )

    @cached_property
    def nut_type(self) -> str:
        """How the nut holds the strings: as answered, else as listed."""
        return self.answered_option("nut_type") or self.job.instrument.nut.type.value

    @cached_property
    def fretted(self) -> bool:
        """Whether the board has frets: as answered, else as listed."""
        board = self.answered_option("board")
        return board != "bare board" if board else self.job.instrument.fretted

    def applies(self, rule: Rule) -> bool:
        """Whether every condition for asking this rule holds."""
        return self.holds(rule.needs)

    def holds(self, conditions: tuple[str, ...]) -> bool:
        """Whether every one of these conditions holds."""
        return all(map(self._holds, conditions))

    def _holds(self, condition: str) -> bool:
        gate, equals, option = condition.partition("=")
        if equals:
            return self.ever_answered(gate, option)
        return CONDITIONS[condition](self)


def _at_odds(rule: Rule, said: list[Said]) -> dict[int | None, Answer]:
    """Where one check was answered differently, under two names: neither is believed."""
    differing: dict[int | None, dict[Answer, tuple[str, str]]] = {}
    for one in said:
        answer = read_answer(rule, one.name, one.raw)
        if isinstance(answer, AnswerFound):
            answers = differing.setdefault(one.string, {})
            answers.setdefault(answer, (one.name, words_of(one.raw)))
    return {
        string: AtOdds(tuple(answers.values()))
        for string, answers in differing.items()
        if len(answers) > 1
    }


def _beside_the_fact(
    rule: Rule, fact: ComplaintRow, read: dict[int | None, Answer]
) -> dict[int | None, Answer]:
    """Answers beside a circumstance that was told: it stands where nothing else is known, and what
    contradicts it is not believed, nor is it."""
    heard = AnswerFound(fact.known[rule.id])
    stands: dict[int | None, Answer] = {None: heard}
    for string, answer in read.items():
        if isinstance(answer, AnswerFound) and _contradicts(rule, heard.option, answer.option):
            stands[string] = Contradicted(fact.title, answer.option)
        elif not isinstance(answer, Skip | Unsure):
            stands[string] = answer
    return stands


def _contradicts(rule: Rule, heard: str, answered: str) -> bool:
    """Whether an answer says that all is well where a circumstance was told that is not, or another
    kind of part; an owner's consent contradicts nothing."""
    return heard != answered and not rule.option(answered).settles


def _string(key: str | int) -> int:
    """A string number; 0, which no string has, where it is none."""
    text = str(key).strip()
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0


_STRENGTHS = frozenset(Buzz) - {Buzz.UNKNOWN}
_FIXED_PARTS = (NutType.CLAMPING, NutType.ROLLER)
_WITHOUT_SLOTS = (*_FIXED_PARTS, NutType.ZERO_FRET, NutType.TALL_SLIDE)

OF_A_KIND = ("banjo", "own nut", "octave fret")
"""Conditions that the instrument alone decides, whatever was answered."""
CONDITIONS: dict[str, Callable[[RuleContext], bool]] = {
    "fretted": lambda context: context.fretted,
    "bare board": lambda context: not context.fretted,
    "own nut": lambda context: bool(context.with_own_nut),
    "octave fret": lambda context: has_octave_fret(context.job.instrument),
    "banjo": lambda context: "banjo" in context.job.instrument.kind,
    "slots": lambda context: context.nut_type not in _WITHOUT_SLOTS,
    "removable nut": lambda context: context.nut_type not in _FIXED_PARTS,
    "plain front edge": lambda context: context.nut_type != NutType.COMPENSATED,
    "read": lambda context: bool(context.job.readings),
    "great clearance": lambda context: bool(context.great_clearances),
    "odd tension": lambda context: bool(context.odd_tensions),
    "changed strings": lambda context: context.complained("changed strings"),
}
"""Conditions that a rule's `needs` can name."""

"""What work that was done leaves standing of all that was said and measured before it.

Readings, passes and proofs are sorted into rounds before a job comes here. Answers and measurements
come with the round in which they were given, and hold on until work comes that ends them: the table
of work says which. Whatever was given after that work stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from logic.bench.setup.carried import carried_over
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.job import AnswerToCheck, Checks, Job, Round
from shared.work import WorkKind

Stored = AnswerToCheck | dict[str, AnswerToCheck]


def tidy(name: str) -> str:
    """The name of a check, however it was spelled: At pitch, at-pitch, at_pitch."""
    return "_".join(name.casefold().replace("-", " ").replace("_", " ").split())


@dataclass(frozen=True)
class Standing:
    """A job as it stands after the work that was done at it."""

    job: Job
    ended: Mapping[str, Mapping[int, WorkKind]] = field(default_factory=dict)
    """By check and string, the work before which it was answered; it is to be answered again."""
    opened: Mapping[str, frozenset[int]] = field(default_factory=dict)
    """By check, the strings that it has to be answered of after their work, whatever was before."""


def as_it_stands(job: Job, trade: TradeTables) -> Job:
    """`job` with the answers and measurements that hold: those that no work has ended, and those
    given since. A job as it stands stays as it is."""
    return standing(job, trade).job


def standing(job: Job, trade: TradeTables) -> Standing:
    """The same, with what is to be answered again."""
    if not job.rounds:
        return Standing(job)
    replay = _Replay(job, trade)
    for done in job.rounds:
        replay.take(done.checks, done.looked_again)
        replay.end(done)
    replay.take(job.checks, job.looked_again)
    update = {
        "checks": replay.checks,
        "looked_again": replay.looked_again,
        "instrument": replay.instrument,
    }
    stands: Job = carried_over(job, trade).model_copy(update=update)
    return Standing(stands, replay.still_ended(), replay.still_opened())


class _Replay:
    """One job's answers, piece of work by piece of work."""

    def __init__(self, job: Job, trade: TradeTables) -> None:
        self.job, self.trade = job, trade
        self.strings = tuple(spec.string for spec in job.instrument.strings)
        self.rules = {name: rule for rule in trade.rules.rules for name in rule.names}
        self.checks: Checks = {}
        self.looked_again: Checks = {}
        self.instrument = job.instrument
        self.ended: dict[str, dict[int, WorkKind]] = {}
        self.opened: dict[str, set[int]] = {}

    def take(self, checks: Checks, looked_again: Checks) -> None:
        """Answers given since the work before; a second look spoke of the answer before them."""
        for check, given in checks.items():
            self.looked_again.pop(check, None)
            self.checks[check] = self._merged(self.checks.get(check), given)
        for check, given in looked_again.items():
            self.looked_again[check] = self._merged(self.looked_again.get(check), given)

    def _merged(self, before: Stored | None, given: Stored) -> Stored:
        if before is None or not isinstance(given, dict):
            return given
        by_string = before if isinstance(before, dict) else self._of_each(before)
        return by_string | given

    def _of_each(self, answer: AnswerToCheck) -> dict[str, AnswerToCheck]:
        return {str(string): answer for string in self.strings}

    def end(self, done: Round) -> None:
        """Leave out what this work ends."""
        row = self.trade.work.row(done.work.what)
        touched = set(done.work.strings)
        stale = set(row.stale)
        if touched >= set(self.strings):
            stale |= set(self.trade.work.of_every_string.checks)
        for check in tuple(self.checks):
            rule = self.rules.get(tidy(check))
            if rule is not None and rule.id in stale:
                gone = self._take_out(self.checks, check, touched, whole=not rule.per_string)
                if rule.id in (*row.asks_again, *row.opens):
                    ended = self.ended.setdefault(rule.id, {})
                    ended |= dict.fromkeys(gone, done.work.what)
        for check in tuple(self.looked_again):
            rule = self.rules.get(tidy(check))
            if rule is not None and rule.id in stale:
                self._take_out(self.looked_again, check, touched, whole=not rule.per_string)
        for check in row.opens:
            self.opened.setdefault(check, set()).update(touched)
        if done.instrument is not None:
            self.instrument = without_listed(self.instrument, done.instrument, row.listed)

    def _take_out(
        self, checks: Checks, check: str, touched: set[int], *, whole: bool
    ) -> tuple[int, ...]:
        """Take a stale answer out, and name the strings it was given of."""
        given = checks.pop(check)
        by_string = given if isinstance(given, dict) else self._of_each(given)
        if whole:
            return self.strings
        left = {key: one for key, one in by_string.items() if _number(key) not in touched}
        if left:
            checks[check] = left
        return tuple(string for string in self.strings if str(string) in by_string.keys() - left)

    def still_ended(self) -> dict[str, dict[int, WorkKind]]:
        """What nobody has answered again."""
        found = {
            rule: {s: kind for s, kind in by_string.items() if s not in self._answered(rule)}
            for rule, by_string in self.ended.items()
        }
        return {rule: by_string for rule, by_string in found.items() if by_string}

    def still_opened(self) -> dict[str, frozenset[int]]:
        """What nobody has answered since it was opened."""
        left = {rule: frozenset(s - self._answered(rule)) for rule, s in self.opened.items()}
        return {rule: strings for rule, strings in left.items() if strings}

    def _answered(self, rule: str) -> set[int]:
        """The strings that have an answer to this rule now, under any of its names."""
        found: set[int] = set()
        for check, given in self.checks.items():
            known = self.rules.get(tidy(check))
            if known is not None and known.id == rule:
                found |= set(map(_number, given)) if isinstance(given, dict) else set(self.strings)
        return found


def _number(key: str | int) -> int:
    text = str(key).strip()
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0


def without_listed(now: Instrument, then: Instrument, listed: Iterable[str]) -> Instrument:
    """The instrument without those figures that are still listed as they were before the work;
    another one was given since."""
    nut: dict[str, Any] = {}
    whole: dict[str, Any] = {}
    for name in listed:
        part, _, inner = name.rpartition(".")
        of, before = (now.nut, then.nut) if part else (now, then)
        if getattr(of, inner) == getattr(before, inner):
            blank = type(of).model_fields[inner].get_default(call_default_factory=True)
            (nut if part else whole)[inner] = blank
    if nut:
        whole["nut"] = now.nut.model_copy(update=nut)
    changed: Instrument = now.model_copy(update=whole) if whole else now
    return changed

"""The rule book: the rules and complaints of `assets/`, typed."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from logic.bench.tables.trade_tables import TradeTables
from shared.job import CallKind, GateState


class Row(BaseModel):
    """A row of a table. A misspelt column is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Option(Row):
    """One answer, or one thing that a judge or witness can find, and what follows from it."""

    id: str
    label: str = ""
    """What the answer's target reads; empty: never offered, only concluded."""
    also: tuple[str, ...] = ()
    """Other words that mean the same."""
    state: GateState
    imposes: CallKind | None = None
    reason: str = ""
    says: str = ""
    forbids: tuple[CallKind, ...] = ()
    opens: tuple[str, ...] = ()
    """Rules that have to be answered once this is."""
    settles: bool = False
    """Stands even where the instrument's own entry would fail the gate."""


class Rule(Row):
    """One thing to rule out."""

    id: str
    page: Literal["", "before"] = ""
    """`before`: one of the preconditions, asked together on one page."""
    minimal: bool = False
    """Listed as skipped even where nobody had a reason to ask it."""
    asked: bool = True
    """False: never asked; the readings or the instrument conclude it."""
    kind: Literal["choice", "length"] = "choice"
    gauge: bool = False
    """A length that may be written as gauges are: a bare 46 or .046."""
    signed: bool = False
    """A length that may be below zero: relief, where the neck bends back."""
    per_string: bool = False
    needs: tuple[str, ...] = ()
    """Conditions that must hold for it to be asked; `gate=option` looks at an earlier answer."""
    also: dict[str, dict[str, str]] = Field(default_factory=dict)
    """Other names of the check, each with words that mean something else under that name."""
    uses: tuple[str, ...] = ()
    """Other checks that its judge looks at."""
    free: str = ""
    """The option that any other words stand for."""
    numbers: str = ""
    """The option that a bare number stands for."""
    judge: str = ""
    derive: str = ""
    bars: tuple[CallKind, ...] = (CallKind.LOWER,)
    """Calls barred while it is open."""
    ask: str
    why: str
    options: tuple[Option, ...]
    source: str

    def option(self, name: str) -> Option:
        """The option called `name`; KeyError when there is none."""
        for option in self.options:
            if option.id == name:
                return option
        raise KeyError(f"{self.id}: {name}")

    @property
    def names(self) -> tuple[str, ...]:
        """Every name that its answer can be filed under in a job."""
        return (self.id, *self.also)


class ComplaintRow(Row):
    """What was said or noticed, and the questions it opens."""

    id: str
    title: str
    words: tuple[str, ...] = ()
    must: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()
    known: dict[str, str] = Field(default_factory=dict)
    """Answers that the complaint itself already gives."""


class Limit(Row):
    """A figure someone could dispute."""

    value: float
    source: str


class RuleSet(Row):
    """Every rule, in the order it is asked."""

    rules: tuple[Rule, ...]
    limits: dict[str, Limit]
    about: str = ""

    def rule(self, name: str) -> Rule:
        """The rule called `name`; KeyError when there is none."""
        for rule in self.rules:
            if rule.id == name:
                return rule
        raise KeyError(name)

    def limit(self, name: str) -> float:
        """A figure by its name."""
        return self.limits[name].value


@lru_cache(maxsize=4)
def rule_set(trade: TradeTables) -> RuleSet:
    """The rules of `assets/rules.json`."""
    return RuleSet.model_validate(trade.tables["rules"])

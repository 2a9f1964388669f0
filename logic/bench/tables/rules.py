"""What is asked before anything is cut, and what each answer concludes: `assets/rules.json`."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shared.job import CallKind, GateState
from shared.table import EACH_ID_ONCE, Figure, Figures, Row, SourcedRow, Table

_CUTS = (CallKind.LOWER, CallKind.RAISE, CallKind.WIDEN)
_NO_CUT = (CallKind.CHECK_FIRST, CallKind.READ_AGAIN, CallKind.LEAVE)


class Option(Row):
    """One answer, or one thing that an evaluator or a derived fact can find, and what follows."""

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
    instead: CallKind = CallKind.CHECK_FIRST
    """The call that a barred one becomes; *leave* where there is nothing to check."""
    inside_window: bool = False
    """Bars only a string that stands inside its window: above it height is a fault of its own."""
    within: tuple[str, ...] = ()
    """Words that mean this answer wherever they stand in what was said."""
    asks: bool = False
    """Found by what was read, it makes the question worth asking, though nobody's words did."""
    where: dict[str, str] = Field(default_factory=dict)
    """By circumstance, the option that this one is there: what else was answered of the string may
    change what an answer means. The first that holds counts."""
    settles: bool = False
    """Stands even where the instrument's own entry would fail the gate."""


class Rule(SourcedRow):
    """One thing to rule out."""

    id: str
    page: Literal["", "before", "look"] = ""
    """`before`: one of the preconditions, asked together on one page. `look`: what a visit of the
    whole instrument looks at before anything is measured; it says nothing in one for the nut alone.
    """
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
    of: Literal["", "own nut"] = ""
    """The strings it speaks of: all, or those alone that start at a small nut of their own."""
    whole: bool = False
    """What is wrong at one string is wrong for all: a neck that bows back on one side is no
    straight neck on the other."""
    needs: tuple[str, ...] = ()
    """Conditions that must hold for it to be asked; `gate=option` looks at an earlier answer."""
    also: dict[str, dict[str, str]] = Field(default_factory=dict)
    """Other names of the check, each with words that mean something else under that name."""
    uses: tuple[str, ...] = ()
    """Other checks that its evaluator looks at."""
    free: str = ""
    """The option that any other words stand for."""
    numbers: str = ""
    """The option that a bare number stands for."""
    evaluator: str = ""
    """The evaluator that turns a length into an option."""
    derived_fact: str = ""
    """The derived fact that can answer it."""
    look_again: Literal["", "always", "where answered", "where all stand high"] = ""
    """When a cut rests on it so that it is looked at twice before the first file: always; where it
    was answered for that string; where strings stand high together, as what lifts them all makes
    them."""
    careful: bool = False
    """Must have passed before anything that cannot be undone, whatever was said and asked."""
    tellable: bool = False
    """What people tell without being asked: with words left that nobody understood, it has to be
    answered, as the minimal ones have, since those words may have been about it."""
    raise_needs: tuple[str, ...] = ()
    """Conditions without which a raise waits for no answer to it, but only for a good one."""
    ask: str
    ask_length: str = ""
    """What the number pad asks, where the question itself does not ask for a length."""
    why: str
    options: Annotated[tuple[Option, ...], EACH_ID_ONCE]

    def option(self, name: str) -> Option:
        """The option called `name`; KeyError when there is none."""
        for option in self.options:
            if option.id == name:
                return option
        raise KeyError(f"{self.id}: {name}")

    @property
    def bars(self) -> tuple[CallKind, ...]:
        """Calls barred while nobody knows the answer: all that any bad answer would bar or replace,
        so that a question left out is never milder than the worst answer to it."""
        worst = {kind for option in self.options for kind in option.forbids}
        if any(option.imposes in _NO_CUT for option in self.options):
            worst.update(_CUTS)
        return tuple(kind for kind in _CUTS if kind in worst)

    @property
    def bars_undecided(self) -> tuple[CallKind, ...]:
        """Calls barred where it was asked and nobody can or will say: of a raise, which comes out
        again, only the one that no reading speaks for without the answer, as before pitch, relief
        and first frets."""
        if self.careful or self.page:
            return self.bars
        return tuple(kind for kind in self.bars if kind is not CallKind.RAISE)

    @property
    def inside_window(self) -> bool:
        """Whether no answer bars more than what stands inside its window."""
        return all(option.inside_window for option in self.options if option.forbids)

    @property
    def names(self) -> tuple[str, ...]:
        """Every name that its answer can be filed under in a job."""
        return (self.id, *self.also)


class Limits(Figures):
    """Where a measured length or a derived fact turns into another option."""

    slot_loose_mm: Figure[float]
    slot_under_gauge_mm: Figure[float]
    board_hollow_mm: Figure[float]
    nut_too_far_mm: Figure[float]
    nut_too_near_mm: Figure[float]
    nut_misread_mm: Figure[float]
    least_buried_wound_share: Figure[float]
    least_buried_plain_share: Figure[float]
    """Of the string's diameter."""
    other_gauge_share: Figure[float]
    """A diameter further off its listed gauge than this share is another string."""
    slack_below_tension_share: Figure[float]
    """Of the usual tension."""
    high_action_factor: Figure[float]
    """On the usual action."""
    together_over_mm: Figure[float]
    """Where most strings stand over their targets by more than this, they stand high together."""
    nut_speaks_to_fret: Figure[int]
    least_tension_share: Figure[float]
    most_tension_share: Figure[float]
    """Of what the string usually pulls."""
    least_tension_n: Figure[float]
    most_tension_n: Figure[float]
    """Where nobody says what is usual."""
    great_on_steel_mm: Figure[float]
    great_on_soft_mm: Figure[float]
    great_on_bass_mm: Figure[float]
    great_by_leaf_more_mm: Figure[float]
    """Higher over fret 1 than this was perhaps measured over the board; so much more with a leaf,
    which is felt on the crown."""
    height_share: Figure[float]
    """Of a sharp note, what height must explain before depth is touched."""
    heard_cents: Figure[float]
    odd_cents: Figure[float]
    even_cents: Figure[float]


class RuleSet(Table):
    """Every rule, in the order it is asked."""

    rules: Annotated[tuple[Rule, ...], EACH_ID_ONCE]
    limits: Limits

    def rule(self, name: str) -> Rule:
        """The rule called `name`; KeyError when there is none."""
        for rule in self.rules:
            if rule.id == name:
                return rule
        raise KeyError(name)

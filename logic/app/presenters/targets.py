"""A player's own targets as a view: the own one, the table's beside it, and what follows."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.presenters.walk import string_named
from logic.app.views.pieces import Choice, StringMark
from logic.app.views.views import ATTACK_WORDS, TargetLine, TargetsView, TypeView
from logic.app.wording.wording import Wording
from logic.bench.instrument.fret_names import fret_names
from logic.bench.instrument.targets import has_bowed_figures
from logic.bench.plan.walk import walk_order
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.own_targets import table_windows
from logic.bench.window.string_window import StringWindow, windows
from shared.instrument import Instrument, Player
from shared.job import Job
from shared.units import Unit
from shared.words import say

TARGET = "target"
"""What the number pad is asked for, to type a target."""


@dataclass(frozen=True)
class Aimed:
    """Whose targets they are: the instrument and its player, and which string is at hand."""

    instrument: Instrument
    player: Player
    string: int | None
    title: str
    to_my_target: bool | None = None
    """Whether the visit asks for every slot down to its target; None where it is no visit."""

    @property
    def strings(self) -> tuple[int, ...]:
        """The string at hand, else all."""
        order = walk_order(self.instrument)
        return (self.string,) if self.string in order else tuple(order)

    @property
    def place(self) -> str:
        """The string at hand in words."""
        if self.string is None:
            return say("All strings")
        return string_named(self.instrument.name_of(self.string))


def targets_view(aimed: Aimed, wording: Wording, trade: TradeTables) -> TargetsView:
    """Own and table's targets of one string or all, and of every string in a line."""
    instrument, player, strings = aimed.instrument, aimed.player, aimed.strings
    now = windows(instrument, player, trade)
    tables = table_windows(instrument, player, trade)
    own = [string for string in strings if string in player.targets]
    return TargetsView(
        title=aimed.title,
        string=aimed.string,
        marks=tuple(
            StringMark(s, instrument.short_name_of(s), here=s == aimed.string)
            for s in walk_order(instrument)
        ),
        place=aimed.place,
        target=_one_or_range([now[s].target_mm for s in strings], wording),
        whose=_whose_in_words(len(own), len(strings)),
        own=bool(own),
        tables=_tables_in_words([tables[s] for s in strings], wording),
        notes=tuple(dict.fromkeys(now[s].note for s in own if now[s].note)),
        attacks=tuple(
            Choice(attack.value, say(word), chosen=player.attack is attack)
            for attack, word in ATTACK_WORDS.items()
        ),
        lines=tuple(
            _target_line(aimed, s, now[s], tables[s], wording) for s in walk_order(instrument)
        ),
        note=say("Jobs that are open keep the targets they came in with.")
        if aimed.to_my_target is None
        else say("Own targets go with this instrument to its next job."),
        bow=bow_choices(instrument, player, trade),
        wishes=_wishes(aimed.to_my_target),
    )


def bow_choices(instrument: Instrument, player: Player, trade: TradeTables) -> tuple[Choice, ...]:
    """Plucked, or with a bow, where such instruments are bowed or this one was said to be."""
    if not player.bowed and not has_bowed_figures(instrument, trade):
        return ()
    return (
        Choice("no", say("Plucked"), chosen=not player.bowed),
        Choice("yes", say("With a bow"), chosen=bool(player.bowed)),
    )


def played_in_words(player: Player) -> str:
    """How hard it is played, and whether with a bow."""
    attack = say(ATTACK_WORDS[player.attack])
    return say("{attack}, with a bow", attack=attack) if player.bowed else attack


def _wishes(to_my_target: bool | None) -> tuple[Choice, ...]:
    """How far down the slots of a visit come."""
    if to_my_target is None:
        return ()
    return (
        Choice("no", say("Where it is needed"), chosen=not to_my_target),
        Choice("yes", say("All to their targets"), chosen=to_my_target),
    )


def _whose_in_words(own: int, count: int) -> str:
    if not own:
        return say("The usual target") if count == 1 else say("The usual targets")
    if own < count:
        return say("{own} of {count} are own targets", own=own, count=count)
    return say("Own target") if own == 1 else say("Own targets")


def _tables_in_words(found: list[StringWindow], wording: Wording) -> str:
    """The table's target, and the window around it with how surely its edges are known."""
    target = _one_or_range([one.target_mm for one in found], wording)
    if len(found) > 1:
        return say("Usual, by common practice: {target}", target=target)
    only = found[0]
    if not only.exists:
        return say(
            "Usual, by common practice: {target}; no clearance is both clean and in tune",
            target=target,
        )
    return say(
        "Usual, by common practice: {target}. Window {low} (± {low_sd}) to {high} (± {high_sd})",
        target=target,
        low=wording.bare_mm(only.low_mm),
        low_sd=wording.bare_mm(1.96 * only.low_sd_mm),
        high=wording.bare_mm(only.high_mm),
        high_sd=wording.bare_mm(1.96 * only.high_sd_mm),
    )


def _one_or_range(targets_mm: list[float], wording: Wording) -> str:
    low, high = min(targets_mm), max(targets_mm)
    alike = wording.mm(low) == wording.mm(high)
    return wording.mm(low) if alike else wording.between(low, high)


def _target_line(
    aimed: Aimed, string: int, now: StringWindow, tables: StringWindow, wording: Wording
) -> TargetLine:
    spec = aimed.instrument.spec(string)
    own, usual = string in aimed.player.targets, wording.mm(tables.target_mm)
    return TargetLine(
        string=string,
        name=f"{aimed.instrument.name_of(string)} · {spec.pitch.show()}",
        target=wording.mm(now.target_mm),
        whose=say("own; {target} is usual", target=usual) if own else say("usual"),
        own=own,
    )


def target_pad(aimed: Aimed, wording: Wording, trouble: str) -> TypeView:
    """The number pad for a target."""
    units = (Unit.THOU, Unit.INCH, Unit.MM)
    return TypeView(
        job="",
        title=aimed.place,
        ask=_where_to_stand(aimed),
        ways=(),
        units=tuple(Choice(unit.value, unit.value, chosen=unit is wording.unit) for unit in units),
        trouble=trouble,
    )


def _where_to_stand(aimed: Aimed) -> str:
    if aimed.string is None:
        return say("Where are they to stand, each over its first fret?")
    frets = fret_names(aimed.instrument, aimed.string)
    return say("Where is it to stand over fret {first}?", first=frets.first)


def wish_in_words(job: Job) -> str:
    """That the visit asks for every slot down to its target; empty where it does not."""
    return say("Asked for at this visit: down to the target.") if job.to_my_target else ""


def own_in_words(instrument: Instrument, player: Player, wording: Wording) -> str:
    """The own targets string by string; empty where there are none."""
    own = [
        f"{instrument.name_of(s)}: {wording.length(player.targets[s])}"
        for s in walk_order(instrument)
        if s in player.targets
    ]
    return say("Own targets of this player: {targets}", targets=" · ".join(own)) if own else ""

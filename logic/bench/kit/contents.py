"""What is in a kit: whole sets put in at once, one tool of a size, and what a change came to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from logic.bench.instrument.plausibility import read_length
from logic.bench.kit.advice import Tool
from logic.bench.kit.assumed import kit_is_assumed, usual_names
from logic.bench.kit.wear import HELD, LOST
from logic.bench.setup.action_belief import shanks_of
from logic.bench.tables.kit import KitSet
from logic.bench.tables.trade_tables import TradeTables
from shared.kit import Kit
from shared.marked import is_metric
from shared.units import Length, LengthOf

_SIZE_OF = {Tool.LEAF: LengthOf.LEAF, Tool.FILE: LengthOf.FILE, Tool.SHIM: LengthOf.SHIM}


def held(kit: Kit, tool: Tool) -> tuple[Length, ...]:
    """The tools of one sort that are in the kit."""
    found: tuple[Length, ...] = getattr(kit, HELD[tool])
    return found


def with_sizes(kit: Kit, tool: Tool, sizes: Iterable[Length]) -> Kit:
    """The kit with these tools of one sort and no others: what is in it is not lost, and what is
    not in it has no wear."""
    now = tuple(sorted(set(sizes)))
    lost = tuple(size for size in getattr(kit, LOST[tool]) if size not in now)
    changed = kit.model_copy(update={HELD[tool]: now, LOST[tool]: lost})
    worn = tuple(size for size in kit.worn_files if size in changed.files)
    return changed.model_copy(update={"worn_files": worn})


def toggled(kit: Kit, tool: Tool, size: Length) -> Kit:
    """The kit with a tool put in, or taken out if it was there."""
    have = held(kit, tool)
    left = tuple(each for each in have if each != size)
    return with_sizes(kit, tool, left if len(left) < len(have) else (*have, size))


def with_shank_toggled(kit: Kit, size: Length, trade: TradeTables) -> Kit:
    """The kit with a round shank put in, or taken out if it was there. Of the usual ones, which are
    taken to be there while nobody said which, all others stay."""
    have = shanks_of(kit, trade)
    left = tuple(each for each in have if each != size)
    now = left if len(left) < len(have) else tuple(sorted((*have, size)))
    return kit.model_copy(update={"shanks": now})


def holds_set(kit: Kit, chosen: KitSet, trade: TradeTables) -> bool:
    """Whether somebody said that all of a set is in the kit."""
    tool = Tool(chosen.tool)
    return set(chosen.sizes) <= set(held(kit, tool)) and not kit_is_assumed(kit, trade, tool)


def with_set(kit: Kit, chosen: KitSet, trade: TradeTables) -> Kit:
    """The kit with a set put in, or taken out if all of it was there; what was only assumed of its
    sort goes, as nobody had named it."""
    tool = Tool(chosen.tool)
    have = set() if kit_is_assumed(kit, trade, tool) else set(held(kit, tool))
    there = set(chosen.sizes) <= have
    return with_sizes(kit, tool, have - set(chosen.sizes) if there else have | set(chosen.sizes))


def read_size(tool: Tool, text: str, trade: TradeTables) -> Length:
    """The size of a tool as it was typed. InputError where no such tool can be that size."""
    return read_length(_SIZE_OF[tool], text, trade)


def mostly_metric(kit: Kit, *, otherwise: bool) -> bool:
    """Whether more of the leaves and files of this kit are metric than not; `otherwise` where
    neither are the more."""
    tools = (*kit.leaves, *kit.files)
    metric = sum(map(is_metric, tools))
    return otherwise if 2 * metric == len(tools) else 2 * metric > len(tools)


@dataclass(frozen=True)
class KitChange:
    """What one change of a kit did to the tools of one sort."""

    tool: Tool
    put_in: tuple[Length, ...] = ()
    taken_out: tuple[Length, ...] = ()
    lost: tuple[Length, ...] = ()
    found: tuple[Length, ...] = ()
    worn: tuple[Length, ...] = ()
    replaced: tuple[Length, ...] = ()


def tool_changes(before: Kit, after: Kit) -> tuple[KitChange, ...]:
    """What became of the tools between two states of a kit, sort by sort where anything did."""
    changes = (_change(tool, before, after) for tool in Tool)
    return tuple(change for change in changes if change != KitChange(change.tool))


def _change(tool: Tool, before: Kit, after: Kit) -> KitChange:
    was, now = set(held(before, tool)), set(held(after, tool))
    was_lost, now_lost = set(getattr(before, LOST[tool])), set(getattr(after, LOST[tool]))
    files = tool is Tool.FILE
    was_worn, now_worn = (set(kit.worn_files) if files else set() for kit in (before, after))
    return KitChange(
        tool,
        put_in=_sorted(now - was - was_lost),
        taken_out=_sorted(was - now - now_lost),
        lost=_sorted(now_lost - was_lost),
        found=_sorted((was_lost - now_lost) & now),
        worn=_sorted(now_worn - was_worn),
        replaced=_sorted((was_worn - now_worn) & now),
    )


def _sorted(sizes: set[Length]) -> tuple[Length, ...]:
    return tuple(sorted(sizes))


def newly_confirmed(before: Kit, after: Kit, trade: TradeTables) -> bool:
    """Whether what had been assumed was said to be here."""
    usual = usual_names(trade)
    return before.name in usual and after.name not in usual

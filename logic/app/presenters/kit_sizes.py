"""Sizes of leaves, files and shims on the kit's screen: those that are made, sets of them, and the
number pad for any other."""

from __future__ import annotations

from collections.abc import Iterable

from logic.app.views.views import Choice, TypeView
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.kit.advice import Tool
from logic.bench.kit.assumed import assumed_tools
from logic.bench.kit.contents import held, holds_set, mostly_metric
from logic.bench.kit.wear import LOST
from logic.bench.setup.action_belief import shanks_of
from logic.bench.tables.kit import KitSet
from logic.bench.tables.trade_tables import TradeTables
from shared.kit import Kit, RuleClass
from shared.marked import is_metric, made_in
from shared.units import Length, Unit
from shared.words import mark, say, say_many

PADS = {f"kit {tool.value}": tool for tool in Tool}
"""What the number pad is asked for where it asks for the size of a tool."""
_ASKED = {
    Tool.LEAF: (mark("A leaf of another size"), mark("How thick is the leaf?")),
    Tool.FILE: (mark("A file of another size"), mark("How wide does the file cut?")),
    Tool.SHIM: (mark("A shim of another size"), mark("How thick is the shim?")),
}
_SCALES = {Unit.THOU: mark("Thousandths of an inch"), Unit.MM: mark("Millimetres")}
_UNITS = (Unit.THOU, Unit.INCH, Unit.MM)


def kit_unit(chosen: str, kit: Kit, wording: Wording, trade: TradeTables) -> Unit:
    """In which unit the sizes that are shown are made: that which was chosen, else that of most
    tools of the kit, else the bench's."""
    if chosen in (Unit.THOU, Unit.MM):
        return Unit(chosen)
    named = kit if not assumed_tools(kit, trade) else Kit()
    return Unit.MM if mostly_metric(named, otherwise=wording.unit is Unit.MM) else Unit.THOU


def size_pad(kind: str, unit: Unit, trouble: str) -> TypeView:
    """The number pad for the size of one more tool."""
    title, ask = _ASKED[PADS[kind]]
    chosen = Unit.MM if PADS[kind] is Tool.SHIM else unit
    return TypeView(
        job="",
        title=say(title),
        ask=say(ask),
        ways=(),
        units=tuple(Choice(each.value, each.value, chosen=each is chosen) for each in _UNITS),
        trouble=trouble,
    )


def pad_choices() -> tuple[Choice, ...]:
    """What opens the number pad for each sort of tool."""
    return tuple(Choice(key, say(_ASKED[tool][0])) for key, tool in PADS.items())


def scale_choices(kit: Kit, chosen: Unit) -> tuple[Choice, ...]:
    """Thousandths and millimetres, each with how many tools of it are here."""
    tools = (*kit.leaves, *kit.files)
    metric = sum(map(is_metric, tools))
    counts = {Unit.THOU: len(tools) - metric, Unit.MM: metric}
    return tuple(
        Choice(
            unit.value,
            say(word),
            say("{count} in it", count=counts[unit]) if counts[unit] else say("none in it"),
            chosen=unit is chosen,
        )
        for unit, word in _SCALES.items()
    )


def size_choices(
    kit: Kit, tool: Tool, offered: Iterable[Length], unit: Unit, wording: Wording
) -> tuple[Choice, ...]:
    """Every size of one sort that is made in this unit, and those of the kit's own; shims of both
    stand together, and carry their unit where it is not the millimetre."""
    have, lost = held(kit, tool), getattr(kit, LOST[tool])
    worn = kit.worn_files if tool is Tool.FILE else ()
    metric = unit is Unit.MM
    every = sorted({*have, *lost, *offered})
    both = tool is Tool.SHIM
    return tuple(
        Choice(
            str(size),
            wording.listed_tool(size, bare=is_metric(size) == metric),
            say("lost") if size in lost else say("worn") if size in worn else "",
            chosen=size in have,
        )
        for size in every
        if both or is_metric(size) == metric
    )


def shank_choices(kit: Kit, trade: TradeTables, wording: Wording) -> tuple[Choice, ...]:
    """Round shanks that are slid in under a string, in millimetres; all usual ones are taken to be
    here while nobody said which."""
    have = shanks_of(kit, trade)
    every = sorted({*have, *trade.kit_sizes.shanks})
    return tuple(
        Choice(str(size), wording.listed_tool(size, bare=is_metric(size)), chosen=size in have)
        for size in every
    )


def straight_edge_choices(kit: Kit) -> tuple[Choice, ...]:
    """Whether a straight edge is at hand."""
    said = ((True, mark("Straight edge at hand")), (False, mark("No straight edge")))
    return tuple(
        Choice("yes" if have else "no", say(text), chosen=kit.straightedge is have)
        for have, text in said
    )


def rule_choices(kit: Kit) -> tuple[Choice, ...]:
    """Which class stands on the rule."""
    return tuple(
        Choice(each.value, say("Rule of class {rule}", rule=each.value), chosen=kit.rule is each)
        for each in RuleClass
    )


def set_choices(kit: Kit, unit: Unit, wording: Wording, trade: TradeTables) -> tuple[Choice, ...]:
    """The sets that are sold in this unit, ticked where all of one is here."""
    return tuple(
        Choice(name, _set_named(row), _ends(row.sizes, wording), holds_set(kit, row, trade))
        for name, row in trade.kit_sizes.sets.items()
        if is_metric(row.sizes[0]) == (unit is Unit.MM)
    )


def _set_named(row: KitSet) -> str:
    if Tool(row.tool) is Tool.LEAF:
        return say_many("{count} leaf", "{count} leaves", len(row.sizes))
    return say("Files, {instrument}", instrument=say(row.called))


def _ends(sizes: tuple[Length, ...], wording: Wording) -> str:
    low, high = wording.listed_tool(sizes[0], bare=True), wording.listed_tool(sizes[-1])
    return begun(say("{low} to {high}", low=low, high=high))


def shown_unit(unit: Unit, wording: Wording) -> str:
    """The unit that the sizes made in `unit` read in on this bench."""
    return made_in(Length.of(1, unit), wording.unit).value

"""Which tools of a kit nobody has named: until somebody does, those of a usual drawer are taken.

A kit carries the name of the usual drawer for as long as it was begun from it; a tool's sizes are
assumed while they are that drawer's own. What is lost of them is still one of them.
"""

from __future__ import annotations

from functools import lru_cache

from logic.bench.instrument.presets import preset_kit
from logic.bench.kit.advice import Tool
from logic.bench.kit.wear import HELD, LOST
from logic.bench.tables.trade_tables import TradeTables
from shared.kit import Kit
from shared.units import Length
from shared.words import mark, say

_ASSUMED = {
    Tool.LEAF: mark("These leaves are assumed: nobody has said which are here."),
    Tool.FILE: mark("These files are assumed: nobody has said which are here."),
    Tool.SHIM: mark("These shims are assumed: nobody has said which are here."),
}


@lru_cache(maxsize=64)
def assumed_tools(kit: Kit, trade: TradeTables) -> tuple[Tool, ...]:
    """The sorts of tool in this kit that nobody has named."""
    usual = (preset_kit(trade, metric=metric) for metric in (False, True))
    begun_from = next((each for each in usual if each.name == kit.name), None)
    if begun_from is None:
        return ()
    return tuple(tool for tool in Tool if _sizes(kit, tool) == _sizes(begun_from, tool))


def kit_is_assumed(kit: Kit, trade: TradeTables, tool: Tool = Tool.LEAF) -> bool:
    """Whether nobody has said which leaves (or files, or shims) this kit holds. The kit of a job
    says it as well as the bench's own."""
    return tool in assumed_tools(kit, trade)


def assumption_in_words(kit: Kit, trade: TradeTables, tool: Tool = Tool.LEAF) -> str:
    """That this kit's leaves (or files, or shims) are assumed, as one sentence for the screen that
    asks for one; empty where somebody has named them."""
    return say(_ASSUMED[tool]) if kit_is_assumed(kit, trade, tool) else ""


def usual_names(trade: TradeTables) -> tuple[str, ...]:
    """The names of the drawers that are assumed."""
    return trade.presets.kit.name, trade.presets.kit_mm.name


def said_to_be_here(kit: Kit, trade: TradeTables) -> Kit:
    """The kit with all that is in it confirmed: nothing of it is assumed any more."""
    return kit.model_copy(update={"name": ""}) if kit.name in usual_names(trade) else kit


def emptied(kit: Kit, trade: TradeTables) -> Kit:
    """A kit that holds no tool at all; what is marked lost stays marked."""
    held = dict.fromkeys(HELD.values(), ())
    return said_to_be_here(kit, trade).model_copy(update={**held, "worn_files": ()})


def _sizes(kit: Kit, tool: Tool) -> tuple[Length, ...]:
    held: tuple[Length, ...] = getattr(kit, HELD[tool])
    lost: tuple[Length, ...] = getattr(kit, LOST[tool])
    return tuple(sorted({*held, *lost}))

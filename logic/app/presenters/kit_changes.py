"""What a change of the kit did, in words."""

from __future__ import annotations

from collections.abc import Iterator

from logic.app.wording.calls import begun
from logic.bench.kit.advice import Tool
from logic.bench.kit.contents import KitChange, newly_confirmed, tool_changes
from logic.bench.tables.trade_tables import TradeTables
from shared.kit import Kit
from shared.marked import AsMarked
from shared.units import Length
from shared.words import mark, say, say_many

_ONE = {
    Tool.LEAF: mark("{size} leaf"),
    Tool.FILE: mark("{size} file"),
    Tool.SHIM: mark("{size} shim"),
}
_DONE = {
    "put_in": mark("{tools} put in"),
    "taken_out": mark("{tools} taken out"),
    "lost": mark("{tools} marked lost"),
    "found": mark("{tools} found again"),
    "worn": mark("{tools} marked worn"),
    "replaced": mark("{tools} replaced"),
}


def changes_in_words(before: Kit, after: Kit, trade: TradeTables) -> str:
    """What became of the kit, without a full stop; empty where nothing did."""
    said = [_done(each, what) for each in tool_changes(before, after) for what in _DONE]
    said += _stock_changes(before, after)
    said += _for_heights(before, after)
    if newly_confirmed(before, after, trade) and not any(said):
        said.append(say("all of it confirmed"))
    return ", ".join(filter(None, said))


def _done(change: KitChange, what: str) -> str:
    sizes: tuple[Length, ...] = getattr(change, what)
    return say(_DONE[what], tools=_tools_in_words(change.tool, sizes)) if sizes else ""


def _tools_in_words(tool: Tool, sizes: tuple[Length, ...]) -> str:
    if len(sizes) == 1:
        return say(_ONE[tool], size=AsMarked(sizes[0], listed=True))
    return count_in_words(tool, len(sizes))


def count_in_words(tool: Tool, count: int) -> str:
    """So many tools of one sort."""
    match tool:
        case Tool.LEAF:
            return say_many("{count} leaf", "{count} leaves", count)
        case Tool.FILE:
            return say_many("{count} file", "{count} files", count)
        case Tool.SHIM:
            return say_many("{count} shim", "{count} shims", count)


def _for_heights(before: Kit, after: Kit) -> Iterator[str]:
    """What relief and action are measured with: shanks, a straight edge, a rule."""
    if before.shanks != after.shanks and after.shanks is not None:
        yield say_many("{count} shank", "{count} shanks", len(after.shanks))
    if before.straightedge != after.straightedge and after.straightedge is not None:
        yield say("a straight edge at hand") if after.straightedge else say("no straight edge")
    if before.rule != after.rule and after.rule is not None:
        yield say("a rule of class {rule}", rule=after.rule.value)


def _stock_changes(before: Kit, after: Kit) -> Iterator[str]:
    was, now = (dict.fromkeys((*kit.fills, *kit.blanks)) for kit in (before, after))
    yield from (say("{tools} put in", tools=begun(say(name))) for name in now if name not in was)
    yield from (say("{tools} taken out", tools=begun(say(name))) for name in was if name not in now)

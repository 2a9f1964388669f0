"""The kit: which of the bench's kits is in hand, what is in it, and what it lacks."""

from __future__ import annotations

from collections.abc import Sequence

from logic.app.views.views import Choice, KitView
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.kit.advice import Tool, kit_advice
from logic.bench.tables.trade_tables import TradeTables
from logic.history.history import History
from logic.jobfiles.reading import preset_kit
from shared.kit import Kit
from shared.units import Length, Unit
from shared.words import mark, say

BENCH_KIT = "bench"
BAGS = {BENCH_KIT: mark("Bench"), "tour": mark("Tour case")}
"""The bags that every bench is offered; others come in with the histories of others."""
IN_HAND = "bag"
"""The setting that holds the id of the kit that is worked out of."""
MARKINGS = {"in": mark("In or out"), "lost": mark("Lost"), "worn": mark("Worn")}
ADVISED_BY = 12
"""As many of the latest jobs say what to buy next."""
LISTED = 5


def kit_in_hand(history: History) -> str:
    """The id of the kit that is worked out of."""
    kept = history.setting(IN_HAND)
    return kept if isinstance(kept, str) and kept in _kit_names(history) else BENCH_KIT


def kit_of(history: History, trade: TradeTables) -> Kit:
    """What is in the kit in hand; a kit that nobody filled yet holds what the bench has, and the
    bench the usual, until somebody says what is in it."""
    kept = {kit.id: kit.value for kit in history.kits()}
    filled = kept.get(kit_in_hand(history)) or kept.get(BENCH_KIT)
    return filled or preset_kit(trade, metric=history.setting("unit") == Unit.MM)


def toggled(sizes: tuple[Length, ...], text: str) -> tuple[Length, ...]:
    """`sizes` with the one that `text` spells put in, or taken out if it was there."""
    size = Length.parse(text)
    kept = tuple(each for each in sizes if each != size)
    return tuple(sorted((*kept, size))) if len(kept) == len(sizes) else kept


def buy_next(history: History, kit: Kit, trade: TradeTables) -> tuple[str, ...]:
    """What the latest jobs would have needed most, in words."""
    documents = (history.job(line.id) for line in history.jobs()[:ADVISED_BY])
    jobs = [document.as_job() for document in documents if document and document.readings]
    missing = kit_advice(jobs, kit, trade)[:LISTED]
    if not missing:
        return (say("Nothing was missed at the latest jobs."),)
    return tuple(f"{begun(each.words)}." for each in missing)


def kit_view(
    history: History,
    trade: TradeTables,
    wording: Wording,
    marking: str = "in",
    advice: tuple[str, ...] = (),
    trouble: str = "",
) -> KitView:
    """Every size of the trade that a kit may hold, ticked where this one does."""
    kit, hand = kit_of(history, trade), kit_in_hand(history)
    offered = trade.kit_sizes

    def sizes(tool: Tool, sort: str, made: Sequence[Length]) -> tuple[Choice, ...]:
        return _size_choices(kit, tool, sort, made, wording)

    return KitView(
        leaves=sizes(Tool.LEAF, "leaves", offered.leaves),
        files=sizes(Tool.FILE, "files", offered.files),
        unit=wording.unit.value,
        summary=_summary_in_words(kit),
        bags=tuple(Choice(k, name, chosen=k == hand) for k, name in _kit_names(history).items()),
        markings=tuple(Choice(k, say(word), chosen=k == marking) for k, word in MARKINGS.items()),
        shims=sizes(Tool.SHIM, "shims", offered.shims),
        fills=_stock_choices(offered.fills, kit.fills),
        blanks=_stock_choices(offered.blanks, kit.blanks),
        advice=advice,
        trouble=trouble,
    )


def _kit_names(history: History) -> dict[str, str]:
    """Every kit of the bench by its id, with its name."""
    kept = {kit.id: kit.value.name or kit.id for kit in history.kits()}
    return kept | {key: say(name) for key, name in BAGS.items()}


def _size_choices(
    kit: Kit, tool: Tool, sort: str, offered: Sequence[Length], wording: Wording
) -> tuple[Choice, ...]:
    owned: tuple[Length, ...] = getattr(kit, sort)
    lost: tuple[Length, ...] = getattr(kit, f"lost_{sort}")
    worn = kit.worn_files if tool is Tool.FILE else ()
    every = sorted({*offered, *owned, *lost})
    return tuple(
        Choice(
            str(size),
            wording.bare(size),
            say("lost") if size in lost else say("worn") if size in worn else "",
            chosen=size in owned,
        )
        for size in every
    )


def _stock_choices(offered: Sequence[str], owned: tuple[str, ...]) -> tuple[Choice, ...]:
    every = dict.fromkeys((*offered, *owned))
    return tuple(Choice(name, begun(say(name)), chosen=name in owned) for name in every)


def _summary_in_words(kit: Kit) -> str:
    lost = len(kit.lost_leaves) + len(kit.lost_files) + len(kit.lost_shims)
    leaves, files, worn = len(kit.leaves), len(kit.files), len(kit.worn_files)
    said = [say("{leaves} leaves and {files} files are in the bag", leaves=leaves, files=files)]
    if lost:
        said.append(say("{count} lost", count=lost))
    if worn:
        said.append(say("{count} worn", count=worn))
    return f"{', '.join(said)}."

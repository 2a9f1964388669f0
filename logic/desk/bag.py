"""The kit: what is in the bag."""

from __future__ import annotations

from logic.bench.trade import Trade
from logic.desk.views import Choice, KitView
from logic.desk.wording import Wording
from logic.history.history import History
from logic.jobfile import preset_kit
from shared.kit import Kit
from shared.units import Length

BENCH_KIT = "bench"


def kit_of(history: History, trade: Trade) -> Kit:
    """This bench's kit, or the usual one until somebody says what is in the bag."""
    for kept in history.kits():
        if kept.id == BENCH_KIT:
            return kept.value
    return preset_kit(trade)


def toggled(sizes: tuple[Length, ...], text: str) -> tuple[Length, ...]:
    """`sizes` with the one that `text` spells put in, or taken out if it was there."""
    size = Length.parse(text)
    kept = tuple(each for each in sizes if each != size)
    return tuple(sorted((*kept, size))) if len(kept) == len(sizes) else kept


def kit_view(kit: Kit, trade: Trade, wording: Wording) -> KitView:
    """Every size of the trade that a bag may hold, ticked where this one does."""
    offered = trade.tables["kit_sizes"]
    leaves, files = (
        tuple(
            Choice(str(size), wording.bare(size), chosen=size in owned)
            for size in sorted({*map(Length.parse, offered[sort]), *owned})
        )
        for sort, owned in (("leaves", kit.leaves), ("files", kit.files))
    )
    summary = f"{len(kit.leaves)} leaves and {len(kit.files)} files are in the bag."
    return KitView(leaves, files, wording.unit.value, summary)

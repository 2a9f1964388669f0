"""The kit: which of the bench's kits is in hand, what is in it, and what it lacks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from logic.app.presenters import kit_sizes
from logic.app.presenters.kit_changes import count_in_words
from logic.app.views.views import Choice, KitView
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.kit.advice import Tool, kit_advice
from logic.bench.kit.assumed import assumed_tools, assumption_in_words
from logic.bench.tables.trade_tables import TradeTables
from logic.history.history import History
from logic.jobfiles.reading import preset_kit
from shared.kit import Kit
from shared.units import Unit
from shared.words import mark, say, say_many

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


def buy_next(history: History, kit: Kit, trade: TradeTables) -> tuple[str, ...]:
    """What the latest jobs would have needed most, in words."""
    documents = (history.job(line.id) for line in history.jobs()[:ADVISED_BY])
    jobs = [document.as_job() for document in documents if document and document.readings]
    bench = Unit.MM if history.setting("unit") == Unit.MM else Unit.THOU
    missing = kit_advice(jobs, kit, trade, bench)[:LISTED]
    if not missing:
        if not jobs:
            return (say("Nothing to go by yet: no job has been measured."),)
        return (say("Nothing was missed at the latest jobs."),)
    return tuple(f"{begun(each.words)}." for each in missing)


@dataclass(frozen=True)
class KitTouches:
    """What a touch on the kit's screen does now, and what came of the last."""

    marking: str = "in"
    unit: str = ""
    advice: tuple[str, ...] = ()
    changed: str = ""
    trouble: str = ""


def kit_view(
    history: History, trade: TradeTables, wording: Wording, touches: KitTouches | None = None
) -> KitView:
    """Every size of the trade that a kit may hold, ticked where this one does."""
    now = touches or KitTouches()
    kit, hand = kit_of(history, trade), kit_in_hand(history)
    unit = kit_sizes.kit_unit(now.unit, kit, wording, trade)
    offered = trade.kit_sizes
    return KitView(
        leaves=kit_sizes.size_choices(kit, Tool.LEAF, offered.leaves, unit, wording),
        files=kit_sizes.size_choices(kit, Tool.FILE, offered.files, unit, wording),
        unit=kit_sizes.shown_unit(unit, wording),
        summary=_summary_in_words(kit),
        bags=tuple(Choice(k, name, chosen=k == hand) for k, name in _kit_names(history).items()),
        markings=tuple(Choice(k, say(w), chosen=k == now.marking) for k, w in MARKINGS.items()),
        shims=kit_sizes.size_choices(kit, Tool.SHIM, offered.shims, Unit.MM, wording),
        shanks=kit_sizes.shank_choices(kit, trade, wording),
        straight_edges=kit_sizes.straight_edge_choices(kit),
        rules=kit_sizes.rule_choices(kit),
        fills=_stock_choices(offered.fills, kit.fills),
        blanks=_stock_choices(offered.blanks, kit.blanks),
        advice=now.advice,
        trouble=now.trouble,
        assumed=_assumed_in_words(kit, trade),
        changed=now.changed,
        scales=kit_sizes.scale_choices(kit, unit),
        sets=kit_sizes.set_choices(kit, unit, wording, trade),
        own=kit_sizes.pad_choices(),
        elsewhere=_elsewhere_in_words(history, kit),
        can_undo=last_saved(history) != "",
    )


def last_saved(history: History) -> str:
    """The entry that made the kit in hand what it is; empty where nothing did yet."""
    hand = kit_in_hand(history)
    marks = next((kit.marks for kit in history.kits() if kit.id == hand), {})
    return marks["value"].event if "value" in marks else ""


def jobs_elsewhere(history: History, kit: Kit) -> tuple[str, ...]:
    """The latest open jobs that work out of another kit than this."""
    lines = history.open_jobs()[:FOLLOWING]
    documents = ((line.id, history.job(line.id)) for line in lines)
    return tuple(name for name, found in documents if found and found.kit != kit)


FOLLOWING = 12
"""As many of the latest open jobs follow a change of their kit."""


def _elsewhere_in_words(history: History, kit: Kit) -> str:
    count = len(jobs_elsewhere(history, kit))
    if not count:
        return ""
    return say_many(
        "Use it in the {count} open job that has another kit",
        "Use it in the {count} open jobs that have another kit",
        count,
    )


def _assumed_in_words(kit: Kit, trade: TradeTables) -> str:
    assumed = assumed_tools(kit, trade)
    if set(assumed) == set(Tool):
        return say("Nobody has said yet what is in this kit: a usual drawer is assumed.")
    return " ".join(assumption_in_words(kit, trade, tool) for tool in assumed)


def _kit_names(history: History) -> dict[str, str]:
    """Every kit of the bench by its id, with its name."""
    kept = {kit.id: kit.value.name or kit.id for kit in history.kits()}
    return kept | {key: say(name) for key, name in BAGS.items()}


def _stock_choices(offered: Sequence[str], owned: tuple[str, ...]) -> tuple[Choice, ...]:
    every = dict.fromkeys((*offered, *owned))
    return tuple(Choice(name, begun(say(name)), chosen=name in owned) for name in every)


def _summary_in_words(kit: Kit) -> str:
    lost = len(kit.lost_leaves) + len(kit.lost_files) + len(kit.lost_shims)
    leaves, files = (
        count_in_words(tool, len(sizes))
        for tool, sizes in ((Tool.LEAF, kit.leaves), (Tool.FILE, kit.files))
    )
    said = [say("In this kit: {leaves} and {files}", leaves=leaves, files=files)]
    if lost:
        said.append(say("{count} lost", count=lost))
    if kit.worn_files:
        said.append(say("{count} worn", count=len(kit.worn_files)))
    return f"{', '.join(said)}."

"""What to buy next: the leaf, file or shim that this bench's own jobs most often lacked."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from logic.bench.cutting.files import choose_file
from logic.bench.plan.plan import make_plan, string_state
from logic.bench.tables.trade_tables import TradeTables
from shared.job import IRREVERSIBLE, Job, Plan
from shared.kit import Kit
from shared.marked import AsMarked, is_metric
from shared.units import Length, Unit
from shared.words import mark, say, say_many


class Tool(StrEnum):
    """A kind of tool in the kit."""

    LEAF = "leaf"
    FILE = "file"
    SHIM = "shim"


_SERVED = {
    Tool.LEAF: mark("leaf of {size}: would have served {strings} in {jobs}"),
    Tool.FILE: mark("file of {size}: would have served {strings} in {jobs}"),
    Tool.SHIM: mark("shim of {size}: would have served {strings} in {jobs}"),
}
_GONE = {
    Tool.LEAF: mark("leaf of {size}: marked lost"),
    Tool.FILE: mark("file of {size}: marked lost"),
    Tool.SHIM: mark("shim of {size}: marked lost"),
}
_WORN_OUT = mark("file of {size}: marked worn")


@dataclass(frozen=True)
class Missing:
    """A tool that the kit lacks, how many strings it would have served, and in how many jobs; none
    where it is missed only because it was there once."""

    tool: Tool
    size: Length
    strings: int = 0
    jobs: int = 0
    worn: bool = False
    """Whether it is there, and worn."""

    @property
    def words(self) -> str:
        """One line for the shopping list."""
        size = AsMarked(self.size, listed=True)
        if not self.strings:
            return say(_WORN_OUT if self.worn else _GONE[self.tool], size=size)
        strings = say_many("{count} string", "{count} strings", self.strings)
        jobs = say_many("{count} job", "{count} jobs", self.jobs)
        return say(_SERVED[self.tool], size=size, strings=strings, jobs=jobs)


@dataclass(frozen=True)
class _Wish:
    """One string of one job that any of these sizes would have served."""

    tool: Tool
    job: int
    sizes: frozenset[Length]


def kit_advice(
    jobs: Iterable[Job], kit: Kit, trade: TradeTables, bench: Unit = Unit.THOU
) -> tuple[Missing, ...]:
    """What this kit lacks for these jobs, most useful first, in the sizes of the system that the
    kit itself is mostly of; an empty one is filled in that of the `bench`.

    One tool may serve several strings: the one that serves most is taken first, then the one that
    serves most of what is left, and so on. What is there is never named, alone or as two leaves
    laid together; what is lost or worn is not there.
    """
    shop = _Shop(_in_use(kit), trade, bench)
    wishes = [
        wish
        for number, job in enumerate(jobs)
        for wish in _wishes(number, job.model_copy(update={"kit": shop.kit}), shop)
    ]
    served = [each for tool in Tool for each in _greedy(tool, wishes)]
    gone = [each for each in _once_there(kit, shop) if not _named(each, served)]
    by_use = sorted(served, key=lambda each: (-each.strings, each.size))
    return (*by_use, *gone)[: trade.kit.most_named]


def _in_use(kit: Kit) -> Kit:
    """The kit without the files that are worn."""
    sharp = tuple(file for file in kit.files if file not in kit.worn_files)
    return kit.model_copy(update={"files": sharp, "worn_files": ()})


def _once_there(kit: Kit, shop: _Shop) -> Iterator[Missing]:
    """What was lost, and what is worn, where nothing in the kit does for it."""
    lost = {Tool.LEAF: kit.lost_leaves, Tool.FILE: kit.lost_files, Tool.SHIM: kit.lost_shims}
    for tool, sizes in lost.items():
        yield from (Missing(tool, size) for size in sizes if not shop.has(tool, size.mm))
    for file in kit.worn_files:
        if not shop.has(Tool.FILE, file.mm):
            yield Missing(Tool.FILE, file, worn=True)


def _named(one: Missing, others: Iterable[Missing]) -> bool:
    """Whether a tool of its size is among the others."""
    return any((each.tool, each.size) == (one.tool, one.size) for each in others)


class _Shop:
    """The sizes that can be bought for one kit: those of its system, without those that are there
    or that two leaves in it make."""

    def __init__(self, kit: Kit, trade: TradeTables, bench: Unit) -> None:
        self.kit, self.trade = kit, trade
        table = trade.kit
        metric = {
            Tool.LEAF: _is_metric(kit.leaves, bench),
            Tool.FILE: _is_metric(kit.files, bench),
            Tool.SHIM: True,
        }
        steps_mm = {
            Tool.LEAF: (table.leaf_step_mm, table.metric_leaf_step_mm),
            Tool.FILE: (table.file_step_mm, table.metric_file_step_mm),
            Tool.SHIM: (table.shim_step_mm, table.shim_step_mm),
        }
        self.steps = {tool: steps_mm[tool][metric[tool]] for tool in Tool}
        self.units = {tool: Unit.MM if metric[tool] else Unit.INCH for tool in Tool}
        pairs = (one.mm + other.mm for one, other in combinations(kit.leaves, 2))
        self._there = {
            Tool.LEAF: (*(leaf.mm for leaf in kit.leaves), *pairs),
            Tool.FILE: tuple(file.mm for file in kit.files),
            Tool.SHIM: tuple(shim.mm for shim in kit.shims),
        }
        self._alike_mm = {
            Tool.LEAF: trade.call.as_thick_mm,
            Tool.FILE: trade.files.exact_within_mm,
            Tool.SHIM: table.shim_step_mm / 2,
        }

    def has(self, tool: Tool, size_mm: float) -> bool:
        """Whether a tool as thick or wide as this is there, or two leaves are that together."""
        alike = self._alike_mm[tool] + _HAIR_MM
        return any(abs(there - size_mm) <= alike for there in self._there[tool])

    def nearest(self, tool: Tool, size_mm: float) -> Iterator[Length]:
        """The size that is made nearest to this, if it is not there."""
        half = self.steps[tool] / 2 - _HAIR_MM
        yield from self.between(tool, size_mm - half, size_mm + half)

    def between(self, tool: Tool, least_mm: float, most_mm: float) -> Iterator[Length]:
        """The sizes that are made, from the least to the greatest, that are not there."""
        step = self.steps[tool]
        first, last = math.ceil(least_mm / step - _HAIR_MM), int(most_mm / step + _HAIR_MM)
        for count in range(max(first, 1), last + 1):
            if not self.has(tool, count * step):
                size = Length.of(round(count * step, 6))
                yield Length(size.exact_mm, self.units[tool])


_HAIR_MM = 1e-6
"""What binary arithmetic may be off by; no tool is made so fine."""


def _is_metric(sizes: tuple[Length, ...], bench: Unit) -> bool:
    """Whether most of these are metric; where there are none, whether the bench is."""
    metric = sum(map(is_metric, sizes))
    return 2 * metric > len(sizes) if sizes else bench is Unit.MM


def _wishes(number: int, job: Job, shop: _Shop) -> list[_Wish]:
    plan = make_plan(job, shop.trade)
    filed = {made.string for made in job.passes}
    to_file = filed | {call.string for call in plan.strings if call.call in IRREVERSIBLE}
    files = ((Tool.FILE, _file_wish(job, string, shop)) for string in sorted(to_file))
    leaves = ((Tool.LEAF, _leaf_wish(job, call.string, shop)) for call in plan.strings)
    wished = (*files, *leaves, (Tool.SHIM, _shim_wish(plan, shop)))
    return [_Wish(tool, number, frozenset(sizes)) for tool, sizes in wished if sizes]


def _file_wish(job: Job, string: int, shop: _Shop) -> tuple[Length, ...]:
    """Any width from the string's own up to what the trade allows over it."""
    gauge, table = job.instrument.spec(string).gauge, shop.trade.files
    chosen = choose_file(gauge, job.kit.files, shop.trade).file
    if chosen is not None and chosen.mm >= gauge.mm - table.exact_within_mm:
        return ()
    least = gauge.mm - table.exact_within_mm
    return tuple(shop.between(Tool.FILE, least, gauge.mm + table.over_gauge_mm))


def _leaf_wish(job: Job, string: int, shop: _Shop) -> tuple[Length, ...]:
    """The thickness that would have told more, where no leaf in this kit does."""
    lacking = string_state(job, string, shop.trade).advice.lacking_mm
    return () if lacking is None else tuple(shop.nearest(Tool.LEAF, lacking))


def _shim_wish(plan: Plan, shop: _Shop) -> tuple[Length, ...]:
    """The shim that the plan recommends and the stock cannot make."""
    wanted = next((option for option in plan.nut.options if option.recommended), None)
    if wanted is None or wanted.method not in ("shim", "wedge") or wanted.stack_mm:
        return ()
    if not wanted.amount_mm:
        return ()
    step = shop.steps[Tool.SHIM]
    enough = math.ceil(wanted.amount_mm / step - _HAIR_MM) * step
    return tuple(shop.nearest(Tool.SHIM, enough))


def _greedy(tool: Tool, wishes: list[_Wish]) -> list[Missing]:
    left = [wish for wish in wishes if wish.tool is tool]
    found = []
    while left:
        served: dict[Length, list[_Wish]] = defaultdict(list)
        for wish in left:
            for size in wish.sizes:
                served[size].append(wish)
        # the thinnest of the equally useful: a file's own width before a wider one
        best = min(served, key=lambda size: (-len(served[size]), size))
        jobs = Counter(wish.job for wish in served[best])
        found.append(Missing(tool, best, len(served[best]), len(jobs)))
        left = [wish for wish in left if best not in wish.sizes]
    return found

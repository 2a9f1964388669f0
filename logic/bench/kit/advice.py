"""What to buy next: the leaf, file or shim that this bench's own jobs most often lacked."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from logic.bench.cutting.files import choose_file
from logic.bench.plan.plan import make_plan, string_state
from logic.bench.tables.trade_tables import TradeTables
from shared.job import IRREVERSIBLE, Job, Plan
from shared.kit import Kit
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


@dataclass(frozen=True)
class Missing:
    """A tool that the kit lacks, how many strings it would have served, and in how many jobs."""

    tool: Tool
    size: Length
    strings: int
    jobs: int

    @property
    def words(self) -> str:
        """One line for the shopping list."""
        strings = say_many("{count} string", "{count} strings", self.strings)
        jobs = say_many("{count} job", "{count} jobs", self.jobs)
        return say(_SERVED[self.tool], size=self.size, strings=strings, jobs=jobs)


@dataclass(frozen=True)
class _Wish:
    """One string of one job that any of these sizes would have served, in whole steps."""

    tool: Tool
    job: int
    steps: frozenset[int]


def kit_advice(jobs: Iterable[Job], kit: Kit, trade: TradeTables) -> tuple[Missing, ...]:
    """What this kit lacks for these jobs, most useful first.

    One tool may serve several strings: the one that serves most is taken first, then the one that
    serves most of what is left, and so on.
    """
    wishes = [
        wish
        for number, job in enumerate(jobs)
        for wish in _wishes(number, job.model_copy(update={"kit": kit}), trade)
    ]
    missing = [each for tool in Tool for each in _greedy(tool, wishes, trade)]
    most = trade.kit.most_named
    return tuple(sorted(missing, key=lambda each: (-each.strings, each.size))[:most])


def _wishes(number: int, job: Job, trade: TradeTables) -> list[_Wish]:
    plan = make_plan(job, trade)
    filed = {made.string for made in job.passes}
    to_file = filed | {call.string for call in plan.strings if call.call in IRREVERSIBLE}
    files = (_file_wish(number, job, string, trade) for string in sorted(to_file))
    leaves = (_leaf_wish(number, job, call.string, trade) for call in plan.strings)
    wishes = (*files, *leaves, _shim_wish(number, plan, trade))
    return [wish for wish in wishes if wish is not None]


def _file_wish(number: int, job: Job, string: int, trade: TradeTables) -> _Wish | None:
    """Any width from the string's own up to what the trade allows over it."""
    gauge = job.instrument.spec(string).gauge
    chosen = choose_file(gauge, job.kit.files, trade).file
    step = trade.kit.file_step_mm
    if chosen is not None and chosen.mm >= gauge.mm - trade.files.exact_within_mm:
        return None
    widest = gauge.mm + trade.files.over_gauge_mm
    widths = range(round(gauge.mm / step), int(widest / step + 1e-6) + 1)
    return _Wish(Tool.FILE, number, frozenset(widths))


def _leaf_wish(number: int, job: Job, string: int, trade: TradeTables) -> _Wish | None:
    """The thickness that would have told more, where no leaf in this kit does."""
    lacking = string_state(job, string, trade).advice.lacking_mm
    if lacking is None:
        return None
    step = trade.kit.leaf_step_mm
    return _Wish(Tool.LEAF, number, frozenset({round(lacking / step)}))


def _shim_wish(number: int, plan: Plan, trade: TradeTables) -> _Wish | None:
    """The shim that the plan recommends and the stock cannot make."""
    step = trade.kit.shim_step_mm
    wanted = next((option for option in plan.nut.options if option.recommended), None)
    if wanted is None or wanted.method not in ("shim", "wedge") or wanted.stack_mm:
        return None
    if not wanted.amount_mm:
        return None
    return _Wish(Tool.SHIM, number, frozenset({math.ceil(wanted.amount_mm / step)}))


def _step_mm(tool: Tool, trade: TradeTables) -> float:
    """The step in which this tool is made."""
    steps = {
        Tool.LEAF: trade.kit.leaf_step_mm,
        Tool.FILE: trade.kit.file_step_mm,
        Tool.SHIM: trade.kit.shim_step_mm,
    }
    return steps[tool]


def _greedy(tool: Tool, wishes: list[_Wish], trade: TradeTables) -> list[Missing]:
    left = [wish for wish in wishes if wish.tool is tool]
    step = _step_mm(tool, trade)
    found = []
    while left:
        served: dict[int, list[_Wish]] = defaultdict(list)
        for wish in left:
            for size in wish.steps:
                served[size].append(wish)
        # the thinnest of the equally useful: a file's own width before a wider one
        best = max(served, key=lambda size: (len(served[size]), -size))
        found.append(_missing(tool, best, step, served[best]))
        left = [wish for wish in left if best not in wish.steps]
    return found


def _missing(tool: Tool, size: int, step_mm: float, served: list[_Wish]) -> Missing:
    jobs = Counter(wish.job for wish in served)
    length = Length.of(round(size * step_mm, 6))
    if tool is not Tool.SHIM:
        length = Length(length.exact_mm, Unit.INCH)
    return Missing(tool, length, len(served), len(jobs))

"""What would follow if something were different: windows and calls, the record untouched.

A job is a value; a changed job is another value. Nothing here writes anything anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.checks.answered import relief_of
from logic.bench.instrument.changes import Changes, changed_instrument, changed_player
from logic.bench.plan.plan import make_plan
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.what_if.lifted_readings import lifted
from logic.bench.window.string_window import StringWindow, windows
from shared.job import Assumed, Job, Plan, StringCall
from shared.words import mark, say

WHY = mark("what if, not on record")


@dataclass(frozen=True)
class Compared:
    """One string as it is and as it would be."""

    string: int
    window_is: StringWindow
    window_would_be: StringWindow
    call_is: StringCall
    call_would_be: StringCall


def what_if(job: Job, changes: Changes, trade: TradeTables) -> Job:
    """The job with these changes; InputError where one names a string that is not there.

    Another relief moves what was read as well: the strings stand higher over a neck that bends
    more, nut and saddle being what they are.
    """
    was = job.instrument
    if changes.relief is not None:
        was = was.model_copy(update={"relief": relief_of(job, trade)})
    would_be = changed_instrument(was, changes, trade)
    update: dict[str, object] = {
        "instrument": would_be,
        "player": changed_player(job.player, changes),
    }
    if changes.relief is not None:
        update["readings"] = tuple(lifted(one, was, would_be, trade) for one in job.readings)
    return job.model_copy(update=update)


def windows_if(job: Job, changes: Changes, trade: TradeTables) -> dict[int, StringWindow]:
    """The windows that these changes would give."""
    changed = what_if(job, changes, trade)
    return windows(changed.instrument, changed.player, trade)


def plan_if(
    job: Job, changes: Changes, trade: TradeTables, assumed: tuple[Assumed, ...] = ()
) -> Plan:
    """The calls that these changes would give; each change is named among what was assumed."""
    return make_plan(what_if(job, changes, trade), trade, (*assumed, *assumed_by(changes)))


def compare(job: Job, changes: Changes, trade: TradeTables) -> tuple[Compared, ...]:
    """Window and call of every string, as it is and as it would be."""
    other = what_if(job, changes, trade)
    now = windows(job.instrument, job.player, trade)
    then = windows(other.instrument, other.player, trade)
    calls = zip(make_plan(job, trade).strings, make_plan(other, trade).strings, strict=True)
    return tuple(
        Compared(was.string, now[was.string], then[was.string], was, would_be)
        for was, would_be in calls
    )


def assumed_by(changes: Changes) -> tuple[Assumed, ...]:
    """Every change as a value that nobody recorded."""
    named = [
        *((f"instrument.strings.{n}.pitch", str(pitch)) for n, pitch in changes.pitches.items()),
        *((f"instrument.strings.{n}.gauge", str(gauge)) for n, gauge in changes.gauges.items()),
        *((f"player.targets.{n}", str(target)) for n, target in changes.targets.items()),
    ]
    single = {
        "player.attack": changes.attack,
        "instrument.relief": changes.relief,
        "player.budget_cents": changes.budget_cents,
    }
    named += [(name, str(value)) for name, value in single.items() if value is not None]
    return tuple(Assumed(field=name, value=value, why=say(WHY)) for name, value in named)

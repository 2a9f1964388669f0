"""The ways of raising the nut side by side, as a view."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from logic.app.session.open_job import OpenedJob
from logic.app.session.pace import MOST_MINUTES, STEP_MINUTES, minutes_noted, option_minutes
from logic.app.views.nut_views import RaisingColumn, RaisingView
from logic.app.wording.wording import Wording
from logic.app.wording.work import work_button
from logic.bench.instrument.naming import strings_listed
from logic.bench.plan.reportable import reportable_option
from logic.bench.visits.pace import WorkPace, minutes_here
from logic.history.history import History
from shared.instrument import NutType
from shared.job import LowerAfter, RaiseOption
from shared.units import Length
from shared.words import mark, say, say_many

NAMES = {
    "strip": mark("Strip"),
    "fill": mark("Fill"),
    "shim": mark("Shim"),
    "shim out": mark("Shim out"),
    "wedge": mark("Wedge"),
    "base": mark("Base"),
    "new nut": mark("New nut"),
}
HEADINGS = {
    "strip": mark("A strip of paper or foil in the slot"),
    "fill": mark("Fill and recut the low slots"),
    "shim": mark("A shim under the whole nut"),
    "shim out": mark("The shim under the nut out"),
    "wedge": mark("A wedge under one side"),
    "base": mark("Take the nut's base down"),
    "new nut": mark("Make a new nut"),
}
ROWS = (mark("Slots to work on"), mark("Time"), mark("Has to set"), mark("Comes out again"))
NOT_LAID_OUT = (NutType.CLAMPING, NutType.ROLLER, NutType.ZERO_FRET)


@dataclass(frozen=True)
class Turned:
    """How the options are shown: which is opened, how its amounts were turned, what was refused."""

    method: str = ""
    amount_steps: Mapping[str, int] = field(default_factory=dict)
    refused: str = ""


def raising_view(
    work: OpenedJob, turned: Turned, wording: Wording, title: str, pace: WorkPace, history: History
) -> RaisingView:
    """Every way with its price, the recommended one first; the one named, else the recommended,
    else the first in full."""
    nut = work.plan.nut
    options = tuple(sorted(nut.options, key=lambda option: not option.recommended))
    chosen = _opened_option(options, turned.method)
    return RaisingView(
        job=work.id,
        title=title,
        advice=nut.advice,
        rows=tuple(map(say, ROWS)),
        ways=tuple(_option_column(o, o is chosen, pace, work) for o in options),
        heading=say(HEADINGS.get(chosen.method, chosen.method.capitalize())) if chosen else "",
        why=chosen.why if chosen else "",
        steps=(*_time_figure(chosen, pace, work), *_option_figures(chosen, work, wording))
        if chosen
        else (),
        cautions=chosen.cautions if chosen and not chosen.cautions_in_why else (),
        lays_out=work.job.instrument.nut.type not in NOT_LAID_OUT,
        **_minutes_fields(chosen, work, history),
        **_report_fields(chosen, work, turned, wording, history),
        refused=turned.refused,
    )


def _report_fields(
    option: RaiseOption | None,
    work: OpenedJob,
    turned: Turned,
    wording: Wording,
    history: History,
) -> dict[str, Any]:
    """What the button of the chosen way reports, with the minutes that were noted."""
    if option is None:
        return {}
    steps = turned.amount_steps.get(option.method, 0)
    done = reportable_option(option, work.job, work.trade, steps)
    minutes = minutes_noted(history, work.id, option.method) or None
    return {
        "work": done.model_copy(update={"minutes": minutes}),
        "done": work_button(done, work.trade),
        "amount": wording.length(done.amount) if done.amount else "",
    }


def _minutes_fields(
    option: RaiseOption | None, work: OpenedJob, history: History
) -> dict[str, Any]:
    """What the chosen way took here, and where a step up or down from it leads.

    The first step starts at the table's figure.
    """
    if option is None or not option.minutes:
        return {}
    noted = minutes_noted(history, work.id, option.method)
    words = say_many("It took {count} minute", "It took {count} minutes", noted)
    near = noted or round(option.minutes / STEP_MINUTES) * STEP_MINUTES
    return {
        "method": option.method,
        "took": words if noted else say("Once it is done: minutes it took"),
        "less": max(near - STEP_MINUTES, 0) if noted else near,
        "more": min(near + STEP_MINUTES, MOST_MINUTES) if noted else near,
    }


def _opened_option(options: tuple[RaiseOption, ...], method: str) -> RaiseOption | None:
    named = (option for option in options if option.method == method)
    recommended = (option for option in options if option.recommended)
    return next((*named, *recommended, *options).__iter__(), None)


def _time_figure(
    option: RaiseOption, pace: WorkPace, work: OpenedJob
) -> tuple[tuple[str, str], ...]:
    """The time it takes, and whether the table or this bench's own jobs say so."""
    time = option_minutes(option, pace, work.trade)
    return ((say("Time"), time),) if time else ()


def _option_column(
    option: RaiseOption, chosen: bool, pace: WorkPace, work: OpenedJob
) -> RaisingColumn:
    here = minutes_here(option, pace, work.trade)
    return RaisingColumn(
        method=option.method,
        name=say(NAMES.get(option.method, option.method.capitalize())),
        facts=(
            str(_count_of_slots(option)),
            say("{minutes} min", minutes=f"{here[0]:.0f}") if here else "–",
            say("{hours} h", hours=f"{option.cure_hours:g}") if option.cure_hours else "–",
            say("yes") if option.reversible else say("no"),
        ),
        recommended=option.recommended,
        chosen=chosen,
    )


def _count_of_slots(option: RaiseOption) -> int:
    """How many slots a file or a filling meets; a shim itself meets none."""
    under = option.method in ("shim", "shim out", "wedge", "base")
    return len(option.lower_after) if under else len(option.slots_touched)


def _option_figures(
    option: RaiseOption, work: OpenedJob, wording: Wording
) -> tuple[tuple[str, str], ...]:
    """The figures of one way, each with its name; what is not known is not shown."""
    name = work.job.instrument.name_of
    rows = []
    if option.amount_mm:
        label = say("Thick at its edge") if option.method == "wedge" else say("Amount")
        rows.append((label, wording.mm(option.amount_mm)))
    if option.stack_mm:
        rows.append((say("From the stock"), " + ".join(map(wording.mm, option.stack_mm))))
    elif option.amount_mm and option.method in ("shim", "wedge"):
        rows.append((say("From the stock"), say("none in this kit is right: fetch one")))
    if len(option.slots_touched) == len(work.job.instrument.strings):
        rows.append((say("Moves"), say("every string")))
    else:
        rows.append((say("Moves"), strings_listed(tuple(map(name, option.slots_touched)))))
    rows += [
        (say("String {name}", name=name(after.string)), _lowered_in_words(after, wording))
        for after in option.lower_after
    ]
    if option.missed:
        missed = strings_listed(tuple(map(name, option.missed)))
        rows.append((say("Outside its window even so"), missed))
    return tuple(rows)


def _lowered_in_words(after: LowerAfter, wording: Wording) -> str:
    """What is taken off again, and with which file."""
    amount = wording.mm(after.slot_cut_mm)
    if not after.file_mm:
        return say("down {amount}, no file fits", amount=amount)
    file = wording.length(_file_length(after.file_mm))
    return say("down {amount}, {file} file", amount=amount, file=file)


def _file_length(mm: float) -> Length:
    return Length.of(round(mm, 6))

"""The ways of raising the nut side by side, as a view."""

from __future__ import annotations

from logic.desk.nut_views import WayColumn, WaysView
from logic.desk.open_job import OpenJob
from logic.desk.wording import Wording
from shared.instrument import NutType
from shared.job import LowerAfter, RaiseOption
from shared.units import Length

NAMES = {
    "fill": "Fill",
    "shim": "Shim",
    "wedge": "Wedge",
    "base": "Base",
    "new nut": "New nut",
}
HEADINGS = {
    "fill": "Fill and recut the low slots",
    "shim": "A shim under the whole nut",
    "wedge": "A wedge under one side",
    "base": "Take the nut's base down",
    "new nut": "Make a new nut",
}
ROWS = ("Slots to work on", "Time", "Rests", "Comes out again")
NOT_LAID_OUT = (NutType.CLAMPING, NutType.ROLLER, NutType.ZERO_FRET)


def ways_view(work: OpenJob, method: str, wording: Wording, title: str) -> WaysView:
    """Every way with its price; the one named, else the recommended, else the first in full."""
    nut = work.plan.nut
    chosen = _chosen(nut.options, method)
    return WaysView(
        job=work.id,
        title=title,
        advice=wording.sentence(nut.advice),
        rows=ROWS,
        ways=tuple(_column(option, option is chosen) for option in nut.options),
        heading=HEADINGS.get(chosen.method, chosen.method.capitalize()) if chosen else "",
        why=wording.sentence(chosen.why) if chosen else "",
        steps=_steps(chosen, work, wording) if chosen else (),
        cautions=_cautions(chosen, wording) if chosen else (),
        lays_out=work.job.instrument.nut.type not in NOT_LAID_OUT,
    )


def _chosen(options: tuple[RaiseOption, ...], method: str) -> RaiseOption | None:
    named = (option for option in options if option.method == method)
    recommended = (option for option in options if option.recommended)
    return next((*named, *recommended, *options).__iter__(), None)


def _cautions(option: RaiseOption, wording: Wording) -> tuple[str, ...]:
    """What to mind, unless the reason says it already."""
    said = option.why.lower()
    return tuple(wording.sentence(each) for each in option.cautions if each.lower() not in said)


def _column(option: RaiseOption, chosen: bool) -> WayColumn:
    return WayColumn(
        method=option.method,
        name=NAMES.get(option.method, option.method.capitalize()),
        facts=(
            str(_worked_on(option)),
            f"{option.minutes:.0f} min" if option.minutes else "–",
            f"{option.cure_hours:g} h" if option.cure_hours else "–",
            "yes" if option.reversible else "no",
        ),
        recommended=option.recommended,
        chosen=chosen,
    )


def _worked_on(option: RaiseOption) -> int:
    """How many slots a file or a filling meets; a shim itself meets none."""
    under = option.method in ("shim", "wedge", "base")
    return len(option.lower_after) if under else len(option.slots_touched)


def _steps(option: RaiseOption, work: OpenJob, wording: Wording) -> tuple[tuple[str, str], ...]:
    """The figures of one way, each with its name; what is not known is not shown."""
    name = work.job.instrument.name_of
    rows = []
    if option.amount_mm:
        label = "Thick at its edge" if option.method == "wedge" else "Amount"
        rows.append((label, wording.mm(option.amount_mm)))
    if option.stack_mm:
        rows.append(("From the stock", " + ".join(map(wording.mm, option.stack_mm))))
    elif option.amount_mm and option.method in ("shim", "wedge"):
        rows.append(("From the stock", "none in this kit is right: fetch one"))
    if len(option.slots_touched) == len(work.job.instrument.strings):
        rows.append(("Moves", "every string"))
    else:
        rows.append(("Moves", _strings(tuple(map(name, option.slots_touched)))))
    rows += [
        (f"String {name(after.string)}", _down(after, wording)) for after in option.lower_after
    ]
    if option.missed:
        rows.append(("Outside its window even so", _strings(tuple(map(name, option.missed)))))
    return tuple(rows)


def _down(after: LowerAfter, wording: Wording) -> str:
    """What is taken off again, and with which file."""
    file = f"{wording.length(_file(after.file_mm))} file" if after.file_mm else "no file fits"
    return f"down {wording.mm(after.slot_cut_mm)}, {file}"


def _file(mm: float) -> Length:
    return Length.of(round(mm, 6))


def _strings(names: tuple[str, ...]) -> str:
    if len(names) == 1:
        return f"string {names[0]}"
    return f"strings {', '.join(names[:-1])} and {names[-1]}"

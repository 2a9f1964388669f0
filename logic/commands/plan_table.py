"""A plan as a technician reads it at the bench: one row a string, then why, in 100 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from itertools import groupby

from logic.bench.rules.answered import taken_as_right
from shared.instrument import Instrument, Player
from shared.job import Assumed, Gate, GateState, NutAdvice, Plan, RaiseOption, StringCall
from shared.units import Length, Unit

WIDTH = 100
_PLACES = {Unit.THOU: 1, Unit.MM: 2, Unit.INCH: 4, Unit.MICRON: 0}
_FILE_PLACES = {Unit.THOU: 0, Unit.MM: 2, Unit.INCH: 3, Unit.MICRON: 0}
_HEADINGS = (
    *("string", "pitch", "gauge", "clearance (95 %)"),
    *("window", "target", "call", "slot", "file", "sure"),
)
_SPOKEN = {Unit.THOU: "thousandths of an inch", Unit.MM: "millimetres", Unit.INCH: "inches"}
_RIGHT = (2, 9)
"""Columns of bare numbers, which line up on the right."""


def plan_table(plan: Plan, instrument: Instrument, player: Player, unit: Unit) -> str:
    """The whole plan as text, lengths in `unit`."""
    rows = [_row(call, instrument, unit) for call in plan.strings]
    sections = (
        _title(instrument, player, unit),
        _aligned(_HEADINGS, rows),
        _listed("Why", _reasons(plan.strings, instrument, unit)),
        _listed("About the windows", _window_notes(plan.strings, instrument)),
        _listed("Before anything is cut", _gates(plan.gates, instrument)),
        _listed("The nut as a whole", _nut(plan.nut, instrument, unit)),
        _listed("Assumed, because the job does not say", _assumed(plan.assumed)),
        _listed("Take care", _cautions(plan)),
    )
    return "\n\n".join(section for section in sections if section)


def _cautions(plan: Plan) -> list[str]:
    """All but what stands with the gates already: what failed, and what nobody answered."""
    failed = {gate.why for gate in plan.gates if gate.state is GateState.FAILED}
    nobody = taken_as_right(plan.gates)
    return [line for line in plan.cautions if line != nobody and line not in failed]


def number(mm: float, unit: Unit, places: dict[Unit, int] = _PLACES) -> str:
    """`mm` in `unit`, without the unit's name; inches drop the nought, as a bench writes them."""
    shown = Length.of(mm).show(unit, places=places[unit]).split()[0]
    return shown.replace("0.", ".", 1) if unit is Unit.INCH and shown.startswith("0.") else shown


def _title(instrument: Instrument, player: Player, unit: Unit) -> str:
    facts = (instrument.kind, f"scale {instrument.scale}", f"{player.attack} attack")
    about = " · ".join((*facts, f"lengths in {_SPOKEN.get(unit, unit)}"))
    label = " ".join(instrument.label.split())
    return "\n".join(textwrap.fill(line, WIDTH) for line in (label, about) if line)


def _row(call: StringCall, instrument: Instrument, unit: Unit) -> tuple[str, ...]:
    spec = instrument.spec(call.string)
    return (
        instrument.name_of(call.string),
        str(spec.pitch),
        number(spec.gauge.mm, unit, _FILE_PLACES),
        _clearance(call, unit),
        _window(call, unit),
        number(call.window_mm.target, unit),
        call.call.value,
        _change(call, unit),
        number(call.file_mm, unit, _FILE_PLACES) if call.file_mm else "",
        f"{_percent(call.confidence)} %",
    )


def _window(call: StringCall, unit: Unit) -> str:
    """Low to high; none where what stays clean is already out of tune."""
    low, high = call.window_mm.low, call.window_mm.high
    return f"{number(low, unit)}–{number(high, unit)}" if low <= high else "none"


def _window_notes(calls: Sequence[StringCall], instrument: Instrument) -> Iterable[str]:
    """What to know about the windows, once for all strings of which it is true."""
    noted = [call for call in calls if call.window_mm.note not in ("", call.next_step)]
    for note in dict.fromkeys(call.window_mm.note for call in noted):
        same = [instrument.name_of(c.string) for c in noted if c.window_mm.note == note]
        yield f"{', '.join(same)} · {note}"


def _clearance(call: StringCall, unit: Unit) -> str:
    found = call.clearance_mm
    if found is None:
        return "not read"
    low, high = number(found.low, unit), number(found.high, unit)
    return f"{number(found.estimate, unit)} ({low}–{high})"


def _change(call: StringCall, unit: Unit) -> str:
    if call.slot_cut_mm:
        return f"cut {number(call.slot_cut_mm, unit)}"
    return f"add {number(call.raise_mm, unit)}" if call.raise_mm else ""


def _percent(share: float) -> int:
    """Never rounded up to certainty."""
    return min(99, round(100 * share)) if share < 1 else 100


def _reasons(calls: Iterable[StringCall], instrument: Instrument, unit: Unit) -> list[str]:
    """Why, once for all strings of which the same is true."""
    alike: dict[tuple[str, ...], list[StringCall]] = {}
    for call in calls:
        said = (call.reason, _sentence(call.why), _file(call, unit), _sentence(call.next_step))
        alike.setdefault(said, []).append(call)
    return [_why(said, together, instrument) for said, together in alike.items()]


def _why(said: tuple[str, ...], calls: Sequence[StringCall], instrument: Instrument) -> str:
    reason, why, file, next_step = said
    names = ", ".join(instrument.name_of(call.string) for call in calls)
    cents = [call.cents_at_fret_1 for call in calls if call.cents_at_fret_1 is not None]
    parts = (f"{names} · {reason}: {why}", _sharpness(cents), file, next_step)
    return " ".join(part for part in parts if part)


def _sharpness(cents: Sequence[float]) -> str:
    """How sharp fret 1 sounds, to the cent; of several strings, from the least to the most."""
    low, high = (round(min(cents)), round(max(cents))) if cents else (0, 0)
    if high < 0:
        low, high, way = -high, -low, "flat"
    else:
        low, way = max(low, 0), "sharp"
    if not high:
        return ""
    amount = str(high) if low == high else f"{low} to {high}"
    return f"About {amount} cent{'' if amount == '1' else 's'} {way} at fret 1."


def _file(call: StringCall, unit: Unit) -> str:
    if not call.file_note:
        return ""
    which = f"File {number(call.file_mm, unit, _FILE_PLACES)}" if call.file_mm else "File"
    return f"{which}: {_sentence(call.file_note)}"


def _sentence(text: str) -> str:
    text = text.strip()
    return text if not text or text[-1] in ".?!" else f"{text}."


def _gates(gates: Iterable[Gate], instrument: Instrument) -> list[str]:
    gates = list(gates)
    asked = (GateState.FAILED, GateState.OPEN)
    lines = [_gate(gate, instrument) for state in asked for gate in gates if gate.state is state]
    for state, said in ((GateState.PASSED, "in order"), (GateState.SKIPPED, "not answered")):
        names = ", ".join(_spoken(gate.gate) for gate in gates if gate.state is state)
        lines += [f"{said}: {names}"] if names else []
    return lines


def _gate(gate: Gate, instrument: Instrument) -> str:
    whom = _strings(gate.strings, instrument)
    about = f"{_spoken(gate.gate)} ({whom})" if whom else _spoken(gate.gate)
    return f"{about}, {gate.state.value}: {_sentence(gate.ask)} {_sentence(gate.why)}"


def _spoken(name: str) -> str:
    return name.replace("_", " ")


def _nut(nut: NutAdvice, instrument: Instrument, unit: Unit) -> list[str]:
    options = sorted(nut.options, key=lambda option: not option.recommended)
    return [nut.advice, *(_option(option, instrument, unit) for option in options)]


def _option(option: RaiseOption, instrument: Instrument, unit: Unit) -> str:
    amount = f"by {number(option.amount_mm, unit)} {unit}" if option.amount_mm else ""
    facts = (
        f"touches {_strings(option.slots_touched, instrument)}" if option.slots_touched else "",
        f"about {option.minutes:.0f} min" if option.minutes is not None else "",
        "can be undone" if option.reversible else "cannot be undone",
    )
    name = f"{option.method} {amount}".strip() + (", recommended" if option.recommended else "")
    return f"{name} ({', '.join(fact for fact in facts if fact)}): {option.why}"


def _assumed(assumed: Iterable[Assumed]) -> list[str]:
    """Everything taken from one place in one line."""
    by_why = sorted(assumed, key=lambda one: one.why)  # stable, so the order within stays
    return [
        f"{why}: " + "; ".join(f"{one.field} = {one.value}" for one in group)
        for why, group in groupby(by_why, key=lambda one: one.why)
    ]


def _strings(numbers: Sequence[int], instrument: Instrument) -> str:
    if not numbers:
        return ""
    word = "string" if len(numbers) == 1 else "strings"
    return f"{word} {', '.join(instrument.name_of(string) for string in numbers)}"


def _aligned(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    table = [headings, *rows]
    widths = [max(len(row[column]) for row in table) for column in range(len(headings))]
    lines = [
        "  ".join(
            cell.rjust(width) if column in _RIGHT else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in table
    ]
    rule = "─" * max(len(line) for line in lines)
    return "\n".join((lines[0], rule, *lines[1:]))


def _listed(heading: str, lines: Iterable[str]) -> str:
    filled = [
        textwrap.fill(" ".join(line.split()), WIDTH, initial_indent="  ", subsequent_indent="    ")
        for line in lines
        if line.strip()
    ]
    return "\n".join((heading, *filled)) if filled else ""

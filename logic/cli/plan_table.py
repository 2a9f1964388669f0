"""A plan as a technician reads it at the bench: one row a string, then why, in 100 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from itertools import groupby

from logic.bench.checks.answered import taken_as_right
from logic.bench.checks.reasons import check_said, is_unread, reason_said
from logic.bench.instrument.fret_names import fret_names
from logic.cli.text_layout import WIDTH, aligned, under
from shared.instrument import Attack, Instrument, Player
from shared.job import Assumed, Gate, GateState, NutAdvice, Plan, RaiseOption, StringCall
from shared.units import FINE_PLACES, Length, Unit
from shared.words import mark, say, say_as, say_many, with_mark

_FILE_PLACES = {unit: unit.places for unit in Unit}
_HEADINGS = (
    *(mark("string"), mark("pitch"), mark("gauge"), mark("clearance (95 %)"), mark("window")),
    *(mark("target"), mark("call"), mark("slot"), mark("file"), mark("sure")),
)
_LENGTHS = {
    Unit.THOU: mark("lengths in thousandths of an inch"),
    Unit.MM: mark("lengths in millimetres"),
    Unit.INCH: mark("lengths in inches"),
}
_ATTACKS = {
    Attack.LIGHT: mark("light attack"),
    Attack.MEDIUM: mark("medium attack"),
    Attack.HEAVY: mark("heavy attack"),
}
_SUMMED = (
    (GateState.PASSED, mark("in order: {names}")),
    (GateState.SKIPPED, mark("not answered: {names}")),
)
_RIGHT = (2, 9)
"""Columns of bare numbers, which line up on the right."""


def plan_table(plan: Plan, instrument: Instrument, player: Player, unit: Unit) -> str:
    """The whole plan as text, lengths in `unit`."""
    rows = [_row(call, instrument, unit) for call in plan.strings]
    sections = (
        title(instrument, unit, *_played(player)),
        aligned(tuple(map(say, _HEADINGS)), rows, _RIGHT),
        under(say("Why"), _reasons(plan.strings, instrument, unit)),
        under(say("About the windows"), _window_notes(plan.strings, instrument)),
        under(say("Before anything is cut"), _gates(plan.gates, instrument)),
        under(say("Once more before anything is filed"), _once_more(plan, instrument)),
        under(say("The nut as a whole"), _nut(plan.nut, instrument, unit)),
        under(say("Assumed, because the job does not say"), _assumed(plan.assumed)),
        under(say("Take care"), _cautions(plan)),
    )
    return "\n\n".join(section for section in sections if section)


def _cautions(plan: Plan) -> list[str]:
    """All but what stands with the gates already: what failed, and what nobody answered."""
    failed = {gate.why for gate in plan.gates if gate.state is GateState.FAILED}
    nobody = taken_as_right(plan.gates)
    return [line for line in plan.cautions if line != nobody and line not in failed]


def _once_more(plan: Plan, instrument: Instrument) -> Iterable[str]:
    """What a cut rests on and was looked at once, or not yet."""
    for look in plan.before_the_file:
        names = ", ".join(map(instrument.name_of, look.strings))
        yield f"{names} · {look.ask}" if names else look.ask


def number(mm: float, unit: Unit, places: dict[Unit, int] = FINE_PLACES) -> str:
    """`mm` in `unit`, without the unit's name; inches drop the nought, as a bench writes them."""
    shown = with_mark(Length.of(mm).number(unit, places=places[unit]))
    return shown.removeprefix("0") if unit is Unit.INCH else shown


def _played(player: Player) -> tuple[str, ...]:
    attack = say(_ATTACKS[player.attack])
    return (attack, say("with a bow")) if player.bowed else (attack,)


def title(instrument: Instrument, unit: Unit, *more: str) -> str:
    """The instrument and the unit of what follows, with what else is to be known of it."""
    scale = say("scale {length}", length=with_mark(str(instrument.scale)))
    about = " · ".join((say(instrument.kind), scale, *more, say(_LENGTHS[unit])))
    label = " ".join(instrument.label.split())
    return "\n".join(textwrap.fill(line, WIDTH) for line in (label, about) if line)


def _row(call: StringCall, instrument: Instrument, unit: Unit) -> tuple[str, ...]:
    spec = instrument.spec(call.string)
    return (
        instrument.name_of(call.string),
        spec.pitch.show(),
        number(spec.gauge.mm, unit, _FILE_PLACES),
        _clearance(call, unit),
        _window(call, unit),
        number(call.window_mm.target, unit),
        say("to be read") if is_unread(call) else say(call.call.value),
        _change(call, unit),
        number(call.file_mm, unit, _FILE_PLACES) if call.file_mm else "",
        f"{_percent(call.confidence)} %",
    )


def _window(call: StringCall, unit: Unit) -> str:
    """Low to high; none where what stays clean is already out of tune."""
    low, high = call.window_mm.low, call.window_mm.high
    return f"{number(low, unit)}–{number(high, unit)}" if low <= high else say("none")


def _window_notes(calls: Sequence[StringCall], instrument: Instrument) -> Iterable[str]:
    """What to know about the windows, once for all strings of which it is true."""
    noted = [call for call in calls if call.window_mm.note not in ("", call.next_step)]
    for note in dict.fromkeys(call.window_mm.note for call in noted):
        same = [instrument.name_of(c.string) for c in noted if c.window_mm.note == note]
        yield f"{', '.join(same)} · {note}"


def _clearance(call: StringCall, unit: Unit) -> str:
    found = call.clearance_mm
    if found is None:
        return say("not read")
    low, high = number(found.low, unit), number(found.high, unit)
    return f"{number(found.estimate, unit)} ({low}–{high})"


def _change(call: StringCall, unit: Unit) -> str:
    if call.slot_cut_mm:
        return say("cut {amount}", amount=number(call.slot_cut_mm, unit))
    return say("add {amount}", amount=number(call.raise_mm, unit)) if call.raise_mm else ""


def _percent(share: float) -> int:
    """Never rounded up to certainty."""
    return min(99, round(100 * share)) if share < 1 else 100


def _reasons(calls: Iterable[StringCall], instrument: Instrument, unit: Unit) -> list[str]:
    """Why, once for all strings of which the same is true."""
    alike: dict[tuple[str, str, str, str, str], list[StringCall]] = {}
    for call in calls:
        said = (
            reason_said(call),
            _sentence(call.why),
            _file(call, unit),
            _sentence(call.next_step),
            fret_names(instrument, call.string).first if call.cents_at_fret_1 is not None else "",
        )
        alike.setdefault(said, []).append(call)
    return [_why(said, together, instrument) for said, together in alike.items()]


def _why(
    said: tuple[str, str, str, str, str], calls: Sequence[StringCall], instrument: Instrument
) -> str:
    reason, why, file, next_step, fret = said
    names = ", ".join(instrument.name_of(call.string) for call in calls)
    cents = [call.cents_at_fret_1 for call in calls if call.cents_at_fret_1 is not None]
    parts = (f"{names} · {reason}: {why}", _sharpness(cents, fret), file, next_step)
    return " ".join(part for part in parts if part)


def _sharpness(cents: Sequence[float], fret: str) -> str:
    """How sharp the first fret sounds, to the cent; of several strings, from least to most."""
    low, high = (round(min(cents)), round(max(cents))) if cents else (0, 0)
    if high < 0:
        return _flat(-high, -low, fret)
    return _sharp(max(low, 0), high, fret) if high else ""


def _sharp(low: int, high: int, fret: str) -> str:
    if low != high:
        return say(
            "About {low} to {high} cents sharp at fret {fret}.", low=low, high=high, fret=fret
        )
    return say_many(
        "About {count} cent sharp at fret {fret}.",
        "About {count} cents sharp at fret {fret}.",
        high,
        fret=fret,
    )


def _flat(low: int, high: int, fret: str) -> str:
    if low != high:
        return say(
            "About {low} to {high} cents flat at fret {fret}.", low=low, high=high, fret=fret
        )
    return say_many(
        "About {count} cent flat at fret {fret}.",
        "About {count} cents flat at fret {fret}.",
        high,
        fret=fret,
    )


def _file(call: StringCall, unit: Unit) -> str:
    if not call.file_note:
        return ""
    note = _sentence(call.file_note)
    if not call.file_mm:
        return say("File: {note}", note=note)
    return say("File {size}: {note}", size=number(call.file_mm, unit, _FILE_PLACES), note=note)


def _sentence(text: str) -> str:
    text = text.strip()
    return text if not text or text[-1] in ".?!" else f"{text}."


def _gates(gates: Iterable[Gate], instrument: Instrument) -> list[str]:
    gates = list(gates)
    asked = (GateState.FAILED, GateState.OPEN)
    lines = [_gate(gate, instrument) for state in asked for gate in gates if gate.state is state]
    for state, said in _SUMMED:
        these = [gate for gate in gates if gate.state is state]
        names = ", ".join(_about(name, these, instrument) for name in _names(these))
        lines += [say(said, names=names)] if names else []
    return lines


def _names(gates: Iterable[Gate]) -> Iterable[str]:
    return dict.fromkeys(gate.gate for gate in gates)


def _about(name: str, gates: Iterable[Gate], instrument: Instrument) -> str:
    """What was asked, and of which strings where it was not asked of all."""
    asked = [gate.strings for gate in gates if gate.gate == name]
    whom = _strings(sum(asked, ()), instrument) if all(asked) else ""
    return f"{check_said(name)} ({whom})" if whom else check_said(name)


def _gate(gate: Gate, instrument: Instrument) -> str:
    about = _about(gate.gate, (gate,), instrument)
    return (
        f"{about}, {say_as('check', gate.state.value)}: {_sentence(gate.ask)} {_sentence(gate.why)}"
    )


def _nut(nut: NutAdvice, instrument: Instrument, unit: Unit) -> list[str]:
    options = sorted(nut.options, key=lambda option: not option.recommended)
    return [nut.advice, *(_option(option, instrument, unit) for option in options)]


def _option(option: RaiseOption, instrument: Instrument, unit: Unit) -> str:
    touched, minutes = _strings(option.slots_touched, instrument), option.minutes
    facts = (
        say("touches {strings}", strings=touched) if touched else "",
        say("about {minutes:.0f} min", minutes=minutes) if minutes is not None else "",
        say("can be undone") if option.reversible else say("cannot be undone"),
    )
    name = say_as("way", option.method)
    if option.amount_mm:
        name = say("{way} by {amount}", way=name, amount=f"{number(option.amount_mm, unit)} {unit}")
    if option.recommended:
        name = say("{way}, recommended", way=name)
    return f"{name} ({', '.join(fact for fact in facts if fact)}): {option.why}"


def _assumed(assumed: Iterable[Assumed]) -> list[str]:
    """Everything taken from one place in one line."""
    by_why = sorted(assumed, key=lambda one: one.why)  # stable, so the order within stays
    return [
        f"{why}: " + "; ".join(f"{one.field} = {with_mark(one.value)}" for one in group)
        for why, group in groupby(by_why, key=lambda one: one.why)
    ]


def _strings(numbers: Sequence[int], instrument: Instrument) -> str:
    if not numbers:
        return ""
    names = ", ".join(instrument.name_of(string) for string in numbers)
    if len(numbers) == 1:
        return say("string {name}", name=names)
    return say("strings {names}", names=names)

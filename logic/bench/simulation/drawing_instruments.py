"""Draws instruments from a broad mixture of everything that can be wrong with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from random import Random
from typing import TYPE_CHECKING

from logic.bench.instrument.presets import preset_instrument
from logic.bench.instrument.strung_string import strung_string
from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.tables.simulation import Between, CauseRow, Fault, VisitTable
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.attack import pluck_forces
from logic.bench.window.edges import low_edge
from logic.bench.window.string_window import StringWindow, windows
from shared.instrument import Attack, Instrument, NutType, Player
from shared.units import MM_PER_THOU, Length

if TYPE_CHECKING:
    from collections.abc import Iterable

_STRAIGHTENS = (Fault.TOO_MUCH_RELIEF, Fault.BACK_BOW)
_NUTS = (Fault.OTHER_NUT, Fault.ONE_PIECE)
_HEIGHTS = (Fault.SLOTS_HIGH, Fault.SLOTS_LOW)
_APART = (_STRAIGHTENS, _NUTS, _HEIGHTS, (Fault.DEAD_STRING, Fault.ANCHOR_LOOSE))
"""Faults of which an instrument has one at the most."""


@dataclass(frozen=True)
class Drawn:
    """One visit before it begins."""

    true: TrueInstrument
    entered: Instrument
    """What was written down of it."""
    causes: tuple[CauseRow, ...]
    """What is wrong, the first being what its owner speaks of."""


def draw(random: Random, trade: TradeTables) -> Drawn:
    """One instrument, with one fault or two, or none."""
    visits = trade.simulation.visits
    causes = _causes(random, visits)
    preset = preset_instrument(_weighed(random, visits.kinds), trade)
    faults = {cause.fault: _strings(random, cause, preset, visits) for cause in causes}
    faults.pop(Fault.NOTHING, None)
    sound = _sound(random, preset, _nut_type(random, faults, visits), faults, trade)
    true = sound
    for fault in faults:
        true = _CHANGES.get(fault, _unchanged)(random, true, visits)
    entered = _entered(random, true, preset, visits)
    return Drawn(true, entered, causes)


def _causes(random: Random, visits: VisitTable) -> tuple[CauseRow, ...]:
    first = random.choice(visits.causes)
    if random.random() >= visits.second_cause_share:
        return (first,)
    second = random.choice(visits.causes)
    if second is first or any(first.fault in row and second.fault in row for row in _APART):
        return (first,)
    return (first, second)


def _weighed(random: Random, weights: Mapping[str, float]) -> str:
    return random.choices(tuple(weights), tuple(weights.values()))[0]


def complaint(random: Random, cause: CauseRow) -> str:
    """What the owner says, as the id of a complaint."""
    return _weighed(random, cause.complaints)


def _strings(
    random: Random, cause: CauseRow, preset: Instrument, visits: VisitTable
) -> tuple[int, ...]:
    """The strings that have the fault; none where it is the whole instrument's."""
    everyone = tuple(spec.string for spec in preset.strings)
    if cause.strings == "none":
        return ()
    some = [string for string in everyone if random.random() < visits.strings_some_share]
    one = (random.choice(everyone),)
    return tuple(some) if cause.strings == "some" and some else one


def _nut_type(random: Random, faults: Iterable[Fault], visits: VisitTable) -> NutType:
    odd = any(fault in _NUTS for fault in faults)
    return random.choice(visits.one_piece_nuts) if odd else NutType.SLOTTED


def _sound(
    random: Random,
    preset: Instrument,
    nut: NutType,
    faults: Mapping[Fault, tuple[int, ...]],
    trade: TradeTables,
) -> TrueInstrument:
    """An instrument with nothing wrong but what the faults will add."""
    visits, usual = trade.simulation.visits, trade.relief.of(preset.kind)
    relief = random.gauss(usual.usual.mm, visits.true_relief_sd_share * usual.usual.mm)
    relief = round(min(max(relief, usual.low.mm + 0.01), usual.high.mm), 2)
    instrument = preset.model_copy(
        update={
            "nut": preset.nut.model_copy(update={"type": nut}),
            "relief": Length.of(relief),
        }
    )
    player = Player(attack=random.choice(tuple(Attack)))
    slotted = instrument.model_copy(update={"nut": preset.nut})
    found = windows(slotted, player, trade)
    lows = {s: _low_mm(random, slotted, s, window, player, trade) for s, window in found.items()}
    return TrueInstrument(
        instrument=instrument,
        player=player,
        trade=trade,
        floors_mm={s: _fine_mm(random, window, lows[s], visits) for s, window in found.items()},
        windows=found,
        lows_mm=lows,
        sound_relief_mm=relief,
        relief_mm=relief,
        faults=faults,
    )


def _low_mm(
    random: Random,
    instrument: Instrument,
    string: int,
    window: StringWindow,
    player: Player,
    trade: TradeTables,
) -> float:
    """The least clean clearance in truth: the model's for this neck and hand, and off by as much as
    the edges that good technicians would name differ."""
    plucks = pluck_forces(instrument.kind, player.attack, trade)
    strung = strung_string(instrument.spec(string), instrument, trade, window.target_mm)
    force = plucks.force_n(trade.attack.clean_share)
    edge = low_edge(strung, force, plucks.from_bridge_mm, trade)
    off = random.gauss(0.0, trade.targets.edge_sd_thou * MM_PER_THOU)
    return max(edge.clearance_mm + off, 0.0)


def _fine_mm(random: Random, window: StringWindow, low_mm: float, visits: VisitTable) -> float:
    """A height that nobody would touch."""
    fine = random.gauss(window.target_mm, visits.fine_spread_mm)
    most = min(window.target_mm + visits.need_over_target_mm, window.high_mm)
    return max(min(fine, most), low_mm + visits.fine_above_low_mm)


def _entered(
    random: Random, true: TrueInstrument, preset: Instrument, visits: VisitTable
) -> Instrument:
    """What is written down: relief never, action now and then, another nut where that is wrong."""
    nut = preset.nut if true.has(Fault.OTHER_NUT) else true.instrument.nut
    action = {}
    if random.random() < visits.action_measured_share:
        action = true.measured_as_it_stands().action_12
    return preset.model_copy(update={"nut": nut, "action_12": action})


def evenly(random: Random, span: Between) -> float:
    """Anywhere in a span, in the span's own unit."""
    return random.uniform(span.low, span.high)


Change = Callable[[Random, TrueInstrument, VisitTable], TrueInstrument]


def _unchanged(_: Random, true: TrueInstrument, __: VisitTable) -> TrueInstrument:
    return true


def _floors(true: TrueInstrument, floors_mm: Mapping[int, float]) -> TrueInstrument:
    return replace(true, floors_mm={**true.floors_mm, **floors_mm})


def _slots_high(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    return _floors(
        true,
        {
            string: true.windows[string].target_mm + evenly(random, visits.slot_high_mm)
            for string in true.faults[Fault.SLOTS_HIGH]
        },
    )


def _slots_low(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    return _floors(
        true,
        {
            string: max(true.lows_mm[string] - evenly(random, visits.slot_low_mm), 0.0)
            for string in true.faults[Fault.SLOTS_LOW]
        },
    )


def _one_piece(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    off = evenly(random, visits.one_piece_off_mm) * random.choice((-1, 1))
    return _floors(true, {s: max(floor + off, 0.0) for s, floor in true.floors_mm.items()})


def _too_much_relief(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    most = true.trade.relief.of(true.instrument.kind).high.mm
    return replace(true, relief_mm=most + evenly(random, visits.relief_high_mm))


def _back_bow(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    return replace(true, relief_mm=-evenly(random, visits.back_bow_mm))


def _high_fret(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    return replace(true, high_fret=(random.choice((1, 2, 3)), evenly(random, visits.high_fret_mm)))


def _rides(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    return replace(true, rides_mm=evenly(random, visits.rides_mm))


def _saddle(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    off = evenly(random, visits.action_off_mm)
    return replace(true, action_off_mm=off if random.random() < 0.5 else -off / 2.0)


def _shimmed(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    return replace(true, shim_mm=round(evenly(random, visits.shim_mm), 2))


def _hits_hard(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    """The low edges rise by what the model gives a harder hand."""
    plucks = pluck_forces(true.instrument.kind, true.player.attack, true.trade)
    force = plucks.force_n(true.trade.attack.clean_share)
    lows = {}
    for string, low in true.lows_mm.items():
        target = true.windows[string].target_mm
        strung = strung_string(true.instrument.spec(string), true.instrument, true.trade, target)
        usual, harder = (
            low_edge(strung, by * force, plucks.from_bridge_mm, true.trade).clearance_mm
            for by in (1.0, visits.hard_player_share)
        )
        lows[string] = low + harder - usual
    return replace(true, lows_mm=lows)


def _nut_too_far(random: Random, true: TrueInstrument, visits: VisitTable) -> TrueInstrument:
    return replace(true, nut_off_mm=evenly(random, visits.nut_off_mm))


_CHANGES: dict[Fault, Change] = {
    Fault.SLOTS_HIGH: _slots_high,
    Fault.SLOTS_LOW: _slots_low,
    Fault.ONE_PIECE: _one_piece,
    Fault.OTHER_NUT: _one_piece,
    Fault.TOO_MUCH_RELIEF: _too_much_relief,
    Fault.BACK_BOW: _back_bow,
    Fault.HIGH_FRET: _high_fret,
    Fault.RIDES: _rides,
    Fault.SADDLE: _saddle,
    Fault.SHIMMED: _shimmed,
    Fault.NUT_TOO_FAR: _nut_too_far,
    Fault.HITS_HARD: _hits_hard,
}
"""What each fault does to heights and neck; the others are heard and answered, not measured."""

"""An instrument as it truly is, whatever anybody wrote down or believes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from logic.bench.instrument.action import action_12_mm
from logic.bench.instrument.frets import own_semitones
from logic.bench.instrument.strung_string import StrungString, strung_string
from logic.bench.tables.simulation import Fault
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.vocabulary import Strength
from logic.bench.window.attack import pluck_forces, touching_force_n
from logic.bench.window.string_window import StringWindow
from logic.physics.neck import Neck, held_gap_mm, nut_height_mm
from shared.instrument import Instrument, NutType, Player
from shared.readings import Buzz
from shared.units import Length

WITHOUT_SLOTS = (NutType.CLAMPING, NutType.ROLLER, NutType.ZERO_FRET, NutType.TALL_SLIDE)
"""Nuts whose slots, if any, set no height."""
_NOISY = (
    Fault.DEAD_STRING,
    Fault.ANCHOR_LOOSE,
    Fault.RATTLE,
    Fault.V_SHAPED,
    Fault.BEARS_BEHIND,
    Fault.TOO_WIDE,
)
_GENTLEST_FIRST = ((Strength.SOFT, Buzz.SOFT), (Strength.NORMAL, Buzz.NORMAL))


@dataclass(frozen=True)
class TrueInstrument:
    """What is true, in millimetres. `floors_mm` are clearances over fret 1 as the slots' floors
    would give them if everything else were sound; faults come on top of them."""

    instrument: Instrument
    """As it is, with sound relief and its usual action."""
    player: Player
    trade: TradeTables = field(repr=False)
    floors_mm: Mapping[int, float]
    windows: Mapping[int, StringWindow] = field(repr=False)
    lows_mm: Mapping[int, float]
    """The least clearance at which each string is clean for this player, in truth."""
    sound_relief_mm: float
    relief_mm: float
    action_off_mm: float = 0.0
    shim_mm: float = 0.0
    nut_off_mm: float = 0.0
    high_fret: tuple[int, float] = (0, 0.0)
    rides_mm: float = 0.0
    faults: Mapping[Fault, tuple[int, ...]] = field(default_factory=dict)
    """Each fault with its strings; none: the whole instrument's."""

    @property
    def strings(self) -> tuple[int, ...]:
        """Every string."""
        return tuple(self.floors_mm)

    @property
    def slotted(self) -> bool:
        """Whether a file in a slot changes a height."""
        return self.instrument.nut.type not in WITHOUT_SLOTS

    def has(self, fault: Fault, string: int | None = None) -> bool:
        """Whether the fault is there, for a string if one is named."""
        if fault not in self.faults:
            return False
        strings = self.faults[fault]
        return string is None or not strings or string in strings

    def gap_mm(self, string: int) -> float:
        """What a leaf over fret 1 finds, as everything stands now."""
        open_mm = self._open_mm(string)
        if not self.has(Fault.CAPO_ON):
            return max(open_mm, 0.0)
        neck = self._neck(string)
        nut = nut_height_mm(neck, open_mm)
        return max(held_gap_mm(neck, nut, self.trade.simulation.visits.capo_fret), 0.0)

    def _open_mm(self, string: int) -> float:
        """Clearance of the open string, with all that adds to or takes from its slot's floor."""
        visits, bent = self.trade.simulation.visits, self.relief_mm - self.sound_relief_mm
        spec = self.instrument.spec(string)
        board = Neck(1.0, 0.0, semitones=own_semitones(spec, self.instrument))
        lever = 2.0 * board.fret_mm(1)  # the saddle moves twice as far as the action
        added = bent * board.relief_lifts(1) + self.action_off_mm * lever
        added += self.shim_mm * board.slot_to_clearance
        if self.has(Fault.RIDES, string):
            added += self.rides_mm
        if self.has(Fault.HIGH_FRET, string) and self.high_fret[0] == 1:
            added -= self.high_fret[1]
        if self.has(Fault.OFF_PITCH):
            added -= visits.off_pitch_drop_mm
        return self.floors_mm[string] + added

    def measured_as_it_stands(self) -> Instrument:
        """The instrument with its relief and action as they are now."""
        action = {
            spec.string: Length.of(
                round(action_12_mm(spec, self.instrument, self.trade) + self.action_off_mm, 4)
            )
            for spec in self.instrument.strings
        }
        relief = Length.of(round(self.relief_mm, 4))
        return self.instrument.model_copy(update={"relief": relief, "action_12": action})

    def _neck(self, string: int) -> Neck:
        return self._strung(string).neck

    def _strung(self, string: int) -> StrungString:
        now = self.measured_as_it_stands()
        strung = strung_string(now.spec(string), now, self.trade, self.windows[string].target_mm)
        crowns = (self.high_fret,) if self.has(Fault.HIGH_FRET, string) else ()
        return replace(strung, neck=replace(strung.neck, crowns_mm=crowns))

    def buzzes(self, string: int) -> Buzz:
        """The gentlest playing at which the open string buzzes; none where it rings clean."""
        if any(self.has(fault, string) for fault in _NOISY):
            return Buzz.NORMAL
        visits, shares = self.trade.simulation.visits, self.trade.attack.strength_share
        usual = pluck_forces(self.instrument.kind, self.player.attack, self.trade)
        off_low = self.lows_mm[string] - self.windows[string].low_mm
        touch = touching_force_n(
            self._strung(string), self._open_mm(string) - off_low, usual.from_bridge_mm
        )
        if self.has(Fault.OFF_PITCH):
            touch *= visits.off_pitch_tension_share
        force = usual.force_n(self.trade.attack.clean_share)
        force *= visits.hard_player_share if self.has(Fault.HITS_HARD) else 1.0
        for strength, buzz in _GENTLEST_FIRST:
            if touch < force * shares[strength]:
                return buzz
        return Buzz.HARD if touch < force * shares[Strength.HARD] else Buzz.NONE

    def without(self, fault: Fault) -> TrueInstrument:
        """The instrument once this fault has been put right; slots stay as they are cut."""
        left = {one: strings for one, strings in self.faults.items() if one is not fault}
        found = replace(self, faults=left)
        if fault in (Fault.TOO_MUCH_RELIEF, Fault.BACK_BOW):
            return replace(found, relief_mm=found.sound_relief_mm)
        if fault is Fault.SADDLE:
            return replace(found, action_off_mm=0.0)
        if fault is Fault.SHIMMED:
            return replace(found, shim_mm=0.0)
        return replace(found, nut_off_mm=0.0) if fault is Fault.NUT_TOO_FAR else found

    def stands_well(self, string: int) -> bool:
        """Whether its slot is neither too low nor so high that somebody would file it."""
        near = self.trade.simulation.visits.near_mm
        low, high = self.lows_mm[string] - near, self.windows[string].high_mm + near
        return low <= self.floors_mm[string] <= high

    def needs_a_cut(self, string: int, *, somebody_minds: bool) -> bool:
        """Whether the slot itself, everything else sound, holds its string too high: over its
        window, or over its target where somebody minds. A height near the edge may be called so."""
        near = self.trade.simulation.visits.near_mm
        return self.slotted and self._over_mm(string, somebody_minds) > -near

    def is_plainly_too_high(self, string: int, *, somebody_minds: bool) -> bool:
        """Whether nobody would say that it may stay."""
        near = self.trade.simulation.visits.near_mm
        return self.slotted and self._over_mm(string, somebody_minds) > near

    def _over_mm(self, string: int, somebody_minds: bool) -> float:
        window, upper = self.windows[string], self.windows[string].high_mm
        if somebody_minds:
            need = self.trade.simulation.visits.need_over_target_mm
            upper = min(upper, window.target_mm + need)
        return self.floors_mm[string] - upper

    def is_too_low(self, string: int) -> bool:
        """Whether its slot, everything else sound, is lower than stays clean."""
        near = self.trade.simulation.visits.near_mm
        return self.floors_mm[string] < self.lows_mm[string] - near

    @property
    def too_low(self) -> set[int]:
        """The strings whose slot is too low."""
        return {string for string in self.strings if self.is_too_low(string)}

    def with_faults(self, faults: Mapping[Fault, tuple[int, ...]]) -> TrueInstrument:
        """The instrument with these faults and no others."""
        return replace(self, faults=faults)

    def with_floor(self, string: int, floor_mm: float) -> TrueInstrument:
        """The instrument with one slot's floor where it gives this clearance."""
        return replace(self, floors_mm={**self.floors_mm, string: floor_mm})

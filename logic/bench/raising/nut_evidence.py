"""What the advice for the whole nut is made from: calls, gates and figures of one job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from logic.bench.raising.positions import StringPosition, position_of
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument, NutType
from shared.job import CallKind, Gate, GateState, Job, StringCall
from shared.readings import CentsReading
from shared.reasons import GateReason

ONE_PIECE = (NutType.CLAMPING, NutType.ROLLER)
"""Nuts that are one part with slots that nobody files or fills: shims under them set the height."""
_SLOTTED = (NutType.SLOTTED, NutType.COMPENSATED, NutType.OWN_NUT)
_UNRESOLVED = (GateState.OPEN, GateState.FAILED)


@dataclass(frozen=True)
class NutEvidence:
    """The calls of one job from bass to treble, whatever order the instrument lists them in."""

    job: Job
    calls: tuple[StringCall, ...]
    gates: tuple[Gate, ...]
    trade: TradeTables

    @classmethod
    def of(
        cls, job: Job, calls: Iterable[StringCall], gates: tuple[Gate, ...], trade: TradeTables
    ) -> NutEvidence:
        """Strings are numbered from treble to bass, so the highest number comes first."""
        across = sorted(calls, key=lambda call: call.string, reverse=True)
        return cls(job, tuple(across), gates, trade)

    @property
    def instrument(self) -> Instrument:
        """The instrument whose nut it is."""
        return self.job.instrument

    @property
    def alike_mm(self) -> float:
        """Heights over target that differ by no more than this are the same."""
        return self.trade.raising.alike_mm

    @property
    def several(self) -> int:
        """So many slots with the same fault are a matter of the whole nut."""
        return self.trade.raising.several_from

    @property
    def odd_cents(self) -> float:
        """Strings at one height differ by no more than this in pitch."""
        return self.trade.rules.limits.odd_cents

    @cached_property
    def strings(self) -> tuple[int, ...]:
        """Every string, from bass to treble."""
        return tuple(call.string for call in self.calls)

    def called(self, kind: CallKind) -> tuple[int, ...]:
        """The strings with this call, from bass to treble."""
        return tuple(call.string for call in self.calls if call.call is kind)

    @cached_property
    def low(self) -> tuple[int, ...]:
        """The strings to raise."""
        return self.called(CallKind.RAISE)

    @cached_property
    def high(self) -> tuple[int, ...]:
        """The strings to lower."""
        return self.called(CallKind.LOWER)

    @cached_property
    def common(self) -> tuple[int, ...]:
        """The strings on the common nut; one on a small nut of its own is moved by nothing else."""
        own = {spec.string for spec in self.instrument.strings if spec.from_fret}
        return tuple(string for string in self.strings if string not in own)

    @property
    def one_piece(self) -> bool:
        """Whether the nut moves as one part, its slots as they were bought."""
        return self.instrument.nut.type in ONE_PIECE

    @property
    def slotted(self) -> bool:
        """Whether its slots are filed to their strings, and set their height."""
        return self.instrument.nut.type in _SLOTTED

    @property
    def shim_mm(self) -> float:
        """The shim that is known to be under the nut; 0 where none is known."""
        shim = self.instrument.nut.shim
        return shim.mm if shim else 0.0

    @cached_property
    def positions(self) -> dict[int, StringPosition]:
        """Where each string stands, from bass to treble."""
        table, to_target = self.trade.call, self.job.to_my_target
        return {call.string: position_of(call, table, to_target) for call in self.calls}

    @cached_property
    def read(self) -> frozenset[int]:
        """The strings whose clearance is known."""
        return frozenset(call.string for call in self.calls if call.clearance_mm is not None)

    # --- what the checks leave undone ---

    def unsettled(self, strings: Iterable[int]) -> tuple[str, ...]:
        """What has to be known of the neck before any metal or bone goes, and is not known to be
        right under these strings: failed, open, skipped or never asked."""
        table = self.trade.raising.before_the_nut
        names = table.fretted if self.instrument.fretted else table.bare_board
        wanted = set(strings)
        return tuple(name for name in names if not wanted <= self._passed(name))

    def may_lower(self, string: int) -> bool:
        """Whether a file may go into this slot where its string stands over its window, as far as
        the checks say."""
        over = (gate for gate in self._of(string) if not gate.inside_window)
        barred = any(_bars(gate, CallKind.LOWER) for gate in over)
        return not barred and not self.one_piece and not self.unsettled((string,))

    @cached_property
    def kept(self) -> bool:
        """Whether it is original or valuable, and nobody has agreed to its being touched."""
        asked = [gate for gate in self.gates if gate.gate == "valuable"]
        if any(gate.state is GateState.FAILED for gate in asked):
            return True
        agreed = any(gate.state is GateState.PASSED for gate in asked)
        return self.instrument.nut.original and not agreed

    @property
    def may_be_kept(self) -> bool:
        """Whether it is a part worth keeping, or the question is open."""
        asked = (gate for gate in self.gates if gate.gate == "valuable")
        return self.kept or any(gate.state is GateState.OPEN for gate in asked)

    @property
    def glued(self) -> bool:
        """Whether it is glued in; clamps and rollers are screwed on."""
        return self.instrument.nut.glued and not self.one_piece

    @cached_property
    def unasked_of_the_part(self) -> tuple[str, ...]:
        """What has to be answered before the nut itself is taken down, and is not: whether it is
        glued in, and whether it is original."""
        return tuple(
            name
            for name in self.trade.raising.before_the_base.checks
            if not set(self.strings) <= self._passed(name)
        )

    @cached_property
    def in_minutes(self) -> bool:
        """Whether it must play within minutes."""
        return any(gate.reason == GateReason.NEVER_IN_A_HURRY for gate in self.gates)

    # --- heights that a check holds back ---

    @cached_property
    def waiting_low(self) -> tuple[int, ...]:
        """Strings that stand low as the neck is now, and wait for the neck."""
        return self._waiting(CallKind.RAISE, frozenset(self.trade.raising.about_the_neck.checks))

    @cached_property
    def waiting_high(self) -> tuple[int, ...]:
        """Strings that stand high, and that what can be undone may lower before all is checked."""
        checks = {*self.trade.raising.about_the_neck.checks, "shim"}
        return self._waiting(
            CallKind.LOWER, frozenset(checks | {"nut_type"} if self.one_piece else checks)
        )

    @cached_property
    def to_lift(self) -> tuple[int, ...]:
        """Strings that stand low, whether they may be raised now or wait for the neck."""
        either = {*self.low, *self.waiting_low}
        return tuple(string for string in self.strings if string in either)

    def on_common(self, strings: Iterable[int]) -> tuple[int, ...]:
        """Those of these strings that lie on the common nut."""
        return tuple(string for string in strings if string in self.common)

    @cached_property
    def to_drop(self) -> tuple[int, ...]:
        """Strings that stand high, whether they may be lowered now or wait."""
        either = {*self.high, *self.waiting_high}
        return tuple(string for string in self.strings if string in either)

    def holding(self, string: int, kind: CallKind) -> frozenset[str]:
        """The checks that hold this call back from this string."""
        return frozenset(gate.gate for gate in self._of(string) if _holds(gate, kind))

    def waits(self, call: StringCall, kind: CallKind, checks: frozenset[str]) -> bool:
        """Whether a string would get this call on height alone, and no check has failed that says
        otherwise of it, but for these."""
        alone = call.held_back.call if call.held_back is not None else None
        if call.call is not CallKind.CHECK_FIRST or alone is not kind:
            return False
        failed = (gate for gate in self._of(call.string) if gate.state is GateState.FAILED)
        return {gate.gate for gate in failed if _holds(gate, kind)} <= checks

    def _waiting(self, kind: CallKind, checks: frozenset[str]) -> tuple[int, ...]:
        """Strings of this call on height alone, which no other check than these denies."""
        return tuple(call.string for call in self.calls if self.waits(call, kind, checks))

    def _of(self, string: int) -> tuple[Gate, ...]:
        """The checks that speak of this string."""
        return tuple(gate for gate in self.gates if not gate.strings or string in gate.strings)

    def _passed(self, name: str) -> set[int]:
        """The strings for which this check has passed, and in nothing else."""
        return {
            string
            for string in self.strings
            if (states := [gate.state for gate in self._of(string) if gate.gate == name])
            and all(state is GateState.PASSED for state in states)
        }

    @cached_property
    def over_target_mm(self) -> dict[int, float]:
        """How far each string that was read stands over its target; below zero: under it."""
        return {
            call.string: call.clearance_mm.estimate - call.window_mm.target
            for call in self.calls
            if call.clearance_mm is not None
        }

    @cached_property
    def cents_at_fret_1(self) -> dict[int, float]:
        """How sharp a tuner shows each string at fret 1, the latest reading of each."""
        return {
            reading.string: reading.cents
            for reading in self.job.readings
            if isinstance(reading, CentsReading) and reading.fret == 1
        }

    def failed(self, gate: str, reason: GateReason | None = None) -> tuple[int, ...]:
        """The strings for which this gate has failed, for this reason if one is given."""
        failed = [
            each
            for each in self.gates
            if each.gate == gate
            and each.state is GateState.FAILED
            and (reason is None or each.reason == reason)
        ]
        return tuple(
            string
            for string in self.strings
            if any(not each.strings or string in each.strings for each in failed)
        )


def _holds(gate: Gate, kind: CallKind) -> bool:
    """Whether a check stands before a call: by a call of its own, or by barring it."""
    imposes = gate.state in _UNRESOLVED and gate.imposes not in (None, kind)
    return imposes or _bars(gate, kind)


def _bars(gate: Gate, kind: CallKind) -> bool:
    """Whether a check that has not passed bars a call; one that nobody had a reason to ask does
    not."""
    asked = gate.reason != GateReason.NOT_ASKED
    return asked and gate.state is not GateState.PASSED and kind in gate.forbids

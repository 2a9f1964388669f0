"""What the advice for the whole nut is made from: calls, gates and figures of one job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.job import CallKind, Gate, GateState, Job, StringCall
from shared.readings import CentsReading
from shared.reasons import GateReason


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

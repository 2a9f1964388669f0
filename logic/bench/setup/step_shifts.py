"""What one step moves by itself, as far as it says so or such steps usually do."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from logic.bench.setup.sensitivity import STILL, Move
from shared.setup import (
    RestStep,
    SaddleStep,
    SetupStep,
    StringsStep,
    TurnStep,
    UnknownStep,
)

if TYPE_CHECKING:
    from logic.bench.tables.step_shifts import StepShiftTable


def relief_step(step: SetupStep, table: StepShiftTable) -> Move:
    """How far it moves relief, millimetres."""
    if isinstance(step, TurnStep):
        return _turned(step, table)
    if isinstance(step, StringsStep):
        changed = step.what == "changed"
        return Move.either_way(
            table.strings_changed_relief_mm if changed else table.retuned_relief_mm
        )
    if isinstance(step, RestStep) and _rested(step, table):
        return Move.either_way(table.rest_relief_mm)
    return Move.either_way(table.unknown_relief_mm) if isinstance(step, UnknownStep) else STILL


def shifts_relief(step: SetupStep, table: StepShiftTable) -> bool:
    """Whether relief is to be read again after it, however little it may have moved."""
    return relief_step(step, table) != STILL


def saddle_step(step: SetupStep, table: StepShiftTable) -> Move:
    """How far it moves the saddle up, millimetres."""
    if isinstance(step, SaddleStep):
        if step.height is None:
            return Move.either_way(table.saddle_unmeasured_mm)
        moved = step.height.mm
        return Move.measured(moved, table.saddle_measured_sd_mm) if moved else STILL
    return Move.either_way(table.unknown_saddle_mm) if isinstance(step, UnknownStep) else STILL


def string_step(step: SetupStep, table: StepShiftTable) -> Move:
    """How far it moves a string otherwise, millimetres over its first fret."""
    changed = isinstance(step, StringsStep) and step.what == "changed"
    return Move.either_way(table.strings_changed_first_mm) if changed else STILL


def _rested(step: RestStep, table: StepShiftTable) -> bool:
    return step.hours is None or step.hours >= table.rest_from_hours


def _turned(step: TurnStep, table: StepShiftTable) -> Move:
    """A rod answers log-normally, and a slack one not at all: the mean of the answer, and its
    spread."""
    if step.eighths is None:
        return Move.either_way(table.rod_uncounted_relief_mm)
    mean = step.eighths * table.rod_eighth_relief_mm
    sd_mm = abs(mean) * math.sqrt(math.expm1(table.rod_sd_log**2))
    return Move(mean, sd_mm, abs(mean)) if mean else STILL

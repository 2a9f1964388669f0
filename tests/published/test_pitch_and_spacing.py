"""Pitches, cents and the spacing of slots against published figures."""

from __future__ import annotations

import pytest

from logic.bench.instrument.presets import preset_instrument
from logic.bench.raising.nut_layout import NutLayout, Wishes, lay_out
from logic.physics.sharpness import CENTS_PER_NEPER
from logic.testing import TRADE
from shared.instrument import Player
from shared.pitch import Pitch, cents_between
from shared.units import Length, Unit
from tests.published.figures import figure


def test_one_hertz_at_a3() -> None:
    """Beats of 1 Hz at A3 are 8 cents (Anderson & Beausoleil 2024)."""
    found = figure("cents_1Hz_A3")
    found.agrees_in_all(cents=cents_between(found.inputs["f1"], found.inputs["f2"]))


def test_least_differences_heard() -> None:
    """Published difference limens in cents (table in J. O. Smith, Spectral Audio Signal
    Processing)."""
    found = figure("jnd_table_cents")
    cents = [cents_between(1.0, 1.0 + share) for share in found.inputs["df_over_f"]]
    found.agrees_in_all(cents=cents)


def test_our_budget_lies_between_them() -> None:
    """The least and the most that fret 1 may be off lie within the published limens."""
    limens = figure("jnd_table_cents").expected["cents"]
    budget = TRADE.attack.budget
    least, most = budget.least_cents, budget.most_cents
    assert min(limens) < least < most < max(limens)


def test_note_numbers() -> None:
    """Note 64 is E4, 329.63 Hz (equal temperament on A4 = 440 Hz)."""
    found = figure("midi_64")
    pitch = Pitch.parse("E4")
    assert pitch.midi == found.inputs["midi"]
    found.agrees_in_all(f_Hz=pitch.hz())


def test_tuning_standard_step() -> None:
    """The step just under A4 in the MIDI Tuning Standard is one 16384th of a semitone flat."""
    found = figure("mts_447f7f")
    note, high, low = found.inputs["bytes"]
    steps = (high << 7 | low) / 16384
    flat = cents_between(found.expected["f_Hz"], Pitch.parse("A4").hz())
    assert flat == pytest.approx(100 * (69 - note - steps), abs=0.001)
    found.agrees(f_Hz=Pitch.parse("A4").hz() * 2 ** (-flat / 1200))


def test_small_change_formula_fails_over_an_octave() -> None:
    """1731·Δf/f is 46 cents short over an octave, so it is used for small changes only (Anderson
    & Beausoleil 2024, introduction)."""
    found = figure("octave_linearised")
    low, high = found.inputs["f1"], found.inputs["f2"]
    linear = CENTS_PER_NEPER * (high - low) / ((high + low) / 2)
    found.agrees_in_all(cents_linear=linear, error=linear - cents_between(low, high))


def six_strings_over(gauges_in: list[float], outer_centres_mm: float) -> NutLayout:
    """A nut just as wide as its strings, treble to bass."""
    width = outer_centres_mm + (gauges_in[0] + gauges_in[-1]) * 25.4 / 2
    usual = preset_instrument("electric guitar", TRADE)
    strings = tuple(
        spec.model_copy(update={"gauge": Length.of(str(gauges_in[spec.string - 1]), Unit.INCH)})
        for spec in usual.strings
    )
    nut = usual.nut.model_copy(update={"width": Length.of(round(width, 9))})
    instrument = usual.model_copy(update={"strings": strings, "nut": nut})
    wishes = Wishes(bass_margin_mm=0.0, treble_margin_mm=0.0)
    return lay_out(instrument, Player(), TRADE, wishes)


def test_equal_gaps() -> None:
    """Six strings with equal gaps stand at the published centres (gap = (S - Σ inner
    diameters)/(N - 1))."""
    found = figure("equal_gap_spacing")
    layout = six_strings_over(found.inputs["d_in"], found.inputs["outer_centres_mm"])
    treble = layout.slots[-1].centre_mm
    centres = [treble - slot.centre_mm for slot in reversed(layout.slots)]
    found.agrees_in_all(gap_mm=sum(layout.gaps_mm) / len(layout.gaps_mm), centres_mm=centres)
    assert max(layout.gaps_mm) - min(layout.gaps_mm) < 1e-6

"""Presets are instruments that could stand on a bench."""

from itertools import pairwise

import pytest

from logic.bench.instrument.presets import kinds, preset_instrument, preset_kit
from logic.physics.wires import Packet, wire
from logic.testing import TRADE
from shared.instrument import Instrument, StringSpec


def strung(instrument: Instrument, spec: StringSpec) -> Packet:
    """One string of a preset, as it is sold and strung."""
    length_mm = instrument.scale.mm * 2 ** (-spec.from_fret / 12)
    core_mm = spec.core.mm if spec.core else None
    weight = spec.grams_per_metre / 1000 if spec.grams_per_metre else None
    return Packet(spec.make.value, spec.gauge.mm, length_mm, spec.pitch.hz(), core_mm, weight)


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_every_string_of_a_preset_holds_at_pitch(kind: str) -> None:
    """T = μ(2Lf)² puts each string between slack and half again the stoutest bass string, and its
    core under nine tenths of the least strength that ASTM A228 or its make allows."""
    instrument = preset_instrument(kind, TRADE)
    for spec in instrument.strings:
        at_pitch = wire(strung(instrument, spec), TRADE.materials)
        assert 20 < at_pitch.tension_n < 300, spec
        assert at_pitch.breaking_mpa is None or at_pitch.stress_mpa < 0.9 * at_pitch.breaking_mpa


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_neighbours_pull_alike(kind: str) -> None:
    """No string of a preset pulls more than two and a quarter times its neighbour: sets are made
    to feel even (common practice, no source), octave pairs least so."""
    instrument = preset_instrument(kind, TRADE)
    pulls = [
        wire(strung(instrument, spec), TRADE.materials).tension_n for spec in instrument.strings
    ]
    for one, other in pairwise(pulls):
        assert max(one, other) / min(one, other) < 2.25


def test_the_usual_kit_has_a_file_for_every_preset_string() -> None:
    """For each string there is a file of its gauge or up to 0.004 in over: the 0.003 in of common
    practice, and one more where no such file is commonly made."""
    files = [file.mm for file in preset_kit(TRADE).files]
    for kind in kinds(TRADE):
        for spec in preset_instrument(kind, TRADE).strings:
            over = [file - spec.gauge.mm for file in files if file > spec.gauge.mm - 0.01]
            assert min(over) <= 0.004 * 25.4, (kind, spec.string)


def test_the_usual_kit_is_in_order() -> None:
    """Leaves, files and shims are listed from thin to thick, none twice."""
    kit = preset_kit(TRADE)
    for sizes in (kit.leaves, kit.files, kit.shims):
        assert list(sizes) == sorted(set(sizes))


def test_an_unknown_kind_is_a_key_error() -> None:
    """There is no instrument to fall back to silently."""
    with pytest.raises(KeyError):
        preset_instrument("harp", TRADE)

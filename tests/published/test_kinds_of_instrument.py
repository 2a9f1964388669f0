"""Less common instruments against what is published of them, and against what strings can bear."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate, pairwise

import pytest

from logic.bench.instrument.presets import preset_instrument
from logic.bench.instrument.strung_string import wire_of
from logic.bench.instrument.targets import aim
from logic.bench.raising.nut_layout import lay_out
from logic.physics.strings import Wire, area_mm2
from logic.testing import TRADE
from shared.instrument import Instrument, Make, Player, StringSpec

GUT, NYLON = Make.GUT, Make.NYLON
STEEL_MPA, GUT_MPA, NYLON_MPA = 387 * 6.894757, 350.0, 450.0
"""What breaks a plain string: ASTM A228, least strength of music wire of 0.010 in (387 ksi), as
reprinted by a wire supplier; gut and nylon from memory."""


def preset(kind: str) -> Instrument:
    """The usual instrument of this kind."""
    return preset_instrument(kind, TRADE)


def strung(kind: str) -> Iterator[tuple[StringSpec, Wire]]:
    """Every string of the usual instrument, at pitch."""
    instrument = preset(kind)
    for spec in instrument.strings:
        yield spec, wire_of(spec, instrument, TRADE)


@pytest.mark.parametrize(
    ("kind", "pitches"),
    [
        # general encyclopaedia (Wikipedia), Mandola: the pitches of the viola, in unison
        ("mandola", "C3 C3 G3 G3 D4 D4 A4 A4"),
        # general encyclopaedia (Wikipedia), Mandocello: C G D A, an octave under the mandola
        ("mandocello", "C2 C2 G2 G2 D3 D3 A3 A3"),
        # general encyclopaedia (Wikipedia), Mandolin: G D A D, an octave under the mandolin
        ("Irish bouzouki", "G2 G2 D3 D3 A3 A3 D4 D4"),
        # tuning tables of an open music-theory library (bspaans/python-mingus)
        ("Greek bouzouki", "C4 C3 F4 F3 A3 A3 D4 D4"),
        # general encyclopaedia (Wikipedia), Charango: G4, C5, E5 and E4, A4, E5
        ("charango", "G4 G4 C5 C5 E5 E4 A4 A4 E5 E5"),
        # general encyclopaedia (Wikipedia), Cuatro (Venezuela): a d' f#' b
        ("Venezuelan cuatro", "A3 D4 F♯4 B3"),
        # general encyclopaedia (Wikipedia), Cuatro (Puerto Rico): B3 B2 E4 E3 A3 A3 D4 D4 G4 G4
        ("Puerto Rican cuatro", "B3 B2 E4 E3 A3 A3 D4 D4 G4 G4"),
        # HyperPhysics (Georgia State University), The Double Bass
        ("double bass", "E1 A1 D2 G2"),
        # tuning tables of a general encyclopaedia (h2g2): a guitar's
        ("resonator guitar", "E2 A2 D3 G3 B3 E4"),
        # common practice, no source
        ("cigar-box guitar", "G2 D3 G3"),
        # general encyclopaedia (Wikipedia), Appalachian dulcimer: D3 A3 D4, the last doubled
        ("mountain dulcimer", "D3 A3 D4 D4"),
        # general encyclopaedia (Wikipedia), Lute: in G, in fourths, a third between 4 and 3; eleven
        # strings, all courses but the highest doubled: the English Cyclopaedia, Lute
        ("lute", "G3 G2 C4 C3 F4 F3 A3 A3 D4 D4 G4"),
    ],
)
def test_they_are_tuned_as_published(kind: str, pitches: str) -> None:
    """From the bass side of the nut, the strings of each kind sound as the sources list them; of an
    octave pair the thin string lies on the bass side."""
    ordered = sorted(preset(kind).strings, key=lambda spec: -spec.string)
    assert " ".join(spec.pitch.show() for spec in ordered) == pitches


@pytest.mark.parametrize(
    ("kind", "course", "octave", "hz"),
    [
        # general encyclopaedia (Wikipedia), Charango, in hertz beside each course
        *(("charango", 5, False, 392.00), ("charango", 4, False, 523.25)),
        *(("charango", 3, False, 329.63), ("charango", 3, True, 659.26)),
        *(("charango", 2, False, 440.00), ("charango", 1, False, 659.26)),
        # HyperPhysics (Georgia State University), The Double Bass
        *(("double bass", 4, False, 41.2), ("double bass", 1, False, 98.0)),
    ],
)
def test_they_sound_at_the_published_frequencies(
    kind: str, course: int, octave: bool, hz: float
) -> None:
    """At A 440, to what the sources round to."""
    specs = [spec for spec in preset(kind).strings if (spec.course or spec.string) == course]
    sounding = [spec.pitch.hz() for spec in specs if spec.octave is octave]
    assert sounding and sounding == pytest.approx([hz] * len(sounding), rel=5e-4)


@pytest.mark.parametrize(
    ("kind", "low_mm", "high_mm"),
    [
        ("mandola", 412, 426),  # general encyclopaedia (Wikipedia), Mandola: about 16.5 in, 420 mm
        ("mandocello", 630, 660),  # the same, Mandocello: about 25 in, 65 cm
        ("Irish bouzouki", 560, 661),  # the same, Mandolin: 22 to 24 in, also 26 in
        ("Greek bouzouki", 650, 680),  # the same, Mandolin: 26 in; 670 mm is common practice
        ("Puerto Rican cuatro", 500, 520),  # the same, Cuatro (Puerto Rico): 500 to 520 mm
        ("charango", 350, 380),  # common practice, no source
        ("Venezuelan cuatro", 530, 580),  # common practice, no source
        ("resonator guitar", 620, 650),  # common practice, no source
        ("cigar-box guitar", 580, 650),  # common practice, no source
        ("mountain dulcimer", 635, 730),  # common practice, no source: 25 to 28 in and over
        ("lute", 580, 620),  # common practice, no source
        ("double bass", 1030, 1070),  # common practice, no source: the size called three-quarter
    ],
)
def test_they_are_as_long_as_published(kind: str, low_mm: float, high_mm: float) -> None:
    """The scale lies where the sources have it."""
    assert low_mm <= preset(kind).scale.mm <= high_mm


@pytest.mark.parametrize(
    ("kind", "low_n", "high_n"),
    [  # pull of one string that sets for these instruments are sold to give: from memory
        *(("resonator guitar", 90, 170), ("cigar-box guitar", 80, 140), ("mandola", 80, 130)),
        *(("mandocello", 100, 160), ("Irish bouzouki", 70, 120), ("Greek bouzouki", 50, 90)),
        *(("charango", 30, 60), ("Venezuelan cuatro", 30, 55), ("Puerto Rican cuatro", 55, 90)),
        *(("double bass", 240, 300), ("mountain dulcimer", 60, 100), ("lute", 25, 45)),
    ],
)
def test_every_string_pulls_as_such_strings_do(kind: str, low_n: float, high_n: float) -> None:
    """T = (2Lf)²μ, worked out here, is what the app reckons with, lies in the range for the kind,
    and leaves a plain string, whose stress is T over its section, a tenth short of breaking."""
    instrument = preset(kind)
    breaks = {Make.PLAIN_STEEL: STEEL_MPA, GUT: GUT_MPA, NYLON: NYLON_MPA}
    for spec, wire in strung(kind):
        metres = instrument.scale.mm / 1000
        pull_n = (2 * metres * spec.pitch.hz()) ** 2 * wire.kg_per_m
        assert wire.tension_n == pytest.approx(pull_n, rel=1e-6)
        assert low_n < pull_n < high_n, spec
        if spec.make in breaks:
            assert pull_n / area_mm2(spec.gauge.mm) < 0.9 * breaks[spec.make], spec


def test_a_dulcimers_frets_make_its_scale() -> None:
    """Open, the melody string begins a major scale with the lowered seventh (whole, whole, half,
    whole, whole, half, whole), and a fret half a step under the octave makes the major one too:
    general encyclopaedia (Wikipedia), Appalachian dulcimer. An octave up they come again."""
    board = preset("mountain dulcimer").fretboard
    steps = list(accumulate((2, 2, 1, 2, 2, 1, 2) * 2))
    assert board.semitones == tuple(sorted({*steps, 11, 23}))
    assert board.octave_fret == 8  # which its players call the seventh


def test_a_lutes_frets_are_tied() -> None:
    """Gut round the neck (the English Cyclopaedia, Lute), eight of it: common practice, no
    source."""
    board = preset("lute").fretboard
    assert (board.tied, board.count) == (True, 8)


def test_a_double_bass_clears_a_bare_board() -> None:
    """Aimed at are three quarters of a millimetre under the lowest string and half a one under the
    highest, in front of the nut (common practice, no source); with frets it would be no such
    board."""
    bass = preset("double bass")
    assert not bass.fretted
    aims = [aim(bass.spec(string), bass, Player(), TRADE).usual_mm for string in (4, 1)]
    assert aims == pytest.approx([0.75, 0.5], abs=0.02)
    fretted = bass.model_copy(update={"fretted": True})
    assert aim(fretted.spec(4), fretted, Player(), TRADE).usual_mm < 0.6


@pytest.mark.parametrize(
    ("kind", "least_mm", "most_mm"),
    [  # between the middles of neighbouring courses: common practice, no source
        *(("double bass", 9, 12), ("resonator guitar", 7, 9), ("cigar-box guitar", 12, 16)),
        *(("mandola", 6.5, 9), ("mandocello", 7, 10), ("Irish bouzouki", 7, 10)),
        *(("Greek bouzouki", 6, 9), ("charango", 8, 11), ("Venezuelan cuatro", 9, 13)),
        *(("Puerto Rican cuatro", 7.5, 10.5), ("mountain dulcimer", 10, 15), ("lute", 5.5, 10)),
    ],
)
def test_courses_lie_as_far_apart_as_hands_know_them(
    kind: str, least_mm: float, most_mm: float
) -> None:
    """The new nut's slots stand within its width, and courses a hand's usual step apart."""
    instrument = preset(kind)
    layout = lay_out(instrument, Player(), TRADE)
    middles: dict[int, list[float]] = {}
    for slot in layout.slots:
        spec = instrument.spec(slot.string)
        middles.setdefault(spec.course or spec.string, []).append(slot.centre_mm)
    centres = sorted(sum(places) / len(places) for places in middles.values())
    steps = [right - left for left, right in pairwise(centres)]
    assert all(least_mm < step < most_mm for step in steps), steps

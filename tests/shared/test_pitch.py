"""Pitches, against music21, the MIDI Tuning Standard and published tunings."""

import math

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from shared.errors import PitchError
from shared.pitch import Pitch, cents_between
from shared.words import FigureStyle, say, speaking

SIGNS = {"": "", "♯": "#", "♭": "-", "𝄪": "##", "𝄫": "--"}
"""Ours, and the accidentals of music21."""

notes = st.builds(
    lambda letter, sign, octave: (letter, sign, octave),
    st.sampled_from("ABCDEFG"),
    st.sampled_from(list(SIGNS)),
    st.integers(0, 8),
)


@given(note=notes)
@settings(deadline=None, max_examples=150)
def test_every_note_agrees_with_music21(note: tuple[str, str, int]) -> None:
    """Number and frequency of any spelled note are those of the music21 library."""
    letter, sign, octave = note
    ours = Pitch.parse(f"{letter}{sign}{octave}")
    theirs = music21.pitch.Pitch(f"{letter}{SIGNS[sign]}{octave}")
    assert ours.midi == theirs.ps
    assert math.isclose(ours.hz(), theirs.frequency, rel_tol=1e-9)


@given(note=notes)
@settings(deadline=None, max_examples=100)
def test_a_shown_pitch_is_read_back(note: tuple[str, str, int]) -> None:
    """What a person reads names the same note, spelling included."""
    pitch = Pitch.parse("{}{}{}".format(*note))
    assert Pitch.parse(str(pitch)) == pitch


@pytest.mark.parametrize(
    ("tuning", "midi", "hz"),
    [
        # tuning tables of a general encyclopaedia (h2g2); f = 440·2^((m − 69)/12), ISO 16:1975
        (
            "E2 A2 D3 G3 B3 E4",
            [40, 45, 50, 55, 59, 64],
            [82.4069, 110, 146.8324, 195.9977, 246.9417, 329.6276],
        ),
        ("E1 A1 D2 G2", [28, 33, 38, 43], [41.2034, 55, 73.4162, 97.9989]),
        ("G4 C4 E4 A4", [67, 60, 64, 69], None),
        ("G3 D4 A4 E5", [55, 62, 69, 76], None),
    ],
)
def test_published_tunings(tuning: str, midi: list[int], hz: list[float] | None) -> None:
    """The open strings of guitar, bass, ukulele and mandolin sound where the tables say."""
    pitches = [Pitch.parse(name) for name in tuning.split()]
    assert [pitch.midi for pitch in pitches] == midi
    if hz:
        assert [pitch.hz() for pitch in pitches] == pytest.approx(hz, abs=5e-5)


def test_midi_tuning_standard() -> None:
    """Note 3C hex is 261.6256 Hz and 3D is 277.1826 Hz (MIDI Tuning Standard; the printed .1827
    of 3D is rounded up)."""
    assert Pitch.parse("C4").midi == 0x3C
    assert Pitch.parse("C4").hz() == pytest.approx(261.6256, abs=5e-5)
    assert Pitch.parse("C#4").hz() == pytest.approx(277.1826, abs=5e-5)


@given(a4=st.floats(380, 480), midi=st.sampled_from(["E2", "B♭1", "F♯3", "A4"]))
@settings(deadline=None, max_examples=50)
def test_the_reference_moves_every_pitch_alike(a4: float, midi: str) -> None:
    """A changed A4 shifts each note by the same number of cents."""
    pitch = Pitch.parse(midi)
    assert cents_between(pitch.hz(), pitch.hz(a4)) == pytest.approx(cents_between(440, a4))


def test_published_cents() -> None:
    """220 to 221 Hz is 7.851 cents (Anderson and Beausoleil 2024 round it to 8); an octave 1200."""
    assert cents_between(220, 221) == pytest.approx(7.851, abs=0.0005)
    assert cents_between(220, 440) == pytest.approx(1200)


@pytest.mark.parametrize("text", ["F#3", "F♯3", "f#3", " F♯3 ", "F# 3", "G♭3", "Gb3"])
def test_spellings_of_one_key(text: str) -> None:
    """Sharps, flats, signs and letters of either case name the same key."""
    assert Pitch.parse(text).midi == 54


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("E", "say its octave: E2"),
        ("Bb", "say its octave"),
        ("H2", "write a letter"),
        ("E99", "no string sounds there"),
        ("", "write a letter"),
        ("E" * 100, "write a letter"),
    ],
)
def test_what_names_no_pitch_is_refused(text: str, says: str) -> None:
    """A missing octave or an unknown letter is asked about."""
    with pytest.raises(PitchError, match=says):
        Pitch.parse(text)


@given(text=st.text(max_size=12))
@settings(deadline=None, max_examples=200)
def test_any_text_is_a_pitch_or_a_clear_refusal(text: str) -> None:
    """Nothing but PitchError ever comes out."""
    try:
        Pitch.parse(text)
    except PitchError as error:
        assert error.ask


@pytest.mark.parametrize("hz", [0.0, -1.0, math.inf, math.nan])
def test_cents_need_frequencies(hz: float) -> None:
    """There are no cents to nothing."""
    with pytest.raises(PitchError, match="above zero"):
        cents_between(hz, 440)


def test_models_read_pitches() -> None:
    """A pitch field takes text, prints text, and refuses in plain words."""

    class Tuned(BaseModel):
        pitch: Pitch

    assert Tuned.model_validate({"pitch": "Bb1"}).model_dump(mode="json") == {"pitch": "B♭1"}
    with pytest.raises(ValidationError, match="say its octave"):
        Tuned.model_validate({"pitch": "E"})


@given(note=notes)
@settings(deadline=None, max_examples=100)
def test_where_b_is_h_names_are_those_of_german_players(note: tuple[str, str, int]) -> None:
    """B is H and B flat is B, as the music21 library names German notes; every other letter
    stays. What is shown is read back, and files hold the scientific name."""
    letter, sign, octave = note
    pitch = Pitch.parse(f"{letter}{sign}{octave}")
    theirs = music21.pitch.Pitch(f"{letter}{SIGNS[sign]}{octave}").german
    with speaking(style=FigureStyle(notes="H")):
        shown = pitch.show()
        assert shown[0] == theirs[0]
        assert Pitch.typed(shown) == pitch
        assert say("{pitch}", pitch=pitch) == shown
    assert str(pitch) == f"{letter}{sign}{octave}"


@pytest.mark.parametrize(
    ("typed", "notes", "meant"),
    [
        ("B3", "B", "B3"),
        ("B3", "H", "B♭3"),
        ("H3", "H", "B3"),
        ("h3", "B", "B3"),
        ("Bb3", "H", "B♭3"),
        ("H#3", "H", "B♯3"),
        ("E2", "H", "E2"),
    ],
)
def test_what_is_typed_is_understood_as_notes_are_named(typed: str, notes: str, meant: str) -> None:
    """H means one note everywhere; a bare B is B flat only where B is called H."""
    with speaking(style=FigureStyle(notes=notes)):
        assert str(Pitch.typed(typed)) == meant


def test_on_a_command_line_a_bare_b_is_asked_about_where_it_could_mean_two_notes() -> None:
    """Scripts write scientific names whatever is spoken; where players say H, nobody guesses."""
    assert str(Pitch.written("B3")) == "B3"
    with speaking(style=FigureStyle(notes="H")):
        assert str(Pitch.written("H3")) == "B3"
        with pytest.raises(PitchError, match="H3 or Bb3"):
            Pitch.written("B3")


@pytest.mark.parametrize("text", ["H3", "H"])
def test_a_file_knows_scientific_names_alone(text: str) -> None:
    """A file that says H might mean B flat by its B: it is asked, not guessed at."""
    with pytest.raises(PitchError):
        Pitch.parse(text)

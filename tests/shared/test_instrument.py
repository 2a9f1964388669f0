"""How strings are named and found."""

import pytest

from logic.jobfiles.reading import preset_instrument
from logic.testing import TRADE
from shared.instrument import Instrument


@pytest.fixture
def twelve() -> Instrument:
    """A usual twelve-string guitar."""
    return preset_instrument("12-string guitar", TRADE)


def test_a_lone_string_is_its_number(twelve: Instrument) -> None:
    """Without pairs a person says nothing but the number."""
    electric = preset_instrument("electric guitar", TRADE)
    assert [electric.name_of(spec.string) for spec in electric.strings] == list("654321")


def test_a_pair_is_named_by_course_and_place(twelve: Instrument) -> None:
    """Octave pairs are octave and main, like pairs are told by the side that each is nearer to; the
    short names, for which a figure's room is enough, begin alike."""
    strings = (12, 11, 6, 5, 2, 1)
    names = [twelve.name_of(string) for string in strings]
    assert names == ["6 octave", "6 main", "3 octave", "3 main", "1 bass", "1 treble"]
    short = [twelve.short_name_of(string) for string in strings]
    assert short == ["6o", "6m", "3o", "3m", "1b", "1t"]


@pytest.mark.parametrize("kind", ["12-string guitar", "mandolin", "electric guitar"])
def test_every_name_of_a_string_means_it_alone(kind: str) -> None:
    """What a person reads, and what job files have always held, lead back to the one string."""
    made = preset_instrument(kind, TRADE)
    for spec in made.strings:
        for name in (made.name_of(spec.string), made.file_name_of(spec.string)):
            assert made.number_of(name) == spec.string
    shown = [made.name_of(spec.string) for spec in made.strings]
    short = [made.short_name_of(spec.string) for spec in made.strings]
    assert len(set(shown)) == len(set(short)) == len(made.strings)


def test_of_three_alike_each_is_counted_from_the_treble_side() -> None:
    """A course of three has no bass and treble of two."""
    made = preset_instrument("electric guitar", TRADE)
    course = [each.model_copy(update={"course": 1}) for each in made.strings if each.string < 4]
    threefold = made.model_copy(update={"strings": tuple(course)})
    assert [threefold.name_of(string) for string in (1, 2, 3)] == ["1/1", "1/2", "1/3"]


def test_frets_of_a_string_with_its_own_nut_are_counted_from_there() -> None:
    """A banjo's fifth begins at fret 5 (common practice, no source), so that its first fret is the
    sixth of the board."""
    banjo = preset_instrument("5-string banjo", TRADE)
    assert [banjo.board_fret(string, 1) for string in (5, 4, 1)] == [6, 1, 1]


@pytest.mark.parametrize(
    ("name", "string"), [("6 octave", 12), ("6  Main", 11), ("6", 6), (6, 6), ("12", 12)]
)
def test_a_bare_number_is_a_string_and_never_a_course(
    twelve: Instrument, name: str | int, string: int
) -> None:
    """6 is the sixth string from the treble side; the sixth course needs its second word."""
    assert twelve.number_of(name) == string


@pytest.mark.parametrize("name", ["13", "6 lower", "octave", "", 0, "1 octave"])
def test_a_name_of_no_string_is_a_key_error(twelve: Instrument, name: str | int) -> None:
    """What is not there is never guessed."""
    with pytest.raises(KeyError):
        twelve.number_of(name)


def test_an_octave_string_is_an_octave_up_and_on_the_bass_side(twelve: Instrument) -> None:
    """The preset's octave strings sound twelve semitones above their partners and are thinner."""
    for course in (3, 4, 5, 6):
        main = twelve.spec(twelve.number_of(f"{course} main"))
        octave = twelve.spec(twelve.number_of(f"{course} octave"))
        assert octave.pitch.midi - main.pitch.midi == 12
        assert octave.gauge < main.gauge
        assert octave.string == main.string + 1

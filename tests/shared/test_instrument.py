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
    """Octave pairs are octave and main, like pairs first and second."""
    names = [twelve.name_of(string) for string in (12, 11, 6, 5, 2, 1)]
    assert names == ["6 octave", "6 main", "3 octave", "3 main", "1 second", "1 first"]


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

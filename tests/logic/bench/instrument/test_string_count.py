"""One string more, one string fewer: its pitch, its gauge, and what stays of the others."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.bench.instrument.string_count import outermost, with_string_fewer, with_string_more
from logic.bench.instrument.strung_string import wire_of
from logic.jobfiles.reading import kinds
from logic.testing import TRADE, instrument
from shared.instrument import MOST_STRINGS, Instrument

KINDS = kinds(TRADE)


def changed(kind: str, steps: list[bool]) -> Instrument:
    """The usual instrument of a kind after so many strings came (true) and went."""
    made = instrument(kind)
    for more in steps:
        made = with_string_more(made, TRADE) if more else with_string_fewer(made)
    return made


@pytest.mark.parametrize(
    ("kind", "pitch", "thinnest", "thickest"),
    [
        ("electric guitar", "B1", 0.056, 0.064),
        ("7-string guitar", "F♯1", 0.068, 0.084),
        ("bass guitar", "B0", 0.120, 0.140),
        ("5-string bass", "F♯0", 0.150, 0.180),
        ("mandolin", "C3", 0.045, 0.055),
    ],
)
def test_what_is_added_is_what_such_instruments_carry(
    kind: str, pitch: str, thinnest: float, thickest: float
) -> None:
    """A seventh string of a guitar, an eighth, a fifth of a bass, a sixth, a fifth course below a
    mandolin's four: pitch and gauges in inches as sets have them (common practice, no source)."""
    made = with_string_more(instrument(kind), TRADE)
    added = made.spec(outermost(made))
    assert added.pitch.show() == pitch
    assert thinnest <= float(added.gauge.mm) / 25.4 <= thickest


@pytest.mark.parametrize("kind", KINDS)
def test_the_others_stay_as_they_were(kind: str) -> None:
    """Added and taken away again, the instrument is the one before; every other string keeps its
    number, its pitch, its gauge and its course on the way."""
    before = instrument(kind)
    more = with_string_more(before, TRADE)
    assert more.strings[:-1] == before.strings
    assert more.strings[-1].string == outermost(before) + 1
    assert with_string_fewer(more) == before


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_added_is_about_as_tight_as_the_lowest(kind: str) -> None:
    """Its pull lies within a quarter of that of the lowest string: Mersenne's law at one tension,
    windings and the step of a thousandth left out (N. H. Fletcher and T. D. Rossing, The Physics
    of Musical Instruments, 2nd ed., 1998, section 2.1, from memory)."""
    before = instrument(kind)
    lowest = min(before.strings, key=lambda spec: spec.pitch.midi)
    made = with_string_more(before, TRADE)
    bare = lowest.model_copy(update={"core": None})
    pulls = [wire_of(spec, made, TRADE).tension_n for spec in (made.spec(outermost(made)), bare)]
    assert pulls[0] == pytest.approx(pulls[1], rel=0.25)


@given(kind=st.sampled_from(KINDS), steps=st.lists(st.booleans(), max_size=40))
def test_however_many_come_and_go_it_stays_an_instrument(kind: str, steps: list[bool]) -> None:
    """From one string to the most that are numbered: numbers are unique, gauges within what is
    made, and action at fret 12 is of strings that are there."""
    made = changed(kind, steps)
    numbers = [spec.string for spec in made.strings]
    assert 1 <= len(numbers) == len(set(numbers)) <= MOST_STRINGS
    assert all(spec.gauge <= TRADE.string_sets.thickest for spec in made.strings)
    assert set(made.action_12) <= set(numbers) or len(numbers) > len(instrument(kind).strings)


def test_action_of_the_string_that_goes_is_worth_what_lay_between() -> None:
    """2.0 mm at string 6 and 1.6 at string 1 are 1.92 at string 5: a straight line."""
    made = with_string_fewer(instrument("electric guitar"))
    assert {string: action.mm for string, action in made.action_12.items()} == {5: 1.92, 1: 1.6}

"""The other ways of reading one string: its own neck, its own nut, its own wire."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.instrument.strung_string import strung_string
from logic.jobfiles.reading import kinds, preset_instrument
from logic.physics.neck import clearance_mm, held_gap_mm, nut_height_mm
from logic.testing import TRADE
from shared.units import Length


@given(st.sampled_from(kinds(TRADE)), st.floats(0.1, 1.5), st.integers(2, 4))
@settings(deadline=None, max_examples=60)
def test_a_gap_while_held_leads_back_to_the_clearance_it_came_from(
    kind: str, clearance: float, held_at: int
) -> None:
    """On every preset: from a clearance to the gap at 2, 3 or 4 and back is the same clearance."""
    instrument = preset_instrument(kind, TRADE)
    for spec in instrument.strings:
        ways = string_geometry(instrument, spec.string, TRADE)
        neck = ways.standing(clearance)
        gap = held_gap_mm(neck, nut_height_mm(neck, clearance), held_at)
        found, _ = ways.held_clearance_mm(gap, held_at)
        assert found == pytest.approx(clearance, abs=1e-9)


def test_without_an_action_a_usual_saddle_is_taken() -> None:
    """An instrument whose action nobody measured still turns a gap into a clearance."""
    instrument = preset_instrument("electric guitar", TRADE).model_copy(update={"action_12": {}})
    ways = string_geometry(instrument, 6, TRADE)
    found, _ = ways.held_clearance_mm(0.2, 3)
    bearing = nut_height_mm(ways.neck, found)
    assert found == pytest.approx(clearance_mm(ways.neck, bearing))
    assert 0.2 < found < 0.7


@given(st.sampled_from(kinds(TRADE)), st.floats(0.3, 1.2), st.floats(0.1, 0.6))
@settings(deadline=None, max_examples=40)
def test_a_higher_string_is_sharper_at_fret_1(kind: str, clearance: float, more: float) -> None:
    """On every preset and string, cents at fret 1 grow with the clearance."""
    instrument = preset_instrument(kind, TRADE)
    for spec in instrument.strings:
        ways = string_geometry(instrument, spec.string, TRADE)
        low, high = ways.cents(clearance, 1), ways.cents(clearance + more, 1)
        assert low is not None
        assert high is not None
        assert high > low


def test_a_string_that_cannot_be_gives_no_cents() -> None:
    """A core as thick as its string is no string: nothing is said of its sharpness."""
    instrument = preset_instrument("electric guitar", TRADE)
    odd = instrument.spec(6).model_copy(update={"core": Length.parse("0.046 in")})
    strings = (odd, *instrument.strings[1:])
    broken = instrument.model_copy(update={"strings": strings})
    assert string_geometry(broken, 6, TRADE).cents(0.5, 1) is None
    assert string_geometry(broken, 5, TRADE).cents(0.5, 1) is not None


@pytest.mark.parametrize(("kind", "string", "nut_at"), [("5-string banjo", 5, 5), ("lute", 1, 3)])
@given(relief=st.floats(0.0, 0.8), action=st.floats(1.5, 3.5))
@settings(deadline=None, max_examples=20)
def test_a_string_on_its_own_nut_lies_over_the_same_board(
    kind: str, string: int, nut_at: int, relief: float, action: float
) -> None:
    """One neck bends once, whichever string lies over it: between any three frets beyond the small
    nut the board is as deep under that string as under one from the common nut, and the saddle
    stands as high over both (geometry)."""
    made = preset_instrument(kind, TRADE)
    spec = made.spec(string).model_copy(update={"from_fret": nut_at})
    other = spec.model_copy(update={"from_fret": 0})
    known = {
        each.string: Length.of(round(action, 4)) for each in made.strings if each.string != string
    }
    bent = {"relief": Length.of(round(relief, 4)), "action_12": known}
    others = tuple(each for each in made.strings if each.string != string)
    board, own_board = (
        made.model_copy(update=bent | {"strings": (each, *others)}) for each in (other, spec)
    )
    own = strung_string(spec, own_board, TRADE, 0.4).neck
    whole = strung_string(other, board, TRADE, 0.4).neck
    geometry = string_geometry(own_board.model_copy(update={"strings": (spec,)}), string, TRADE)
    frets = range(1, 20 - nut_at)
    for neck in (own, geometry.neck):
        for fret in frets:
            low, middle, high = (n + nut_at for n in (1, fret, 19 - nut_at))
            places = [whole.fret_mm(n) for n in (low, middle, high)]
            heights = [whole.crown_mm(n) for n in (low, middle, high)]
            chord = (places[1] - places[0]) / (places[2] - places[0])
            deep = heights[1] - heights[0] - (heights[2] - heights[0]) * chord
            mine = [neck.crown_mm(n - nut_at) for n in (low, middle, high)]
            assert mine[1] - mine[0] - (mine[2] - mine[0]) * chord == pytest.approx(deep, abs=1e-9)
    crown = 1 + nut_at
    over = whole.saddle_height_mm - whole.crown_mm(crown)
    rise = (whole.crown_mm(crown + 1) - whole.crown_mm(crown)) / (
        whole.fret_mm(crown + 1) - whole.fret_mm(crown)
    )
    mine_rise = (own.crown_mm(2) - own.crown_mm(1)) / (own.fret_mm(2) - own.fret_mm(1))
    reach = whole.scale_mm - whole.fret_mm(crown)
    assert own.saddle_height_mm - mine_rise * reach == pytest.approx(over - rise * reach, abs=1e-6)

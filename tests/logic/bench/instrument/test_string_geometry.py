"""The other ways of reading one string: its own neck, its own nut, its own wire."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.string_geometry import string_geometry
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

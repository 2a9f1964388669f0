"""Strings come and go at either side and in pairs: what stays of the others, and there and back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.string_count import with_string_fewer, with_string_more
from logic.bench.instrument.string_places import (
    CoursePairing,
    paired,
    pairing_of,
    partners_of,
    spaced_alike,
    with_own_nut,
    with_own_scale,
    with_treble_string_fewer,
    with_treble_string_more,
    without_own_scale,
)
from logic.jobfiles.reading import kinds
from logic.testing import TRADE, instrument
from shared.board import Board
from shared.errors import InputError, PitchError
from shared.instrument import MOST_STRINGS, Instrument, StringSpec
from shared.units import Length, Unit
from tests.boards import BOARDS

KINDS = kinds(TRADE)
PAIRS = (CoursePairing.UNISON, CoursePairing.OCTAVE)
Change = Callable[[Instrument], Instrument]


@st.composite
def strung(draw: st.DrawFn) -> Instrument:
    """An instrument of any kind over any board, one string of it perhaps from a nut of its own,
    of its own scale, weighed and measured."""
    made = instrument(draw(st.sampled_from(KINDS)))
    frets = draw(st.none() | BOARDS)
    if made.fretted and frets:
        made = made.model_copy(update={"board": Board(semitones=frets)})
    which = draw(st.sampled_from([spec.string for spec in made.strings]))
    own: dict[str, Any] = {
        "grams_per_metre": draw(st.none() | st.just(2.5)),
        "scale": draw(st.none() | st.just(Length.of(612, Unit.MM))),
        "from_fret": draw(st.integers(0, min(3, (made.last_fret or 12) - 1)))
        if made.fretted
        else 0,
    }
    strings = tuple(
        spec.model_copy(update=own) if spec.string == which else spec for spec in made.strings
    )
    action = dict(made.action_12) | {which: Length.of("2.15")}
    return made.model_copy(update={"strings": strings, "action_12": action})


def own_figures(made: Instrument) -> list[tuple[dict[str, Any], Length | None]]:
    """What is true of each string whatever its number and its neighbours, from the treble side."""
    across = sorted(made.strings, key=lambda spec: spec.string)
    return [
        (spec.model_dump(exclude={"string", "course"}), made.action_12.get(spec.string))
        for spec in across
    ]


def pair(string: int, how: CoursePairing) -> Change:
    """That string's course made a pair, or single."""
    return lambda made: paired(made, string, how, TRADE)


def ways_there_and_back(made: Instrument) -> list[tuple[Change, Change]]:
    """Every way in which a string can come, and how it goes again."""
    more, treble = (
        (lambda one: with_string_more(one, TRADE)),
        (lambda one: with_treble_string_more(one, TRADE)),
    )
    sides: list[tuple[Change, Change]] = [
        (more, with_string_fewer),
        (treble, with_treble_string_fewer),
    ]
    alone = [spec.string for spec in made.strings if not partners_of(made, spec.string)]
    single = CoursePairing.SINGLE
    return sides + [(pair(string, how), pair(string, single)) for string in alone for how in PAIRS]


@settings(deadline=None, max_examples=60)
@given(made=strung(), data=st.data())
def test_one_that_comes_leaves_the_others_as_they_are_and_goes_again(
    made: Instrument, data: st.DataObject
) -> None:
    """At either side or in a pair: numbers run from 1 without a hole, every other string keeps its
    pitch, gauge, make, scale, nut and action in the same order, and once it is taken away the
    instrument and its nut are those from before."""
    there, back = data.draw(st.sampled_from(ways_there_and_back(made)))
    try:
        more = spaced_alike(made, there(made), TRADE)
    except (InputError, PitchError) as error:
        assert error.ask
        return
    count = len(made.strings)
    assert sorted(spec.string for spec in more.strings) == list(range(1, len(more.strings) + 1))
    if more == made:
        return  # below the lowest nothing sounds
    after = own_figures(more)
    assert len(after) == count + 1
    assert own_figures(made) in [after[:at] + after[at + 1 :] for at in range(count + 1)]
    assert spaced_alike(more, back(more), TRADE).model_dump() == made.model_dump()


STEPS: tuple[Change, ...] = (
    lambda made: with_string_more(made, TRADE),
    with_string_fewer,
    lambda made: with_treble_string_more(made, TRADE),
    with_treble_string_fewer,
    *(
        lambda made, how=how, at=at: paired(  # type: ignore[misc]
            made, sorted(spec.string for spec in made.strings)[at], how, TRADE
        )
        for how in CoursePairing
        for at in (0, -1)
    ),
)


@settings(deadline=None, max_examples=40)
@given(made=strung(), steps=st.lists(st.sampled_from(STEPS), max_size=20))
def test_whatever_comes_and_goes_it_stays_an_instrument(
    made: Instrument, steps: list[Change]
) -> None:
    """From one string to the most that can have a number: numbers run from 1, courses too where
    there are pairs, strings of a course side by side, and no action is of a string that went."""
    for step in steps:
        try:
            made = step(made)
        except (InputError, PitchError) as error:
            assert error.ask
    across = sorted(made.strings, key=lambda spec: spec.string)
    assert [spec.string for spec in across] == list(range(1, len(across) + 1))
    assert len(across) <= MOST_STRINGS
    courses = [spec.course for spec in across]
    assert courses == sorted(courses, key=lambda each: each or 0)
    if any(courses):
        assert set(courses) == set(range(1, len(set(courses)) + 1))
    assert set(made.action_12) <= {spec.string for spec in across}
    assert Instrument.model_validate(made.model_dump(mode="json")) == made


def test_a_pair_is_named_by_how_it_sounds() -> None:
    """A partner in unison is as long, as thick and as high as its string; one an octave up is some
    half as thick: at one tension the frequency goes with one over the diameter (Mersenne's law)."""
    before = instrument()
    unison = paired(before, 3, CoursePairing.UNISON, TRADE)
    assert partners_of(unison, 3) == (4,)
    assert unison.spec(4) == unison.spec(3).model_copy(update={"string": 4})
    octave = paired(before, 5, CoursePairing.OCTAVE, TRADE)
    high, low = octave.spec(6), octave.spec(5)
    assert pairing_of(octave, 5) is pairing_of(octave, 6) is CoursePairing.OCTAVE
    assert high.octave and high.pitch.midi == low.pitch.midi + 12
    assert high.gauge.mm == pytest.approx(low.gauge.mm / 2, abs=0.02)


@pytest.mark.parametrize("width", ["43 mm", "43.25 mm", "1.6875 in", "1 11/16 in", "1690 thou"])
def test_a_nut_is_as_wide_as_before_once_the_string_is_gone(width: str) -> None:
    """Whatever unit its width was measured in, to the figure that was typed."""
    made = instrument()
    nut = made.nut.model_copy(update={"width": Length.parse(width)})
    before = made.model_copy(update={"nut": nut})
    more = spaced_alike(before, with_string_more(before, TRADE), TRADE)
    assert more.nut.width is not None and more.nut.width.mm > nut.width.mm + 5
    assert spaced_alike(more, with_string_fewer(more), TRADE).nut == nut


def test_an_own_nut_and_an_own_scale_go_as_they_came() -> None:
    """Of one string alone; a nut that leaves no fret is asked back."""
    before = instrument().model_copy(update={"board": Board(frets=5)})
    assert with_own_nut(with_own_nut(before, 6, 4), 6, 0) == before
    long = with_own_scale(before, 6, "27 in", TRADE)
    assert _changed(before, long) == [6]
    assert without_own_scale(long, 6) == before
    for fret in (5, 6, -1):
        with pytest.raises(InputError, match="no fret"):
            with_own_nut(before, 6, fret)


def _changed(before: Instrument, after: Instrument) -> list[int]:
    pairs: list[tuple[StringSpec, StringSpec]] = list(
        zip(before.strings, after.strings, strict=True)
    )
    return [one.string for one, other in pairs if one != other]

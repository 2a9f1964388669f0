"""Boards edited fret by fret: there and back, counts, half frets, and what no board is."""

from __future__ import annotations

import itertools
from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument import boards
from logic.bench.instrument.boards import HALF_FRETS, FretSpacing
from logic.testing import instrument
from shared.board import HIGHEST_SEMITONES, LEAST_STEP, MOST_FRETS, Board
from shared.errors import InputError
from shared.instrument import Instrument
from tests.boards import BOARDS

PLACES = st.integers(1, 4 * HIGHEST_SEMITONES).map(lambda quarter: quarter / 4)


def with_board(frets: tuple[float, ...] | None) -> Instrument:
    """The usual electric guitar over these frets."""
    board = Board(semitones=frets) if frets else None
    return instrument().model_copy(update={"board": board})


@settings(deadline=None, max_examples=60)
@given(BOARDS, PLACES)
def test_a_fret_comes_and_goes(frets: tuple[float, ...], at: float) -> None:
    """Touched twice, a place is what it was, and every other fret stayed; one that would all but
    touch another, or leave none, is asked back."""
    before = with_board(frets)
    try:
        there = boards.with_fret(before, at)
    except InputError as error:
        assert error.ask
        near = min(abs(each - at) for each in (0.0, *frets))
        assert frets == (at,) or near < LEAST_STEP or len(frets) == MOST_FRETS
        return
    pitches = boards.pitches_of(there.fretboard)
    assert set(pitches) ^ set(frets) == {at}
    assert boards.pitches_of(boards.with_fret(there, at).fretboard) == frets


EDITS: tuple[Callable[[Instrument], Instrument], ...] = (
    *(lambda made, to=to: boards.with_spacing(made, to) for to in FretSpacing),  # type: ignore[misc]
    *(lambda made, name=name: boards.with_half_fret(made, name) for name in HALF_FRETS),  # type: ignore[misc]
    *(lambda made, text=text: boards.with_frets(made, text) for text in ("1", "19 frets", "48")),  # type: ignore[misc]
    *(lambda made, at=at: boards.with_fret(made, at) for at in (1.0, 3.5, 12.0)),  # type: ignore[misc]
    lambda made: boards.with_next_listed(made, 2, "6,25"),
    lambda made: boards.with_tied(made, True),
)


@settings(deadline=None, max_examples=60)
@given(st.none() | BOARDS, st.lists(st.sampled_from(EDITS), max_size=8))
def test_whatever_is_changed_it_stays_a_board(
    frets: tuple[float, ...] | None, edits: list[Callable[[Instrument], Instrument]]
) -> None:
    """Frets rise from the nut by at least the least step, one to forty-eight of them, the strings
    stay as they are, and what is written down is read back the same."""
    before = made = with_board(frets)
    for edit in edits:
        try:
            made = edit(made)
        except InputError as error:
            assert error.ask
    pitches = boards.pitches_of(made.fretboard)
    assert 1 <= len(pitches) <= MOST_FRETS
    assert all(
        round(above - below, 9) >= LEAST_STEP
        for below, above in itertools.pairwise((0.0, *pitches))
    )
    assert made.strings == before.strings
    assert Instrument.model_validate(made.model_dump(mode="json")) == made


@settings(deadline=None, max_examples=30)
@given(st.integers(1, MOST_FRETS), st.sets(st.sampled_from(sorted(HALF_FRETS))))
def test_half_frets_come_and_go_on_a_diatonic_board(count: int, halves: set[str]) -> None:
    """Each is touched in and out again in every octave that the board reaches, and the whole frets
    stay, whatever was there beside it."""
    plain = boards.with_frets(
        boards.with_spacing(with_board(None), FretSpacing.DIATONIC), f"{count}"
    )
    made = plain
    for name in sorted(halves):
        made = boards.with_half_fret(made, name)
    found = set(boards.pitches_of(made.fretboard))
    whole = set(boards.pitches_of(plain.fretboard))
    reach = max(whole)
    assert found - whole == {
        float(octave + HALF_FRETS[name])
        for name in halves
        for octave in range(0, HIGHEST_SEMITONES, 12)
        if octave + HALF_FRETS[name] < reach
    }
    for name in sorted(halves):
        made = boards.with_half_fret(made, name)
    assert made == plain

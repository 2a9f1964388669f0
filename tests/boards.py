"""Boards that nobody has built, for laws that hold on every one."""

from __future__ import annotations

import itertools

from hypothesis import strategies as st

from shared.board import HIGHEST_SEMITONES, LEAST_STEP, MOST_FRETS

DIATONIC = (2.0, 4.0, 5.0, 7.0, 9.0, 10.0, 12.0, 14.0, 16.0, 17.0, 19.0, 21.0, 22.0, 24.0)
"""A mountain dulcimer's board: whole and half steps with a low seventh (common practice, no
source)."""


def _frets(steps: list[float]) -> tuple[float, ...]:
    return tuple(each for each in itertools.accumulate(steps) if each <= HIGHEST_SEMITONES)


FRETS = st.lists(st.floats(LEAST_STEP, 3.0), min_size=3, max_size=18).map(_frets)
"""The pitches of frets, from the nut up."""

BOARDS = st.lists(st.floats(LEAST_STEP, 4.0), min_size=1, max_size=MOST_FRETS).map(_frets)
"""The same, from a single fret to the most that a board has."""

"""Boards in job files: what is no board, what cannot lie on it, and what the preset's becomes."""

from __future__ import annotations

import json
from typing import Any

import pytest

from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.errors import JobFileError
from shared.instrument import Instrument


def electric(**more: Any) -> dict[str, Any]:
    """A job of an electric guitar of which more is said."""
    return {"instrument": {"kind": "electric guitar", **more}}


def read(job: dict[str, Any]) -> Instrument:
    """The instrument of the job."""
    return read_job(json.dumps(job), TRADE)[0].instrument


REFUSALS: list[tuple[dict[str, Any], str, str]] = [
    (electric(frets=0), "instrument.board.frets", "at least 1"),
    (electric(frets=60), "instrument.board.frets", "up to 48"),
    (electric(frets="many"), "instrument.board.frets", "whole number"),
    (electric(frets=3, board={"frets": 4}), "instrument", "count them once"),
    (electric(board=[2, 4]), "instrument.board", "write an object"),
    (electric(board={"semitones": 5}), "instrument.board.semitones", "write a list"),
    (electric(board={"semitones": []}), "instrument.board.semitones", "at least 1"),
    (electric(board={"semitones": [1] * 60}), "instrument.board.semitones", "at most 48"),
    (electric(board={"semitones": [0, 1]}), "instrument.board.semitones[0]", "above 0"),
    (electric(board={"semitones": [2, "x"]}), "instrument.board.semitones[1]", "write a number"),
    (electric(board={"semitones": [2, 99]}), "instrument.board.semitones[1]", "up to 48"),
    (electric(board={"semitones": [2, float("nan")]}), "instrument.board.sem", "write a number"),
    (electric(board={"semitones": [2, 4, 4]}), "instrument.board", "fret 3 is no higher"),
    (electric(board={"semitones": [2, 4, 3]}), "instrument.board", "(3 after 4)"),
    (electric(board={"semitones": [2, 2.01]}), "instrument.board", "all but touches"),
    (electric(board={"semitones": [2, 4], "frets": 3}), "instrument.board", "write the list alone"),
    (
        electric(frets=5, strings=[{"string": 1}, {"string": 2, "from_fret": 5}]),
        "instrument.strings[1].from_fret",
        "no fret is left beyond fret 5 of 5",
    ),
    (
        electric(strings=[{"string": 1}, {"string": 2, "scale": "27 in"}, {"string": 3}]),
        "instrument.strings[2].scale",
        "only grow, or only shrink",
    ),
    (electric(strings=[{"string": 1, "scale": "long"}]), "instrument.strings[0].scale", "unit"),
]


@pytest.mark.parametrize(("job", "field", "says"), REFUSALS)
def test_what_is_no_board_is_one_clear_line(job: dict[str, Any], field: str, says: str) -> None:
    """Each names the field it fails in and says what would do."""
    with pytest.raises(JobFileError) as caught:
        read(job)
    assert caught.value.field.startswith(field)
    assert says in str(caught.value)


def test_a_board_is_written_as_numbers_or_as_text() -> None:
    """Quarter tones and just frets are decimals, with or without quotes; a count alone will do."""
    told = read(electric(board={"semitones": [0.5, "2.0391", 3.8631], "tied": True}))
    assert told.board and told.board.semitones == (0.5, 2.0391, 3.8631) and told.board.tied
    assert read(electric(frets=22)).last_fret == 22
    assert read(electric(frets=0, fretted=False)).last_fret is None


def test_a_fan_may_be_told_string_by_string() -> None:
    """Scales that only grow towards the bass are a fan, whole or with strings left out."""
    strings = [{"string": n, "scale": f"{25 + n / 4} in"} for n in (1, 3, 6)]
    made = read(electric(strings=strings))
    assert [spec.scale is not None for spec in made.strings] == [True] * 3


def test_a_counted_board_is_the_usual_one_so_far() -> None:
    """Of a kind that lists its frets a count cuts the usual list off, or goes on in the steps of an
    octave lower; a list of one's own replaces it, and a bare board has none."""
    usual = read({"instrument": {"kind": "mountain dulcimer"}}).semitones_at
    for count in (8, 20):
        counted = read({"instrument": {"kind": "mountain dulcimer", "frets": count}})
        assert counted.last_fret == count
        assert [counted.semitones_at(n) for n in range(count)] == [usual(n) for n in range(count)]
    own = {"kind": "mountain dulcimer", "board": {"semitones": [2, 3, 4]}}
    assert read({"instrument": own}).last_fret == 3
    assert read({"instrument": {"kind": "mountain dulcimer", "fretted": False}}).last_fret is None


@pytest.mark.parametrize(("pitch", "name"), [("F3", "4 bass"), ("E4", "4 octave")])
def test_of_two_that_sound_alike_neither_is_the_octave(pitch: str, name: str) -> None:
    """A lute's fourth course strung in unison has a bass and a treble string, though usual ones
    have an octave there; tuned lower with an octave above it is named as ever."""
    low = "F3" if name == "4 bass" else "E3"
    gauges = {"make": "nylon", "gauge": "0.9 mm"}
    strings = [{"string": n} for n in range(1, 12) if n not in (6, 7)]
    pair = [{"string": 7, "pitch": pitch} | gauges, {"string": 6, "pitch": low} | gauges]
    made = read({"instrument": {"kind": "lute", "strings": [*strings, *pair]}})
    assert made.name_of(7) == name
    written = [{"string": 7, "pitch": pitch, "octave": True} | gauges, pair[1]]
    told = read({"instrument": {"kind": "lute", "strings": [*strings, *written]}})
    assert told.name_of(7) == "4 octave"

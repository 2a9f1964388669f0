"""Plans for boards whose frets lie anywhere, and strings of any number."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.action import action_12_mm
from logic.bench.instrument.targets import aim
from logic.bench.plan.pitch_check import string_pitches
from logic.bench.plan.plan import make_plan
from logic.bench.raising.nut_layout import floor_mm, lay_out
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.board import Board
from shared.errors import InputError
from shared.instrument import MOST_STRINGS, Make, Player
from shared.job import Job
from tests.boards import BOARDS, DIATONIC

CHECKED = {
    "at_pitch": "yes",
    "tuning": "yes",
    "capo": "off",
    "anchored": "yes",
    "seated": "yes",
    "behind_nut": "clear",
    "playing_position": "yes",
    "nut_type": "slotted",
    "shim": "no",
    "relief": "0.2 mm",
    "frets": "ok",
    "use": "normal",
    "valuable": "no",
    "glued": "no",
}
PITCHES = ("E4", "B3", "G3", "D3", "A2", "E2")


def job(instrument: dict[str, Any], readings: list[dict[str, Any]]) -> Job:
    """A job that has been looked over, with these readings."""
    tree = {"instrument": instrument, "checks": CHECKED, "readings": readings}
    return read_job(json.dumps(tree), TRADE)[0]


def electric(readings: list[dict[str, Any]], **more: Any) -> Job:
    """The usual electric guitar, or what more is said of it."""
    return job({"kind": "electric guitar", **more}, readings)


READINGS: list[dict[str, Any]] = [
    {"string": 6, "clearance": "0.9 mm", "buzz": "none"},
    {"string": 5, "held_at": 3, "gap": "0.4 mm"},
    {"string": 4, "fret": 1, "cents": 6},
    {"string": 3, "leaf": "0.5 mm", "contact": "light"},
    {"string": 2, "clearance": "0.2 mm", "buzz": "soft"},
    {"string": 1, "fret": 12, "cents": 9},
]


@pytest.mark.parametrize("kind", ["electric guitar", "5-string banjo", "12-string guitar"])
def test_a_semitone_board_written_out_changes_nothing(kind: str) -> None:
    """Twenty frets counted, or listed at whole semitones, give the plan and the cents that no board
    gives, to the last letter."""
    count = range(1, 21)
    boards: list[dict[str, Any]] = [{}, {"frets": 20}, {"board": {"semitones": list(count)}}]
    readings = [one for one in READINGS if one["string"] <= 5]
    made = [job({"kind": kind, **board}, readings) for board in boards]
    plans = {make_plan(each, TRADE).model_dump_json() for each in made}
    cents = {repr([(p.cents, p.cents_saddle_set) for p in string_pitches(j, TRADE)]) for j in made}
    assert len(plans) == len(cents) == 1


@settings(deadline=None, max_examples=12)
@given(
    st.integers(1, MOST_STRINGS),
    BOARDS,
    st.sampled_from(list(Make)),
    st.booleans(),
    st.data(),
)
def test_a_plan_is_made_of_anything_with_strings(
    count: int, frets: tuple[float, ...], make: Make, left: bool, data: st.DataObject
) -> None:
    """Any number of strings over any frets, some in pairs or from a nut of their own, has its plan,
    its cents and its nut, or one clear line of why not."""
    strings = [
        {
            "string": n,
            "pitch": PITCHES[(n - 1) % len(PITCHES)],
            "gauge": "0.5 mm",
            "make": make.value,
            "course": (n + 1) // 2,
            "from_fret": data.draw(st.sampled_from((0, 0, 0, len(frets) - 1, len(frets) // 2))),
        }
        for n in range(1, count + 1)
    ]
    readings: list[dict[str, Any]] = [
        {"string": 1, "clearance": "0.9 mm"},
        {"string": count, "leaf": "0.4 mm", "contact": "light", "buzz": "none"},
    ]
    if not strings[0]["from_fret"]:
        if len(frets) > 1:
            readings += [{"string": 1, "held_at": 2, "gap": "0.3 mm"}]
        readings += [{"string": 1, "fret": fret, "cents": 5} for fret in (1, len(frets))]
    board = {"semitones": list(frets)}
    told = {"kind": "other", "scale": "640 mm", "board": board, "left_handed": left}
    made = job(told | {"strings": strings, "action_12": {"1": "2 mm"}}, readings)
    plan = make_plan(made, TRADE)
    assert len(plan.strings) == count
    for step in (
        lambda: string_pitches(made, TRADE),
        lambda: lay_out(made.instrument, made.player, TRADE),
    ):
        try:
            step()
        except InputError as error:
            assert error.ask


def test_a_diatonic_board_is_spoken_of_by_its_own_frets() -> None:
    """Action is measured over fret 7, an octave up, and a tuner is read where the frets are."""
    board = {"semitones": list(DIATONIC)}
    made = electric([{"string": 1, "fret": 7, "cents": 20}], board=board)
    said = make_plan(made, TRADE).model_dump_json()
    assert "put fret 7 right" in said and "fret 12" not in said
    assert {tuple(one.cents) for one in string_pitches(made, TRADE)} == {(1, 2, 3, 7)}
    assert made.instrument.octave_fret == 7


def test_a_fret_that_is_not_there_is_asked_back() -> None:
    """A reading at a fret past the last is one clear line."""
    for reading, field in (
        ({"string": 1, "fret": 12, "cents": 3}, "fret"),
        ({"string": 1, "held_at": 4, "gap": "0.1 mm"}, "held_at"),
    ):
        with pytest.raises(InputError, match="there is no fret") as caught:
            electric([reading], frets=3)
        assert caught.value.field == f"readings[0].{field}"


def test_a_nut_that_no_string_crosses_is_not_laid_out() -> None:
    """Where every string starts at a nut of its own there is nothing to lay out."""
    made = electric([], strings=[{"string": 1, "from_fret": 2}])
    with pytest.raises(InputError, match="none crosses the common nut"):
        lay_out(made.instrument, made.player, TRADE)


def test_the_same_nut_height_is_aimed_at_over_a_whole_tone() -> None:
    """Common practice is a height over a fret a semitone up; over one a whole tone up the target
    is where a string that stands so stands, and the nut is as high (similar triangles)."""
    plain = electric([]).instrument
    whole = plain.model_copy(update={"board": Board(semitones=DIATONIC)})
    for spec in plain.strings:
        action = action_12_mm(spec, plain, TRADE)
        aims = [aim(spec, each, Player(), TRADE).usual_mm for each in (plain, whole)]
        floors = [
            floor_mm(over, action, each.fretboard)
            for over, each in zip(aims, (plain, whole), strict=True)
        ]
        assert floors[1] == pytest.approx(floors[0], abs=1e-9)
        assert aims[1] > aims[0]


def test_scales_of_their_own_are_the_strings_lengths() -> None:
    """A string with its own scale sounds over that, and its neighbours over the instrument's: its
    tension goes with the square of its length (Mersenne)."""
    strings = [{"string": n, **({"scale": "26 in"} if n == 6 else {})} for n in range(1, 7)]
    long = {one.string: one.wire for one in string_pitches(electric([], strings=strings), TRADE)}
    usual = {one.string: one.wire for one in string_pitches(electric([]), TRADE)}
    assert long[6].tension_n == pytest.approx(usual[6].tension_n * (26 / 25.5) ** 2)
    assert long[5].tension_n == usual[5].tension_n

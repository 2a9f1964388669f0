"""What an instrument is adjusted by, its board's shape and the kit's tools for heights."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.board import Board
from shared.errors import JobFileError
from shared.hardware import Bridge, Rod, RodReach, RodType, Saddle, SaddleType
from shared.instrument import Instrument
from shared.kit import Kit, RuleClass

GIVEN = (
    '{"instrument": {"kind": "12-string guitar", "rod": {"type": "two-way", "reach": "neck off"},'
    ' "saddle": {"type": "one piece", "spread": "54 mm", "setback": {"6 octave": "2.5 mm"}},'
    ' "board": {"frets": 20, "radius": ["254 mm", "406 mm"], "join": 14}, "bridge": "tie-on",'
    ' "pickups": false}, "kit": {"shanks": ["1.5 mm", "2 mm"], "straightedge": true, "rule": "I"}}'
)


def test_a_job_file_names_all_of_it() -> None:
    """Each word becomes its value, each length is read as what it is, strings by their names."""
    job, _ = read_job(GIVEN, TRADE)
    one = job.instrument
    assert one.rod == Rod(type=RodType.TWO_WAY, reach=RodReach.NECK_OFF)
    assert one.saddle and one.saddle.type is SaddleType.ONE_PIECE
    assert {one.name_of(n): str(mm) for n, mm in one.saddle.setback.items()} == {
        "6 octave": "2.5 mm"
    }
    assert (one.bridge, one.pickups) == (Bridge.TIE_ON, False)
    assert one.board and isinstance(one.board.radius, tuple)
    assert ([str(each) for each in one.board.radius], one.board.join) == (["254 mm", "406 mm"], 14)
    assert job.kit.shanks and [each.mm for each in job.kit.shanks] == [1.5, 2.0]
    assert (job.kit.straightedge, job.kit.rule) == (True, RuleClass.I)


def test_it_is_written_as_it_came_and_not_at_all_where_nobody_said() -> None:
    """What was given comes back from its own writing; an instrument, a board and a kit without it
    are written without a word of it."""
    one = read_job(GIVEN, TRADE)[0]
    for value in (one.instrument, one.kit):
        written = value.model_dump(mode="json", exclude_none=True)
        assert type(value).model_validate(written) == value
    assert Board().model_dump(exclude_none=True) == {"tied": False}
    assert not {"shanks", "straightedge", "rule"} & set(Kit().model_dump(exclude_none=True))
    bare = Instrument(kind="lute", scale="600 mm", strings=())
    assert not {"rod", "saddle", "bridge", "pickups"} & set(bare.model_dump(exclude_none=True))


@pytest.mark.parametrize(
    ("instead", "said"),
    [
        (('"two-way"', '"three-way"'), "instrument.rod.type"),
        (('"54 mm"', '"54 in"'), "did you mean 54 mm?"),
        (('"254 mm"', '"10 mm"'), "is far from any radius of the board"),
        (('"406 mm"]', '"406 mm", "500 mm"]'), "instrument.board.radius"),
        (('"join": 14', '"join": 21'), "the neck joins the body at fret 21"),
        (('"6 octave"', '"9 octave"'), "there is no string 9 octave"),
        (('"1.5 mm"', '"15 mm"'), "did you mean 1.5 mm or 15 thou"),
        (('"rule": "I"', '"rule": "IV"'), "kit.rule"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(instead: tuple[str, str], said: str) -> None:
    """A word that is none of those, a length that no such part has, a fret or string that is not
    there."""
    with pytest.raises(JobFileError) as refused:
        read_job(GIVEN.replace(*instead), TRADE)
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_saddle_keeps_what_it_does_not_know() -> None:
    """A field of a newer version comes through; a length without a unit does not."""
    newer = Saddle.model_validate({"type": "individual", "alloy": "bell"})
    assert newer.model_dump(exclude_none=True)["alloy"] == "bell"
    with pytest.raises(ValidationError):
        Saddle.model_validate({"travel": "3"})

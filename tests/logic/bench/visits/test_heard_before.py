"""What an earlier job says of its player, and how it moves the next job's windows."""

from __future__ import annotations

from logic.bench.instrument.presets import preset_instrument
from logic.bench.plan.plan import make_plan
from logic.bench.visits.heard_before import heard_in
from logic.testing import TRADE
from shared.job import Job
from shared.readings import Buzz, Reading

ELECTRIC = preset_instrument("electric guitar", TRADE)


def job(*readings: dict[str, object], **update: object) -> Job:
    """An electric guitar with these readings."""
    read = tuple(Reading.model_validate(one) for one in readings)
    return Job(instrument=ELECTRIC.model_copy(update=update), readings=read)


def test_only_strings_with_a_height_and_a_ring_are_heard() -> None:
    """A clearance without a ring, or a ring without a clearance, says nothing of the player."""
    found = heard_in(
        job(
            {"string": 6, "clearance": "0.50 mm", "buzz": "none"},
            {"string": 5, "clearance": "0.50 mm"},
            {"string": 4, "buzz": "normal"},
            {"string": 3, "leaf": "0.010 in", "contact": "none", "buzz": "none"},
        ),
        TRADE,
    )
    assert [(one.strung.spec.string, one.buzz) for one in found] == [(6, Buzz.NONE)]
    assert abs(found[0].clearance_mm - 0.50) < 0.01


def test_the_last_word_counts() -> None:
    """What was heard last outweighs what was heard before."""
    found = heard_in(
        job({"string": 1, "clearance": "0.35 mm", "buzz": "hard"}, {"string": 1, "buzz": "normal"}),
        TRADE,
    )
    assert [one.buzz for one in found] == [Buzz.NORMAL]


def test_an_unfretted_board_says_nothing_of_frets() -> None:
    """What buzzes on a fretless board is not a fret that was touched."""
    assert (
        heard_in(job({"string": 1, "clearance": "0.3 mm", "buzz": "soft"}, fretted=False), TRADE)
        == ()
    )


def test_the_next_plan_listens() -> None:
    """A player who buzzed at a usual clearance gets a higher low edge next time; one who was clean
    far below gets a lower one."""
    fresh = job({"string": 2, "clearance": "0.40 mm"})
    lows = {}
    for name, reading in {
        "hard": {"string": 2, "clearance": "0.42 mm", "buzz": "normal"},
        "light": {"string": 2, "clearance": "0.25 mm", "buzz": "none"},
    }.items():
        plan = make_plan(fresh, TRADE, heard_before=heard_in(job(reading), TRADE))
        lows[name] = {call.string: call.window_mm.low for call in plan.strings}[2]
    plain = {call.string: call.window_mm.low for call in make_plan(fresh, TRADE).strings}[2]
    assert lows["light"] < plain < lows["hard"]

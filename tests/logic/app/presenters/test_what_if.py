"""What if, in the app: dials move windows and calls, and the record stays what it is."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.views import views
from logic.bench.what_if.dial import Dial
from shared.readings import Buzz
from tests.logic.app.apps import (
    DiscApp,
    Technician,
    events,
    fresh_app,
    restarted,
    walking,
)

HEIGHT_MM = 0.52


def read_through() -> DiscApp:
    """A guitar whose strings all stand a little high, walked to its plan."""
    app = fresh_app()
    strings = range(1, 7)
    heights = dict.fromkeys(strings, HEIGHT_MM)
    hand = Technician(heights, dict.fromkeys(strings, Buzz.NONE))
    hand.walk(app, walking(app), 80)
    return app


def shown(view: views.View) -> views.WhatIfView:
    """The dials."""
    assert isinstance(view, views.WhatIfView)
    return view


def dial(view: views.WhatIfView, key: Dial) -> views.DialView:
    """One of the dials."""
    (found,) = [each for each in view.dials if each.key == key]
    return found


@pytest.fixture(scope="module")
def bench() -> Iterator[DiscApp]:
    """One job read through, for tests that record nothing."""
    yield read_through()


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(list(Dial)), st.integers(-3, 3)), max_size=6))
def test_wondering_records_nothing(bench: DiscApp, turns: list[tuple[Dial, int]]) -> None:
    """However the dials are turned, not one event is recorded while they are, and the plan after it
    is the plan before it."""
    plan = bench.do(do.SeePlan())
    bench.do(do.WhatIf())
    before = events(bench)
    for key, steps in turns:
        bench.do(do.Turn(key, steps))
    assert events(bench) == before
    assert bench.do(do.Back()) == plan


@settings(max_examples=15, deadline=None)
@given(st.sampled_from([Dial.ATTACK, Dial.TUNING, Dial.GAUGE]), st.sampled_from([None, 6, 1]))
def test_there_and_back_is_as_recorded(bench: DiscApp, key: Dial, string: int | None) -> None:
    """A dial that is turned says so; turned back, the screen is the one it was."""
    start = shown(bench.do(do.WhatIf(string)))
    there = shown(bench.do(do.Turn(key, 1)))
    assert there.changed and dial(there, key).turned
    assert dial(there, key).value != dial(start, key).value
    assert bench.do(do.Turn(key, -1)) == start
    bench.do(do.Back())


def test_a_dial_speaks_of_one_string_where_one_is_chosen(bench: DiscApp) -> None:
    """With a string chosen its gauge alone is turned; with none, all strings'."""
    start = shown(bench.do(do.WhatIf(1)))
    one = shown(bench.do(do.Turn(Dial.GAUGE, 1)))
    moved = [was.string for was, now in zip(start.slots, one.slots, strict=True) if was != now]
    assert moved == [1]
    bench.do(do.ForgetWhatIf())
    bench.do(do.WhatIf())
    every = shown(bench.do(do.Turn(Dial.GAUGE, 1)))
    assert all(
        was.gauge_mm < now.gauge_mm for was, now in zip(start.slots, every.slots, strict=True)
    )
    bench.do(do.ForgetWhatIf())
    bench.do(do.Back())


def test_a_lighter_hand_lets_every_string_down(bench: DiscApp) -> None:
    """Turned to a lighter attack, every low edge of the drawing falls."""
    start = shown(bench.do(do.WhatIf()))
    lighter = shown(bench.do(do.Turn(Dial.ATTACK, -1)))
    assert all(now.low_mm < was.low_mm for was, now in zip(start.slots, lighter.slots, strict=True))
    bench.do(do.ForgetWhatIf())
    bench.do(do.Back())


def test_a_call_that_would_change_says_both(bench: DiscApp) -> None:
    """A target far above where the strings stand: each line says what is called and what would
    be."""
    start = shown(bench.do(do.WhatIf()))
    far = shown(bench.do(do.Turn(Dial.TARGET, -8)))
    changed = [line for line in far.lines if "→" in line[1]]
    assert changed and far.spoken != start.spoken
    assert shown(bench.do(do.ForgetWhatIf())) == start
    bench.do(do.Back())


def test_dials_are_forgotten_with_the_power() -> None:
    """After a restart in the middle of wondering everything stands as recorded."""
    app = read_through()
    start = shown(app.do(do.WhatIf()))
    turned = shown(app.do(do.Turn(Dial.TUNING, -2)))
    assert turned != start
    assert restarted(app).do(do.OpenJob(start.job)) == start

"""An app whose clock shows a time that cannot be: it works and shows all that it shows."""

from __future__ import annotations

from typing import get_args

import pytest

from logic.app.commands import commands as do
from logic.app.session.places import ScreenName
from logic.app.views import views
from shared.readings import Buzz
from tests.logic.app.apps import Disc, DiscApp, Technician, walking
from tests.logic.history.factory import Ticking

GAPS = dict.fromkeys(range(1, 7), 0.5)


@pytest.mark.parametrize("now_ms", [-62_135_596_800_000, 0, 10**14 - 1, 10**18])
def test_every_screen_shows_whatever_the_clock_shows(now_ms: int) -> None:
    """In the year 0, in 1970, in 5138 and past every calendar's end; after a restart too."""
    app = DiscApp(Disc(), 1, Ticking(now_ms))
    Technician(GAPS, dict.fromkeys(GAPS, Buzz.NONE)).walk(app, walking(app), 40)
    job = app.history.jobs()[0].id
    again = DiscApp(app.disc.after_power_cut(), 1000, Ticking(now_ms))
    for shown in (app, again):
        for screen in get_args(ScreenName):
            for place in (screen, f"{screen}:6"):
                shown.session.stand_in(job, place)
                assert shown.view() is not None
    again.session.stand_in(job, "plan")
    assert isinstance(again.do(do.SeeSheet()), views.HandOverView)

"""Places: how the history writes down where somebody stands, and how that is read again."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.routing.routes import ROUTES
from logic.app.session.navigation import Navigation
from logic.app.session.places import Place, ScreenName, parse_kept
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from shared.events import Kind
from tests.logic.app.apps import fresh_app, start

SCREENS: tuple[ScreenName, ...] = get_args(ScreenName)
IN_JOB = tuple(name for name in SCREENS if ROUTES[name].in_job)


def navigation() -> tuple[Navigation, History]:
    """Somebody at home, and the history that remembers where they go."""
    history = History.open(MemoryDirectory())
    return Navigation(history, ROUTES), history


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("string", [None, 1, 12])
def test_a_place_is_read_as_it_was_written(screen: ScreenName, string: int | None) -> None:
    """In a job and left: the name of the screen and its string come back."""
    place = Place(screen, "job", string)
    assert parse_kept(place.kept) == parse_kept(place.left) == (screen, string)


@pytest.mark.parametrize(
    ("kept", "read"),
    [
        ("walk:5", ("walk", 5)),
        ("left walk:5", ("walk", 5)),
        ("what if", ("what if", None)),
        ("walk:", ("walk", None)),
        ("walk:x", ("walk", None)),
        ("walk:-1", ("walk", None)),
        ("", ("", None)),
    ],
)
def test_what_other_versions_wrote_is_read_as_far_as_it_can_be(
    kept: str, read: tuple[str, int | None]
) -> None:
    """A string that is no number is no string; the screen is read even so."""
    assert parse_kept(kept) == read


@given(st.text(max_size=20))
def test_no_text_breaks_the_reading_of_a_place(text: str) -> None:
    """Whatever stands in a history, a place in a job comes of it: the intake where nothing fits."""
    at, _ = navigation()
    place = at.place_in("job-1", text)
    assert place.job == "job-1" and ROUTES[place.screen].in_job


@pytest.mark.parametrize("screen", IN_JOB)
def test_a_job_is_found_at_the_screen_it_was_left_at(screen: ScreenName) -> None:
    """Each screen of a job by its stored name."""
    at, _ = navigation()
    assert at.place_in("job-1", Place(screen, "job-1", 3).left) == Place(screen, "job-1", 3)


@pytest.mark.parametrize("screen", [name for name in SCREENS if not ROUTES[name].in_job])
def test_a_job_is_never_found_outside_of_itself(screen: ScreenName) -> None:
    """A name of the bench in a job's place is read as its intake."""
    at, _ = navigation()
    assert at.place_in("job-1", screen) == Place("intake", "job-1")


def test_only_places_in_a_job_are_on_record_and_each_only_once() -> None:
    """Standing still records nothing, and neither does the kit."""
    at, history = navigation()
    walk = Place("walk", "job-1", 6)
    for place in (Place("kit"), walk, walk, Place("settings"), Place()):
        at.go(place)
    kept = [(e.kind, e.body) for e in history.events_after({})]
    assert kept == [(Kind.PLACE_MOVED, {"job": "job-1", "place": "walk:6"})]


@pytest.mark.parametrize("beside", ["kit", "settings", "records"])
def test_beside_the_work_leads_back_to_it_however_long_one_stays(beside: ScreenName) -> None:
    """From the records to the hub and its pages, then back to the string."""
    at, history = navigation()
    walk = Place("walk", "job-1", 6)
    for place in (walk, Place(beside), Place("hub"), Place("code")):
        at.go(place)
    at.back_to_work()
    assert at.place == walk and at.route.name == "walk"
    assert len(list(history.events_after({}))) == 1


def test_leaving_forgets_what_was_under_way() -> None:
    """After the matter of a place is gone, nothing leads back to it."""
    at, _ = navigation()
    for place in (Place("walk", "job-1", 6), Place("kit")):
        at.go(place)
    at.leave()
    assert at.place == Place()
    at.back_to_work()
    assert at.place == Place()


def test_standing_is_not_going() -> None:
    """What the record says already is not recorded again."""
    at, history = navigation()
    at.stand(Place("walk", "job-1", 6))
    assert at.place.string == 6 and list(history.events_after({})) == []


def test_without_a_job_no_screen_of_a_job_is_reached() -> None:
    """Commands of a job given at home lead nowhere and record nothing."""
    app = fresh_app()
    for command in (do.Ask(), do.SeePlan(), do.WhatIf(), do.SeeSheet(), do.SeeRaising()):
        app.do(command)
        assert app.session.place == Place()
    assert list(app.history.events_after({})) == []


def test_the_string_at_hand_is_the_first_of_the_walk_where_none_fits() -> None:
    """A place without a string, or with one that the instrument does not have."""
    app = fresh_app()
    start(app)
    for string, here in ((None, 6), (9, 6), (2, 2)):
        app.session.stand(Place("walk", app.session.place.job, string))
        assert app.session.here == here

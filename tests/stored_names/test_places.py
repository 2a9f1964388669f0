"""Where a person stood: what `place.moved` keeps."""

from __future__ import annotations

import pytest

from logic.app.routing.routes import ROUTES
from logic.app.session.navigation import Navigation
from logic.app.session.places import LEFT, Place
from logic.history import History, MemoryDirectory

IN_A_JOB = (
    *("intake", "targets", "before", "ask", "walk", "plan", "what if", "raise", "new nut"),
    *("cut", "prove", "hand over", "check", "checked", "job strings", "job nut", "job name"),
    *("string", "visit", "player", "look", "stages", "step done", "in tune"),
    *("relief", "action", "measured"),
)


@pytest.fixture
def navigation() -> Navigation:
    """From place to place over an empty history."""
    return Navigation(History.open(MemoryDirectory()), ROUTES)


def test_screens_inside_a_job_keep_their_names() -> None:
    """Every screen that a history may name is still called so; no other is ever written."""
    assert {route.name for route in ROUTES.values() if route.in_job} >= set(IN_A_JOB)


@pytest.mark.parametrize("name", IN_A_JOB)
def test_places_are_spelled_and_read_as_ever(name: str, navigation: Navigation) -> None:
    """`walk`, `walk:5` and `left walk:5` are the same screen, with and without a string."""
    assert navigation.place_in("j1", name) == Place(name, "j1")  # type: ignore[arg-type]
    assert navigation.place_in("j1", f"{name}:5") == Place(name, "j1", 5)  # type: ignore[arg-type]
    assert navigation.place_in("j1", f"left {name}:5").kept == f"{name}:5"
    assert navigation.place_in("j1", f"{name}:5").left == f"left {name}:5"
    assert navigation.place_in("j1", name).kept == name


def test_a_place_that_nobody_knows_is_the_intake(navigation: Navigation) -> None:
    """Nothing readable, or a screen of a newer build: the job opens where it was taken in."""
    assert LEFT == "left "
    for kept in ("", "a room to come:3", "home", "left "):
        assert navigation.place_in("j1", kept).kept == "intake"

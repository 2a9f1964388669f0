"""Where a person stood: what `place.moved` keeps."""

from __future__ import annotations

from typing import get_args

import pytest

from logic.app.session.places import JOB_ROOMS, LEFT, Place, Room

IN_A_JOB = (
    *("intake", "targets", "before", "ask", "walk", "plan", "what if", "raise", "new nut"),
    *("cut", "prove", "hand over", "check", "checked"),
)
OTHERS = (
    *("home", "kinds", "kit", "settings", "records", "instruments", "instrument", "strings"),
    *("nut", "name", "own targets", "rack", "hub", "code", "join", "sure", "health", "install"),
    *("erasure", "changes"),
)


def test_rooms_keep_their_names() -> None:
    """Every room that a history or a device may name is still called so."""
    assert set(JOB_ROOMS) >= set(IN_A_JOB)
    assert set(get_args(Room)) >= {*IN_A_JOB, *OTHERS}


@pytest.mark.parametrize("room", IN_A_JOB)
def test_places_are_spelled_and_read_as_ever(room: str) -> None:
    """`walk`, `walk:5` and `left walk:5` are the same room, with and without a string."""
    assert Place.of("j1", room) == Place(room, "j1")  # type: ignore[arg-type]
    assert Place.of("j1", f"{room}:5") == Place(room, "j1", 5)  # type: ignore[arg-type]
    assert Place.of("j1", f"left {room}:5").kept == f"{room}:5"
    assert Place.of("j1", f"{room}:5").left == f"left {room}:5"
    assert Place.of("j1", room).kept == room


def test_a_place_that_nobody_knows_is_the_intake() -> None:
    """Nothing readable, or a room of a newer build: the job opens where it was taken in."""
    assert LEFT == "left "
    for kept in ("", "a room to come:3", "home", "left "):
        assert Place.of("j1", kept).kept == "intake"

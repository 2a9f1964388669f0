"""What the screens say of installing the app, and of a newer one that was not taken."""

from __future__ import annotations

from dataclasses import replace

import flet as ft
import flet.canvas as cv
import pytest

from logic.app.commands import commands as do
from logic.app.commands import record_commands as kdo
from logic.app.views import views
from mobile.parts.theme import Theme
from tests.mobile.scenes import scenes
from tests.mobile.test_screens import PHONE, sizes_of
from tests.mobile.tree import drawn


@pytest.mark.parametrize("theme", [PHONE, Theme(width=844, height=390)], ids=sizes_of)
def test_installing_by_hand_is_shown_in_pictures_and_in_words(theme: Theme) -> None:
    """Four steps, each with a drawing of its own that no screen reader stops at, and read out as
    one sentence with its place; a copy is offered first where there are records."""
    fresh, used = scenes()["install"], scenes()["install with records"]
    assert isinstance(fresh, views.InstallView) and isinstance(used, views.InstallView)
    screen = drawn(fresh, theme)
    pictures = screen.all(cv.Canvas)
    assert len(pictures) == len(fresh.steps) == 4
    assert len({str(picture.shapes) for picture in pictures}) == 4
    read = [each for each in screen.all(ft.Semantics) if each.exclude_semantics]
    assert [each.label for each in read] == [step.spoken for step in fresh.steps]
    assert [step.spoken.split(":")[0] for step in fresh.steps] == [
        f"Step {number} of 4" for number in range(1, 5)
    ]
    assert screen.marks() == ["back"]
    assert drawn(used, theme).sends("export") == [do.ShareHistory()]


def test_a_newer_version_that_was_not_taken_is_said_and_can_be_tried_again() -> None:
    """The reason stands above the ways, and one of these tries again; with a newer build at hand
    that one is offered instead."""
    records = scenes()["records"]
    assert isinstance(records, views.RecordsView)
    refused = drawn(replace(records, refused="app.zip did not come whole"), PHONE)
    assert "app.zip did not come whole" in refused.words()
    assert refused.sends("try-newer") == [do.TryNewer()]
    assert "try-newer" not in drawn(records, PHONE).marks()
    waiting = drawn(replace(records, refused="once", update_ready=True), PHONE)
    assert "try-newer" not in waiting.marks()
    assert waiting.sends("update") == [do.UseUpdate()]


def test_the_way_to_install_is_the_one_that_this_browser_has() -> None:
    """A browser that installs by itself is asked to, one with a share menu is explained, and where
    it is installed already there is no such way."""
    records = scenes()["records"]
    assert isinstance(records, views.RecordsView)
    by_itself = drawn(replace(records, can_install=True), PHONE)
    assert by_itself.sends("install") == [do.Install()]
    by_hand = drawn(replace(records, shows_install=True), PHONE)
    assert by_hand.sends("install") == [kdo.SeeInstall()]
    assert "install" not in drawn(records, PHONE).marks()

"""How the app stands on the device reaches its screens, at once and whenever the page tells."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.session.device import DeviceFacts, InstallState
from logic.app.views import views
from mobile.device.page import DevicePage
from mobile.start.install_state import follow_install_state
from mobile.start.startup import redraw_where_shown
from tests.mobile.tabs import Device


@dataclass
class Browser:
    """A page that says of itself what a test wants."""

    about: dict[str, Any]
    kept: dict[str, Any] = field(default_factory=dict)
    take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Answer one question."""
        message = json.loads(text)
        value = {"about": self.about, "kept": self.kept}.get(message["ask"])
        self.take(json.dumps({"id": message["id"], "state": "ok", "value": value, "why": ""}))

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears."""
        self.take = take

    def tell(self, event: str, value: dict[str, Any]) -> None:
        """Say something by itself."""
        self.take(json.dumps({"event": event, "value": value}))


async def records_at(browser: Browser) -> tuple[Device, Callable[[], views.RecordsView]]:
    """A tab of this browser on its records page."""
    device, install = Device(), InstallState()
    page = DevicePage(browser)
    tab = device.tab("one", page, DeviceFacts(install=install))
    await tab.open()
    await follow_install_state(page, install, redraw_where_shown(tab))
    tab.shell.act(do.SeeRecords())
    await device.quiet()

    def shown() -> views.RecordsView:
        assert isinstance(tab.shell.view, views.RecordsView)
        return tab.shell.view

    return device, shown


@pytest.mark.parametrize(
    ("about", "by_itself", "by_hand"),
    [
        ({"installable": True}, True, False),
        ({"share_menu": True}, False, True),
        ({"share_menu": True, "installable": True}, True, False),
        ({"share_menu": True, "installed": True}, False, False),
        ({"installable": True, "installed": True}, False, False),
        ({}, False, False),
    ],
)
async def test_only_the_way_that_is_there_is_shown(
    about: dict[str, Any], by_itself: bool, by_hand: bool
) -> None:
    """Installing by itself comes before the share menu; an installed app shows neither."""
    _, shown = await records_at(Browser(about))
    assert (shown().can_install, shown().shows_install) == (by_itself, by_hand)


async def test_what_the_page_tells_later_is_shown_at_once() -> None:
    """The way to install goes once it is done; a newer build that waits is offered."""
    browser = Browser({"share_menu": True})
    device, shown = await records_at(browser)
    assert shown().shows_install and not shown().update_ready
    browser.tell("about", {"share_menu": True, "installed": True})
    browser.tell("kept", {"update": True})
    await device.quiet()
    assert not shown().shows_install and shown().update_ready


async def test_a_newer_build_that_was_not_taken_is_said_with_the_reason() -> None:
    """Until it is taken or tried again, the page of the records says why."""
    browser = Browser({})
    device, shown = await records_at(browser)
    assert shown().refused == ""
    refusal = {"refusal": "app.zip did not arrive as it was published"}
    browser.tell("kept", refusal)
    await device.quiet()
    assert shown().refused == "", "where no copy is kept at all, it is not a newer one"
    browser.tell("kept", refusal | {"offline": True})
    await device.quiet()
    assert "app.zip" in shown().refused
    browser.tell("kept", {"update": True})
    await device.quiet()
    assert shown().refused == ""

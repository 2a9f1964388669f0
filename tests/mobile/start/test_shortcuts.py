"""A command that waited, and shortcuts of the device: followed at home, else asked about."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.shell import Shell
from mobile.start.shortcuts import ShortcutHandler
from mobile.start.start_screen import command_for
from tests.mobile.tabs import Device, walk_to


class Asking:
    """A page that is to ask about a shortcut."""

    def __init__(self) -> None:
        self.about: list[str] = []

    async def ask_about(self, wanted: str) -> None:
        """Note what is asked."""
        self.about.append(wanted)


Started = tuple[Device, ShortcutHandler, Shell, Asking]


async def started(answers: int | None, wanted: str) -> Started:
    """A tab at home, or with a job under way, opened by a shortcut."""
    device, asking = Device(), Asking()
    tab = device.tab("one")
    await tab.open()
    if answers is not None:
        walk_to(tab.shell, answers)
    if command := command_for(wanted):
        tab.shell.wait_with(command)
    return device, ShortcutHandler(tab.shell, asking, wanted), tab.shell, asking


@pytest.mark.parametrize(
    ("wanted", "leads_to"),
    [
        ("check", views.InstrumentsView),
        ("job", views.KindsView),
        ("i=0123456789abcdef", views.UnknownLabelView),
    ],
)
async def test_a_shortcut_is_a_touch_at_home(wanted: str, leads_to: type) -> None:
    """Where nothing is under way it leads straight on, at the start and later."""
    device, shortcuts, shell, asking = await started(None, wanted)
    shortcuts.follow_pending()
    assert isinstance(shell.view, leads_to)
    shortcuts.follow(wanted)
    await device.quiet()
    assert isinstance(shell.view, leads_to)
    shortcuts.follow_pending()  # what was followed once does not wait any more
    assert isinstance(shell.view, leads_to) and asking.about == []


async def test_a_shortcut_onto_work_is_asked_about_and_a_touch_is_not() -> None:
    """Work that goes on is shown as it stands; only once the person meant it is it left, by way of
    home, so that the job remembers where."""
    device, shortcuts, shell, asking = await started(1, "check")
    before = shell.view
    shortcuts.follow_pending()
    await device.quiet()
    assert shell.view == before and asking.about == ["check"]
    shortcuts.follow("check")
    await device.quiet()
    shown = shell.view
    assert isinstance(shown, views.InstrumentsView) and shown.checking
    shell.act(do.GoHome())
    home = shell.view
    assert isinstance(home, views.HomeView) and "at string" in home.jobs[0].detail

    device, shortcuts, shell, asking = await started(1, "")
    shell.wait_with(do.NewJob())
    before = shell.view
    shortcuts.follow_pending()
    await device.quiet()
    assert shell.view == before and asking.about == []


async def test_the_link_of_a_label_is_asked_about_where_work_goes_on() -> None:
    """A camera's link in the middle of a walk: work stands until the person means it."""
    device, shortcuts, shell, asking = await started(1, "i=0123456789abcdef")
    before = shell.view
    shortcuts.follow_pending()
    await device.quiet()
    assert shell.view == before and asking.about == ["i=0123456789abcdef"]
    shortcuts.follow("i=0123456789abcdef")
    await device.quiet()
    assert isinstance(shell.view, views.UnknownLabelView)
    assert "ends in cdef" in " ".join(shell.view.about)


async def test_a_shortcut_waits_for_the_writer_lock() -> None:
    """Another tab writes: what was asked for is followed once this one may."""
    device, _, _, _ = await started(None, "")
    second = device.tab("two")
    await second.open()
    assert second.shell.state == "locked elsewhere"
    waiting = ShortcutHandler(second.shell, Asking(), "")
    second.shell.when_open(waiting.follow_pending)
    waiting.follow("job")
    await device.quiet()
    assert isinstance(second.shell.view, views.TroubleView)
    second.shell.act(do.TakeOver())
    await device.quiet()
    assert isinstance(second.shell.view, views.KindsView)


async def test_what_no_shortcut_asks_for_is_not_followed() -> None:
    """Anything else behind the address is as if nothing were there."""
    device, _, shell, asking = await started(None, "")
    shortcuts = ShortcutHandler(shell, asking, "elsewhere")
    shortcuts.follow("elsewhere")
    shortcuts.follow_pending()
    await device.quiet()
    assert isinstance(shell.view, views.HomeView) and asking.about == []

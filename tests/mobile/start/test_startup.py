"""The house keeps the porch's note as the history has it, and lets in who knocked."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from types import SimpleNamespace
from typing import Any, cast

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.app.views.views import View
from mobile.start.start_screen import WAYS_IN, PendingCommands
from mobile.start.startup import ShortcutHandler, StartScreenCache
from tests.logic.app.apps import fresh_app
from tests.logic.history.factory import opened
from tests.mobile.tabs import Device, walk_to


class _Marks:
    """The page's marks."""

    def __init__(self) -> None:
        self.kept: list[str] = []

    async def set_mark(self, _key: str, value: str) -> None:
        """Keep one."""
        self.kept.append(value)


async def test_the_note_forgets_what_another_device_erased_at_the_next_touch() -> None:
    """In the middle of other work home is noted no oftener than each minute, but for that."""
    marks, app = _Marks(), fresh_app()
    tasks: list[Callable[[], Awaitable[None]]] = []
    secret = app.history.record(*opened("secret", None))
    app.history.record(*opened("other", None))
    tab = SimpleNamespace(app=app, device=marks)
    shell = SimpleNamespace(settings=lambda: app.settings, start=tasks.append)
    keeper = StartScreenCache(cast(Any, tab), cast(Any, shell))

    async def looks_at(view: View) -> None:
        keeper.follow(view)
        for task in tasks:
            await task()
        tasks.clear()

    await looks_at(app.do(do.SeeSettings()))
    assert len(marks.kept) == 1 and '"job":"secret"' in marks.kept[0]
    app.history.record(*opened("third", None))
    await looks_at(app.view())
    assert len(marks.kept) == 1
    app.history.erase(("job", "secret"), due_ms=1)
    assert app.history.purge() and app.history.event(secret.id) is not None
    await looks_at(app.view())
    assert len(marks.kept) == 2 and '"job":"secret"' not in marks.kept[1]


class _Asking:
    """A page that is to ask about a shortcut."""

    def __init__(self) -> None:
        self.about: list[str] = []

    async def ask_about(self, wanted: str) -> None:
        """Note what is asked."""
        self.about.append(wanted)


async def door(answers: int | None, wanted: str) -> tuple[Device, ShortcutHandler, _Asking]:
    """A tab at home, or with a job under the hands, opened by a shortcut."""
    device, asking = Device(), _Asking()
    tab = device.tab("one")
    await tab.open()
    if answers is not None:
        walk_to(tab.shell, answers)
    knocks = PendingCommands(tab.shell, WAYS_IN[wanted]() if wanted else None)
    stand_in = cast(Any, SimpleNamespace(app=tab.app, device=asking))
    return device, ShortcutHandler(stand_in, tab.shell, knocks, wanted), asking


@pytest.mark.parametrize(
    ("wanted", "leads_to"), [("check", views.InstrumentsView), ("job", views.KindsView)]
)
async def test_a_shortcut_is_a_touch_at_home(wanted: str, leads_to: type) -> None:
    """Where nothing is under way it leads straight on, at the start and later."""
    device, visitors, asking = await door(None, wanted)
    visitors.let_in()
    assert isinstance(visitors.shell.view, leads_to)
    visitors.come(wanted)
    await device.quiet()
    assert isinstance(visitors.shell.view, leads_to)
    visitors.let_in()  # who was let in does not stand before the door again
    assert isinstance(visitors.shell.view, leads_to) and asking.about == []


async def test_a_shortcut_onto_work_is_asked_about_and_a_touch_is_not() -> None:
    """Work that goes on is shown as it stands; only once the person meant it is it left, by way of
    home, so that the job remembers where."""
    device, visitors, asking = await door(1, "check")
    before = visitors.shell.view
    visitors.let_in()
    await device.quiet()
    assert visitors.shell.view == before and asking.about == ["check"]
    visitors.come("check")
    await device.quiet()
    shown = visitors.shell.view
    assert isinstance(shown, views.InstrumentsView) and shown.checking
    home = visitors.shell.do(do.GoHome())
    assert isinstance(home, views.HomeView) and "at string" in home.jobs[0].detail

    device, visitors, asking = await door(1, "")
    visitors.knocks.waiting, before = do.NewJob(), visitors.shell.view
    visitors.let_in()
    await device.quiet()
    assert visitors.shell.view == before and asking.about == []


async def test_a_shortcut_waits_for_the_pen() -> None:
    """Another tab writes: what was asked for is followed once this one may."""
    device, visitors, _ = await door(None, "")
    tab = cast(Any, visitors.tab)
    app, tab.app = tab.app, None
    visitors.come("job")
    await device.quiet()
    visitors.let_in()
    assert isinstance(visitors.shell.view, views.HomeView)
    tab.app = app
    visitors.let_in()
    assert isinstance(visitors.shell.view, views.KindsView)


async def test_what_no_shortcut_asks_for_is_not_followed() -> None:
    """Anything else behind the address is as if nothing were there."""
    device, visitors, asking = await door(None, "")
    visitors.wanted = "elsewhere"
    visitors.come("elsewhere")
    visitors.let_in()
    await device.quiet()
    assert isinstance(visitors.shell.view, views.HomeView) and asking.about == []

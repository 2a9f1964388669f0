"""The note of the start screen is kept as the history has it."""

from __future__ import annotations

from dataclasses import replace

from logic.app.commands import commands as do
from logic.app.views.views import HomeView, View
from mobile.shell import AsyncCall
from mobile.start.screen_cache import StartScreenCache
from mobile.start.start_screen import NOTE_NAME, StartScreenNote
from tests.logic.app.apps import fresh_app
from tests.logic.history.factory import opened, seen_long_ago


class Marks:
    """The page's notes."""

    def __init__(self) -> None:
        self.kept: list[str] = []

    async def set_mark(self, key: str, value: str | None) -> None:
        """Keep one."""
        assert key == NOTE_NAME and value is not None
        self.kept.append(value)


async def test_the_note_forgets_what_another_device_erased_at_the_next_touch() -> None:
    """In the middle of other work home is noted no oftener than each minute, but for that."""
    marks, app = Marks(), fresh_app()
    tasks: list[AsyncCall] = []
    secret = app.history.record(*opened("secret", None))
    app.history.record(*opened("other", None))
    cache = StartScreenCache(marks, tasks.append, lambda: app)

    async def looks_at(view: View) -> None:
        cache.follow(view)
        for task in tasks:
            await task()
        tasks.clear()

    await looks_at(app.do(do.SeeSettings()))
    assert len(marks.kept) == 1 and '"job":"secret"' in marks.kept[0]
    app.history.record(*opened("third", None))
    await looks_at(app.view())
    assert len(marks.kept) == 1
    app.history.erase(("job", "secret"), due_ms=1)
    seen_long_ago(app.history)
    assert app.history.purge() and app.history.event(secret.id) is not None
    await looks_at(app.view())
    assert len(marks.kept) == 2 and '"job":"secret"' not in marks.kept[1]


async def test_the_note_offers_no_photo() -> None:
    """A photo is asked for by the touch itself, and a touch on the start screen waits: the way to
    one is drawn once the app is open."""
    marks, app = Marks(), fresh_app()
    app.history.record(*opened("one", None))
    app.device.scans = True
    home, tasks = app.view(), list[AsyncCall]()
    assert isinstance(home, HomeView) and home.scans
    StartScreenCache(marks, tasks.append, lambda: app).follow(home)
    for task in tasks:
        await task()
    seen = StartScreenNote.read(marks.kept[0])
    assert seen is not None and seen.home == replace(home, scans=False)

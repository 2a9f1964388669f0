"""The house keeps the porch's note as the history has it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from types import SimpleNamespace
from typing import Any, cast

from logic.desk import commands as do
from logic.desk.views import View
from mobile.house import Keeper
from tests.logic.desk.bench import fresh_desk
from tests.logic.history.factory import opened


class _Marks:
    """The page's marks."""

    def __init__(self) -> None:
        self.kept: list[str] = []

    async def set_mark(self, _key: str, value: str) -> None:
        """Keep one."""
        self.kept.append(value)


async def test_the_note_forgets_what_another_device_erased_at_the_next_touch() -> None:
    """In the middle of other work home is noted no oftener than each minute, but for that."""
    marks, desk = _Marks(), fresh_desk()
    tasks: list[Callable[[], Awaitable[None]]] = []
    secret = desk.history.record(*opened("secret", None))
    desk.history.record(*opened("other", None))
    tab = SimpleNamespace(desk=desk, device=marks)
    shell = SimpleNamespace(settings=lambda: desk.settings, start=tasks.append)
    keeper = Keeper(cast(Any, tab), cast(Any, shell))

    async def looks_at(view: View) -> None:
        keeper.follow(view)
        for task in tasks:
            await task()
        tasks.clear()

    await looks_at(desk.do(do.SeeSettings()))
    assert len(marks.kept) == 1 and '"job":"secret"' in marks.kept[0]
    desk.history.record(*opened("third", None))
    await looks_at(desk.view())
    assert len(marks.kept) == 1
    desk.history.erase(("job", "secret"), due_ms=1)
    assert desk.history.purge() and desk.history.event(secret.id) is not None
    await looks_at(desk.view())
    assert len(marks.kept) == 2 and '"job":"secret"' not in marks.kept[1]

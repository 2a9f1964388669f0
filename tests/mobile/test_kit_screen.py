"""The kit's screen as it is drawn: what can be touched, what it sends, and that it can be read."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.languages import load_language
from mobile.parts.text_metrics import em, run_over
from mobile.parts.theme import GAP, Theme
from shared.words import speaking
from tests.logic.app.apps import fresh_app, start
from tests.mobile.tree import drawn, walk

PHONES = [(390, 844), (844, 390), (320, 568)]
every_phone = pytest.mark.parametrize("size", PHONES, ids=lambda size: f"{size[0]}x{size[1]}")
LANGUAGES = ["en", "de"]


@cache
def kit_scenes(language: str) -> dict[str, views.KitView]:
    """The screen before a word was said, with metric sets and marks, and with nothing in it."""
    app = fresh_app()
    app.do(do.SetSetting("language", language))
    start(app)

    def shown(*touches: do.Command) -> views.KitView:
        app.do(do.SeeKit())
        for touch in touches:
            app.do(touch)
        view = app.view()
        assert isinstance(view, views.KitView)
        return view

    made = {"assumed": shown()}
    metric = (do.TakeSet("leaves 20 mm"), do.TakeSet("files bass mm"), do.ShowSizes("mm"))
    marks = (do.MarkTool("leaf", "0.5 mm", "lost"), do.MarkTool("file", "2.2 mm", "worn"))
    made["metric"] = shown(*metric, *marks, do.UseKit("tour"), do.AdviseKit())
    made["empty"] = shown(do.UseKit("bench"), do.EmptyKit(), do.ToggleLeaf("0.0015 in"))
    return made


@pytest.fixture(autouse=True)
def _as_before() -> Iterator[None]:
    """The language that a scene spoke goes with the test."""
    with speaking():
        yield


def test_what_nobody_said_can_be_confirmed_emptied_or_replaced_by_a_set() -> None:
    """All of it, none of it, the sets of the unit that is shown, and the other unit."""
    view = kit_scenes("en")["assumed"]
    screen = drawn(view, Theme(width=390, height=844))
    assert screen.sends("all-here") == [do.ConfirmKit()]
    assert screen.sends("none-here") == [do.EmptyKit()]
    assert screen.sends("scale-mm") == [do.ShowSizes("mm")]
    for choice in view.sets:
        assert screen.sends(f"set-{choice.key}") == [do.TakeSet(choice.key)]
    assert view.assumed in screen.words()


def test_every_sort_has_a_way_to_a_size_of_one_s_own() -> None:
    """The number pad opens for a leaf, a file and a shim."""
    screen = drawn(kit_scenes("en")["metric"], Theme(width=390, height=844))
    for tool in ("leaf", "file", "shim"):
        assert screen.sends(f"own-{tool}") == [do.TypeNumber(f"kit {tool}")]


@every_phone
def test_undo_and_the_open_jobs_are_offered_only_where_they_do_something(
    size: tuple[int, int],
) -> None:
    """Nothing to take back, no job elsewhere: neither is drawn; else each sends its command."""
    theme = Theme(width=size[0], height=size[1])
    untouched = drawn(kit_scenes("en")["assumed"], theme).marks()
    assert not {"undo", "into-jobs"} & set(untouched)
    changed = drawn(kit_scenes("en")["empty"], theme)
    assert changed.sends("undo") == [do.Undo()]
    assert "all-here" not in changed.marks()


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("scene", ["assumed", "metric", "empty"])
@every_phone
def test_every_button_is_read_whole(size: tuple[int, int], scene: str, language: str) -> None:
    """Names on two lines at most and their details on one, in the room that is left beside the
    tick; no word is broken, in either language."""
    theme = Theme(width=size[0], height=size[1])
    with speaking(load_language(language)):
        screen = drawn(kit_scenes(language)[scene], theme)
    rows = [row for row in screen.all(ft.Row) if any(map(is_tool, row.controls))]
    assert len(rows) > 10
    for row in rows:
        cell = (theme.column - GAP * (len(row.controls) - 1)) / len(row.controls)
        for button in filter(is_tool, row.controls):
            texts = [each for each in walk(button) if isinstance(each, ft.Text)]
            ticks = [each for each in texts if each.value == "✓"]
            room = cell - 20 - sum(em("✓") * float(t.size or 14) + 4 for t in ticks)
            for text in texts:
                lines = run_over(str(text.value), room / float(text.size or 14))
                assert len(lines) <= (text.max_lines or 2), (text.value, room)


def is_tool(control: object) -> bool:
    """Whether this is a button of one tool, set or mark."""
    mark = str(control.identifier) if isinstance(control, ft.Semantics) else ""
    sorts = ("leaf-", "file-", "shim-", "set-", "scale-", "bag-", "marking-", "fill-", "blank-")
    return mark.startswith(sorts)


@pytest.mark.parametrize("language", LANGUAGES)
@every_phone
def test_at_twice_the_size_everything_is_still_there(size: tuple[int, int], language: str) -> None:
    """Undo, every size and every set have their place in a list that scrolls."""
    view = kit_scenes(language)["empty"]
    theme = Theme(width=size[0], height=size[1], scale=2.0)
    with speaking(load_language(language)):
        marks = set(drawn(view, theme).marks())
    wanted = {f"leaf-{choice.key}" for choice in view.leaves}
    wanted |= {f"set-{choice.key}" for choice in view.sets} | {"undo", "none-here", "advise"}
    assert wanted <= marks

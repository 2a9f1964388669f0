"""What is chosen, called or at hand is told by more than its colour."""

from __future__ import annotations

import flet as ft
import pytest

from logic.app.views import views
from mobile.parts.theme import PALETTES
from tests.mobile.scenes import scenes
from tests.mobile.test_screens import PHONE
from tests.mobile.tree import drawn, walk

# --- never by colour alone ---


def chosen_marks(view: views.View) -> set[str]:
    """The marks of everything that a view says is chosen."""
    match view:
        case views.IntakeView():
            attacks = {f"attack-{c.key}" for c in view.attacks if c.chosen}
            times = {f"time-{c.key}" for c in view.time if c.chosen}
            scopes = {f"scope-{c.key}" for c in view.scopes if c.chosen}
            return (
                attacks
                | times
                | scopes
                | {f"said-{c.key}" for c in view.noticed.common if c.chosen}
            )
        case views.PreconditionsView():
            asked = view.questions
            return {f"{q.gate}-{c.key}" for q in asked for c in q.choices if c.chosen}
        case views.KitView():
            sorts = {"leaf": view.leaves, "file": view.files, "shim": view.shims}
            sorts |= {"fill": view.fills, "blank": view.blanks}
            sorts |= {"bag": view.bags, "marking": view.markings}
            sorts |= {"scale": view.scales, "set": view.sets}
            sorts |= {
                "shank": view.shanks,
                "straight-edge": view.straight_edges,
                "rule": view.rules,
            }
            return {f"{sort}-{c.key}" for sort, cs in sorts.items() for c in cs if c.chosen}
        case views.SettingsView():
            groups = view.groups
            return {f"{name}-{c.key}" for name, _, cs in groups for c in cs if c.chosen}
    raise AssertionError(view)


@pytest.mark.parametrize(
    "scene", ["intake with a complaint", "one precondition", "kit", "settings"]
)
def test_what_is_chosen_is_ticked_and_said_so(scene: str) -> None:
    """A chosen answer carries a tick and is `selected` for a screen reader; no other does."""
    view = scenes()[scene]
    screen = drawn(view, PHONE)
    wanted = chosen_marks(view)
    assert wanted
    ticked = {b.identifier for b in screen.buttons() if "✓" in _shown(b)}
    selected = {b.identifier for b in screen.buttons() if b.selected}
    assert ticked == selected == wanted


def _shown(button: ft.Semantics) -> str:
    texts = (each for each in walk(button.content) if isinstance(each, ft.Text))
    return "".join(str(text.value) for text in texts)


def test_the_string_at_hand_is_selected_and_named() -> None:
    """The row of strings marks one as the one at hand; its name and call are spoken."""
    view = scenes()["twelve strings"]
    assert isinstance(view, views.WalkView)
    screen = drawn(view, PHONE)
    rows = [each for each in screen.buttons() if str(each.identifier).startswith("string-")]
    assert [each.identifier for each in rows if each.selected] == [f"string-{view.string}"]
    assert all(str(each.label).startswith("String ") for each in rows)


def test_each_call_has_a_sign_and_words() -> None:
    """A line of the plan shows its call as a sign, in words, and says both to a screen reader."""
    view = scenes()["plan"]
    assert isinstance(view, views.PlanView)
    screen = drawn(view, PHONE)
    screen.sends("left-alone")  # what is left as it is lies folded
    signs = {}
    for line in view.lines:
        button = screen.button(f"line-{line.string}")
        assert line.headline in str(button.label)
        texts = [str(t.value) for t in walk(button.content) if isinstance(t, ft.Text)]
        assert line.headline in texts
        signs[line.call] = texts[0]
    assert len(set(signs.values())) == len(signs) >= 3


def test_the_drawing_of_the_nut_is_said_in_words() -> None:
    """The picture has one label that names every string and its call."""
    view = scenes()["plan"]
    assert isinstance(view, views.PlanView)
    (image,) = [each for each in drawn(view, PHONE).all(ft.Semantics) if each.image]
    for line in view.lines:
        assert line.name in str(image.label) and line.headline in str(image.label)


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, definition)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definition)."""
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("name", PALETTES)
def test_every_palette_can_be_read(name: str) -> None:
    """Text has 7:1 (WCAG 1.4.6), quiet and brass text 4.5:1 (1.4.3), fills 3:1 (1.4.11)."""
    palette = PALETTES[name]
    for ground in (palette.ground, palette.surface):
        assert contrast(palette.text, ground) >= 7
        assert contrast(palette.quiet, ground) >= 4.5
        assert contrast(palette.alarm, ground) >= 4.5
        assert contrast(palette.brass, ground) >= 4.5
        assert contrast(palette.window, ground) >= 3
    assert contrast(palette.on_brass, palette.brass) >= 4.5

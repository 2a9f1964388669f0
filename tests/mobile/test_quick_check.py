"""The quick check on screen: the walk's four answers, its own ways on, and what was found."""

from __future__ import annotations

from functools import partial

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.views import views
from mobile.device.voice import announcement
from mobile.input.keys import action_of
from mobile.parts.theme import Theme
from mobile.screens.answers import LEAF_ANSWERS
from tests.mobile.instrument_scenes import instrument_scenes
from tests.mobile.scenes import LOOKS
from tests.mobile.tree import Drawn, drawn, spoken

PHONE = Theme()
SIDEWAYS = Theme(width=844, height=390)
CHECKED = ["check ended early", "checked, nothing moved", "checked, one moved"]
meant = partial(action_of, settings={})


def checked(scene: str) -> views.CheckedView:
    """A result among the scenes."""
    view = instrument_scenes()[scene]
    assert isinstance(view, views.CheckedView)
    return view


@pytest.mark.parametrize("theme", LOOKS, ids=lambda theme: f"{theme.width:.0f}x{theme.height:.0f}")
def test_the_four_answers_are_the_walks_own(theme: Theme) -> None:
    """One screen a string, on every device with the same four large answers, highest first."""
    screen = drawn(instrument_scenes()["check"], theme)
    for answer in LEAF_ANSWERS:
        assert screen.sends(answer.mark) == [answer.command]
        surface = screen.button(answer.mark).content
        assert isinstance(surface, ft.Container)
        assert float(surface.height or 0) >= max(72, theme.shorter / 5)


@pytest.mark.parametrize("theme", [PHONE, SIDEWAYS], ids=["upright", "on its side"])
def test_a_string_of_the_check_has_its_own_ways_on(theme: Theme) -> None:
    """Strings, skip and end stay inside the check; the way back leads to the instrument."""
    screen = drawn(instrument_scenes()["check"], theme)
    touches: dict[str, do.Command] = {
        "back": do.Back(),
        "string-3": ido.CheckString(3),
        "undo": do.Undo(),
        "skip": ido.SkipString(),
        "end": ido.EndCheck(),
    }
    for mark, command in touches.items():
        assert screen.sends(mark) == [command]


def test_the_check_says_whose_string_it_is_and_how_it_stood() -> None:
    """The instrument, its place in the rack and the last known clearance are on the screen."""
    said = drawn(instrument_scenes()["check in a rack"], PHONE).words()
    assert "Blue hollow body" in said and "1 of 2" in said and "Stood at" in said


@pytest.mark.parametrize(
    ("key", "action"),
    [
        ("1", LEAF_ANSWERS[0].command),
        ("4", LEAF_ANSWERS[3].command),
        ("N", ido.CheckString(5)),
        ("B", ido.CheckString(1)),
        ("P", ido.EndCheck()),
        ("U", do.Undo()),
        ("Escape", do.Back()),
    ],
)
def test_keys_stay_inside_the_check(key: str, action: object) -> None:
    """Digits answer, next and previous go along its strings, plan ends it."""
    assert meant(key, instrument_scenes()["check"]) == action


@pytest.mark.parametrize("scene", ["instruments", "name"])
@pytest.mark.parametrize("key", ["u", "U", "H", "1", " ", "P", "Backspace"])
def test_what_is_written_does_nothing_else(scene: str, key: str) -> None:
    """Where somebody writes a name, its letters are no commands."""
    assert meant(key, instrument_scenes()[scene], writing=True) is None


@pytest.mark.parametrize("key", ["u", "1", " ", "Backspace"])
def test_a_screen_of_nothing_but_a_name_takes_what_is_typed_at_once(key: str) -> None:
    """There no letter is a command, before its line has the focus either."""
    assert meant(key, instrument_scenes()["name"]) is None


@pytest.mark.parametrize("scene", ["instruments", "name"])
def test_writing_can_be_left_by_key(scene: str) -> None:
    """Escape still leads back from where somebody writes."""
    assert meant("Escape", instrument_scenes()[scene]) == do.Back()


@pytest.mark.parametrize("theme", [PHONE, SIDEWAYS], ids=["upright", "on its side"])
@pytest.mark.parametrize("scene", CHECKED)
def test_every_string_found_can_be_checked_once_more(scene: str, theme: Theme) -> None:
    """A touch on a string of the result goes back to its leaf."""
    view, screen = checked(scene), drawn(instrument_scenes()[scene], theme)
    for one in view.strings:
        assert screen.sends(f"string-{one.string}") == [ido.CheckString(one.string)]


def test_the_result_leads_on() -> None:
    """Done goes back to the instrument; undo, a full job and the skipped rest are in reach."""
    screen = drawn(checked("check ended early"), PHONE)
    touches: dict[str, do.Command] = {
        "done": do.Back(),
        "undo": do.Undo(),
        "new-job": ido.NewJobOn("name-2"),
        "rest": ido.CheckString(5),
    }
    for mark, command in touches.items():
        assert screen.sends(mark) == [command]


def test_a_rack_leads_from_one_instrument_to_the_next() -> None:
    """With more to check, next is the one thing to do; the next one can be passed over."""
    view = checked("checked in a rack")
    screen = drawn(view, PHONE)
    assert screen.sends("next") == [ido.NextInRack()]
    assert screen.sends("skip-next") == [ido.PassOver()]
    assert view.following in spoken(screen.button("next"))


def test_the_end_of_the_rack_says_what_was_skipped() -> None:
    """Every instrument of the rack has its line, opens its page, and says why it was left out."""
    view = instrument_scenes()["rack"]
    assert isinstance(view, views.RackView) and len(view.lines) == 2
    screen = drawn(view, PHONE)
    assert screen.sends("done") == [ido.LeaveRack()]
    for line in view.lines:
        mark = f"instrument-{line.instrument}"
        assert screen.sends(mark) == [ido.SeeInstrument(line.instrument)]
    assert "nothing on record" in screen.words()


def signs(screen: Drawn) -> str:
    """The signs of a result, without its words."""
    return "".join(str(text.value) for text in screen.all(ft.Text) if text.value in ("✓", "!"))


def test_nothing_moved_and_moved_differ_without_colour() -> None:
    """A tick or an exclamation mark stands beside the headline and beside every string,
    what moved first."""
    assert signs(drawn(checked("checked, nothing moved"), PHONE)) == "✓" * 7
    assert signs(drawn(checked("checked, one moved"), PHONE)) == "!!✓✓✓✓✓"


def test_the_result_is_said_aloud_and_announced() -> None:
    """Whoever looks at the strings hears what was found."""
    view = checked("checked, one moved")
    assert "String 3: lower than it was" in announcement(view)
    (live,) = [each for each in drawn(view, PHONE).all(ft.Semantics) if each.live_region]
    assert live.label == view.spoken

"""A keyboard, a number pad or a pedal does whatever a finger does."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import Any

import pytest
from flet.components.component import Component, Renderer

from logic.app.commands import commands as do
from logic.app.session.settings import KEY, KEY_ACTIONS, actions_by_key
from logic.app.views import views
from mobile.input.key_handler import KeyHandler
from mobile.input.keys import FocusMove, KeyAction, SayAgain, TakeFocused, action_of
from mobile.parts.focus_order import Target, after, focus_order_of
from mobile.parts.theme import Theme
from mobile.parts.writing import WritingFocus
from mobile.root_screen import draw
from shared.readings import Buzz, Contact
from tests.logic.app.apps import fresh_app
from tests.mobile.scenes import scenes
from tests.mobile.tabs import TestClock, working_shell
from tests.mobile.tree import children, drawn

ANSWERS = {
    "walk": ["answer-none", "answer-light", "answer-heavy", "answer-buzz"],
    "walk by ear": ["answer-clean", "answer-hard", "answer-normal", "answer-soft"],
}
IN_A_JOB = ["intake", "preconditions", "card", "walk", "walk by ear", "settled", "plan"]
PEDALS = [
    ("Page Down", "Page Up"),
    ("Arrow Right", "Arrow Left"),
    ("Arrow Down", "Arrow Up"),
    (" ", "Enter"),
]
"""What pedals that turn pages send, the right switch first."""

meant = partial(action_of, settings={})


@pytest.mark.parametrize("scene", ANSWERS)
@pytest.mark.parametrize("prefix", ["", "Numpad "])
def test_one_to_four_answer_as_the_four_targets_do(scene: str, prefix: str) -> None:
    """Each digit, of the row or of the number pad, sends what the target of that place sends."""
    view = scenes()[scene]
    screen = drawn(view, Theme())
    for place, mark in enumerate(ANSWERS[scene], start=1):
        assert [meant(f"{prefix}{place}", view)] == screen.sends(mark)


@pytest.mark.parametrize("key", ["0", "5", "12", "", "Shift Left", "F1", "Q"])
def test_other_keys_mean_nothing_in_the_walk(key: str) -> None:
    """A key hit by chance answers nothing."""
    assert meant(key, scenes()["walk"]) is None


@pytest.mark.parametrize("scene", [name for name in scenes() if name not in ANSWERS])
def test_digits_answer_nothing_outside_the_walk(scene: str) -> None:
    """Only the walk takes digits for answers."""
    view = scenes()[scene]
    if not isinstance(view, views.WalkView | views.TypeView):
        assert [meant(key, view) for key in "1234"] == [None] * 4


@pytest.mark.parametrize("scene", ["intake", "settings", "instruments"])
def test_what_is_typed_into_a_line_is_no_key(scene: str) -> None:
    """While a line has the focus an h in it does not go home and an arrow takes nothing that is
    lit; Escape still goes back, and a pedal's page keys still light and take."""
    view = scenes()[scene]
    typed = ("H", "U", "P", " ", "1", "Backspace", "Arrow Left", "Enter")
    assert [meant(key, view, writing=True) for key in typed] == [None] * 8
    assert meant("Escape", view, writing=True) == do.Back()
    assert meant("Page Up", view, writing=True) == TakeFocused()


@pytest.mark.parametrize("scene", ["intake", "settings", "instruments"])
def test_beside_a_line_that_nobody_writes_in_keys_are_keys(scene: str) -> None:
    """Until it is touched, letters and the pedal that sends space and enter work as everywhere."""
    view = scenes()[scene]
    assert [meant(key, view) for key in ("H", "Backspace")] == [do.GoHome(), do.Undo()]
    assert (meant(" ", view), meant("Enter", view)) == (FocusMove(), TakeFocused())


def test_a_line_has_the_focus_until_it_loses_it_or_its_screen_goes() -> None:
    """One that takes the focus from another keeps it when the other tells of its loss."""
    focus = WritingFocus()
    focus.follow(scenes()["intake"])
    focus.come("a")
    focus.come("b")
    focus.go("a")
    assert focus.held()
    focus.follow(scenes()["intake"])
    assert focus.held()
    focus.follow(scenes()["card"])
    assert not focus.held()


@pytest.mark.parametrize("scene", IN_A_JOB)
def test_backspace_and_u_undo_everywhere_in_a_job(scene: str) -> None:
    """The way back is under the same key wherever an answer can be given."""
    view = scenes()[scene]
    assert [meant(key, view) for key in ("Backspace", "U")] == [do.Undo()] * 2


@pytest.mark.parametrize("scene", [*IN_A_JOB, "kinds", "kit", "settings", "number pad"])
def test_escape_is_one_room_back(scene: str) -> None:
    """Escape leaves every room."""
    assert meant("Escape", scenes()[scene]) == do.Back()


def test_next_and_before_go_from_string_to_string() -> None:
    """Forward and back through the row of strings, round the ends; the plan and home are near."""
    view = scenes()["walk"]
    assert isinstance(view, views.WalkView)
    order = [mark.string for mark in view.marks]
    place = order.index(view.string)
    assert meant("N", view) == do.Walk(order[(place + 1) % len(order)])
    assert meant("B", view) == do.Walk(order[place - 1])
    assert (meant("P", view), meant("H", view), meant("S", view)) == (
        do.SeePlan(),
        do.GoHome(),
        SayAgain(),
    )


@pytest.mark.parametrize(("right", "left"), PEDALS)
@pytest.mark.parametrize(
    "scene", ["home", "kinds", "intake", "card", "walk", "cut", "plan", "trouble"]
)
def test_each_pair_of_switches_lights_and_takes(scene: str, right: str, left: str) -> None:
    """Whatever pair a pedal sends, one switch lights and the other takes, on every screen."""
    view = scenes()[scene]
    assert (meant(right, view), meant(left, view)) == (FocusMove(), TakeFocused())


def test_figures_are_typed_where_a_number_is_asked() -> None:
    """Digits, the point and the sign press the pad's own keys; Enter hands the number in."""
    view = scenes()["number pad"]
    keys = ["7", "Numpad 0", ".", ",", "Backspace", "Enter"]
    marks = ["key-7", "key-0", "key-Point", "key-Point", "key-Delete", "save-number"]
    assert [meant(key, view) for key in keys] == [KeyAction(mark) for mark in marks]
    screen = drawn(view, Theme())
    assert set(marks) <= set(screen.marks())


# --- keys of one's own ---


def test_no_two_key_actions_begin_with_the_same_key() -> None:
    """Every key of the list does one thing."""
    keys = [key for _, keys in KEY_ACTIONS.values() for key in keys]
    assert len(keys) == len(set(keys)) == len(actions_by_key({}))


def test_a_key_that_was_given_does_that_and_nothing_else() -> None:
    """F5 for undo undoes; Page Up for undo no longer takes, and Enter still does."""
    view = scenes()["walk"]
    settings = {KEY + "undo": "Page Up", KEY + "answer-3": "F5"}
    assert action_of("Page Up", view, settings) == do.Undo()
    assert action_of("F5", view, settings) == do.Feel(Contact.HEAVY)
    assert action_of("Enter", view, settings) == TakeFocused()


def test_a_key_is_given_by_pressing_it_and_is_remembered() -> None:
    """The settings ask for the key, the next one pressed is it, another action gives it up."""
    app = fresh_app()
    app.do(do.SeeSettings())
    asked = app.do(do.AskKey("take"))
    assert isinstance(asked, views.SettingsView) and asked.waiting == "take"
    given = action_of("F7", asked, app.settings)
    assert given == do.SetSetting(KEY + "take", "F7")
    shown = app.do(do.SetSetting(KEY + "take", "F7"))
    assert isinstance(shown, views.SettingsView) and not shown.waiting
    assert next(line.keys for line in shown.keys if line.action == "take").endswith("F7")
    app.do(do.SetSetting(KEY + "undo", "F7"))
    assert action_of("F7", scenes()["walk"], app.settings) == do.Undo()
    app.do(do.AskKey("take"))
    assert action_of("Escape", app.view(), app.settings) == do.AskKey("")


# --- the focus order ---


def mount(control: Any) -> None:
    """Give every component its body, as a page does."""
    inside = children(control)
    if isinstance(control, Component):
        control._b = inside
    for child in inside:
        mount(child)


@dataclass
class Bench:
    """A real app with a pedal, drawn as the page draws it."""

    was_lit: list[Target] = field(default_factory=list)
    said_again: int = 0

    def __post_init__(self) -> None:
        self.app = fresh_app()
        self.clock = TestClock()
        self.shell = working_shell(self.app, self.clock)
        self.keys = KeyHandler(self.shell, self.root, self)

    def say_again(self) -> None:
        """Note that it is to be said again."""
        self.said_again += 1

    def lit(self, target: Target) -> None:
        """Note what was lit."""
        self.was_lit.append(target)

    def root(self) -> object:
        """What is on the screen now."""
        with Renderer().with_context():  # type: ignore[no-untyped-call]
            root = draw(self.shell.view, self.shell.theme, self.shell.act)
        mount(root)
        return [root]

    def press(self, *keys: str, every_s: float = 1.0) -> None:
        """Keys, one after the other."""
        for key in keys:
            self.clock.seconds += every_s
            self.keys.press(key)

    def to_the_walk(self) -> views.WalkView:
        """A job at its first string, by the app's own commands."""
        for command in (do.NewJob(), do.StartJob("electric guitar"), do.Ask(), do.AnswerAllYes()):
            self.shell.act(command)
        while isinstance(self.shell.view, views.QuestionView):
            self.shell.act(do.AnswerGate(self.shell.view.question.gate, "skipped"))
        return self.walk

    @property
    def walk(self) -> views.WalkView:
        """The walk that is shown."""
        assert isinstance(self.shell.view, views.WalkView)
        return self.shell.view

    @property
    def readings(self) -> int:
        """How many answers the job has."""
        job = self.app.history.job(self.walk.job)
        assert job is not None
        return len(job.as_job().readings)


def test_the_focus_order_of_the_walk_begins_with_the_answers() -> None:
    """Four answers, undo, number, plan, then the rest; in both hands and on its side."""
    for theme in (Theme(), Theme(left_handed=True), Theme(width=844, height=390)):
        with Renderer().with_context():  # type: ignore[no-untyped-call]
            root = drawn(scenes()["walk"], theme).root
            mount(root)
        order = focus_order_of(root)
        assert [target.id for target in order[:4]] == ANSWERS["walk"]
        assert [target.id for target in order[4:6]] == ["undo", "plan"]
        assert order[-1].id == "back"
        assert after(order, order[-1].id) == order[0] == after(order, "")


def test_two_switches_answer() -> None:
    """Light once and take: no contact; light three times and take: heavy contact."""
    bench = Bench()
    bench.to_the_walk()
    bench.press("Page Down", "Page Up")
    assert "no contact" in bench.walk.trail[-1]
    bench.press("Page Down", "Page Down", "Page Down")
    assert bench.shell.theme.lit == "answer-heavy"
    assert [target.label for target in bench.was_lit[1:]] == [
        "No contact",
        "Light contact",
        "Heavy contact",
    ]
    bench.press("Page Up")
    assert bench.readings == 2


def test_two_switches_undo_and_see_the_plan() -> None:
    """Past the four answers lie undo and the plan."""
    bench = Bench()
    bench.to_the_walk()
    bench.press("Page Down", "Page Up", *["Page Down"] * 5, "Page Up")
    assert bench.readings == 0
    bench.press(*["Page Down"] * 6, "Page Up")
    assert isinstance(bench.shell.view, views.PlanView)


@pytest.mark.parametrize("every_s", [0.05, 0.35, 2.0])
def test_a_pedal_that_repeats_takes_nothing_twice(every_s: float) -> None:
    """However fast or slow it repeats, one lit answer is recorded once."""
    bench = Bench()
    bench.to_the_walk()
    bench.press("Arrow Right")
    bench.press(*["Arrow Left"] * 20, every_s=every_s)
    assert bench.readings == 1
    assert bench.shell.theme.lit == ""


@pytest.mark.parametrize("every_s", [0.033, 0.1, 0.29])
def test_a_digit_that_repeats_answers_once(every_s: float) -> None:
    """A held key that a pedal sends as many presses is one answer."""
    bench = Bench()
    bench.to_the_walk()
    bench.press(*["1"] * 30, every_s=every_s)
    assert bench.readings == 1


def test_nothing_is_taken_where_nothing_is_lit() -> None:
    """The taking switch alone does nothing, on a screen just shown and after an answer."""
    bench = Bench()
    bench.press("Page Up", "Enter")
    assert isinstance(bench.shell.view, views.HomeView)
    bench.to_the_walk()
    bench.press("Enter", "Arrow Left")
    assert bench.readings == 0


def test_whoever_goes_by_tab_is_left_to_the_browser() -> None:
    """After Tab, Enter and space belong to what Tab has reached; the other switches still take."""
    bench = Bench()
    bench.to_the_walk()
    bench.press("Page Down", "Tab", "Enter", " ")
    assert bench.readings == 0 and bench.shell.theme.lit == "answer-none"
    bench.press("Page Up")
    assert bench.readings == 1


def test_shortcuts_of_the_browser_answer_nothing() -> None:
    """Control and 1 changes the tab and nothing else."""
    bench = Bench()
    bench.to_the_walk()
    bench.keys.press("1", held_with=True)
    assert bench.readings == 0


def test_a_whole_job_by_two_switches() -> None:
    """From home to the plan with six strings read, by lighting and taking alone."""
    bench = Bench()
    for mark in ("new-job", "kind-electric guitar", "go-on", "all-true"):
        touch(bench, mark)
    while isinstance(bench.shell.view, views.QuestionView):
        touch(bench, "skip")
    for _ in range(60):
        if not isinstance(bench.shell.view, views.WalkView):
            break
        by_ear = bench.walk.prompt is views.Prompt.BUZZ
        touch(bench, "answer-clean" if by_ear else "answer-light")
    assert isinstance(bench.shell.view, views.PlanView)
    assert all(line.call.value for line in bench.shell.view.lines)


def touch(bench: Bench, mark: str) -> None:
    """Light until `mark` is lit, then take it."""
    for _ in range(60):
        bench.press("Page Down")
        if bench.shell.theme.lit == mark:
            bench.press("Page Up")
            return
    raise AssertionError(f"{mark} is not in the focus order")


def test_hearing_is_answered_by_digits_too() -> None:
    """The four answers of the ear are the digits in their order."""
    view = scenes()["walk by ear"]
    assert [meant(key, view) for key in "1234"] == [
        do.Hear(buzz) for buzz in (Buzz.NONE, Buzz.HARD, Buzz.NORMAL, Buzz.SOFT)
    ]

"""Between taps: a bounce is ignored, an answer is safe before it is shown, an error is a page."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import get_args

import pytest

from logic.app.commands import commands as do
from logic.app.handlers.table import HANDLERS
from logic.app.views import views
from mobile.device.device_actions import DeviceActions
from mobile.device.page import DevicePage, NoPage
from mobile.parts.theme import PALETTES, Theme
from mobile.shell import TIDY_EVERY, AsyncCall, OpenedApp, Shell, theme_from, trouble
from shared.errors import (
    HistoryError,
    InputError,
    JournalPoisoned,
    NutwrightError,
    StorageFull,
    WrittenElsewhere,
)
from shared.readings import Buzz, Contact
from tests.logic.app.apps import fresh_app
from tests.mobile.scenes import scenes
from tests.mobile.tabs import NoActions, TestClock, opening_shell
from tests.mobile.tree import drawn, spoken

FEEL = do.Feel(Contact.NONE)


@dataclass
class Bench:
    """A shell over an app that only counts, with a clock that a test turns."""

    clock: TestClock = field(default_factory=TestClock)
    done: list[do.Command] = field(default_factory=list)
    refuses: NutwrightError | None = None
    tasks: list[AsyncCall] = field(default_factory=list)
    settles_with: NutwrightError | None = None
    settings: dict[str, str] = field(default_factory=dict)
    announced: str = ""

    def shell(self, *, saves_later: bool = False) -> Shell:
        """The shell under test, at work."""
        shell = opening_shell(self.tasks.append, self.clock)
        shell.open(OpenedApp(self, self.settled, NoActions(), saves_later))
        return shell

    def do(self, command: do.Command) -> views.View:
        """A view that says how many commands there were."""
        if self.refuses:
            raise self.refuses
        self.done.append(command)
        return self.view()

    def view(self) -> views.View:
        """The view after as many commands as there were."""
        return self.after(len(self.done))

    def think_ahead(self) -> Iterator[None]:
        """Nothing comes next."""
        return iter(())

    @staticmethod
    def after(commands: int) -> views.View:
        """The view after so many commands."""
        return views.HomeView((), more=commands)

    async def settled(self) -> None:
        """What the storage does afterwards."""
        if self.settles_with:
            raise self.settles_with

    async def quiet(self) -> None:
        """Let everything that was started run."""
        while self.tasks:
            await self.tasks.pop(0)()


def test_a_command_is_carried_out_and_its_view_shown() -> None:
    """One tap, one command, the next view."""
    bench = Bench()
    shell = bench.shell()
    shell.act(do.GoHome())
    assert bench.done == [do.GoHome()]
    assert shell.view == bench.after(1)


@pytest.mark.parametrize("again", [FEEL, do.Feel(Contact.HEAVY), do.Hear(Buzz.NORMAL)])
@pytest.mark.parametrize(("gap_s", "kept"), [(0.0, 1), (0.1, 1), (0.29, 1), (0.31, 2), (2.0, 2)])
def test_a_second_answer_within_three_tenths_is_the_same_tap(
    again: do.Command, gap_s: float, kept: int
) -> None:
    """A finger that bounces answers once; a real second answer is never lost."""
    bench = Bench()
    shell = bench.shell()
    shell.act(FEEL)
    bench.clock.seconds += gap_s
    shell.act(again)
    assert len(bench.done) == kept
    assert shell.view == bench.after(kept)


@pytest.mark.parametrize("command", [do.Undo(), do.Walk(3), do.SeePlan(), do.GoHome()])
def test_nothing_but_answers_is_taken_for_a_bounce(command: do.Command) -> None:
    """Undo right after a wrong answer counts, and so does everything that records no reading."""
    bench = Bench()
    shell = bench.shell()
    shell.act(FEEL)
    shell.act(command)
    shell.act(command)
    assert bench.done == [FEEL, command, command]


ERRORS = [
    StorageFull("No room", safe="All is kept", next="Free some"),
    JournalPoisoned("Not written", safe="The rest is kept", next="Export"),
    WrittenElsewhere("Elsewhere", safe="Kept there", next="Go there"),
    HistoryError("Broken", safe="Copy is safe", next="Restart"),
]


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_becomes_a_page_that_says_what_is_safe_and_what_to_do(
    error: NutwrightError,
) -> None:
    """What happened, what is safe and what to do next all stand on the page that is drawn."""
    bench = Bench(refuses=error)
    shell = bench.shell()
    shell.act(FEEL)
    assert isinstance(shell.view, views.TroubleView)
    words = drawn(shell.view, Theme()).words()
    for part in (error.what, error.safe, error.next):
        assert part and part in words


def test_an_input_error_says_what_would_do() -> None:
    """The field and what would do instead reach the page."""
    view = trouble(InputError("leaf", "banana", "write 18 thou"))
    assert "banana" in view.what and view.next == "write 18 thou"


def test_after_an_error_the_next_command_is_carried_out() -> None:
    """One refused answer does not lock the app: what can be recorded again is."""
    bench = Bench(refuses=ERRORS[0])
    shell = bench.shell()
    shell.act(FEEL)
    bench.refuses = None
    shell.act(do.GoOn())
    assert shell.view == bench.after(1)


def test_a_page_of_trouble_has_a_way_out_to_touch() -> None:
    """Whoever meets an error in the middle of a job can leave it with a finger."""
    for error in ERRORS:
        shell = Bench(refuses=error).shell()
        shell.act(FEEL)
        screen = drawn(shell.view, Theme())
        ways = [spoken(button) for button in screen.buttons()]
        copy = ["Hand out a copy of everything"] if not isinstance(error, WrittenElsewhere) else []
        assert ways == [*copy, "Go on"]
        assert screen.sends("go-on") == [do.GoOn()]


async def test_where_storage_confirms_at_once_the_view_follows_at_once() -> None:
    """The answer is durable when the app returns: the next string is shown without waiting."""
    bench = Bench()
    shell = bench.shell()
    shell.act(FEEL)
    assert shell.view == bench.after(1)
    await bench.quiet()
    assert shell.view == bench.after(1)


async def test_where_storage_confirms_late_the_view_waits_for_it() -> None:
    """Nobody sees the next string before the answer to this one is durable."""
    bench = Bench()
    shell = bench.shell(saves_later=True)
    shell.act(FEEL)
    assert shell.view == bench.after(0)
    await bench.quiet()
    assert shell.view == bench.after(1)


@pytest.mark.parametrize("saves_later", [False, True])
async def test_an_answer_that_storage_could_not_settle_is_said_so(saves_later: bool) -> None:
    """When finishing fails afterwards, the page says so instead of going on."""
    bench = Bench(settles_with=ERRORS[1])
    shell = bench.shell(saves_later=saves_later)
    shell.act(FEEL)
    await bench.quiet()
    assert isinstance(shell.view, views.TroubleView)
    assert shell.view.what == ERRORS[1].what


def test_every_view_that_follows_a_command_reaches_the_device() -> None:
    """Whoever keeps the screen awake hears of each view."""
    bench = Bench()
    shell = bench.shell()
    followed: list[views.View] = []
    shell.follow(followed.append)
    shell.act(FEEL)
    shell.act(do.Undo())
    assert followed == [bench.after(0), bench.after(1), bench.after(2)]


def test_turning_the_device_keeps_the_hand_and_the_light() -> None:
    """A new size changes nothing else about the look."""
    shell = Bench().shell()
    shell.theme = Theme(PALETTES["sun"], 390, 844, left_handed=True)
    shell.resize(844, 390)
    assert shell.theme == Theme(PALETTES["sun"], 844, 390, left_handed=True)


@pytest.mark.parametrize("theme", PALETTES)
@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_setting_shows_at_once(theme: str, hand: str) -> None:
    """Choosing the light or the hand redraws with it; the size stays."""
    bench = Bench(settings={"theme": theme, "hand": hand})
    shell = bench.shell()
    shell.act(do.SeeSettings())
    assert shell.theme == Theme(PALETTES[theme], left_handed=hand == "left")
    assert theme_from({}, Theme()) == Theme()


def test_the_whole_app_draws_whatever_the_shell_holds() -> None:
    """The one component shows each view inside the mark that says the app is ready."""
    for view in scenes().values():
        assert drawn(view, Theme()).root is not None


def test_every_command_is_the_app_s_the_device_s_or_the_tab_s() -> None:
    """Nothing that a screen can send falls between the three that carry commands out."""
    app = fresh_app()
    actions = DeviceActions(DevicePage(NoPage()), app)
    by_device = {each for each in get_args(do.Command) if each in actions._actions}
    assert set(get_args(do.Command)) == {*HANDLERS, *by_device, do.TakeOver}


def test_what_was_drawn_before_is_swept_away_while_the_hands_are_busy(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Once in so many screens, after the last was painted, and not where the next came at once."""
    swept: list[str] = []
    monkeypatch.setattr("mobile.shell.gc.collect", lambda: swept.append(""))
    monkeypatch.setattr("mobile.shell.PAINTED_S", 0.0)
    bench = Bench()
    shell = bench.shell()

    async def thinking() -> None:
        """What is done once a screen was put up; saving follows it."""
        think = bench.tasks[0]
        bench.tasks.clear()
        await think()

    for shown in range(1, 2 * TIDY_EVERY + 1):
        shell.act(do.GoHome())
        asyncio.run(thinking())
        assert len(swept) == shown // TIDY_EVERY

    async def hurried() -> None:
        """The next screen comes while the last one is painted."""
        shell.act(do.GoHome())
        first = asyncio.ensure_future(thinking())
        await asyncio.sleep(0)
        shell.act(do.GoHome())
        await first

    for _ in range(TIDY_EVERY):
        asyncio.run(hurried())
        bench.tasks.clear()
    assert len(swept) == 2

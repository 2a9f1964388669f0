"""Between taps: a bounce is ignored, an answer is safe before it is shown, an error is a page."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import get_args

import pytest

from logic.app.commands import commands as do
from logic.app.handlers.table import HANDLERS
from logic.app.views import views
from mobile.device.device_actions import DeviceActions
from mobile.device.page import DevicePage
from mobile.parts.theme import PALETTES, Theme
from mobile.shell import TIDY_EVERY, Shell, theme_from, trouble
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
from tests.mobile.tree import drawn, spoken

HOME = views.HomeView(())
FEEL = do.Feel(Contact.NONE)


@dataclass
class Bench:
    """A shell over an app that only counts, with a clock that a test turns."""

    now: float = 100.0
    done: list[do.Command] = field(default_factory=list)
    refuses: NutwrightError | None = None
    settling: list[Callable[[], Awaitable[None]]] = field(default_factory=list)
    settles_with: NutwrightError | None = None
    chosen: dict[str, str] = field(default_factory=dict)

    def shell(self, *, waits: bool = False) -> Shell:
        """The shell under test."""
        return Shell(
            HOME,
            Theme(),
            do=self.do,
            settings=lambda: self.chosen,
            settle=self.settle,
            waits=waits,
            start=self.settling.append,
            now=lambda: self.now,
        )

    def do(self, command: do.Command) -> views.View:
        """A view that says how many commands there were."""
        if self.refuses:
            raise self.refuses
        self.done.append(command)
        return self.after(len(self.done))

    @staticmethod
    def after(commands: int) -> views.View:
        """The view after so many commands."""
        return views.HomeView((), more=commands)

    async def settle(self) -> None:
        """What the storage does afterwards."""
        if self.settles_with:
            raise self.settles_with

    async def settled(self) -> None:
        """Let everything that was started run."""
        while self.settling:
            await self.settling.pop(0)()


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
    bench.now += gap_s
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


async def test_where_storage_confirms_at_once_the_view_moves_at_once() -> None:
    """The answer is durable when the app returns: the next string is shown without waiting."""
    bench = Bench()
    shell = bench.shell()
    shell.act(FEEL)
    assert shell.view == bench.after(1)
    await bench.settled()
    assert shell.view == bench.after(1)


async def test_where_storage_confirms_late_the_view_waits_for_it() -> None:
    """Nobody sees the next string before the answer to this one is durable."""
    bench = Bench()
    shell = bench.shell(waits=True)
    shell.act(FEEL)
    assert shell.view == HOME
    await bench.settled()
    assert shell.view == bench.after(1)


@pytest.mark.parametrize("waits", [False, True])
async def test_an_answer_that_storage_could_not_settle_is_said_so(waits: bool) -> None:
    """When finishing fails afterwards, the page says so instead of going on."""
    bench = Bench(settles_with=ERRORS[1])
    shell = bench.shell(waits=waits)
    shell.act(FEEL)
    await bench.settled()
    assert isinstance(shell.view, views.TroubleView)
    assert shell.view.what == ERRORS[1].what


def test_every_view_that_follows_a_command_is_told_to_the_device() -> None:
    """Whoever keeps the screen awake hears of each view."""
    bench = Bench()
    shell = bench.shell()
    told: list[views.View] = []
    shell.shown = told.append
    shell.act(FEEL)
    shell.act(do.Undo())
    assert told == [bench.after(1), bench.after(2)]


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
    bench = Bench(chosen={"theme": theme, "hand": hand})
    shell = bench.shell()
    shell.act(do.SeeSettings())
    assert shell.theme == Theme(PALETTES[theme], left_handed=hand == "left")
    assert theme_from({}, Theme()) == Theme()


def test_the_whole_app_draws_whatever_the_shell_holds() -> None:
    """The one component shows each view inside the mark that says the app is ready."""
    for view in scenes().values():
        assert drawn(view, Theme()).root is not None


def test_every_command_is_the_desk_s_the_device_s_or_the_tab_s() -> None:
    """Nothing that a screen can send falls between the three that carry commands out."""
    app = fresh_app()
    errands = DeviceActions(_no_device(), app)
    by_device = {each for each in get_args(do.Command) if each in errands._errands}
    assert set(get_args(do.Command)) == {*HANDLERS, *by_device, do.TakeOver}


def _no_device() -> DevicePage:
    """Nothing is asked of the device by merely naming its errands."""
    return DevicePage.__new__(DevicePage)


def test_what_was_drawn_before_is_swept_away_while_the_hands_are_busy(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Once in so many screens, after the last was painted, and not where the next came at once."""
    swept: list[str] = []
    monkeypatch.setattr("mobile.shell.gc.collect", lambda: swept.append(""))
    monkeypatch.setattr("mobile.shell.PAINTED_S", 0.0)
    bench = Bench()
    shell = bench.shell()
    shell.settle, shell.ahead = None, lambda: iter(())
    for shown in range(1, 2 * TIDY_EVERY + 1):
        shell.act(do.GoHome())
        asyncio.run(bench.settling.pop()())  # type: ignore[arg-type]
        assert len(swept) == shown // TIDY_EVERY

    async def hurried() -> None:
        """The next screen comes while the last one is painted."""
        shell.act(do.GoHome())
        thinking = asyncio.ensure_future(bench.settling.pop()())
        await asyncio.sleep(0)
        shell.act(do.GoHome())
        await thinking

    for _ in range(TIDY_EVERY):
        asyncio.run(hurried())
        bench.settling.clear()
    assert len(swept) == 2

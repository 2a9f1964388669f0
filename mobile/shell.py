"""What the running app holds between taps: the view on screen, how to draw it, who does the work.

The shell is a state machine (`mobile/shell_state.py`): each public method that changes its state is
one transition. Whoever opens and closes the history (`mobile/start/tab.py`) calls them.
"""

from __future__ import annotations

import asyncio
import gc
import time
from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Protocol

import flet as ft

from logic.app.views.start_views import TroubleView
from mobile.parts.theme import PALETTES, Theme
from mobile.shell_state import ShellEvent, ShellState, step
from shared.errors import HistoryError, NutwrightError, WrittenElsewhere
from shared.words import say, spoken_language

if TYPE_CHECKING:
    from logic.app.commands.commands import Command
    from logic.app.views.views import View

AsyncCall = Callable[[], Awaitable[None]]
RunTask = Callable[[AsyncCall], None]
"""Runs a task that may change what is shown."""

PAINTED_S = 0.08
"""By then what was shown last is on the screen."""
TIDY_EVERY = 8
"""As many screens later what was drawn before is swept away, while the hands are busy: a few
milliseconds then, instead of more of them in the middle of an answer."""
TWICE_S = 0.3
"""A second answer sooner than this is the same tap, bouncing."""


class Application(Protocol):
    """The app without a screen (`logic/app/app.py`)."""

    @property
    def announced(self) -> str:
        """What the last command took back, in words."""

    @property
    def settings(self) -> dict[str, str]:
        """Every setting's value."""

    def do(self, command: Command) -> View:
        """Carry a command out; the view that follows."""

    def view(self) -> View:
        """What the present place shows."""

    def think_ahead(self) -> Iterator[None]:
        """Work out what may come next, a step at a time."""


class Actions(Protocol):
    """What the device does for the app (`mobile/device/device_actions.py`)."""

    @property
    def note(self) -> str:
        """What came of the last action, in words."""

    def takes(self, command: Command) -> bool:
        """Whether the device carries this command out."""

    async def run(self, command: Command) -> None:
        """Carry it out, and note what came of it."""


@dataclass(frozen=True)
class OpenedApp:
    """Who does the work while this tab may write."""

    app: Application
    settled: AsyncCall
    """Finishes what the storage does after an answer is kept; NutwrightError when it cannot."""
    actions: Actions
    saves_later: bool = False
    """Whether an answer is durable only once it is settled: then its view waits for that."""


def _no_task(_: AsyncCall) -> None:
    """Where nothing runs beside the screen, as in a test of one view."""


def _no_wait() -> View | None:
    """Where nothing is said while a command waits."""
    return None


@ft.observable
@dataclass
class Shell:
    """State outside the controls. `act` hands a command on and shows the view that answers it."""

    view: View
    theme: Theme
    run_task: RunTask = field(default=_no_task, repr=False)
    waiting_view: Callable[[], View | None] = field(default=_no_wait, repr=False)
    """What is shown while a command waits for the history to open."""
    now_s: Callable[[], float] = field(default=time.monotonic, repr=False)
    announced: str = ""
    """What the last command took back, in words, where the view does not say it itself."""
    _state: ShellState = ShellState.OPENING
    _work: OpenedApp | None = field(default=None, repr=False)
    _take_over: AsyncCall | None = field(default=None, repr=False)
    _pending: Command | None = field(default=None, repr=False)
    _next: View | None = field(default=None, repr=False)
    _settings: dict[str, str] = field(default_factory=dict, repr=False)
    _viewers: list[Callable[[View], None]] = field(default_factory=list, repr=False)
    _openings: list[Callable[[], None]] = field(default_factory=list, repr=False)
    _after_saving: list[AsyncCall] = field(default_factory=list, repr=False)
    _answered_at_s: float = field(default=float("-inf"), repr=False)
    _untidied: int = field(default=0, repr=False)

    # --- what others ask ---

    @property
    def state(self) -> ShellState:
        """What becomes of a command that is given now."""
        return self._state

    def settings(self) -> dict[str, str]:
        """Every setting's value, the last known where this tab may not write; none before that."""
        return self._work.app.settings if self._work else self._settings

    def follow(self, viewer: Callable[[View], None]) -> None:
        """Tell `viewer` what is shown now, and every view that follows."""
        self._viewers.append(viewer)
        viewer(self.view)

    def when_open(self, callback: Callable[[], None]) -> None:
        """Call `callback` each time that this tab may write, at once if it may already."""
        self._openings.append(callback)
        if self._work:
            callback()

    def after_saving(self, task: AsyncCall) -> Callable[[], None]:
        """Run `task` each time that an answer was settled, until what is returned is called."""
        self._after_saving.append(task)
        return lambda: self._after_saving.remove(task)

    # --- opening, and the lock ---

    def show_progress(self, view: View) -> None:
        """Show how far the opening is."""
        self.view = view

    def show_waiting(self) -> None:
        """Say anew what is waited for, where a command waits."""
        if self._state is ShellState.PENDING:
            self.view = self.waiting_view() or self.view

    def open(self, work: OpenedApp) -> None:
        """The history is open and this tab may write: show where the bench stands."""
        self._go(ShellEvent.OPENED)
        self._work, self._take_over = work, None
        self.theme = theme_from(work.app.settings, self.theme)
        self.view = work.app.view()
        for callback in self._openings:
            callback()

    def not_opened(self, view: View) -> None:
        """The history does not open: say why."""
        self._go(ShellEvent.NOT_OPENED)
        self._leave(view)

    def locked_elsewhere(self, view: View, take_over: AsyncCall) -> None:
        """Another tab writes: say so; `take_over` asks it for the lock."""
        self._go(ShellEvent.LOCKED)
        self._leave(view)
        self._take_over = take_over

    def _leave(self, view: View) -> None:
        self._settings, self._work = self.settings(), None
        self.view = view

    def wait_with(self, command: Command) -> None:
        """Let `command` wait until this tab may write."""
        self._pending = command

    def take_pending(self) -> Command | None:
        """The command that waits, if one does; it waits no more."""
        command, self._pending = self._pending, None
        return command

    def _go(self, event: ShellEvent) -> None:
        self._state = step(self._state, event)

    # --- commands ---

    def act(self, command: Command) -> None:
        """Carry out one command; what it records is safe before the view changes."""
        match self._state:
            case ShellState.OPENING:
                self._go(ShellEvent.COMMAND_WAITS)
                self.wait_with(command)
                self.show_waiting()
            case ShellState.PENDING | ShellState.NOT_OPEN:
                pass  # one command waits already, or nothing ever comes of it
            case ShellState.LOCKED_ELSEWHERE:
                self._ask_for_lock(command)
            case ShellState.WORKING | ShellState.SAVING | ShellState.TROUBLE:
                self._carry_out(command)

    def _ask_for_lock(self, command: Command) -> None:
        from logic.app.commands.commands import TakeOver

        if isinstance(command, TakeOver) and self._take_over:
            self.run_task(self._take_over)

    def _carry_out(self, command: Command) -> None:
        from logic.app.commands.commands import Feel, Hear

        work = self._work
        assert work is not None  # these states have been opened
        if isinstance(command, Feel | Hear) and self._bounces():
            return
        if work.actions.takes(command):
            self.run_task(lambda: self._run(work, command))
            return
        try:
            self._next = work.app.do(command)
            self._go(ShellEvent.SAVE_BEGUN if work.saves_later else ShellEvent.CARRIED_OUT)
        except NutwrightError as error:
            self._fail(error)
        if not work.saves_later:
            self._put()
        self.run_task(self._settle)

    async def _run(self, work: OpenedApp, command: Command) -> None:
        """Let the device carry out a command, then show where the bench stands."""
        await work.actions.run(command)
        if self._work is not work:
            return  # another tab writes meanwhile, which is said
        view = self.view
        if isinstance(view, TroubleView) and view.can_export:
            self._next = replace(view, note=work.actions.note)
        else:
            self._next = work.app.view()
        self._put()

    async def _settle(self) -> None:
        """Let the storage finish; an answer that it could not keep is said so."""
        work = self._work
        if work is None:
            return
        try:
            await work.settled()
        except NutwrightError as error:
            if self._work is work:
                self._fail(error)
                self._put()
            return
        if self._work is not work:
            return
        self._go(ShellEvent.SAVED)
        if work.saves_later:
            self._put()
        for task in tuple(self._after_saving):
            await task()

    def _fail(self, error: NutwrightError) -> None:
        self._go(ShellEvent.FAILED)
        self._next = trouble(error, can_go_on=True)

    def refresh(self) -> None:
        """Show the present place anew, where it changed by itself.

        What somebody is typing is left alone, and so is trouble. An answer on its way to what was
        shown before is not taken.
        """
        from logic.app.views.views import TypeView

        if self._work is None or isinstance(self.view, TroubleView | TypeView):
            return
        view = self._work.app.view()
        if view != self.view:
            self._answered_at_s = self.now_s()
            self._next = view
            self._put()

    def _bounces(self) -> bool:
        before, self._answered_at_s = self._answered_at_s, self.now_s()
        return self._answered_at_s - before < TWICE_S

    # --- what is shown ---

    def light(self, mark: str) -> None:
        """Light what has this mark, for a switch to take; nothing when it is empty."""
        if mark != self.theme.lit:
            self.theme = replace(self.theme, lit=mark)

    def resize(self, width: float, height: float) -> None:
        """The screen was turned or resized."""
        self.theme = replace(self.theme, width=width, height=height)

    def _put(self) -> None:
        """Show the view that the latest command led to."""
        if self._next is None:
            return
        theme = replace(theme_from(self.settings(), self.theme), lit="")
        if theme != self.theme:
            self.theme = theme
        self.announced = self._work.app.announced if self._work else ""
        self.view = self._next
        for viewer in self._viewers:
            viewer(self.view)
        if self._work:
            self.run_task(self._think)

    async def _think(self) -> None:
        """Once this view is painted, think ahead until it is answered."""
        view = self.view
        await asyncio.sleep(PAINTED_S)
        for _ in self._work.app.think_ahead() if self._work and self.view is view else ():
            await asyncio.sleep(0)  # let a touch through
            if self.view is not view:
                return
        if self.view is view:
            self._tidy()

    def _tidy(self) -> None:
        """Sweep away what earlier screens left. Controls point at each other, so that they are not
        gone by themselves, and memory that a browser has given once it never takes back."""
        self._untidied += 1
        if self._untidied >= TIDY_EVERY:
            self._untidied = 0
            gc.collect()


def theme_from(settings: dict[str, str], theme: Theme) -> Theme:
    """`theme` as the settings want it."""
    return replace(
        theme,
        palette=PALETTES[settings.get("theme", "night")],
        left_handed=settings.get("hand") == "left",
        scale=int(settings.get("size", "100")) / 100,
        language=spoken_language(),
        decimal=settings.get("mark", theme.decimal),
    )


def trouble(error: NutwrightError, title: str = "", *, can_go_on: bool = False) -> TroubleView:
    """An error as a page: what happened, what is safe, what to do."""
    can_export = (
        can_go_on and isinstance(error, HistoryError) and not isinstance(error, WrittenElsewhere)
    )
    return TroubleView(
        title or say("This was not recorded"),
        error.what,
        error.safe,
        error.next,
        can_go_on=can_go_on,
        can_export=can_export,
    )

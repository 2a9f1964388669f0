"""The bench's desk: takes a command, records what happened, answers with the next view.

Whatever a command records is durable before its view is returned. The desk decides nothing about
the instrument: rules live in `logic.bench`, the record in `logic.history`. Only home is imported
with the desk: the rest of the house (`HOUSE`) is opened with the first step into it, or by the
app once home is on the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, get_args

from logic.app.commands import commands
from logic.app.presenters.home import home_view, under_the_hands
from logic.app.presenters.install import InstallState
from logic.app.session.settings import LANGUAGE, settings_of
from logic.app.views.views import TroubleView, View
from logic.bench.tables.trade_tables import TradeTables
from logic.history.history import History
from logic.languages import WRITTEN_IN, chosen_language, load_language
from shared.words import say, use

if TYPE_CHECKING:
    from logic.app.session.session import Session
    from logic.sync.agent import SyncAgent

LATER_MODULES = (
    "logic.app.session.session",
    "logic.app.handlers.table",
    "logic.app.routing.screens",
)
"""What the desk opens when somebody goes in, in the order it is needed."""


class App:
    """Commands in, views out."""

    def __init__(self, history: History, trade: TradeTables, new_id: Callable[[], str]) -> None:
        self.history: History = history
        self.trade: TradeTables = trade
        self.storage: tuple[str, ...] = ()
        """Where records are kept, in words."""
        self.lacks: Mapping[str, str] = {}
        """By setting, what this device does not have for it."""
        self.warnings: tuple[str, ...] = ()
        """What cannot be kept here, said on the first screen."""
        self.note: str = ""
        """What came of the device's last errand."""
        self.nudge: Callable[[], str] | None = None
        """Says a gentle word on the first screen that no copy is fresh."""
        self.cleared = False
        """Whether the browser had cleared the records, and nobody has said to go on without."""
        self.agent: SyncAgent | None = None
        """What meets the hub, once it is there."""
        self.hub_address = ""
        """Where a hub would be: where the app came from."""
        self.scans: bool = False
        """Whether this device reads a code off a photo of its square picture."""
        self.device_facts: tuple[tuple[str, str], ...] = ()
        """What the device last said of its storage: facts and their names."""
        self.standing = InstallState()
        """How the app stands on this device."""
        self.device_language = ""
        """The language of the device, as its browser names it."""
        self.spoken = WRITTEN_IN
        """The language that is spoken now."""
        self._new_id = new_id
        self._inside = False

    @cached_property
    def session(self) -> Session:
        """Where the person stands, and the record beneath."""
        from logic.app.session.session import Session

        self._inside = True
        return Session(self.history, self.trade, self._new_id)

    @property
    def settings(self) -> dict[str, str]:
        """Every setting's value."""
        return settings_of(self.history)

    def resume(self) -> None:
        """Stand where work was going on a moment ago, as after a reload; else before the jobs."""
        recent = under_the_hands(self.history)
        if recent:
            self.session.stand_in(recent.id, recent.place)

    def do(self, command: commands.Command) -> View:
        """Carry out `command` and show what follows."""
        from logic.app.handlers.table import HANDLERS

        session = self.session
        if session.gone:
            return self._gone()
        if isinstance(command, (*get_args(commands.KeepingCommand), commands.Back)):
            self.note = ""
        session.saved = session.trouble = session.waiting = ""
        if not isinstance(command, commands.TypeNumber | commands.NumberTyped | commands.Back):
            session.way = ""
        HANDLERS[type(command)](session, command)
        if isinstance(command, commands.SetSetting):
            self.speak()
        return self.view()

    def speak(self) -> None:
        """Speak the language that is set; nothing that was said in another one holds then."""
        chosen = chosen_language(self.settings[LANGUAGE], self.device_language)
        if chosen != self.spoken:
            self.spoken = chosen
            use(load_language(chosen))
            self.note = ""
            if self._inside:
                self.session.say_anew()

    def think_ahead(self) -> Iterator[None]:
        """Work out what each answer would lead to while a leaf is slid in, a step at a time."""
        if self._inside and self.session.place.room == "walk":
            from logic.app.handlers.measuring import likely_readings

            for reading in likely_readings(self.session):
                self.session.work.foresee(reading)
                yield

    def view(self) -> View:
        """What the present place shows."""
        if not self._inside or self.session.place.room == "home":
            if self.cleared and not self.history.vector:
                return self._cleared()
            nudge = self.nudge() if self.nudge else ""
            return home_view(self.history, tuple(map(say, self.warnings)), nudge)
        if self.session.gone:
            return self._gone()
        from logic.app.routing.screens import show

        return show(self)

    @property
    def room(self) -> str:
        """The room that somebody stands in."""
        return self.session.place.room if self._inside else "home"

    def look_again(self) -> None:
        """The history has taken in or given away something by itself: nothing seen before holds."""
        if self._inside:
            self.session.look_again()
        self.speak()

    def _gone(self) -> View:
        """What was worked on is not there any more: say so, and stand before the jobs."""
        self.session.leave()
        return TroubleView(
            say("This is no longer here"),
            say("It was erased, or it gave way to what another device recorded."),
            say("Everything else on this device is kept."),
            say("Go on with another job. If this was not meant, ask who else works at this bench."),
            can_go_on=True,
        )

    def _cleared(self) -> View:
        from logic.app.presenters.storage_health import cleared_view

        return cleared_view(self.note)

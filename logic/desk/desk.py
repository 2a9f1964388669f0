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

from logic.bench.trade import Trade
from logic.desk import commands
from logic.desk.home import home_view, under_the_hands
from logic.desk.installing import Standing
from logic.desk.settings import LANGUAGE, settings_of
from logic.desk.views import TroubleView, View
from logic.history.history import History
from logic.languages import WRITTEN_IN, chosen_language, load_language
from shared.words import say, use

if TYPE_CHECKING:
    from logic.desk.floor import Floor
    from logic.sync.agent import SyncAgent

HOUSE = ("logic.desk.floor", "logic.desk.moves.table", "logic.desk.rooms")
"""What the desk opens when somebody goes in, in the order it is needed."""


class Desk:
    """Commands in, views out."""

    def __init__(self, history: History, trade: Trade, new_id: Callable[[], str]) -> None:
        self.history: History = history
        self.trade: Trade = trade
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
        self.standing = Standing()
        """How the app stands on this device."""
        self.device_language = ""
        """The language of the device, as its browser names it."""
        self.spoken = WRITTEN_IN
        """The language that is spoken now."""
        self._new_id = new_id
        self._inside = False

    @cached_property
    def floor(self) -> Floor:
        """Where the person stands, and the record beneath."""
        from logic.desk.floor import Floor

        self._inside = True
        return Floor(self.history, self.trade, self._new_id)

    @property
    def settings(self) -> dict[str, str]:
        """Every setting's value."""
        return settings_of(self.history)

    def resume(self) -> None:
        """Stand where work was going on a moment ago, as after a reload; else before the jobs."""
        recent = under_the_hands(self.history)
        if recent:
            self.floor.stand_in(recent.id, recent.place)

    def do(self, command: commands.Command) -> View:
        """Carry out `command` and show what follows."""
        from logic.desk.moves.table import MOVES

        floor = self.floor
        if floor.gone:
            return self._gone()
        if isinstance(command, (*get_args(commands.KeepingCommand), commands.Back)):
            self.note = ""
        floor.saved = floor.trouble = floor.waiting = ""
        if not isinstance(command, commands.TypeNumber | commands.Typed | commands.Back):
            floor.way = ""
        MOVES[type(command)](floor, command)
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
                self.floor.say_anew()

    def think_ahead(self) -> Iterator[None]:
        """Work out what each answer would lead to while a leaf is slid in, a step at a time."""
        if self._inside and self.floor.place.room == "walk":
            from logic.desk.moves.measuring import likely_readings

            for reading in likely_readings(self.floor):
                self.floor.work.foresee(reading)
                yield

    def view(self) -> View:
        """What the present place shows."""
        if not self._inside or self.floor.place.room == "home":
            if self.cleared and not self.history.vector:
                return self._cleared()
            nudge = self.nudge() if self.nudge else ""
            return home_view(self.history, tuple(map(say, self.warnings)), nudge)
        if self.floor.gone:
            return self._gone()
        from logic.desk.rooms import show

        return show(self)

    @property
    def room(self) -> str:
        """The room that somebody stands in."""
        return self.floor.place.room if self._inside else "home"

    def look_again(self) -> None:
        """The history has taken in or given away something by itself: nothing seen before holds."""
        if self._inside:
            self.floor.look_again()
        self.speak()

    def _gone(self) -> View:
        """What was worked on is not there any more: say so, and stand before the jobs."""
        self.floor.leave()
        return TroubleView(
            say("This is no longer here"),
            say("It was erased, or it gave way to what another device recorded."),
            say("Everything else on this device is kept."),
            say("Go on with another job. If this was not meant, ask who else works at this bench."),
            can_go_on=True,
        )

    def _cleared(self) -> View:
        from logic.desk.storage_health import cleared_view

        return cleared_view(self.note)

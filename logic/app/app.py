"""The app without a screen: takes a command, records what happened, answers with the next view.

Whatever a command records is durable before its view is returned. The app decides nothing about
the instrument: rules live in `logic.bench`, the record in `logic.history`. Only home is imported
with it: everything else (`LATER_MODULES`) is imported with the first step away from home, or by
the mobile app once home is on the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, get_args

from logic.app.commands import commands
from logic.app.presenters.home import under_the_hands
from logic.app.routing.home_screen import home_screen
from logic.app.session.device import DeviceFacts, HubConnection
from logic.app.session.settings import LANGUAGE, figure_style_of, settings_of
from logic.app.views.views import TroubleView, View
from logic.bench.tables.trade_tables import TradeTables
from logic.history import History
from logic.languages import WRITTEN_IN, chosen_language, load_language
from shared.words import say, use

if TYPE_CHECKING:
    from logic.app.session.route import Follows
    from logic.app.session.session import Session

LATER_MODULES = (
    "logic.app.session.session",
    "logic.app.handlers.table",
    "logic.app.routing.routes",
    "logic.app.routing.showing",
)
"""What is imported with the first step away from home, in the order it is needed."""
_KEEPS_PAD = (commands.TypeNumber, commands.NumberTyped, commands.Back)
"""Commands of the number pad: with any other it is put away."""
_FORGETS_NOTE = (
    *get_args(commands.RecordCommand),
    *get_args(commands.LabelCommand),
    commands.Back,
)
"""Commands after which it is no longer said what the device did last."""
_GOES_ON = (commands.GoOn, commands.GoHome, commands.Back)
"""What one does once told that what was worked on is gone."""


class App:
    """Commands in, views out."""

    def __init__(
        self,
        history: History,
        trade: TradeTables,
        new_id: Callable[[], str],
        device: DeviceFacts | None = None,
        spoken: str = WRITTEN_IN,
    ) -> None:
        self.history: History = history
        self.trade: TradeTables = trade
        self.device = device or DeviceFacts()
        self._new_id = new_id
        self._spoken = spoken
        """The language that is spoken now."""
        self._inside = False
        """Whether anybody has gone anywhere from home yet."""
        self._note = ""
        self._hub: HubConnection | None = None
        self._reminder: Callable[[], str] = lambda: ""
        self._style = figure_style_of(self.settings)
        use(style=self._style)

    # --- what comes from the device ---

    @property
    def note(self) -> str:
        """What came of the last thing that the device was asked to do, in words."""
        return self._note

    @property
    def announced(self) -> str:
        """What the last command took back, in words, to be said on whichever screen follows."""
        return self.session.transient.announced if self._inside else ""

    def tell(self, note: str) -> None:
        """Show `note` on the screens that show what came of such things."""
        self._note = note

    @property
    def hub(self) -> HubConnection | None:
        """What meets the hub of this bench; None until it is there."""
        return self._hub

    def connect(self, hub: HubConnection) -> None:
        """Meet this hub from now on."""
        self._hub = hub

    def remind(self, reminder: Callable[[], str]) -> None:
        """Say `reminder`, unless it is empty, on the first screen: no copy is fresh."""
        self._reminder = reminder

    # --- commands and views ---

    @cached_property
    def session(self) -> Session:
        """Where the person stands, and the record beneath."""
        from logic.app.routing.routes import ROUTES
        from logic.app.session.session import Session

        self._inside = True
        return Session(self.history, self.trade, self._new_id, ROUTES)

    @property
    def settings(self) -> dict[str, str]:
        """Every setting's value."""
        return settings_of(self.history)

    def resume(self) -> None:
        """Stand where work was going on a moment ago, as after a reload; else before the jobs."""
        recent = under_the_hands(self.history)
        if recent:
            self.session.stand_in(recent.id, recent.place)
            self._go_on_where_answered()

    def do(self, command: commands.Command) -> View:
        """Carry out `command` and show what follows."""
        from logic.app.handlers.table import HANDLERS

        session = self.session
        if session.gone:
            session.leave()
            if not isinstance(command, _GOES_ON):
                return gone_view()
        if isinstance(command, _FORGETS_NOTE):
            self._note = ""
        session.transient.begin_command(keeps_number_pad=isinstance(command, _KEEPS_PAD))
        HANDLERS[type(command)](session, command)
        self._go_on_where_answered()
        if isinstance(command, commands.SetSetting):
            self.speak()
        return self.view()

    def _go_on_where_answered(self) -> None:
        from logic.app.handlers.questions import measure_once_answered
        from logic.app.handlers.visit_ways import leave_tuning_once_done

        measure_once_answered(self.session)
        leave_tuning_once_done(self.session)

    def speak(self) -> None:
        """Speak the language that is set and write figures in the unit and with the mark that are
        set; nothing that was said otherwise holds then."""
        chosen = chosen_language(self.settings[LANGUAGE], self.device.language)
        if chosen != self._spoken:
            use(load_language(chosen))
        style = figure_style_of(self.settings)  # the mark is the language's until one is chosen
        if (chosen, style) != (self._spoken, self._style):
            self._spoken, self._style = chosen, style
            use(style=style)
            self._note = ""
            if self._inside:
                self.session.speech_changed()

    def think_ahead(self) -> Iterator[None]:
        """Work out what each answer would lead to while a leaf is slid in, a step at a time."""
        if not self._inside:
            return
        from logic.app.handlers.measuring import foresee

        if not self.session.gone:
            yield from foresee(self.session)

    def view(self) -> View:
        """What the present place shows. Looking records nothing and goes nowhere."""
        reminder, note = self._reminder(), self._note
        if not self._inside:
            return home_screen(self.history, self.device, reminder, note)
        if self.session.gone:
            return gone_view()
        from logic.app.routing.showing import show
        from logic.app.routing.shown import Shown

        return show(Shown(self.session, self.device, self._hub, note, reminder))

    def follows(self, what: Follows) -> bool:
        """Whether the screen that is shown has to be drawn anew when `what` changes."""
        return self._inside and what in self.session.route.follows

    def history_changed(self) -> None:
        """The history took in, or gave away, what others recorded: nothing seen before holds."""
        if self._inside:
            self.session.history_changed()
            self._go_on_where_answered()
        self.speak()


def gone_view() -> TroubleView:
    """What was worked on is not there any more."""
    return TroubleView(
        say("This is no longer here"),
        say("It was erased, or it gave way to what another device recorded."),
        say("Everything else on this device is kept."),
        say("Go on with another job. If this was not meant, ask who else works at this bench."),
        can_go_on=True,
    )

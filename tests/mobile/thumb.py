"""A thumb that works through the app by what is drawn, and counts its taps.

Every tap is one button that the screen of a phone shows now, found by its mark, and sends what that
button sends. A number that is typed and saved is one tap, whatever its digits. Scrolling is none.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.views import views
from logic.testing import TRADE
from mobile.parts.theme import Theme
from shared.job import GateState
from shared.readings import Buzz, Contact
from tests.logic.app.apps import Technician, fresh_app
from tests.mobile.tree import Drawn, drawn, touch

PHONE = Theme(width=390, height=844)
MOST = 120
"""More taps than any of the loops asks for."""
_FELT = {Contact.NONE: "none", Contact.LIGHT: "light", Contact.HEAVY: "heavy"}
_HEARD = {Buzz.NONE: "clean", Buzz.HARD: "hard", Buzz.NORMAL: "normal", Buzz.SOFT: "soft"}


@dataclass
class Thumb:
    """Taps what the screen offers, from home on."""

    app: App = field(default_factory=fresh_app)
    taps: list[str] = field(default_factory=list)
    view: views.View = field(init=False)
    screen: Drawn = field(init=False)

    def __post_init__(self) -> None:
        self.see(self.app.view())

    def see(self, view: views.View) -> None:
        """Look at what is shown now."""
        self.view, self.screen = view, drawn(view, PHONE)

    def offers(self, mark: str) -> bool:
        """Whether the screen shows something to touch of this mark."""
        return mark in self.screen.marks()

    def marks(self, begin: str) -> list[str]:
        """The marks shown that begin so, in reading order."""
        return [mark for mark in self.screen.marks() if mark.startswith(begin)]

    def tap(self, *marks: str) -> views.View:
        """Touch the first of these that is shown, and see what follows."""
        mark = next((each for each in marks if self.offers(each)), "")
        assert mark, f"none of {marks} on {type(self.view).__name__}: {self.screen.marks()}"
        self.taps.append(mark)
        self._press(mark)
        return self.view

    def type(self, number: str, unit: str = "") -> views.View:
        """Type a number on the pad that is shown, and save it: one tap."""
        for key in number:
            self._press(f"key-{'Point' if key == '.' else key}")
        if unit and self.offers(f"unit-{unit}"):
            self._press(f"unit-{unit}")
        return self.tap("save-number")

    def _press(self, mark: str) -> None:
        sent = self.screen.sent
        sent.clear()
        touch(next(each for each in self.screen.buttons() if each.identifier == mark))
        if sent:
            for command in list(sent):
                self.view = self.app.do(command)
            self.see(self.view)

    def until(self, seen: Callable[[views.View], bool], move: Callable[[], object]) -> None:
        """Make one `move` after the other until what is shown is what was to be seen."""
        for _ in range(MOST):
            if seen(self.view):
                return
            move()
        raise AssertionError(f"not there after {MOST} moves: {self.taps}")

    def goes_home(self) -> None:
        """Back, until home is shown."""
        self.until(lambda view: isinstance(view, views.HomeView), lambda: self.tap("back"))


@dataclass
class Hand:
    """What is true of an instrument, and so what is answered to what a screen asks."""

    thumb: Thumb
    clearances_mm: dict[int, float]
    buzzes: Mapping[int, Buzz] = field(default_factory=dict)
    relief_mm: str = ""
    """Typed where relief is asked for; else it is said to be in range."""

    def begins(self, kind: str) -> None:
        """From home to the intake of a new job."""
        self.thumb.tap("new-job")
        self.thumb.tap(f"kind-{kind}")

    def answers(self) -> None:
        """One thing that is true, to what is asked now."""
        match self.thumb.view:
            case views.IntakeView():
                self._leaves_the_intake()
            case views.PreconditionsView():
                self.thumb.tap("all-true")
            case views.QuestionView() as asked:
                self._answers_card(asked)
            case views.TypeView():
                self.thumb.type(self.relief_mm, "mm")
            case views.WalkView() as string:
                self.thumb.tap(self.felt(string))
            case other:
                raise AssertionError(f"{type(other).__name__}: {self.thumb.screen.marks()}")

    def _leaves_the_intake(self) -> None:
        """Straight to the strings where that is offered; to the questions where a figure waits that
        one of them asks for."""
        if self.relief_mm and self.thumb.offers("fact-relief"):
            self.thumb.tap("fact-relief")
            self.thumb.type(self.relief_mm, "mm")
            self.relief_mm = ""
        ways = ("go-on", "measure") if self.relief_mm else ("measure", "go-on")
        self.thumb.tap(*ways)

    def _answers_card(self, view: views.QuestionView) -> None:
        """Nothing else is wrong: the answer that passes; a question that has none is skipped."""
        gate = view.question.gate
        if gate == "relief" and self.relief_mm:
            self.thumb.tap("type-number")
            return
        rule = next(each for each in TRADE.rules.rules if each.id == gate)
        passing = {each.id for each in rule.options if each.state is GateState.PASSED}
        right = (each.key for each in view.question.choices if each.key in passing)
        self.thumb.tap(*(f"{gate}-{key}" for key in right), "skip")

    def felt(self, view: views.WalkView) -> str:
        """The mark of what the hand feels, or the ear hears, of the string that is asked for."""
        known = dict.fromkeys(self.clearances_mm, Buzz.NONE) | dict(self.buzzes)
        command = Technician(self.clearances_mm, known).answer(view)
        if isinstance(command, do.Hear):
            return f"answer-{_HEARD[command.buzz]}"
        assert isinstance(command, do.Feel)
        return f"answer-{_FELT[command.contact]}"

"""An app on a disc whose power can fail, and a technician who knows the true clearances."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from itertools import count
from typing import Any, TypeVar

from logic.app.app import App
from logic.app.commands import commands
from logic.app.session.actions import ACTION
from logic.app.views import views
from logic.history.clock import WallClock
from logic.history.documents.models import JobDocument
from logic.history.history import History
from logic.history.storage.store import ByteStore, MemoryDirectory, MemoryStore, StoreError
from logic.testing import TRADE
from shared.events import Event, Kind
from shared.readings import Buzz, Contact
from shared.units import Length

V = TypeVar("V")


@dataclass
class DiscFile(MemoryStore):
    """A file whose bytes survive a power cut only once flushed."""

    name: str = ""
    disc: Disc | None = None

    def append(self, data: bytes) -> int:
        """Take all of `data`, unless the disc is broken."""
        assert self.disc is not None
        if self.disc.broken:
            raise StoreError("the disc does not answer")
        return super().append(data)

    def flush(self) -> None:
        """What was written is safe from here on."""
        assert self.disc is not None
        super().flush()
        self.disc.safe[self.name] = bytes(self.data)


@dataclass
class Disc(MemoryDirectory):
    """A directory that knows what a power cut would leave."""

    safe: dict[str, bytes] = field(default_factory=dict)
    broken: bool = False

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        handle = self.handles.get(name)
        if handle is None or handle.closed:
            data = self.files.setdefault(name, bytearray())
            handle = DiscFile(data, name=name, disc=self)
            self.handles[name] = handle
        return handle

    def delete(self, name: str) -> None:
        """Forget the file."""
        super().delete(name)
        self.safe.pop(name, None)

    def after_power_cut(self) -> Disc:
        """The disc as the next start finds it: only what was flushed."""
        files = {name: bytearray(data) for name, data in self.safe.items()}
        return Disc(files=files, safe=dict(self.safe))


class DiscApp(App):
    """An app that knows the disc its history is on."""

    def __init__(self, disc: Disc, first_name: int, clock: WallClock | None = None) -> None:
        numbers = count(first_name)
        super().__init__(History.open(disc, clock), TRADE, lambda: f"name-{next(numbers)}")
        self.disc = disc


def fresh_app() -> DiscApp:
    """An app on an empty disc."""
    return DiscApp(Disc(), 1)


def restarted(app: DiscApp) -> DiscApp:
    """The app that comes up after the power was cut under `app`."""
    return DiscApp(app.disc.after_power_cut(), 1000)


def events(app: App) -> list[Event]:
    """Everything recorded, oldest first."""
    return list(app.history.events_after({}))


def lasting(view: views.View) -> views.View:
    """The view without its word on what was saved a moment ago."""
    if isinstance(view, views.KitView):
        return replace(view, changed="", can_undo=False)
    if isinstance(view, views.IntakeView | views.StringsView):
        return replace(view, said="")
    if isinstance(view, views.WalkView):
        return replace(view, saved="", status="", announced="")
    return replace(view, saved="") if isinstance(view, views.CutView) else view


def start(app: App, kind: str = "electric guitar") -> views.View:
    """A job on `kind`, opened; its intake."""
    return app.do(commands.StartJob(kind))


def walking(app: App, kind: str = "electric guitar") -> views.WalkView:
    """A job on `kind`, everything before it true, at its first string."""
    start(app, kind)
    app.do(commands.AnswerGate("frets", SOUND["frets"]))
    app.do(commands.Ask())
    return answer_cards(app, app.do(commands.AnswerAllYes()))


SOUND = {"relief": "ok", "frets": "ok", "board_straight": "yes", "ever_fretted": "yes"}
"""What a repairer has looked at before any cut: without it nothing is filed."""


def answer_cards(app: App, view: views.View) -> views.WalkView:
    """Relief and frets are sound; skip every other card until the walk begins."""
    for _ in range(40):
        if not isinstance(view, views.QuestionView):
            break
        gate = view.question.gate
        view = app.do(commands.AnswerGate(gate, SOUND.get(gate, "skipped")))
    assert isinstance(view, views.WalkView)
    return view


def answered(app: App, gate: str, answer: str) -> views.View:
    """One card answered; what that found is left as it stands."""
    return past_finding(app, app.do(commands.AnswerGate(gate, answer)))


def past_finding(app: App, view: views.View) -> views.View:
    """Go on from a card that says what its answer found, if it is one."""
    failed = isinstance(view, views.QuestionView) and view.failed
    return app.do(commands.LeaveFinding()) if failed else view


def leaves_shown(view: views.WalkView) -> tuple[Length, ...]:
    """The leaf or leaves that the walk asks for, read off the screen as a person would."""
    return tuple(Length.parse(f"{number} {view.unit}") for number in view.number.split(" + "))


@dataclass(frozen=True)
class Technician:
    """Slides in what the screen says and answers what is true of `clearances_mm`."""

    clearances_mm: Mapping[int, float]
    buzzes: Mapping[int, Buzz]
    drags_within_mm: float = 0.015
    """Half the band in which a leaf just drags (common practice, no source)."""

    def answer(self, view: views.WalkView) -> commands.Command:
        """What this technician answers to what the walk asks."""
        if view.prompt is views.Prompt.BUZZ:
            return commands.Hear(self.buzzes[view.string])
        gap = self.clearances_mm[view.string] - sum(leaf.mm for leaf in leaves_shown(view))
        if abs(gap) <= self.drags_within_mm:
            return commands.Feel(Contact.LIGHT)
        return commands.Feel(Contact.NONE if gap > 0 else Contact.HEAVY)

    def walk(self, app: App, view: views.View, most: int) -> tuple[views.View, int]:
        """Answer until the walk ends by itself; the view it ends in, and how many answers."""
        for given in range(most + 1):
            if not isinstance(view, views.WalkView) or view.prompt is views.Prompt.DONE:
                return view, given
            view = app.do(self.answer(view))
        raise AssertionError(f"the walk still asks after {most} answers")


def said(view: Any) -> Iterator[str]:
    """Every word that the view shows, wherever it stands in it."""
    if isinstance(view, str):
        yield view
    elif is_dataclass(view):
        for each in fields(view):
            if each.name not in ("job", "key", "gate"):
                yield from said(getattr(view, each.name))
    elif isinstance(view, tuple):
        for part in view:
            yield from said(part)


Recorded = list[tuple[str, dict[str, Any]]]
"""Kinds and bodies of entries, oldest first."""


def recording(app: App, command: commands.Command) -> tuple[views.View, Recorded]:
    """What `command` shows and what it records, without the id of its action."""
    before = dict(app.history.vector)
    shown = app.do(command)
    found = app.history.events_after(before)
    bodies = [(each.kind, {k: v for k, v in each.body.items() if k != ACTION}) for each in found]
    return shown, bodies


def kinds_recorded(app: App, command: commands.Command) -> list[str]:
    """The kinds of what `command` records, without where one stands afterwards."""
    _, found = recording(app, command)
    return [kind for kind, _ in found if kind != Kind.PLACE_MOVED]


def open_document(app: App) -> JobDocument:
    """The job at hand as the history holds it."""
    found = app.history.job(app.session.place.job)
    assert found is not None
    return found


def view_of(app: App, command: commands.Command, kind: type[V]) -> V:
    """What is shown after `command`, which is a view of this kind."""
    shown = app.do(command)
    assert isinstance(shown, kind)
    return shown


def in_plan(app: App, string: int | None = None) -> views.PlanView:
    """The plan of the job at hand, one of its lines opened."""
    return view_of(app, commands.SeePlan(string), views.PlanView)


def measured_at(
    clearances_mm: Mapping[int, float],
    buzz: Buzz = Buzz.NONE,
    kind: str = "electric guitar",
) -> DiscApp:
    """An app in the plan of a job whose strings were measured where these clearances stand."""
    app = fresh_app()
    hand = Technician(clearances_mm, dict.fromkeys(clearances_mm, buzz))
    hand.walk(app, walking(app, kind), 120)
    in_plan(app)
    return app

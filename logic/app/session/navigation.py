"""Where the person stands, and where Back leads from a screen beside the work."""

from __future__ import annotations

from logic.app.session.places import CardOpener, Place, parse_kept
from logic.app.session.route import Route, Routes, Task
from logic.history import History
from shared.events import Kind


class Navigation:
    """From place to place; inside a job the history remembers it."""

    def __init__(self, history: History, routes: Routes) -> None:
        self.routes = routes
        self._history = history
        self._place = Place()
        self._opened_from = Place()

    @property
    def place(self) -> Place:
        """Where the person stands."""
        return self._place

    @property
    def route(self) -> Route:
        """What is known of the screen that is shown there."""
        return self.routes[self._place.screen]

    def go(self, place: Place) -> None:
        """Stand at `place`; a job remembers it."""
        if not self.route.beside_work:
            self._opened_from = self._place
        if place != self._place and self.routes[place.screen].in_job:
            self._history.record(Kind.PLACE_MOVED, {"job": place.job, "place": place.kept})
        self._place = place

    def stand(self, place: Place) -> None:
        """Stand at `place`, which is on record already or need not be."""
        self._place = place

    def back_to_work(self) -> None:
        """Leave a screen beside the work for what it was opened from."""
        self._place = self._opened_from

    def leave(self) -> None:
        """Go home, whatever was open; nothing is recorded of that."""
        self._place = self._opened_from = Place()

    def place_in(self, job: str, kept: str) -> Place:
        """The place that a job was left at; the intake where nothing readable was kept."""
        name, string = parse_kept(kept)
        for route in self.routes.values():
            if route.in_job and route.name == name:
                return Place(route.name, job, string, back_to=self._where_opened(job, route.task))
        return Place("intake", job)

    def _where_opened(self, job: str, task: Task) -> CardOpener:
        """Where a card or a list of this job was opened, by its history: the first of its openers
        where that does not say."""
        openers = _OPENERS.get(task, ("plan",))
        moved = reversed(self._history.projection.events_of(("job", job)))
        stood = (parse_kept(e.body["place"])[0] for e in moved if e.kind == Kind.PLACE_MOVED)
        found = (opener for name in stood for opener in openers if opener == name)
        return next(found, openers[0])


_OPENERS: dict[Task, tuple[CardOpener, ...]] = {
    Task.CARD: ("plan", "walk"),
    Task.MEASURED: ("relief", "action"),
}
"""From where each can be opened."""

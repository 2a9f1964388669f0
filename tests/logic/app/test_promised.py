"""The page of the records that says what is promised to be gone, and asks about files."""

from __future__ import annotations

from typing import Any

from logic.app.commands import commands as do
from logic.app.commands import record_commands as kdo
from logic.app.views import views
from logic.history.exchange.erasing import GRACE_MS
from logic.history.exchange.portable import pack
from shared.events import Event, Kind
from tests.logic.app.apps import Disc, DiscApp, view_of, walking
from tests.logic.history.promising import DAY_MS, START_MS, Wall


def working_app() -> tuple[Wall, DiscApp]:
    """An app with a job on a guitar, at a time of the test's."""
    clock = Wall()
    app = DiscApp(Disc(), 1, clock)
    walking(app)
    app.do(do.GoHome())
    return clock, app


def file_that_erases(app: DiscApp) -> bytes:
    """A file with one promise, which names all that the app holds and was due long ago."""
    head = app.history.journal.heads[app.history.device]
    have = {app.history.device: [[1, head.seq, head.digest]]}
    body: dict[str, Any] = {"events": {app.history.device: [[1, 2**40]]}, "due": 0, "have": have}
    promise = Event(app.history.bench, "stranger", 1, f"{START_MS}.0", Kind.CONTENT_ERASED, body)
    return pack([promise], app.history.bench, "1.0")


def records_of(app: DiscApp) -> views.RecordsView:
    """The page of the records."""
    return view_of(app, do.SeeRecords(), views.RecordsView)


def promised_of(app: DiscApp) -> views.PromisedView:
    """The page of what is promised."""
    return view_of(app, kdo.SeePromised(), views.PromisedView)


def test_a_file_s_erasure_is_asked_about_and_a_no_keeps_everything() -> None:
    """What it would erase is named, with how many entries, by whom, and that it waits."""
    clock, app = working_app()
    (job,) = app.history.open_jobs()
    app.history.merge(file_that_erases(app))
    assert records_of(app).promised == "1 erasure waits for your yes"
    (line,) = promised_of(app).promises
    told = " ".join((*line.named, *line.details))
    assert line.waits and "Electric guitar: the job of" in told and "…nger" in told
    assert f"erase {app.history.vector[app.history.device]} entries" in told
    shown = app.do(kdo.KeepAfterAll(line.key))
    assert isinstance(shown, views.PromisedView) and shown.promises == ()
    assert records_of(app).promised == ""
    clock.wait(1000)
    assert not app.history.purge() and app.history.job(job.id) is not None


def test_a_yes_begins_the_grace_and_until_its_end_it_can_be_kept() -> None:
    """From then on the page says from when it is gone here."""
    clock, app = working_app()
    app.history.merge(file_that_erases(app))
    (line,) = promised_of(app).promises
    clock.wait(100)
    shown = app.do(kdo.LetGo(line.key))
    assert isinstance(shown, views.PromisedView)
    (line,) = shown.promises
    assert not line.waits and any("Gone here from" in each for each in line.details)
    assert records_of(app).promised == "1 erasure is promised"
    clock.wait(GRACE_MS / DAY_MS - 1)
    assert not app.history.purge()
    promised_of(app)
    app.do(kdo.KeepAfterAll(line.key))
    clock.wait(1000)
    assert not app.history.purge()


def test_what_is_gone_is_listed_no_more_and_cannot_be_kept() -> None:
    """Nothing is offered that does not help: a late touch records nothing."""
    clock, app = working_app()
    (line,) = app.history.instruments()
    promise = app.history.erase(("instrument", line.id), 0)
    clock.wait(GRACE_MS / DAY_MS)
    assert app.history.purge()
    app.history_changed()
    assert promised_of(app).promises == ()
    before = app.history.vector
    app.do(kdo.KeepAfterAll(promise.id))
    assert app.history.vector == before

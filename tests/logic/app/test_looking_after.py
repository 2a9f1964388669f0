"""Copies, the storage's health, erasing, and what is no longer there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.presenters.storage_health import as_text, digest_of, set_aside
from logic.app.session.copies import DAY_MS, copy_age, note_copy, nudge
from logic.app.views import views
from logic.history.exchange.erasing import GRACE_MS
from logic.history.exchange.portable import unpack
from logic.history.journal.quarantine import Quarantine
from shared.errors import HistoryError
from shared.readings import Contact
from tests.logic.app.apps import Disc, DiscApp, fresh_app, walking

NOW_MS = 1_700_000_000_000


@dataclass
class Clock:
    """A wall clock that stands until it is set."""

    now: int = NOW_MS

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        return self.now


def app_at(clock: Clock) -> DiscApp:
    """An app whose time is the test's."""
    return DiscApp(Disc(), 1, clock)


def one_instrument(app: DiscApp, owner: str = "") -> str:
    """Start a job on an instrument of `owner`; the instrument, its page shown."""
    before = {line.id for line in app.history.instruments()}
    walking(app)
    (name,) = {line.id for line in app.history.instruments()} - before
    app.do(ido.SeeInstrument(name))
    if owner:
        app.do(ido.SeeName())
        app.do(ido.SaveName("Blue hollow body", owner))
    return name


# --- copies ---


def test_a_copy_is_asked_for_after_as_many_days_as_the_table_says() -> None:
    """Not a day earlier; and not at all once a copy was handed out, until that is as old."""
    clock = Clock()
    app = app_at(clock)
    walking(app)
    days = app.trade.keeping.copy_asked_after_days
    said: list[bool] = []
    for day in (0, days - 1, days):
        clock.now = NOW_MS + day * DAY_MS + DAY_MS // 2
        said.append(bool(nudge(app.history, app.trade, joined=False)))
    assert said == [False, False, True]
    note_copy(app.history)
    assert (nudge(app.history, app.trade, joined=False), copy_age(app.history)) == ("", "today")
    clock.now += days * DAY_MS
    assert f"{days} days old" in nudge(app.history, app.trade, joined=False)


def test_nobody_with_a_hub_or_without_records_is_asked_for_a_copy() -> None:
    """A hub holds another copy, and an empty bench has nothing to lose."""
    clock = Clock()
    app = app_at(clock)
    clock.now += 400 * DAY_MS
    assert nudge(app.history, app.trade, joined=False) == ""
    clock.now = NOW_MS
    walking(app)
    clock.now += 400 * DAY_MS
    assert nudge(app.history, app.trade, joined=True) == ""
    assert nudge(app.history, app.trade, joined=False) != ""


def test_the_nudge_is_shown_before_the_jobs_only() -> None:
    """Never in a walk: no view but home can carry it."""
    app = fresh_app()
    shown = walking(app)
    app.remind(lambda: "A copy, please.")
    assert not hasattr(shown, "nudge")
    home = app.do(do.GoHome())
    assert isinstance(home, views.HomeView) and home.nudge == "A copy, please."


# --- the storage ---


def test_two_devices_with_one_history_read_the_same_digest_to_each_other() -> None:
    """Equal after a copy was taken in, whatever the order; another with one more entry."""
    one, other = fresh_app(), fresh_app()
    walking(one)
    other.history.merge(one.history.export())
    assert digest_of(one.history) == digest_of(other.history)
    one.do(do.Feel(Contact.LIGHT))
    assert digest_of(one.history) != digest_of(other.history)


def test_the_storage_page_counts_what_is_there_and_reads_as_text() -> None:
    """Entries, devices and what was set aside are the history's own; each fact is a line."""
    app = fresh_app()
    walking(app)
    Quarantine(app.disc).keep_events(app.history.events_after({}), "fork")
    app.do(do.SeeRecords())
    app.device.storage_facts = (("Records are in", "private files"),)
    shown = app.do(kdo.SeeHealth())
    assert isinstance(shown, views.HealthView)
    facts, count = dict(shown.lines), sum(app.history.vector.values())
    assert facts["Entries"] == str(count)
    assert facts["Records are in"] == "private files"
    assert facts["Set aside"] == f"{count}: another entry has the same number"
    assert set_aside(fresh_app().history) == "nothing"
    assert as_text(shown).splitlines() == [f"{name}: {value}" for name, value in shown.lines]


def test_a_record_that_takes_nothing_more_says_so_and_can_still_be_handed_out() -> None:
    """After a failed write home and the storage page say it; the copy is whole."""
    app = fresh_app()
    walking(app)
    before = list(app.history.events_after({}))
    app.disc.broken = True
    with pytest.raises(HistoryError):
        app.do(do.Feel(Contact.LIGHT))
    parcel = unpack(app.history.export())
    assert parcel.complete and parcel.events == before
    app.session.leave()
    home = app.view()
    assert isinstance(home, views.HomeView)
    assert home.notices == (str(app.history.trouble),)
    app.do(do.SeeRecords())
    shown = app.do(kdo.SeeHealth())
    assert isinstance(shown, views.HealthView) and dict(shown.lines)["Writing"] != "works"


# --- erasing ---


def asked(app: DiscApp, what: str, name: str) -> views.SureView:
    """The question before erasing."""
    app.do(kdo.SeeErasure())
    shown = app.do(kdo.AskErase(what, name))
    assert isinstance(shown, views.SureView)
    return shown


def test_nothing_is_erased_before_it_is_said_twice_or_after_it_is_kept_after_all() -> None:
    """Asking records nothing; a promise is listed until it is taken back."""
    app = fresh_app()
    name = one_instrument(app)
    before = app.history.vector
    asked(app, "instrument", name)
    assert app.history.vector == before
    shown = app.do(kdo.Erase())
    assert isinstance(shown, views.ErasureView)
    (promise,) = shown.promised
    again = app.do(kdo.Erase())
    assert isinstance(again, views.ErasureView) and again.promised == (promise,)
    kept = app.do(kdo.KeepAfterAll(promise.key))
    assert isinstance(kept, views.ErasureView) and kept.promised == ()


def test_what_is_due_is_gone_and_what_was_open_ends_in_a_calm_page() -> None:
    """After the days of the table a purge takes the content; the open job says that it is gone,
    whatever is touched there, and leads home; nothing of the owner is in the storage."""
    clock = Clock()
    app = app_at(clock)
    name = one_instrument(app, "Larkspur")
    (line,) = app.history.open_jobs()
    asked(app, "owner", "Larkspur")
    app.do(kdo.Erase())
    app.do(do.OpenJob(line.id))
    days = app.trade.keeping.erased_gone_after_days
    clock.now += days * DAY_MS - 1
    assert not app.history.purge()
    clock.now += 1
    assert app.history.purge()
    app.history_changed()
    shown = app.do(do.SetComplaint("buzz open"))
    assert isinstance(shown, views.TroubleView) and shown.can_go_on
    assert app.do(do.GoOn()) == views.HomeView(())
    assert app.history.instrument(name) is None
    assert not any(b"Larkspur" in bytes(data) for data in app.disc.files.values())


ROOMS: tuple[tuple[str, Callable[[DiscApp, str, str], object]], ...] = (
    ("job", lambda app, name, job: app.do(do.OpenJob(job))),
    ("instrument", lambda app, name, job: app.do(ido.SeeInstrument(name))),
    ("strings", lambda app, name, job: app.do(ido.SeeStrings())),
    ("sheet", lambda app, name, job: (app.do(do.OpenJob(job)), app.do(do.SeeSheet()))),
    ("pad", lambda app, name, job: (app.do(do.OpenJob(job)), app.do(do.TypeNumber()))),
    ("settings", lambda app, name, job: (app.do(do.OpenJob(job)), app.do(do.SeeSettings()))),
)


@pytest.mark.parametrize(("room", "enter"), ROOMS, ids=[room for room, _ in ROOMS])
def test_whatever_room_is_open_when_its_matter_vanishes_nothing_breaks(
    room: str, enter: Callable[[DiscApp, str, str], object]
) -> None:
    """From every kind of room, going on and going back both end at home."""
    for command in (do.GoOn(), do.Back(), do.Undo(), do.SeePlan()):
        clock = Clock()
        app = app_at(clock)
        name = one_instrument(app)
        (line,) = app.history.open_jobs()
        enter(app, name, line.id)
        app.history.erase(("instrument", name), NOW_MS + 1)
        clock.now += GRACE_MS
        assert app.history.purge()
        app.history_changed()
        app.view()
        for each in (command, do.Back(), do.Back(), do.GoOn(), do.GoHome()):
            shown = app.do(each)
        assert shown == views.HomeView(()), room


def test_everything_of_an_owner_is_every_instrument_with_that_tag_and_no_other() -> None:
    """Two of one owner go, the third stays."""
    clock = Clock()
    app = app_at(clock)
    one_instrument(app, "Larkspur")
    kept = one_instrument(app, "Tansy")
    one_instrument(app, "Larkspur")
    sure = asked(app, "owner", "Larkspur")
    assert "2 instruments of Larkspur" in sure.lines[0]
    app.do(kdo.Erase())
    clock.now += 8 * DAY_MS
    assert app.history.purge()
    assert [line.id for line in app.history.instruments()] == [kept]
    assert len(app.history.jobs()) == 1


def test_one_job_can_go_and_leave_the_instrument() -> None:
    """The promise names that job; afterwards the other job is still there."""
    clock = Clock()
    app = app_at(clock)
    name = one_instrument(app)
    first = app.history.jobs()[0].id
    app.do(ido.NewJobOn(name))
    app.do(ido.SeeInstrument(name))
    asked(app, "job", first)
    shown = app.do(kdo.Erase())
    assert isinstance(shown, views.ErasureView)
    assert [choice.label.split(" of ")[0] for choice in shown.promised] == ["The job"]
    clock.now += 8 * DAY_MS
    assert app.history.purge()
    assert first not in [line.id for line in app.history.jobs()]
    assert app.history.instrument(name) is not None


# --- cleared ---


def test_a_cleared_bench_is_no_cheerful_home_until_somebody_says_so() -> None:
    """A copy taken in brings the jobs; the page with the ways back is shown until then."""
    lost, app = fresh_app(), fresh_app()
    walking(lost)
    app.device.records_cleared = True
    assert isinstance(app.view(), views.ClearedView)
    assert isinstance(app.do(do.GoHome()), views.ClearedView)
    app.history.merge(lost.history.export())
    assert isinstance(app.view(), views.HomeView)

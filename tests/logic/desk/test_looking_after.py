"""Copies, the storage's health, erasing, and what is no longer there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from logic.desk import commands as do
from logic.desk import instrument_commands as ido
from logic.desk import keeping_commands as kdo
from logic.desk import views
from logic.desk.copies import DAY_MS, copy_age, note_copy, nudge
from logic.desk.storage_health import as_text, digest_of, set_aside
from logic.history.aside import Aside
from logic.history.portable import unpack
from shared.errors import HistoryError
from shared.job import Contact
from tests.logic.desk.bench import Disc, DiscDesk, fresh_desk, walking

NOW_MS = 1_700_000_000_000


@dataclass
class Clock:
    """A wall clock that stands until it is set."""

    now: int = NOW_MS

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        return self.now


def desk_at(clock: Clock) -> DiscDesk:
    """A desk whose time is the test's."""
    return DiscDesk(Disc(), 1, clock)


def one_instrument(desk: DiscDesk, owner: str = "") -> str:
    """Start a job on an instrument of `owner`; the instrument, its page shown."""
    before = {line.id for line in desk.history.instruments()}
    walking(desk)
    (name,) = {line.id for line in desk.history.instruments()} - before
    desk.do(ido.SeeInstrument(name))
    if owner:
        desk.do(ido.SeeName())
        desk.do(ido.SaveName("Blue hollow body", owner))
    return name


# --- copies ---


def test_a_copy_is_asked_for_after_as_many_days_as_the_table_says() -> None:
    """Not a day earlier; and not at all once a copy was handed out, until that is as old."""
    clock = Clock()
    desk = desk_at(clock)
    walking(desk)
    days = desk.trade.tables["keeping"]["copy"]["ask_after_days"]
    said: list[bool] = []
    for day in (0, days - 1, days):
        clock.now = NOW_MS + day * DAY_MS + DAY_MS // 2
        said.append(bool(nudge(desk.history, desk.trade, joined=False)))
    assert said == [False, False, True]
    note_copy(desk.history)
    assert (nudge(desk.history, desk.trade, joined=False), copy_age(desk.history)) == ("", "today")
    clock.now += days * DAY_MS
    assert f"{days} days old" in nudge(desk.history, desk.trade, joined=False)


def test_nobody_with_a_hub_or_without_records_is_asked_for_a_copy() -> None:
    """A hub holds another copy, and an empty bench has nothing to lose."""
    clock = Clock()
    desk = desk_at(clock)
    clock.now += 400 * DAY_MS
    assert nudge(desk.history, desk.trade, joined=False) == ""
    clock.now = NOW_MS
    walking(desk)
    clock.now += 400 * DAY_MS
    assert nudge(desk.history, desk.trade, joined=True) == ""
    assert nudge(desk.history, desk.trade, joined=False) != ""


def test_the_nudge_is_shown_before_the_jobs_only() -> None:
    """Never in a walk: no view but home can carry it."""
    desk = fresh_desk()
    shown = walking(desk)
    desk.nudge = lambda: "A copy, please."
    assert not hasattr(shown, "nudge")
    home = desk.do(do.GoHome())
    assert isinstance(home, views.HomeView) and home.nudge == "A copy, please."


# --- the storage ---


def test_two_devices_with_one_history_read_the_same_digest_to_each_other() -> None:
    """Equal after a copy was taken in, whatever the order; another with one more entry."""
    one, other = fresh_desk(), fresh_desk()
    walking(one)
    other.history.merge(one.history.export())
    assert digest_of(one.history) == digest_of(other.history)
    one.do(do.Feel(Contact.LIGHT))
    assert digest_of(one.history) != digest_of(other.history)


def test_the_storage_page_counts_what_is_there_and_reads_as_text() -> None:
    """Entries, devices and what was set aside are the history's own; each fact is a line."""
    desk = fresh_desk()
    walking(desk)
    Aside(desk.disc).keep_events(desk.history.events_after({}), "fork")
    desk.do(do.SeeRecords())
    desk.device_facts = (("Records are in", "private files"),)
    shown = desk.do(kdo.SeeHealth())
    assert isinstance(shown, views.HealthView)
    facts, count = dict(shown.lines), sum(desk.history.vector.values())
    assert facts["Entries"] == str(count)
    assert facts["Records are in"] == "private files"
    assert facts["Set aside"] == f"{count}: another entry has the same number"
    assert set_aside(fresh_desk().history) == "nothing"
    assert as_text(shown).splitlines() == [f"{name}: {value}" for name, value in shown.lines]


def test_a_record_that_takes_nothing_more_says_so_and_can_still_be_handed_out() -> None:
    """After a failed write home and the storage page say it; the copy is whole."""
    desk = fresh_desk()
    walking(desk)
    before = list(desk.history.events_after({}))
    desk.disc.broken = True
    with pytest.raises(HistoryError):
        desk.do(do.Feel(Contact.LIGHT))
    parcel = unpack(desk.history.export())
    assert parcel.complete and parcel.events == before
    desk.floor.leave()
    home = desk.view()
    assert isinstance(home, views.HomeView)
    assert home.notices == (str(desk.history.trouble),)
    desk.do(do.SeeRecords())
    shown = desk.do(kdo.SeeHealth())
    assert isinstance(shown, views.HealthView) and dict(shown.lines)["Writing"] != "works"


# --- erasing ---


def asked(desk: DiscDesk, what: str, name: str) -> views.SureView:
    """The question before erasing."""
    desk.do(kdo.SeeErasure())
    shown = desk.do(kdo.AskErase(what, name))
    assert isinstance(shown, views.SureView)
    return shown


def test_nothing_is_erased_before_it_is_said_twice_or_after_it_is_kept_after_all() -> None:
    """Asking records nothing; a promise is listed until it is taken back."""
    desk = fresh_desk()
    name = one_instrument(desk)
    before = desk.history.vector
    asked(desk, "instrument", name)
    assert desk.history.vector == before
    shown = desk.do(kdo.Erase())
    assert isinstance(shown, views.ErasureView)
    (promise,) = shown.promised
    again = desk.do(kdo.Erase())
    assert isinstance(again, views.ErasureView) and again.promised == (promise,)
    kept = desk.do(kdo.KeepAfterAll(promise.key))
    assert isinstance(kept, views.ErasureView) and kept.promised == ()


def test_what_is_due_is_gone_and_what_was_open_ends_in_a_calm_page() -> None:
    """After the days of the table a purge takes the content; the open job says that it is gone,
    whatever is touched there, and leads home; nothing of the owner is in the storage."""
    clock = Clock()
    desk = desk_at(clock)
    name = one_instrument(desk, "Larkspur")
    (line,) = desk.history.open_jobs()
    asked(desk, "owner", "Larkspur")
    desk.do(kdo.Erase())
    desk.do(do.OpenJob(line.id))
    days = desk.trade.tables["keeping"]["erase"]["gone_after_days"]
    clock.now += days * DAY_MS - 1
    assert not desk.history.purge()
    clock.now += 1
    assert desk.history.purge()
    desk.look_again()
    shown = desk.do(do.SetComplaint("buzz open"))
    assert isinstance(shown, views.TroubleView) and shown.can_go_on
    assert desk.do(do.GoOn()) == views.HomeView(())
    assert desk.history.instrument(name) is None
    assert not any(b"Larkspur" in bytes(data) for data in desk.disc.files.values())


ROOMS: tuple[tuple[str, Callable[[DiscDesk, str, str], object]], ...] = (
    ("job", lambda desk, name, job: desk.do(do.OpenJob(job))),
    ("instrument", lambda desk, name, job: desk.do(ido.SeeInstrument(name))),
    ("strings", lambda desk, name, job: desk.do(ido.SeeStrings())),
    ("sheet", lambda desk, name, job: (desk.do(do.OpenJob(job)), desk.do(do.SeeSheet()))),
    ("pad", lambda desk, name, job: (desk.do(do.OpenJob(job)), desk.do(do.TypeNumber()))),
    ("settings", lambda desk, name, job: (desk.do(do.OpenJob(job)), desk.do(do.SeeSettings()))),
)


@pytest.mark.parametrize(("room", "enter"), ROOMS, ids=[room for room, _ in ROOMS])
def test_whatever_room_is_open_when_its_matter_vanishes_nothing_breaks(
    room: str, enter: Callable[[DiscDesk, str, str], object]
) -> None:
    """From every kind of room, going on and going back both end at home."""
    for command in (do.GoOn(), do.Back(), do.Undo(), do.SeePlan()):
        clock = Clock()
        desk = desk_at(clock)
        name = one_instrument(desk)
        (line,) = desk.history.open_jobs()
        enter(desk, name, line.id)
        desk.history.erase(("instrument", name), NOW_MS + 1)
        clock.now += 10
        assert desk.history.purge()
        desk.look_again()
        desk.view()
        for each in (command, do.Back(), do.Back(), do.GoOn(), do.GoHome()):
            shown = desk.do(each)
        assert shown == views.HomeView(()), room


def test_everything_of_an_owner_is_every_instrument_with_that_tag_and_no_other() -> None:
    """Two of one owner go, the third stays."""
    clock = Clock()
    desk = desk_at(clock)
    one_instrument(desk, "Larkspur")
    kept = one_instrument(desk, "Tansy")
    one_instrument(desk, "Larkspur")
    sure = asked(desk, "owner", "Larkspur")
    assert "2 instruments of Larkspur" in sure.lines[0]
    desk.do(kdo.Erase())
    clock.now += 8 * DAY_MS
    assert desk.history.purge()
    assert [line.id for line in desk.history.instruments()] == [kept]
    assert len(desk.history.jobs()) == 1


def test_one_job_can_go_and_leave_the_instrument() -> None:
    """The promise names that job; afterwards the other job is still there."""
    clock = Clock()
    desk = desk_at(clock)
    name = one_instrument(desk)
    first = desk.history.jobs()[0].id
    desk.do(ido.NewJobOn(name))
    desk.do(ido.SeeInstrument(name))
    asked(desk, "job", first)
    shown = desk.do(kdo.Erase())
    assert isinstance(shown, views.ErasureView)
    assert [choice.label.split(" of ")[0] for choice in shown.promised] == ["The job"]
    clock.now += 8 * DAY_MS
    assert desk.history.purge()
    assert first not in [line.id for line in desk.history.jobs()]
    assert desk.history.instrument(name) is not None


# --- cleared ---


def test_a_cleared_bench_is_no_cheerful_home_until_somebody_says_so() -> None:
    """A copy taken in brings the jobs; the page with the ways back is shown until then."""
    lost, desk = fresh_desk(), fresh_desk()
    walking(lost)
    desk.cleared = True
    assert isinstance(desk.view(), views.ClearedView)
    assert isinstance(desk.do(do.GoHome()), views.ClearedView)
    desk.history.merge(lost.history.export())
    assert isinstance(desk.view(), views.HomeView)

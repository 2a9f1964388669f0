"""The grace that each device gives a promise, and what no promise ever covers."""

from __future__ import annotations

from typing import Any

import pytest

from logic.history.exchange.erasing import DAY_MS, GRACE_DAYS, GRACE_MS
from logic.history.journal.promise_notes import PROMISES_FILE
from logic.history.snapshots.snapshot import snapshot_files
from logic.trade_loader import load_trade_tables
from tests.logic.history.factory import setting
from tests.logic.history.promising import (
    EVERYTHING_EVER,
    START_MS,
    bench,
    erasure,
    proof,
    weapon,
)


def test_the_grace_is_that_of_the_app_s_own_table() -> None:
    """What is said of the days on the screens is what each device does."""
    assert load_trade_tables().keeping.erased_gone_after_days == GRACE_DAYS


@pytest.mark.parametrize("time", ["1.0", f"{START_MS + 1}.0", "99999999999999.0"])
def test_nothing_goes_on_the_day_a_promise_arrives(time: str) -> None:
    """Whatever dates it bears: the grace counts from the day this device first saw it, and until
    that is over a call-back keeps everything."""
    clock, (device,) = bench(1)
    promise = weapon(device, time, have=proof(device))
    device.history.merge_events([promise])
    device.restart()
    clock.wait(GRACE_DAYS - 0.01)
    device.restart()
    assert device.whole()
    device.history.undo(promise.id)
    clock.wait(1000)
    device.restart()
    assert device.whole()


@pytest.mark.parametrize("place", ["first", "last", "due"])
def test_a_promise_whose_numbers_are_text_stops_no_device(place: str) -> None:
    """A member's, over a hub, with all else right: it is kept as an entry; every start and every
    look at what is promised goes on, then and when its days would be over."""
    clock, (device, other) = bench()
    have = proof(device)
    for runs in have.values():
        first, last, digest = runs[0]
        texts = {"first": [str(first), last, digest], "last": [first, str(last), digest]}
        runs[0] = texts.get(place, runs[0])
    due: Any = "0" if place == "due" else 0
    device.history.merge_events([weapon(device, f"{START_MS + 1}.0", have=have, due=due)])
    for _ in range(2):
        assert device.history.promised() == ()
        device.restart()
        clock.wait(GRACE_DAYS)
    other.hear(device)
    assert device.whole() and other.whole()


@pytest.mark.parametrize("days_ahead", [1, 365, 365 * 70])
def test_a_clock_that_was_ahead_at_first_sight_lets_nothing_go_early(days_ahead: int) -> None:
    """The days begin with the one that the clock said then, also once it is right again, and after
    a start with an empty battery, in 1970."""
    clock, (device,) = bench(1)
    clock.wait(days_ahead)
    device.history.merge_events([weapon(device, f"{START_MS + 1}.0", have=proof(device))])
    for now_ms in (START_MS, 0, START_MS + (days_ahead + GRACE_DAYS) * DAY_MS - 1):
        clock.now = now_ms
        device.restart()
        assert device.whole()
    clock.now += 1
    device.restart()
    assert device.gone()


@pytest.mark.parametrize("loses", ["nothing", "snapshots", "copy"])
def test_the_grace_goes_on_over_a_restart(loses: str) -> None:
    """And over the loss of the snapshot; what was restored from a copy of the files goes on too."""
    clock, (device,) = bench(1)
    device.history.erase(("job", "j1"), due_ms=0)
    device.history.save_snapshot()
    clock.wait(GRACE_DAYS - 1)
    if loses == "snapshots":
        for name in snapshot_files(list(device.files)):
            del device.files[name]
    elif loses == "copy":
        device.files = {name: bytearray(data) for name, data in device.files.items()}
    device.restart()
    assert device.whole()
    clock.wait(1)
    device.restart()
    assert device.gone()


def test_a_device_that_lost_its_note_starts_the_grace_anew() -> None:
    """It sees the promise for the first time, as far as it knows."""
    clock, (device,) = bench(1)
    device.history.erase(("job", "j1"), due_ms=0)
    clock.wait(GRACE_DAYS - 1)
    del device.files[PROMISES_FILE]
    device.restart()
    clock.wait(GRACE_DAYS - 1)
    device.restart()
    assert device.whole()
    clock.wait(1)
    device.restart()
    assert device.gone()


def test_a_damaged_note_starts_the_grace_anew_and_stops_nothing() -> None:
    """Nor does a note that a later version wrote in its own way."""
    clock, (device,) = bench(1)
    device.history.erase(("job", "j1"), due_ms=0)
    device.files[PROMISES_FILE][30:40] = b"?" * 10
    clock.wait(GRACE_DAYS)
    device.restart()
    assert device.whole()
    clock.wait(GRACE_DAYS)
    device.restart()
    assert device.gone()


def test_a_promise_is_due_no_earlier_than_it_says() -> None:
    """Its author may give more time than the grace of each device."""
    clock, (device,) = bench(1)
    device.history.erase(("job", "j1"), due_ms=clock.now + 30 * DAY_MS)
    clock.wait(29)
    device.restart()
    assert device.whole()
    clock.wait(1)
    device.restart()
    assert device.gone()


def test_every_promise_is_told_with_whose_it_is_and_when_it_goes_here() -> None:
    """What a device says of it before and after its time; once all is gone, nothing."""
    clock, (device, other) = bench()
    promise = other.history.erase(("job", "j1"), due_ms=0)
    clock.wait(1)
    device.hear(other)
    (told,) = device.history.promised()
    assert told.event.device == "b1" and told.gone_ms == clock.now + GRACE_MS
    assert [each.id for each in told.entries] == ["a1:1", "a1:2", "a1:3"]
    device.history.undo(promise.id)
    assert device.history.promised() == ()


# --- what was not there yet ---


@pytest.mark.parametrize("older", [False, True])
@pytest.mark.parametrize("time", ["99999999999999.0", f"{START_MS + 1}.0"])
def test_numbers_that_are_not_there_yet_are_never_erased(older: bool, time: str) -> None:
    """Neither by a promise with `have` nor by one of an older app that is dated ahead."""
    clock, (device,) = bench(1)
    have = None if older else proof(device)
    device.history.merge_events([weapon(device, time, have=have)])
    device.history.record(*setting("unit", "mm"))
    clock.wait(1)
    device.restart()
    device.history.record(*setting("hand", "left"))
    clock.wait(1000)
    device.restart()
    assert (device.history.setting("unit"), device.history.setting("hand")) == ("mm", "left")
    assert device.gone()


def test_a_promise_without_a_proof_erases_nothing() -> None:
    """Whoever does not know the entries cannot have them erased by naming their numbers."""
    clock, (device,) = bench(1)
    have = {name: [[1, 3, "0" * 64], [1, EVERYTHING_EVER, "1" * 64]] for name in ("a1", "b1")}
    device.history.merge_events([weapon(device, have=have)])
    clock.wait(1000)
    device.restart()
    assert device.whole()


def test_a_promise_of_before_there_was_have_still_erases_what_was_older() -> None:
    """What an older app promised, of entries that it held."""
    clock, (device,) = bench(1)
    promise = erasure(events={"a1": [[1, 3]]}, due=START_MS, time=f"{START_MS + 1}.0")
    device.history.merge_events([promise])
    clock.wait(GRACE_DAYS)
    device.restart()
    assert device.gone()

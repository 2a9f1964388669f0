"""Promises in files that are passed by hand: a person is asked, and all else is taken in."""

from __future__ import annotations

import pytest

from logic.history.exchange.erasing import GRACE_DAYS, GRACE_MS
from shared.errors import InputError
from tests.logic.history.factory import all_events, reading, setting
from tests.logic.history.promising import (
    START_MS,
    Device,
    bench,
    file_of,
    meet,
    proof,
    weapon,
)


def test_a_promise_in_a_file_waits_until_a_person_says_yes() -> None:
    """The rest of the file is taken in; a year later nothing has gone. After a yes the grace is
    that of any promise."""
    clock, (device, other) = bench()
    other.history.record(*setting("unit", "mm"))
    promise = weapon(device, f"{START_MS + 1}.0", have=proof(device))
    report = device.history.merge(file_of(promise, *all_events(other.history)))
    assert report.asked == [promise.id] and "1 erasure" in " ".join(report.lines())
    assert device.history.setting("unit") == "mm"
    clock.wait(365)
    device.restart()
    (told,) = device.history.promised()
    assert told.waits and told.gone_ms is None and device.whole()
    assert device.history.merge(file_of(promise)).asked == [promise.id]
    device.history.agree_to_erase(promise.id)
    (told,) = device.history.promised()
    assert not told.waits and told.gone_ms == clock.now + GRACE_MS
    device.restart()
    assert device.whole()
    clock.wait(GRACE_DAYS)
    device.restart()
    assert device.gone() and device.history.promised() == ()


def test_a_no_calls_the_promise_back_for_everybody() -> None:
    """The other devices hear of it when they meet."""
    clock, devices = bench()
    promise = weapon(devices[0], f"{START_MS + 1}.0", have=proof(devices[0]))
    devices[0].history.merge(file_of(promise))
    devices[0].history.undo(promise.id)
    assert devices[0].history.promised() == ()
    meet(*devices)
    clock.wait(1000)
    for device in devices:
        device.restart()
        assert device.whole()


def test_what_a_file_would_erase_is_said() -> None:
    """Of which instrument and job, how many entries, of which devices, and who asks for it."""
    _, (device, other) = bench()
    other.history.record(*reading(4))
    device.hear(other)
    promise = weapon(device, f"{START_MS + 1}.0", have=proof(device))
    device.history.merge(file_of(promise))
    (told,) = device.history.promised()
    assert told.event == promise and told.count_by_device() == {"a1": 3, "b1": 1}
    assert told.documents() == (("job", "j1"),)


def test_a_promise_that_has_nothing_left_to_erase_asks_nobody() -> None:
    """A bench that is restored from its own copy is not asked about what is gone already."""
    clock, (device,) = bench(1)
    device.history.erase(("job", "j1"), due_ms=0)
    clock.wait(GRACE_DAYS)
    device.restart()
    fresh = Device("f", clock)
    assert fresh.history.merge(device.history.export()).asked == []
    assert fresh.history.promised() == ()


def test_unasked_promises_are_noted_before_they_are_kept() -> None:
    """A stop between the two leaves no promise that counts unasked: the note waits for it."""
    clock, (device,) = bench(1)
    promise = weapon(device, f"{START_MS + 1}.0", have=proof(device))
    with pytest.raises(InputError):
        device.history.agree_to_erase(promise.id)
    steps = device.history._do.importer.merge_file_steps(file_of(promise))
    next(steps)
    device.restart()
    clock.wait(1000)
    device.restart()
    assert device.whole()

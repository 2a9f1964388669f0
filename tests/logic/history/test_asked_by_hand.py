"""Promises in files that are passed by hand: a person is asked, and all else is taken in."""

from __future__ import annotations

import pytest

from logic.history.exchange.erasing import GRACE_DAYS, GRACE_MS
from shared.errors import InputError
from shared.events import Event
from tests.logic.history.factory import all_events, reading, setting
from tests.logic.history.promising import (
    START_MS,
    Device,
    bench,
    erasure,
    file_of,
    meet,
    proof,
    rivals,
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


@pytest.mark.parametrize("stays", [True, False])
@pytest.mark.parametrize("how", ["promise first", "promise last", "one file"])
def test_a_promise_that_is_told_again_waits_as_it_did(how: str, stays: bool) -> None:
    """Another entry of its number makes its branch give way, or it makes the other's: under
    whichever name it is here then, it is asked for, nothing goes by it, and a yes lets it go."""
    clock, (device,) = bench(1)
    promise = weapon(device, f"{START_MS + 1}.0", have=proof(device))
    rival = rivals(promise)[stays]
    files = {
        "promise first": [file_of(promise), file_of(rival)],
        "promise last": [file_of(rival), file_of(promise)],
        "one file": [file_of(rival, promise)],
    }[how]
    reports = [device.history.merge(file) for file in files]
    told = device.history.promised()
    assert len(told) == 1 and told[0].waits and (told[0].event.id == promise.id) is stays
    assert how == "promise first" or reports[-1].asked == [told[0].event.id]
    for _ in range(2):
        device.restart()
        clock.wait(1000)
    assert device.whole()
    device.history.agree_to_erase(told[0].event.id)
    clock.wait(GRACE_DAYS)
    device.restart()
    assert device.gone()


def test_a_promise_waits_where_a_hub_s_word_makes_its_branch_give_way() -> None:
    """It is told again unasked by nobody; what had a yes keeps it."""
    clock, (device,) = bench(1)
    promise = weapon(device, f"{START_MS + 1}.0", have=proof(device))
    rival, _ = rivals(promise)
    device.history.merge(file_of(promise))
    (again,) = device.history.rebase([promise], [rival])
    assert [each.event.id for each in device.history.promised() if each.waits] == [again.id]
    clock.wait(1000)
    device.restart()
    assert device.whole()


def test_a_yes_holds_for_a_promise_that_is_told_again() -> None:
    """Its days begin anew, and nobody is asked a second time."""
    clock, (device,) = bench(1)
    promise = weapon(device, f"{START_MS + 1}.0", have=proof(device))
    device.history.merge(file_of(promise))
    device.history.agree_to_erase(promise.id)
    device.history.rebase([promise], [rivals(promise)[0]])
    (told,) = device.history.promised()
    assert told.event.id != promise.id and told.gone_ms == clock.now + GRACE_MS


def test_a_false_claim_to_tell_a_promise_again_is_no_yes() -> None:
    """It names one that counts as what it was at first, and its branch gives way: it waits."""
    _, (device, other) = bench()
    counts = other.history.erase(("job", "j1"), due_ms=0)
    device.hear(other)
    made = weapon(device, f"{START_MS + 1}.0", have=proof(device))
    was = {"was": {"event": counts.id, "digest": counts.digest}}
    promise = Event.read(made.wire() | was)
    device.history.merge(file_of(rivals(promise)[0]))
    device.history.merge(file_of(promise))
    assert sorted(each.waits for each in device.history.promised()) == [False, True]


def test_a_promise_whose_proof_comes_later_is_asked_for_now() -> None:
    """It names only what is here and proves it by an entry that is not: that it covers nothing yet
    does not make it count."""
    clock, (other, device) = bench()
    before = device.history.vector
    other.history.record(*reading(4))
    named = {name: [[1, seq]] for name, seq in before.items()}
    promise = erasure(events=named, time=f"{START_MS + 1}.0", have=proof(other))
    assert device.history.merge(file_of(promise)).asked == [promise.id]
    device.hear(other)
    clock.wait(1000)
    device.restart()
    job = device.history.job("j1")
    assert job is not None and len(job.readings) == 3

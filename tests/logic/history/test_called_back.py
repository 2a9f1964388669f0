"""Promises that are called back, in whatever order the devices hear of it."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.exchange.erasing import GRACE_DAYS, standing_erasures
from shared.events import Event, redacted
from tests.logic.history.factory import all_events, documents, opened
from tests.logic.history.promising import Device, Wall, bench, erasure, file_of, meet, undo


def test_what_is_gone_here_comes_back_from_whoever_holds_it() -> None:
    """The device that heard of the promise later called it back within its own grace."""
    clock, (early, late) = bench()
    promise = early.history.erase(("job", "j1"), due_ms=0)
    clock.wait(GRACE_DAYS - 1)
    late.hear(early)
    clock.wait(2)
    early.restart()
    assert early.gone() and late.whole()
    late.history.undo(promise.id)
    early.hear(late)
    assert early.whole() and documents(early.history) == documents(late.history)
    early.restart()
    assert early.whole() and early.history.report.clean


def test_it_comes_back_by_file_too_and_a_made_up_entry_does_not() -> None:
    """Only the entry whose digest the redacted one names takes its place."""
    clock, (device,) = bench(1)
    copy = device.history.export()
    promise = device.history.erase(("job", "j1"), due_ms=0)
    clock.wait(GRACE_DAYS)
    device.restart()
    assert device.history.merge(copy).refilled == 0 and device.gone()
    device.history.undo(promise.id)
    first = all_events(device.history)[0]
    made_up = Event(first.bench, first.device, 1, first.time, *opened("j9"))
    assert device.history.merge(file_of(made_up)).refilled == 0
    report = device.history.merge(copy)
    assert report.refilled == 3 and "3 entries" in " ".join(report.lines())
    assert device.whole() and device.history.merge(copy).refilled == 0


def test_taking_a_call_back_back_erases_nothing() -> None:
    """Long after the grace is over, that would leave nobody any time."""
    clock, (device,) = bench(1)
    promise = device.history.erase(("job", "j1"), due_ms=0)
    back = device.history.undo(promise.id)
    clock.wait(1000)
    device.history.undo(back.id)
    device.restart()
    assert device.whole()


def test_a_call_back_counts_though_somebody_brought_it_without_content_before() -> None:
    """Its redacted form under its number, from a member who would have the promise stand: the
    content of the call-back comes all the same, and what it keeps is kept."""
    clock, (writer, device) = bench()
    promise = writer.history.erase(("job", "j1"), due_ms=0)
    device.hear(writer)
    back = undo(1, promise.id, f"{clock.now}.0")
    device.history.merge_events([redacted(back)])
    device.history.merge_events([back])
    device.history.purge()
    clock.wait(1000)
    device.restart()
    assert device.whole() and device.history.promised() == ()


def test_a_call_back_cannot_be_erased_away() -> None:
    """A second promise that names it leaves it, so the first stays called back."""
    clock, (device,) = bench(1)
    promise = device.history.erase(("job", "j1"), due_ms=0)
    back = device.history.undo(promise.id)
    head = device.history.journal.heads["a1"]
    have = {"a1": [[1, head.seq, head.digest]]}
    second = erasure(9, events={"a1": [[back.seq, back.seq]]}, have=have)
    device.history.merge_events([second])
    clock.wait(1000)
    device.restart()
    assert device.whole()


Act = Callable[[Wall, list[Device]], None]


def _promise(at: int) -> Act:
    def act(_: Wall, devices: list[Device]) -> None:
        if devices[at].whole():
            devices[at].history.erase(("job", "j1"), due_ms=0)

    return act


def _call_back(at: int) -> Act:
    def act(_: Wall, devices: list[Device]) -> None:
        for promised in devices[at].history.promised()[:1]:
            devices[at].history.undo(promised.event.id)

    return act


def _wait(days: int) -> Act:
    def act(clock: Wall, devices: list[Device]) -> None:
        clock.wait(days)
        for device in devices:
            device.restart()

    return act


def _meet(one: int, other: int) -> Act:
    def act(_: Wall, devices: list[Device]) -> None:
        devices[one].hear(devices[other])

    return act


AT = st.integers(0, 2)
ACTS = st.one_of(
    st.builds(_promise, AT),
    st.builds(_call_back, AT),
    st.builds(_wait, st.integers(1, GRACE_DAYS)),
    st.builds(_meet, AT, AT),
)


@settings(deadline=None, max_examples=60)
@given(st.lists(ACTS, max_size=14))
def test_in_whatever_order_they_meet_all_devices_end_alike(acts: list[Act]) -> None:
    """Where every promise was called back somewhere in time, and anybody still holds the content,
    all have it at the end; where one stands, it is gone from all once its grace is over."""
    clock, devices = bench(3)
    for act in acts:
        act(clock, devices)
    held = any(device.whole() for device in devices)
    meet(*devices)
    standing = standing_erasures(all_events(devices[0].history))
    _wait(GRACE_DAYS)(clock, devices)
    assert documents(devices[0].history) == documents(devices[1].history)
    assert documents(devices[1].history) == documents(devices[2].history)
    for device in devices:
        assert device.whole() if held and not standing else device.gone()

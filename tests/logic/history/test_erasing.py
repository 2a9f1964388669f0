"""Erasures: promised, called back in time or not, carried out to the last byte."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.erasing import (
    DAY_MS,
    GRACE_DAYS,
    GRACE_MS,
    Cover,
    Part,
    Seen,
    have_of,
    is_content,
    part_of,
    spans_of,
    standing_erasures,
    without_content,
)
from logic.history.exchange.portable import pack
from logic.history.journal.promise_notes import PROMISES_FILE
from logic.history.journal.spans import Spans
from logic.history.snapshots.snapshot import snapshot_files
from logic.trade_loader import load_trade_tables
from shared.errors import InputError
from shared.events import Event, Kind, redacted
from tests.logic.history.factory import (
    Named,
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
    setting,
)
from tests.logic.history.test_projection import EVENTS

SECRET = "Blue six-string of the back shelf"
START_MS = 1_790_000_000_000
EVERYTHING_EVER = 2**53 - 1


def erasure(
    seq: int = 1,
    due: int = 0,
    events: dict[str, Any] | None = None,
    time: str = "1.0",
    have: dict[str, Any] | None = None,
) -> Event:
    """A promise to erase, as anybody could write one; without `have` as older apps do."""
    body: dict[str, Any] = {"events": {"a": [[1, 3]]} if events is None else events, "due": due}
    body |= {} if have is None else {"have": have}
    return Event("bench", "x", seq, time, Kind.CONTENT_ERASED, body)


def undo(seq: int, event: str, time: str) -> Event:
    """What takes an event back."""
    body = {"event": event, "touches": ["setting/content erased"]}
    return Event("bench", "u", seq, time, Kind.UNDONE, body)


@given(st.lists(st.sampled_from(EVENTS)))
def test_spans_name_the_events_and_no_others(events: list[Event]) -> None:
    """In any order and with doubles."""
    assert spans_of(events) == Spans.of_numbers((event.device, event.seq) for event in events)


@pytest.mark.parametrize("time", ["0.0", "99.0", "100.0", "99999999999999.0"])
def test_a_call_back_counts_whatever_its_stamp_says(time: str) -> None:
    """No date that somebody wrote decides whether content can still be kept."""
    assert standing_erasures([erasure(1, 100, time="50.0"), undo(2, "x:1", time)]) == {}


def test_a_call_back_is_final() -> None:
    """Taking it back would make a promise stand again that was seen long ago, and erase at once."""
    events = [erasure(1, 100), undo(2, "x:1", "5.0"), undo(3, "u:2", "6.0")]
    assert standing_erasures(events) == {}


@given(
    st.permutations([erasure(1, 9), erasure(2, 50), undo(3, "x:1", "8.0"), undo(4, "u:3", "60.0")])
)
def test_what_stands_does_not_depend_on_the_order_of_arrival(events: list[Event]) -> None:
    """Every device comes to the same erasures."""
    assert set(standing_erasures(events)) == {"x:2"}


def test_an_erasure_that_is_none_erases_nothing() -> None:
    """What does not fit is kept with its event and means nothing to this version."""
    odd = Event("bench", "d", 1, "1.0", Kind.CONTENT_ERASED, {"events": "all", "due": "now"})
    assert standing_erasures([odd]) == {}
    assert standing_erasures([erasure(have={"a": [[1, 3, "no digest"]]})]) == {}


# --- what a promise covers ---


@settings(deadline=None)
@given(st.integers(1, 9), st.integers(0, 9), st.integers(1, 12), st.integers(0, 12))
def test_a_promise_covers_what_it_names_within_what_its_author_held(
    held_upto: int, named_upto: int, first: int, last: int
) -> None:
    """Whatever numbers it names, and however many there are here by now."""
    events = _chain(12)
    have = {"a": [[1, held_upto, events[held_upto - 1].digest]]}
    promise = erasure(events={"a": [[first, last], [1, named_upto]]}, have=have)
    digests = {(each.device, each.seq): each.digest for each in events}
    part = part_of(promise, spans_of(events), digests, Seen(0))
    named = {*range(first, last + 1), *range(1, named_upto + 1)}
    assert {each.seq for each in events if each in part} == named & set(range(1, held_upto + 1))


def test_nobody_can_name_the_digest_of_what_is_not_there_yet() -> None:
    """A `have` with a digest of no entry here proves nothing, and one past what is here waits."""
    events = _chain(9)
    digests = {(each.device, each.seq): each.digest for each in events[:5]}
    for digest, upto in (("0" * 64, 5), ("0" * 64, 9), (events[8].digest, 9)):
        promise = erasure(events={"a": [[1, 9]]}, have={"a": [[1, upto, digest]]})
        assert not part_of(promise, Spans({"a": [(1, 5)]}), digests, Seen(0)).runs


def test_what_is_not_linked_to_what_the_author_held_is_not_covered() -> None:
    """Where entries between are missing, those before them may be anybody's."""
    events = _chain(9)
    digests = {(each.device, each.seq): each.digest for each in events}
    promise = erasure(events={"a": [[1, 9]]}, have={"a": [[1, 9, events[8].digest]]})
    part = part_of(promise, Spans({"a": [(1, 3), (6, 9)]}), digests, Seen(0))
    assert part.runs == Spans({"a": [(6, 9)]})


def test_what_an_author_held_is_told_run_by_run() -> None:
    """Of each run that holds a named entry: its first number, the last named, and its digest."""
    events = _chain(9)
    held = Spans({"a": [(1, 4), (6, 9)], "b": [(1, 2)]})
    have = have_of([events[1], events[2], events[7]], held)
    assert have == {"a": [(1, 3, events[2].digest), (6, 8, events[7].digest)]}


def test_a_promise_of_an_older_app_covers_what_is_older() -> None:
    """It says nothing of what its author held: what it names counts only before it in the order."""
    events = _chain(9)
    promise = erasure(events={"a": [[1, 9]]}, time="1004.9")
    part = part_of(promise, Spans(), {}, Seen(2000))
    assert {each.seq for each in events if each in part} == {1, 2, 3, 4}


def test_a_promise_of_an_older_app_that_is_dated_ahead_reaches_no_further_for_it() -> None:
    """No further past its first sight than clocks lie apart, and here not past what was written."""
    events = _chain(9, start_ms=START_MS, step_ms=DAY_MS)
    promise = erasure(events={"a": [[1, EVERYTHING_EVER]]}, time="99999999999999.0")
    far = part_of(promise, Spans(), {}, Seen(START_MS + DAY_MS))
    assert {each.seq for each in events if each in far} == {1, 2}
    here = part_of(promise, Spans(), {}, Seen(START_MS + 5 * DAY_MS, ("a", 3)))
    assert {each.seq for each in events if each in here} == {1, 2, 3}


def _chain(count: int, start_ms: int = 1000, step_ms: int = 1) -> list[Event]:
    """Entries of one device, each after the other."""
    events: list[Event] = []
    for seq in range(1, count + 1):
        prev = events[-1].digest if events else ""
        time = f"{start_ms + seq * step_ms}.0"
        body = {"name": f"s{seq}", "value": seq}
        events.append(Event("bench", "a", seq, time, Kind.SETTING_CHANGED, body, prev=prev))
    return events


# --- what is put in an event's place ---


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_a_redacted_event_keeps_its_place_and_nothing_it_said(event: Event) -> None:
    """Number, time, link and digest stay; the body and all unknown fields go, twice or once."""
    gone = redacted(event)
    kept = ("bench", "device", "seq", "time", "prev", "digest", "id", "order")
    assert all(getattr(gone, name) == getattr(event, name) for name in kept)
    assert gone.body == {"digest": event.digest} and gone.unknown_fields is None
    assert redacted(gone) == gone


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_erasures_themselves_are_never_erased(event: Event) -> None:
    """Other devices still have to carry them out; everything else goes when it is named."""
    named = Cover((Part(Spans({event.device: [(event.seq, event.seq)]})),))
    gone = without_content(event, named)
    assert (gone == redacted(event)) is is_content(event)
    assert without_content(event, Cover()) is event


def test_what_calls_an_erasure_back_is_never_erased() -> None:
    """Were it gone, the promise would stand again, and its grace would be over."""
    assert not is_content(undo(1, "x:1", "1.0")) and not is_content(erasure())


def _worked(directory: MemoryDirectory, grace_ms: int = 0) -> History:
    history = open_history(directory, grace_ms=grace_ms)
    history.record(*opened("j1", "i1"))
    for string in (6, 5, 4):
        history.record(*reading(string))
    history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})
    return history


@pytest.mark.parametrize("of", [("job", "j1"), ("instrument", "i1")])
def test_a_purge_leaves_no_byte_of_the_content(of: tuple[str, str]) -> None:
    """Journal, snapshots and quarantine are free of it, the chain holds, and all else is there."""
    directory = MemoryDirectory()
    history = _worked(directory)
    history.save_snapshot()
    before = {event.id: event.digest for event in all_events(history)}
    promise = history.erase(of, due_ms=history.now_ms() + 60_000)
    assert not history.purge() and history.job("j1") is not None
    while history.now_ms() < promise.body["due"]:
        pass
    history.purge()
    kept = b"".join(bytes(data) for data in directory.files.values())
    assert SECRET.encode() not in kept
    after = {event.id: event.digest for event in all_events(history)}
    assert {name: after[name] for name in before} == before
    assert history.job("j1") is None and history.setting("unit") == "mm"
    again = reopened(directory, "x")
    assert documents(again) == documents(history) and again.report.clean


def test_what_is_due_does_not_come_back_in_a_file() -> None:
    """A copy that was exported before brings the chain again, not the content."""
    history = _worked(MemoryDirectory())
    copy = history.export()
    history.erase(("job", "j1"), due_ms=1)
    assert history.purge()
    report = history.merge(copy)
    assert report.added == 0 and history.job("j1") is None
    fresh = open_history(letter="f", grace_ms=0)
    fresh.merge(history.export())
    fresh.merge(copy)
    assert fresh.job("j1") is None
    assert {event.kind for event in all_events(fresh)} == {
        Kind.REDACTED,
        Kind.CONTENT_ERASED,
        Kind.SETTING_CHANGED,
    }


def test_the_erasure_and_the_content_may_come_together() -> None:
    """Whichever comes first: until its time has come both are here, then the content is gone."""
    history = _worked(MemoryDirectory())
    promise = history.erase(("job", "j1"), due_ms=1)
    events = sorted(all_events(history), key=lambda event: event.id == promise.id, reverse=True)
    for order in (events, events[::-1]):
        fresh = open_history(letter="f", grace_ms=0)
        fresh.merge_events(order)
        assert fresh.job("j1") is not None
        assert fresh.purge() and fresh.job("j1") is None


@settings(deadline=None, max_examples=20)
@given(st.integers(0, 4))
def test_taking_an_erasure_back_in_time_keeps_everything(undone_after: int) -> None:
    """Recorded before it is due, however many entries lie between."""
    history = _worked(MemoryDirectory())
    before = documents(history)["job"]["j1"]
    promise = history.erase(("job", "j1"), due_ms=history.now_ms() + 10**9)
    for _ in range(undone_after):
        history.record(Kind.SETTING_CHANGED, {"name": "hand", "value": "left"})
    history.undo(promise.id)
    assert not history.purge()
    assert documents(history)["job"]["j1"] == before


def test_nothing_can_be_promised_of_what_is_not_here() -> None:
    """The error names what was asked for."""
    history = open_history()
    with pytest.raises(InputError) as caught:
        history.erase(("job", "nowhere"), due_ms=1)
    assert caught.value.found == "'nowhere'"


def test_a_purge_is_done_once() -> None:
    """The second finds nothing pending, and the journal is not written anew for it."""
    history = _worked(MemoryDirectory())
    history.erase(("job", "j1"), due_ms=1)
    assert history.purge() and history.rewrites == 1
    assert not history.purge() and history.rewrites == 1
    history.close()
    assert not history.purge()


# --- the grace of each device ---


@dataclass
class Wall:
    """A wall clock that stands until it is moved; the devices of a bench share one here."""

    now: int = START_MS

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        return self.now

    def wait(self, days: float) -> None:
        """Let days go by."""
        self.now += round(days * DAY_MS)


@dataclass
class Device:
    """One device with files that outlive a restart."""

    letter: str
    clock: Wall
    files: dict[str, bytearray] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._names = Named(self.letter)
        self.restart()

    def restart(self) -> None:
        """Open the same files again, as at every start, and let go of what is to be gone."""
        self.history = History.open(MemoryDirectory(self.files), self.clock, self._names)
        self.history.purge()

    def work(self) -> None:
        """Record a job."""
        self.history.record(*opened("j1", "i1"))
        self.history.record_all([reading(6), reading(5)])

    def hear(self, other: Device) -> None:
        """Take in all that another holds, as over a hub."""
        self.history.merge_events(all_events(other.history))
        self.history.purge()

    def whole(self) -> bool:
        """Whether the job is here with all that was said of it."""
        job = self.history.job("j1")
        return job is not None and len(job.readings) == 2

    def gone(self) -> bool:
        """Whether no file here says anything of it."""
        kept = b"".join(map(bytes, self.files.values()))
        return SECRET.encode() not in kept and self.history.job("j1") is None


def meet(*devices: Device) -> None:
    """Everybody hears everybody, until nobody has anything new to say."""
    for _ in devices:
        for one in devices:
            for other in devices:
                if one is not other:
                    one.hear(other)


def bench(count: int = 2) -> tuple[Wall, list[Device]]:
    """Devices of one bench that all hold the same job."""
    clock = Wall()
    devices = [Device(letter, clock) for letter in "abc"[:count]]
    devices[0].work()
    meet(*devices)
    return clock, devices


def weapon(device: Device, time: str = "1.0", **body: Any) -> Event:
    """A promise that names every number of every device there is, and was due long ago."""
    names = device.history.vector
    return erasure(events={name: [[1, EVERYTHING_EVER]] for name in names}, time=time, **body)


def proof(device: Device) -> dict[str, list[list[Any]]]:
    """What somebody who holds all of the device's history can say to have held."""
    heads = device.history.journal.heads
    return {name: [[1, head.seq, head.digest]] for name, head in heads.items()}


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


# --- by hand ---


def file_of(*events: Event) -> bytes:
    """A history file."""
    return pack(events, "alder-row", "1.0")


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


# --- called back ---


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

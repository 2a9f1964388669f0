"""Two branches of one device where no hub says which one stays: both are everywhere in the end, and
every device comes to the same, in whichever order it hears of them."""

from __future__ import annotations

from itertools import permutations

import pytest

from logic.history import History, MemoryDirectory
from logic.history.exchange.portable import pack
from logic.history.exchange.rebase import branch_name, gives_way, replay
from logic.history.operations.rebaser import MOST_NAMES
from shared.events import Event, Kind
from tests.logic.history.factory import (
    all_events,
    documents,
    open_history,
    opened,
    reading,
    setting,
)


def shown(history: History) -> list[str]:
    """What the readings of the job say."""
    job = history.job("j1")
    assert job is not None
    return sorted(str(getattr(taken.reading, "contact", "")) for taken in job.readings)


def digests(history: History) -> dict[str, str]:
    """By id, of all that is here."""
    return {event.id: event.digest for event in all_events(history)}


def worked() -> tuple[History, list[Event]]:
    """A device that recorded a job, and what it has recorded."""
    bench = open_history(letter="a")
    bench.record(*opened())
    bench.record(*reading(6, contact="none"))
    return bench, all_events(bench)


def forged(after: Event, contact: str = "heavy", number: int = 1) -> Event:
    """The next entry of a device, written by somebody else."""
    kind, body = reading(number, contact=contact)
    seq, time = after.seq + 1, f"{after.stamp.wall_ms + 1}.0"
    return Event("alder-row", after.device, seq, time, str(kind), body, 1, after.digest)


def handed(events: list[Event]) -> bytes:
    """A file of these."""
    return pack(events, "alder-row", "1.0")


def meet(*histories: History) -> None:
    """All take in all that the others hold, until that has gone round."""
    for _ in range(3):
        for one, other in permutations(histories, 2):
            one.merge(other.export())


@pytest.mark.parametrize("tries", range(6))
def test_a_forged_number_costs_nobody_an_entry(tries: int) -> None:
    """Somebody brought the next number of a device before it did, as often with the smaller digest
    as with the larger: what the device recorded is shown everywhere, once, and so is the other."""
    bench, before = worked()
    other = open_history(letter="b")
    other.merge(handed([*before, forged(before[-1], number=1 + tries)]))
    bench.record(*reading(5, contact="light"))
    bench.record(*reading(4, contact="light"))
    meet(bench, other)
    assert shown(bench) == shown(other) == sorted(["none", "light", "light", "heavy"])
    assert documents(bench) == documents(other) and digests(bench) == digests(other)
    bench.record(*reading(3, contact="none"))
    meet(bench, other)
    assert shown(other) == sorted(["none", "light", "light", "heavy", "none"])


def test_the_order_of_hearing_does_not_matter() -> None:
    """Three entries of one number, in each order: the same entries and documents."""
    _, before = worked()
    parts = [handed([*before, forged(before[-1], "heavy", n)]) for n in (1, 2, 3)]
    ends = []
    for order in permutations(parts):
        history = open_history(letter="x")
        for _ in range(2):
            for part in order:
                history.merge(part)
        ends.append((documents(history), digests(history)))
    assert all(end == ends[0] for end in ends)
    assert ends[0][0]["job"]["j1"]["readings"] and len(ends[0][1]) == len(before) + 3


def test_what_does_not_follow_on_gives_way() -> None:
    """An entry that does not link with the one before it, or that the one before it does not link
    with, is the one to go; of one number, the larger digest."""
    _, before = worked()
    good = forged(before[-1])
    loose = Event.read(forged(good).wire() | {"prev": "ab" * 32})
    held = {event.seq: event for event in before}
    assert not gives_way(held | {3: good}, {4: loose})
    assert gives_way(held | {4: loose}, {3: good})
    pair = sorted((good, forged(before[-1], "none")), key=lambda event: event.digest)
    assert gives_way(held | {3: pair[1]}, {3: pair[0]})
    assert not gives_way(held | {3: pair[0]}, {3: pair[1]})
    assert not gives_way(held, {event.seq: event for event in before})


def test_what_a_hub_decided_is_not_turned_back_by_a_file() -> None:
    """A branch that gave way at a hub's word stays told again, though its digest be the smaller."""
    _, before = worked()
    small, large = sorted(
        (forged(before[-1]), forged(before[-1], "none")), key=lambda event: event.digest
    )
    history = open_history(letter="x")
    history.merge(handed([*before, small]))
    history.rebase([small], [large])
    ids = digests(history)
    history.merge(handed([*before, small]))
    assert digests(history) == ids and ids[large.id] == large.digest


def test_an_entry_and_what_tells_it_again_count_once() -> None:
    """However it came about that both are here; what takes back one takes back the other."""
    bench, before = worked()
    bench.merge_events(replay(before[1:]))
    assert shown(bench) == ["none"]
    bench.undo(f"{branch_name(before[1])}:1")
    assert shown(bench) == []


def test_whoever_only_claims_to_tell_an_entry_again_hides_nothing() -> None:
    """Another content under such a name, even with an earlier time, stands beside the entry."""
    bench, before = worked()
    lie = replay(before[1:])[0].wire() | {"time": "5.0", "body": reading(6, contact="light")[1]}
    bench.merge_events([Event.read(lie)])
    assert shown(bench) == sorted(["light", "none"])


def test_a_branch_is_not_told_again_without_end() -> None:
    """Whoever forges the names under which it would be told has it told a few times at most."""
    _, before = worked()
    lost, other = sorted(
        (forged(before[-1]), forged(before[-1], "none")), key=lambda event: event.digest
    )[::-1]
    names, made, branch = [], list[Event](), [lost]
    for _ in range(3 * MOST_NAMES):
        branch = replay(branch)
        names.append(branch[0].device)
        made.append(
            Event.read(
                branch[0].wire()
                | {"kind": str(Kind.SETTING_CHANGED), "body": setting("hand", 1)[1]}
            )
        )
    directory = MemoryDirectory()
    history = open_history(directory, letter="x")
    history.merge(handed([*before, lost]))
    history.merge_events(made)
    held = len(all_events(history))
    history.merge(handed([*before, other]))
    assert len(all_events(history)) <= held + MOST_NAMES

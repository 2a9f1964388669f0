"""Clocks that are far off, and a hub: every entry goes out, and all come to one history."""

from __future__ import annotations

import pytest

from logic.history import History, MemoryDirectory
from logic.history.clock import LAST_TICK
from shared.events import Event, Kind
from tests.hub.hubs import NOW_MS, InProcess, make_hub, meet, new_key
from tests.logic.history.factory import Named, Ticking, documents, opened, reading, setting

ODD_CLOCKS_MS = (-62_135_596_800_000, 0, 10**14 - 1, 10**14, 10**15 - 1, 10**18)


def phone(letter: str, now_ms: int = NOW_MS) -> History:
    """A phone whose clock shows that time."""
    return History.open(MemoryDirectory(), Ticking(now_ms), Named(letter))


async def test_one_far_stamp_stops_nobodys_sync() -> None:
    """A member brings the last stamp that a hub takes; what others write from then on is taken,
    stamped as their own clocks show, and they agree."""
    hub = make_hub()
    way, hers, his = InProcess.of(hub), phone("a"), phone("b")
    far = {"bench": "alder-row", "device": "z1", "seq": 1, "time": f"{10**14 - 1}.{LAST_TICK}"}
    body = {"name": "unit", "value": "cubits"}
    odd = phone("z")
    odd.merge_events([Event.read(far | {"kind": str(Kind.SETTING_CHANGED), "body": body})])
    keys = {history: new_key(hub) for history in (odd, hers, his)}
    for history in (odd, hers, his):
        assert (await meet(history, way, keys[history])).agreed
    made = [*hers.record_all([opened(), reading(), setting("unit", "mm")])]
    made.append(his.record(*setting("count", 1)))
    assert all(abs(event.stamp.wall_ms - NOW_MS) < 1_000_000 for event in made)
    for history in (hers, his, hers, odd):
        outcome = await meet(history, way, keys[history])
        assert outcome.agreed and not outcome.refused
    assert hers.setting("unit") == "mm"
    assert documents(hers) == documents(his) == documents(odd)


@pytest.mark.parametrize("now_ms", ODD_CLOCKS_MS)
async def test_a_phone_with_any_clock_gives_a_hub_what_it_takes(now_ms: int) -> None:
    """A clock at 1970, before it, or past the end of all times: nothing of it is refused."""
    hub, odd, other = make_hub(), phone("a", now_ms), phone("b")
    other.record_all([opened(), setting("unit", "thou")])
    odd.merge(other.export())
    odd.record_all([opened("j2"), reading(), setting("unit", "mm"), *[setting("n", 1)] * 5])
    outcome = await meet(odd, InProcess.of(hub), new_key(hub))
    assert (outcome.agreed, outcome.refused) == (True, {})
    assert (await meet(other, InProcess.of(hub), new_key(hub))).agreed
    assert other.setting("unit") == "mm"
    assert documents(other) == documents(odd)

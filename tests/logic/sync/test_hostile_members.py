"""A member of the bench that means it no good: whatever it sends, the others come to one history,
nothing of theirs is lost, and nothing of its own stands under their names unseen."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import strategies as st
from hypothesis.stateful import initialize, invariant, rule, run_state_machine_as_test

from logic.sync.hub import names, room
from logic.sync.wire import MAX_RUNS, Code, ReceivedReply
from shared.events import Event
from tests.hub.hubs import NOW_MS, Direct, new_key
from tests.hub.stores import KINDS
from tests.logic.history.factory import opened
from tests.logic.sync.test_machine import PHONES, Bench, usual
from tests.logic.sync.world import BENCH, run

FEW_NAMES, FEW_RUNS = 24, 200
"""Bounds that a short run can reach. What honest phones use stays below them."""


class HostileBench(Bench):
    """The bench of `test_machine`, with one member more."""

    @initialize()
    def begin(self) -> None:
        """An empty bench."""
        super().begin()
        self.key = ""
        self.forged: set[tuple[str, str]] = set()
        self.keys: set[str] = set()
        self.count = 0

    @rule(
        phone=PHONES,
        beyond=st.integers(-2, 3),
        linked=st.booleans(),
        claims=st.sampled_from(["", "own", "theirs"]),
    )
    def write_as_another(self, phone: int, beyond: int, linked: bool, claims: str) -> None:
        """It sends an entry under a phone's name: further on, in a gap, or in place of one."""
        name = self.world.phones[phone].history.device
        mine = {each.seq: each for each in self.world.phones[phone].history.events_after({})}
        last = max((seq for seq, each in mine.items() if each.device == name), default=0)
        seq = max(1, last + beyond)
        before = mine.get(seq - 1)
        prev = before.digest if linked and before and before.device == name else ""
        self._send([self._forge(name, seq, prev)], {"own": "x1", "theirs": name}.get(claims, ""))

    @rule(count=st.sampled_from([1, 2, 30]))
    def make_up_names(self, count: int) -> None:
        """It brings entries of devices that never were."""
        self._send([self._forge(f"n{self.count + each}", 1) for each in range(count)], "x1")

    @rule(first=st.integers(1, 400))
    def leave_gaps(self, first: int) -> None:
        """Under its own name it writes every second number only."""
        self._send([self._forge("x1", first + 2 * each) for each in range(30)], "x1")

    @rule(what=st.sampled_from(["no message", "runs", "names", "backwards", "everything"]))
    def send_what_is_none(self, what: str) -> None:
        """It sends what is no message, or one that is hard to answer."""
        have: Any = {
            "no message": {"a1": [["1", 1]]},
            "runs": {"a1": [[2 * n, 2 * n] for n in range(1, MAX_RUNS + 2)]},
            "names": {f"m{n}": [[1, 1]] for n in range(300)},
            "backwards": {"a1": [[9, 1], [5, 5], [1, 9]]},
            "everything": {name: [[1, 2**53 - 1]] for name in ("a1", "b1", "c1")},
        }[what]
        self._send([], "x1", have)

    def trouble_the_hub(self, what: str) -> None:
        """Not here: honest phones would bring back what was made up, and reach these low bounds
        by that."""

    def _forge(self, device: str, seq: int, prev: str = "") -> Event:
        self.count += 1
        event = Event(
            bench="b",
            device=device,
            seq=seq,
            time=f"{NOW_MS + self.count}.0",
            kind="setting.changed",
            prev=prev,
            body={"name": "forged", "value": self.count},
        )
        self.forged.add((event.id, event.digest))
        return event

    def _send(self, events: list[Event], own: str, have: Any = None) -> None:
        """What the hub answers is a reply that every device can read, or a refusal."""
        self.key = self.key or new_key(self.world.hub, BENCH)
        self.keys.add(self.key.split(".")[1])
        sent = {"have": have or {}, "device": own, "events": [each.wire() for each in events]}
        headers = {"Authorization": f"Bearer {self.key}"}
        body = json.dumps(sent).encode()
        try:
            answer = run(Direct(self.world.hub).send("POST", "/v1/exchange", headers, body))
        except ValueError:  # the application answers this with 400
            return
        if answer.status == 401:  # the hub was emptied or played back: it joins again
            self.key = ""
            return
        reply = ReceivedReply.model_validate_json(answer.body)
        assert len(reply.have) <= FEW_NAMES + len(self.keys) + 40
        assert {each.code for each in reply.refused} <= {Code.NAME_TAKEN, Code.FORK, Code.FULL}

    @invariant()
    def nothing_stands_under_anothers_name_unseen(self) -> None:
        """What it made up is under names that no other key wrote under, or the hub tells that it
        came by file."""
        if not hasattr(self, "keys"):
            return
        owned = self.world.hub.database.run(
            lambda now: now.rows("SELECT device, key_id FROM names WHERE via = ''")
        )
        theirs = {device for device, key_id in owned if key_id and key_id not in self.keys}
        held = self.world.hub_events().items()
        under_theirs = {each for each in held if each[0].rpartition(":")[0] in theirs}
        assert not under_theirs & self.forged

    @invariant()
    def the_bench_stays_within_its_bounds(self) -> None:
        """However much is sent."""
        if hasattr(self, "keys"):
            counted = self.world.hub.database.run(
                lambda now: now.rows("SELECT COUNT(*) FROM runs")[0][0]
            )
            assert counted <= FEW_RUNS


@pytest.mark.parametrize("kind", KINDS)
def test_a_hostile_member_breaks_nothing(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """After any sequence of work, faults and malice the honest devices heal as they do without."""
    monkeypatch.setattr(names, "MOST_NAMES", FEW_NAMES * 4)
    monkeypatch.setattr(names, "MOST_NAMES_OF_KEY", FEW_NAMES)
    monkeypatch.setattr(room, "MOST_RUNS", FEW_RUNS)
    machine = type("Hostile", (HostileBench,), {"kind": kind})
    run_state_machine_as_test(machine, settings=usual({"memory": 8}.get(kind, 4), 20))


def test_what_is_made_up_in_a_gap_replaces_nothing() -> None:
    """An entry is made up under a phone's name before that phone meets the hub, at the number of
    one that it holds: the phone leaves the name, and its own entry is told again."""
    machine = type("Hostile", (HostileBench,), {"kind": "memory"})()
    machine.begin()
    phone = machine.world.phones[0]
    for _ in "ab":
        machine.world.record(phone, *opened("j1", "i1"))
    machine.write_as_another(phone=0, beyond=0, linked=False, claims="")
    machine.world.meet(phone, ["fine", "fine", "lost on the way"])
    machine.teardown()

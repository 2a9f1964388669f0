"""Device names: which key of a bench writes under which, and what came under a name by file.

A name is bound to the key that first writes under it. From then on nobody else's word is enough for
an entry under it, with one exception: an entry that a later one of the same device names by its
digest is proven, whoever brings it. A name that no key writes under, as of a device that never
joined, may be brought by anybody, and the hub tells who did.

A device says its name with each message. Versions before that did not, so a key that says none is
taken to write under the one new name that its first entries stand under.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby

from logic.sync.hub.bench_limits import DAY_MS, limits_of
from logic.sync.hub.database import Transaction
from logic.sync.hub.verification import Links, VerifiedEvent

MOST_NAMES = 2000
"""Of a bench. A device takes a new name when it joins and when it was restored from a copy, so this
is decades of a large workshop; messages of every version can hold five times as many."""
MOST_NAMES_OF_KEY = 1000
_LOAD = (
    "SELECT n.device, n.key_id, n.bound, n.declared, n.came_from, n.via, k.revoked_ms,"
    " COALESCE(k.rotated_ms, k.made_ms) FROM names n"
    " LEFT JOIN keys k ON k.key_id = n.key_id WHERE n.bench = ?"
)
_SAVE = (
    "INSERT INTO names (bench, device, key_id, bound, declared, came_from, via)"
    " VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (bench, device) DO UPDATE SET"
    " key_id = excluded.key_id, bound = excluded.bound, declared = excluded.declared,"
    " via = excluded.via"
)
_FORGET = (
    "DELETE FROM names WHERE bench = ? AND device = ? AND bound = 0 AND NOT EXISTS"
    " (SELECT 1 FROM runs r WHERE r.bench = names.bench AND r.device = names.device)"
)
_VIA = (
    "SELECT n.device, k.label FROM names n JOIN keys k ON k.key_id = n.via"
    " WHERE n.bench = ? AND n.via <> '' ORDER BY n.device"
)
_is_branch = re.compile("r[0-9a-f]{31}").fullmatch
"""A name made from a branch that gave way: any device that holds the branch may tell it again."""


@dataclass
class DeviceName:
    """One name. `bound` while the key `key_id` writes under it and may still come in."""

    device: str
    came_from: str
    key_id: str = ""
    bound: bool = False
    declared: bool = False
    via: str = ""

    def bound_to_other(self, key_id: str) -> bool:
        """Whether another key than this one writes under it."""
        return self.bound and self.key_id != key_id


@dataclass
class AdmittedBatch:
    """A batch as far as names decide. `taken` is what stands under somebody else's name."""

    admitted: list[VerifiedEvent] = field(default_factory=list)
    taken: list[VerifiedEvent] = field(default_factory=list)
    too_many: list[VerifiedEvent] = field(default_factory=list)
    """What stands under new names for which the bench has no room."""


class BenchNames:
    """The names of one bench within a transaction, as one key finds them."""

    def __init__(self, transaction: Transaction, bench: str, key_id: str, now_ms: int) -> None:
        self._transaction = transaction
        self._bench = bench
        self._key_id = key_id
        self._changed: dict[str, DeviceName] = {}
        self._released: list[str] = []
        key_days = limits_of(transaction, bench).key_days
        since_ms = now_ms - key_days * DAY_MS if key_days else -1
        self._names: dict[str, DeviceName] = {}
        for device, key, bound, declared, came_from, via, revoked_ms, born_ms in transaction.rows(
            _LOAD, (bench,)
        ):
            live = revoked_ms is None and born_ms is not None and born_ms > since_ms
            self._names[device] = DeviceName(
                device, came_from, key, bool(bound) and live, bool(declared), via
            )

    def bind(self, own: str, batch: Iterable[VerifiedEvent]) -> None:
        """Bind the name that the key writes under: `own`, where the device says it."""
        if own:
            self._bind(own, declared=True)
        elif not self._has_own() and (concluded := self._only_possible_name(batch)):
            self._bind(concluded, declared=False)

    def admit(self, batch: list[VerifiedEvent], kept: Links) -> AdmittedBatch:
        """Which events of `batch` may be kept as far as names decide."""
        found, new_names = AdmittedBatch(), 0
        for device, grouped in groupby(sorted(batch), key=lambda event: event.device):
            events = list(grouped)
            name = self._names.get(device)
            if name is None and not self._room_for_another(new_names):
                found.too_many += events
            elif name and name.bound_to_other(self._key_id):
                provable = _needs_no_word(events, kept)
                found.admitted += [event for event in events if event.seq in provable]
                found.taken += [event for event in events if event.seq not in provable]
            else:
                new_names += name is None
                found.admitted += events
        return found

    def note_arrival(self, fresh: Iterable[VerifiedEvent]) -> None:
        """New entries are kept: of those under a name that no key writes under, note who brought
        them. What was proven by the name's own device needs no such note."""
        for device in {event.device for event in fresh}:
            name = self._names.get(device) or DeviceName(device, self._key_id)
            if name.key_id == self._key_id or name.bound:
                continue
            if device not in self._names or name.via != self._key_id:
                name.via = self._key_id
                self._change(name)

    def save(self) -> None:
        """Keep what changed."""
        rows = [
            (self._bench, n.device, n.key_id, int(n.bound), int(n.declared), n.came_from, n.via)
            for n in self._changed.values()
        ]
        self._transaction.change_all(_SAVE, rows)
        self._transaction.change_all(_FORGET, [(self._bench, name) for name in self._released])

    def _bind(self, own: str, declared: bool) -> None:
        name = self._names.get(own)
        if name and (name.bound_to_other(self._key_id) or (name.bound and name.declared)):
            return
        if name is None and self._has_own() and not self._room_for_another(0):
            return
        self._release(own)
        name = name or DeviceName(own, self._key_id)
        if name.key_id not in ("", self._key_id):
            name.via = name.key_id  # what another key wrote as its own does not become this one's
        name.key_id, name.bound, name.declared = self._key_id, True, declared
        self._change(name)

    def _has_own(self) -> bool:
        return any(name.key_id == self._key_id for name in self._names.values())

    def _release(self, own: str) -> None:
        """A device that writes under a new name writes no more under those before it; and one that
        says its name did not write under what was only concluded."""
        for name in self._names.values():
            if name.bound and name.key_id == self._key_id and name.device != own:
                name.bound = False
                if not name.declared:
                    name.key_id, name.via = "", self._key_id
                self._change(name)
                self._released.append(name.device)

    def _change(self, name: DeviceName) -> None:
        self._names[name.device] = self._changed[name.device] = name

    def _room_for_another(self, already: int) -> bool:
        of_key = sum(name.came_from == self._key_id for name in self._names.values())
        most = min(MOST_NAMES - len(self._names), MOST_NAMES_OF_KEY - of_key)
        return already < most

    def _only_possible_name(self, batch: Iterable[VerifiedEvent]) -> str:
        """The one name among the batch's that the key can write under: the only one there is, or
        the only one whose entries were written at this bench; empty where that is not clear."""
        events = list(batch)
        begin = f'{{"bench":"{self._bench}",'
        for possible in (events, [event for event in events if event.text.startswith(begin)]):
            names = {event.device for event in possible}
            if len(names) == 1 and self._may_be_own(name := names.pop()):
                return name
        return ""

    def _may_be_own(self, device: str) -> bool:
        name = self._names.get(device)
        new = name is None or (not name.key_id and name.came_from == self._key_id)
        return new and not _is_branch(device)


def _needs_no_word(events: list[VerifiedEvent], kept: Links) -> set[int]:
    """The numbers of those `events` of one device, sorted, for which nobody's word is needed: they
    are kept already, disagree with what is kept, or a kept one of the device proves them."""
    found: set[int] = set()
    losing: set[str] = set()
    prev_of = {seq - 1: prev for (device, seq), (_, prev) in kept.items() if device == events[0][0]}
    for event in reversed(events):
        if prev_of.get(event.seq) == event.digest:
            found.add(event.seq)
            prev_of[event.seq - 1] = event.prev
    for event in events:
        before = kept.get((event.device, event.seq - 1))
        disagrees = (before is not None and before[0] != event.prev) or event.prev in losing
        if disagrees:
            losing.add(event.digest)
        if disagrees or (event.device, event.seq) in kept:
            found.add(event.seq)
    return found


def is_bound(transaction: Transaction, bench: str, key_id: str, own: str) -> bool:
    """Whether the key writes under `own` already, by its device's own word."""
    sql = (
        "SELECT 1 FROM names WHERE bench = ? AND device = ? AND key_id = ? AND bound + declared = 2"
    )
    return bool(transaction.rows(sql, (bench, own, key_id)))


def came_via(transaction: Transaction, bench: str) -> dict[str, str]:
    """By device name, what the device is called that brought entries under it which it did not
    write."""
    return dict(transaction.rows(_VIA, (bench,)))


def unbind_all(transaction: Transaction) -> None:
    """Bind every name anew when its device meets the hub next, as after a restore: keys that were
    given or revoked since the copy was made are as they were then."""
    transaction.change("UPDATE names SET bound = 0")

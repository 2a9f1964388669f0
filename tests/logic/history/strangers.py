"""What somebody with ill will can make of the history that he has seen: entries and files that no
honest device wrote. He has no key to forge, for entries hold none; he knows the format."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from logic.history.exchange.portable import pack
from logic.history.exchange.rebase import replay
from shared.events import LARGEST_INTEGER, Event, Kind, redacted
from tests.logic.history.factory import reading, setting

BENCH = "alder-row"
LAST_MS = 10**14 - 1
TIMES = ("0.0", "1.999999999", f"{LAST_MS}.999999999", f"{LAST_MS}.0", "10000000000000.5")
"""1970, and days that no clock should show."""
LATER_HOURS = (-30, -1, 0, 25, 27, 24 * 365)
ERASES = (
    "past due",
    "due far off",
    "beyond have",
    "of the future",
    "no have",
    "odd have",
    "undated",
)
NAMED = ("next", "next unlinked", "gap", "far on", "one before it")
HUSKS = ("right", "wrong digest", "wrong link", "wrong time", "no digest")
MANGLES = ("cut", "twice", "backwards", "doubled lines", "no end", "another bench", "no header")


def let_in(event: Event) -> Event:
    """The event, which is one: whatever is none, every door refuses."""
    event.check()
    return event


@dataclass
class Stranger:
    """Somebody who is given a look at devices now and then."""

    seen: dict[str, Event] = field(default_factory=dict)
    files: list[bytes] = field(default_factory=list)
    own: list[Event] = field(default_factory=list)

    def look_at(self, events: Iterable[Event], file: bytes) -> None:
        """He reads all that a device holds, and keeps a copy."""
        self.seen |= {each.id: each for each in events if each.kind != Kind.REDACTED}
        self.files = [*self.files[-3:], file]

    def pick(self, number: int) -> Event | None:
        """One of the entries that he has seen, the latest first."""
        known = sorted(self.seen.values(), key=lambda each: each.order, reverse=True)
        return known[number % len(known)] if known else None

    def last_of(self, device: str) -> Event | None:
        """The last entry that he has seen of a device."""
        own = [each for each in self.seen.values() if each.device == device]
        return max(own, key=lambda each: each.seq, default=None)

    # --- entries of his own ---

    def write(self, kind: str, body: dict[str, Any], time: str, bench: str = BENCH) -> list[Event]:
        """The next entry under his own name, with those before it."""
        last = self.own[-1] if self.own else None
        seq, prev = (last.seq + 1, last.digest) if last else (1, "")
        self.own.append(let_in(Event(bench, "x1", seq, time, kind, body, 1, prev)))
        return self.own[-2:]

    def forge(
        self, device: str, seq: int, prev: str, time: str, what: tuple[str, dict[str, Any]]
    ) -> Event:
        """An entry under any name and number."""
        number = min(seq, LARGEST_INTEGER)  # beyond that it is no entry, and no door lets it in
        return let_in(Event(BENCH, device, number, time, str(what[0]), what[1], 1, prev))

    def erasure(self, way: str, now_ms: int) -> dict[str, Any]:
        """A promise to erase all that he has seen, and more."""
        last = {each.device: self.last_of(each.device) for each in self.seen.values()}
        upto = {device: event.seq for device, event in last.items() if event}
        beyond = {"beyond have": 5, "of the future": LARGEST_INTEGER}.get(way, 0)
        runs = {name: [[1, min(seq + beyond, LARGEST_INTEGER)]] for name, seq in upto.items()}
        have = {name: [[1, event.seq, event.digest]] for name, event in last.items() if event}
        due = {"due far off": LAST_MS, "undated": 0}.get(way, now_ms - 10**9)
        body: dict[str, Any] = {"events": runs, "due": due, "have": have}
        if way in ("no have", "of the future", "undated"):
            del body["have"]
        if way == "odd have":
            odd = {name: min(seq + 2, LARGEST_INTEGER) for name, seq in upto.items()}
            body["have"] = {name: [[1, seq, "ab" * 32]] for name, seq in odd.items()}
        return body

    # --- under the names of others ---

    def under(self, device: str, where: str, time: str, what: tuple[str, dict[str, Any]]) -> Event:
        """An entry under an honest device's name, beyond what he has seen of it or in its place."""
        last = self.last_of(device)
        upto, digest = (last.seq, last.digest) if last else (0, "")
        if where == "one before it" and last:
            return self.forge(device, upto, last.prev, time, what)
        far = {"gap": upto + 3, "far on": LARGEST_INTEGER}
        seq = far.get(where, upto + 1)
        prev = digest if where == "next" or seq == 1 else f"{seq % 2**256:064x}"
        return self.forge(device, seq, prev, time, what)

    def fork(self, event: Event, tail: int) -> list[Event]:
        """Another entry of the number of one that he has seen, and what goes on from that."""
        found = [
            self.forge(event.device, event.seq, event.prev, event.time, setting("hand", "odd"))
        ]
        for _ in range(tail):
            last = found[-1]
            then = self.seen.get(f"{last.device}:{last.seq + 1}")
            what = (then.kind, then.body) if then else reading(1)
            found.append(self.forge(last.device, last.seq + 1, last.digest, last.time, what))
        return found

    def husk(self, event: Event, way: str) -> Event:
        """What claims to stand for a living entry."""
        wire = redacted(event).wire()
        changes: dict[str, dict[str, Any]] = {
            "wrong digest": {"body": {"digest": "cd" * 32}},
            "wrong link": {"prev": "ef" * 32},
            "wrong time": {"time": f"{LAST_MS}.7"},
            "no digest": {"body": {}},
        }
        return Event.read(wire | changes.get(way, {}))

    def told_again(self, event: Event, honest: bool) -> list[Event]:
        """A branch told again that nobody gave up, or another content under such a name."""
        again = replay([event])
        if honest or not again:
            return again
        wire = again[0].wire() | {"kind": "setting.changed", "body": setting("hand", "odd")[1]}
        return [Event.read(wire)]

    # --- files ---

    def mangled(self, way: str, number: int) -> bytes:
        """A file that was seen before, not as it was."""
        if not self.files:
            return pack([], BENCH, "1.0")
        file = self.files[number % len(self.files)]
        lines = file.splitlines(keepends=True)
        at = number % len(lines)
        return {
            "cut": file[: len(file) * (number % 8 + 1) // 9],
            "twice": file + file,
            "backwards": b"".join([lines[0], *lines[:0:-1]]),
            "doubled lines": b"".join(line + line for line in lines),
            "no end": b"".join(lines[:-1]),
            "another bench": b"".join([pack([], "other", "1.0").splitlines(True)[0], *lines[1:]]),
            "no header": b"".join(lines[:at] + lines[at + 1 :]),
        }[way]

"""The events of benches: taken in once, given out by what is missing, never changed."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import groupby

from logic.history.exchange.erasing import Cover
from logic.history.journal.spans import Run, Spans
from logic.sync.hub.database import Database, Transaction, one
from logic.sync.hub.names import BenchNames, came_via, is_bound, unbind_all
from logic.sync.hub.promises import brings_due_content, withheld, without_due_content
from logic.sync.hub.refilling import lacking, refill, texts_of
from logic.sync.hub.room import FIND as _FIND
from logic.sync.hub.room import Arrival, within_room
from logic.sync.hub.verification import Links, VerifiedEvent, classify, size_of
from logic.sync.wire import BATCH_BYTES

_COLUMNS = "bench, device, seq, prev, digest, text, hub_seq, received_ms, received_from, husk"
_SET_ASIDE = (
    "INSERT INTO aside (bench, device, seq, digest, text, received_ms, received_from)"
    " VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING"
)
_READ = (
    "SELECT text FROM events WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ?"
    " ORDER BY seq LIMIT ?"
)
_HELD = (
    "SELECT r.device, r.first_seq, r.last_seq, e.digest FROM runs r LEFT JOIN events e"
    " ON e.bench = r.bench AND e.device = r.device AND e.seq = r.last_seq"
    " WHERE r.bench = ? ORDER BY r.device, r.first_seq"
)
_EPOCH = "SELECT value FROM meta WHERE name = 'epoch'"
MOST_ENDS = 1000
"""Ends of later runs that one reply tells. An honest bench has a few; whoever makes up thousands is
not to make every reply as long as that."""
_READ_AT_ONCE = 250
MOST_ASIDE = 20_000
Lock = Callable[[Transaction, str], int]


@dataclass
class StoredReceipt:
    """What became of a batch."""

    taken: int = 0
    known: int = 0
    forks: list[str] = field(default_factory=list)
    full: list[str] = field(default_factory=list)
    """Ids of events for which the bench has no room left."""
    name_taken: list[str] = field(default_factory=list)
    """Ids of events under a name that another key writes under."""


@dataclass
class HeldRuns:
    """What a bench's history holds, the digest of the last event of each first run, and number and
    digest of the last event of later ones, of `MOST_ENDS` at most."""

    spans: Spans = field(default_factory=Spans)
    heads: dict[str, str] = field(default_factory=dict)
    ends: dict[str, list[tuple[int, str]]] = field(default_factory=dict)


@dataclass
class BenchState:
    """A bench as it is told to one device. `texts` are events that the device lacks, `lacking` is
    how many it lacks in all."""

    epoch: str
    held: HeldRuns
    via: dict[str, str]
    lacking: int
    texts: list[str]
    wants: Spans = field(default_factory=Spans)
    """What the hub may have again of content that is gone there, where that was looked at."""


class EventStore:
    """The events of every bench in one database."""

    def __init__(self, database: Database) -> None:
        self.database = database

    def epoch(self) -> str:
        """The name of this store's life; another one after it was made anew or restored."""
        return self.database.run(_epoch)

    def new_epoch(self) -> str:
        """Begin another life, as after a restore: devices then look at everything again."""
        return self.database.run(renew_epoch)

    def keep(
        self, bench: str, batch: list[VerifiedEvent], key_id: str, now_ms: int, own: str = ""
    ) -> StoredReceipt:
        """Keep a batch. Doubles change nothing; what disagrees with what is kept is quarantined.
        `own` is the name that the device of `key_id` writes under, where it says so."""
        if not (batch or own):
            return StoredReceipt()
        came = Arrival(bench, batch, key_id, now_ms, own)
        return self.database.run(lambda transaction: self._keep(transaction, came))

    def _keep(self, transaction: Transaction, came: Arrival) -> StoredReceipt:
        if not came.batch and is_bound(transaction, came.bench, came.key_id, came.own):
            return StoredReceipt()  # without keeping writers out: most messages only ask
        return _keep_batch(transaction, self._lock, came)

    def state(
        self, bench: str, have: Spans, limit: int, now_ms: int, wants: Spans | None = None
    ) -> BenchState:
        """What a bench holds, and of it what a device lacks that holds `have`, up to `limit`; then
        what it `wants` of content that was gone there, where it says so."""
        return self.database.run(
            lambda transaction: _state(transaction, bench, have, limit, now_ms, wants)
        )

    def came_via(self, bench: str) -> dict[str, str]:
        """By device name, the label of the device that brought entries under it by file."""
        return self.database.run(lambda transaction: came_via(transaction, bench))

    def held(self, bench: str) -> HeldRuns:
        """What the history of a bench holds."""
        return self.database.run(lambda transaction: held_runs(transaction, bench))

    def missing(self, bench: str, runs: Iterable[Run], limit: int, now_ms: int) -> list[str]:
        """The canonical texts of events in `runs`, up to `limit` and a message's size. Content that
        is due to be gone at `now_ms` is in none of them, whether or not it was purged already."""
        return self.database.run(
            lambda transaction: _missing(transaction, bench, list(runs), limit, now_ms)
        )

    def _lock(self, transaction: Transaction, bench: str) -> int:
        """Keep other writers of this bench out until the end; the last hub_seq given out.

        Numbers are given out in the order of commits, so no reader ever sees a later one first.
        """
        sql = "SELECT head FROM benches WHERE bench = ?" + self.database.for_update
        row = one(transaction.rows(sql, (bench,)))
        if row is None:
            raise LookupError(f"no bench {bench}")
        return int(row[0])


def _state(
    transaction: Transaction,
    bench: str,
    have: Spans,
    limit: int,
    now_ms: int,
    wants: Spans | None,
) -> BenchState:
    held = held_runs(transaction, bench)
    missing = list(held.spans.difference(have))
    state = BenchState(
        epoch=_epoch(transaction),
        held=held,
        via=came_via(transaction, bench),
        lacking=sum(run.last - run.first + 1 for run in missing),
        texts=_missing(transaction, bench, missing, limit, now_ms),
    )
    if wants is not None:
        _add_wanted(transaction, bench, state, wants, limit, now_ms)
    return state


def _add_wanted(
    transaction: Transaction, bench: str, state: BenchState, wants: Spans, limit: int, now_ms: int
) -> None:
    """Give what a device wants again as far as there is room in the message, and say what is wanted
    here."""
    state.wants = lacking(transaction, bench)
    if not wants:
        return
    due = withheld(transaction, bench, now_ms)
    texts = list(texts_of(transaction, bench, wants, limit + 1))
    given = [text for text in texts if without_due_content(text, due) == text]
    room = limit - len(state.texts) if state.lacking == len(state.texts) else 0
    state.lacking += len(given)
    state.texts += _up_to_a_message(iter(given), max(0, room))


def held_runs(transaction: Transaction, bench: str) -> HeldRuns:
    """What the history of a bench holds."""
    held, ends = HeldRuns(), 0
    for device, first, last, digest in transaction.rows(_HELD, (bench,)):
        held.spans.add(device, first, last)
        if first == 1 and digest:
            held.heads[device] = digest
        elif digest and ends < MOST_ENDS:
            held.ends.setdefault(device, []).append((last, digest))
            ends += 1
    return held


def renew_epoch(transaction: Transaction) -> str:
    """Begin another life of the store, within a transaction; its name."""
    transaction.change("DELETE FROM meta WHERE name = 'epoch'")
    unbind_all(transaction)
    return _epoch(transaction)


def _epoch(transaction: Transaction) -> str:
    row = one(transaction.rows(_EPOCH))
    if row is None:
        transaction.change(
            "INSERT INTO meta (name, value) VALUES ('epoch', ?) ON CONFLICT DO NOTHING",
            ("e" + secrets.token_hex(8),),
        )
        row = transaction.rows(_EPOCH)[0]
    return str(row[0])


def _keep_batch(transaction: Transaction, lock: Lock, came: Arrival) -> StoredReceipt:
    bench, key_id, now_ms = came.bench, came.key_id, came.now_ms
    head = lock(transaction, bench)
    names = BenchNames(transaction, bench, key_id, now_ms)
    names.bind(came.own, came.batch)
    kept = _kept_links(transaction, bench, came.batch)
    named = names.admit(came.batch, kept)
    found = classify(named.admitted, kept, _quarantined_digests(transaction, bench, named.admitted))
    fresh, full = within_room(transaction, came, found.fresh)
    transaction.insert_all(
        "events",
        _COLUMNS,
        [
            (
                *(bench, e.device, e.seq, e.prev, e.digest, e.text),
                *(head + at, now_ms, key_id, int(e.is_redacted)),
            )
            for at, e in enumerate(fresh, start=1)
        ],
    )
    _set_aside(transaction, came, found.forks)
    refill(transaction, bench, [e for e in named.admitted if _is_kept(e, kept)])
    transaction.change_all(
        "INSERT INTO erasures (bench, device, seq) VALUES (?, ?, ?)",
        [(bench, e.device, e.seq) for e in fresh if e.erases],
    )
    _note_runs(transaction, bench, fresh)
    _note_room(transaction, came, fresh)
    names.note_arrival(fresh)
    names.save()
    return StoredReceipt(
        len(fresh),
        found.known,
        [event.id for event in found.forks],
        [event.id for event in (*full, *named.too_many)],
        [event.id for event in named.taken],
    )


def _is_kept(event: VerifiedEvent, kept: Links) -> bool:
    link = kept.get((event.device, event.seq))
    return link is not None and link[0] == event.digest


def _set_aside(transaction: Transaction, came: Arrival, forks: list[VerifiedEvent]) -> None:
    """Keep what disagrees for a person to look at, as far as there is room: the device that wrote
    it tells it again under another name, and nothing else asks for it."""
    if not forks:
        return
    sql = "SELECT COUNT(*) FROM aside WHERE bench = ?"
    room = max(0, MOST_ASIDE - transaction.rows(sql, (came.bench,))[0][0])
    transaction.change_all(
        _SET_ASIDE,
        [
            (came.bench, e.device, e.seq, e.digest, e.text, came.now_ms, came.key_id)
            for e in forks[:room]
        ],
    )


def _note_room(transaction: Transaction, came: Arrival, fresh: list[VerifiedEvent]) -> None:
    """How much the bench holds now and the key has brought; and that erasures are to be looked at
    where any came, or content that one of them names."""
    if not fresh:
        return
    bench, count, size = came.bench, len(fresh), sum(size_of(event.text) for event in fresh)
    transaction.change(
        "UPDATE benches SET head = head + ?, bytes = bytes + ? WHERE bench = ?",
        (count, size, bench),
    )
    transaction.change(
        "UPDATE keys SET entries = entries + ?, bytes = bytes + ? WHERE key_id = ?",
        (count, size, came.key_id),
    )
    numbers = [(event.device, event.seq) for event in fresh]
    if any(event.erases for event in fresh) or brings_due_content(
        transaction, bench, numbers, came.now_ms
    ):
        transaction.change("UPDATE benches SET due_ms = 0 WHERE bench = ?", (bench,))


def _kept_links(transaction: Transaction, bench: str, batch: list[VerifiedEvent]) -> Links:
    """What is kept of the batch and beside it."""
    links: Links = {}
    for device, first, last in _runs_of(batch):
        for seq, digest, prev in transaction.rows(_FIND, (bench, device, first - 1, last + 1)):
            links[device, seq] = (digest, prev)
    return links


def _quarantined_digests(
    transaction: Transaction, bench: str, batch: list[VerifiedEvent]
) -> set[str]:
    """Digests of what was quarantined of the batch's devices: few or none."""
    sql = "SELECT digest FROM aside WHERE bench = ? AND device = ?"
    devices = {event.device for event in batch}
    return {row[0] for device in devices for row in transaction.rows(sql, (bench, device))}


def _runs_of(batch: Iterable[VerifiedEvent]) -> Spans:
    return Spans.of_numbers((event.device, event.seq) for event in batch)


def _note_runs(transaction: Transaction, bench: str, fresh: list[VerifiedEvent]) -> None:
    for device, runs in groupby(_runs_of(fresh), key=lambda run: run.device):
        rows = transaction.rows(
            "SELECT first_seq, last_seq FROM runs WHERE bench = ? AND device = ?", (bench, device)
        )
        before = Spans({device: rows})
        after = Spans({device: rows})
        for run in runs:
            after.add(*run)
        old, new = set(before.of_device(device)), set(after.of_device(device))
        transaction.change_all(
            "DELETE FROM runs WHERE bench = ? AND device = ? AND first_seq = ?",
            [(bench, device, first) for first, _ in old - new],
        )
        transaction.change_all(
            "INSERT INTO runs (bench, device, first_seq, last_seq) VALUES (?, ?, ?, ?)",
            [(bench, device, first, last) for first, last in new - old],
        )


def _missing(
    transaction: Transaction, bench: str, runs: list[Run], limit: int, now_ms: int
) -> list[str]:
    texts = _texts(transaction, bench, runs, limit)
    due = withheld(transaction, bench, now_ms) if runs else Cover()
    if due:
        texts = (without_due_content(text, due) for text in texts)
    return list(_up_to_a_message(texts, limit))


def _texts(transaction: Transaction, bench: str, runs: Iterable[Run], limit: int) -> Iterator[str]:
    for device, first, last in runs:
        while first <= last and limit > 0:
            size = min(_READ_AT_ONCE, limit)
            rows = transaction.rows(_READ, (bench, device, first, last, size))
            for (text,) in rows:
                yield text
            first += size
            limit -= len(rows)


def _up_to_a_message(texts: Iterator[str], limit: int) -> Iterator[str]:
    """Up to `limit` texts, and no more once a message is full."""
    size = 0
    for _, text in zip(range(limit), texts, strict=False):
        yield text
        size += len(text)
        if size >= BATCH_BYTES:
            return

"""Accounts: benches, their devices' keys, and the codes by which a device joins.

A key is `nw1.<key id>.<secret>`. Secrets are random (160 bits and more), so a plain digest of them
can be kept. A joining code is short, so it works once, for a quarter of an hour, and guesses at it
are slowed down before they come here. A key can be rotated: its successor is good from then on, and
the old one until its successor is first shown, so that no answer that gets lost locks a device out.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass, replace

from logic.history.identity import RandomIdentity
from logic.sync.hub.audit import THE_HUB, Act, note
from logic.sync.hub.bench_limits import DAY_MS
from logic.sync.hub.database import Database, Row, Transaction, one
from logic.sync.wire import CODE_LENGTH, CODE_LETTERS, Role
from shared.errors import InputError
from shared.words import say

CODE_MINUTES = 15
SEEN_EVERY_MS = 60_000
"""How exactly "last seen" is kept."""
_PREFIX = "nw1"
ROTATE_AFTER = 0.75
"""The share of a key's life after which a device is asked to rotate it; the rest is for devices
that are seldom switched on (common practice, no source)."""
_KEY_DAYS = (
    "(SELECT value FROM bench_limits l WHERE l.name = 'key-days' AND l.bench IN ('', keys.bench)"
    " ORDER BY l.bench DESC LIMIT 1)"
)
_KEY_COLUMNS = (
    "key_id, bench, label, role, made_ms, seen_ms, revoked_ms, rotated_ms, rotation_asked_ms, "
    + _KEY_DAYS
)


@dataclass(frozen=True)
class BenchAccount:
    """A bench whose events this hub keeps. `made_ms` is when, in milliseconds since 1970."""

    bench: str
    name: str
    made_ms: int
    events: int


@dataclass(frozen=True)
class DeviceAccount:
    """One key: a device that joined a bench. Times in milliseconds since 1970, or None."""

    key_id: str
    bench: str
    label: str
    role: str
    made_ms: int
    seen_ms: int | None
    revoked_ms: int | None
    rotated_ms: int | None = None
    rotation_asked_ms: int | None = None
    """Since when the operator wants the key rotated."""
    key_days: int | None = None
    """How many days a key of its bench is good for; 0 or None is for ever."""

    @property
    def expires_ms(self) -> int | None:
        """From when on the key opens nothing, unless it is rotated before."""
        return self._born_ms + self.key_days * DAY_MS if self.key_days else None

    def should_rotate(self, now_ms: int) -> bool:
        """Whether the device is asked to rotate its key now."""
        if self.rotation_asked_ms is not None:
            return True
        if self.expires_ms is None:
            return False
        return now_ms >= self._born_ms + (self.expires_ms - self._born_ms) * ROTATE_AFTER

    @property
    def _born_ms(self) -> int:
        return self.rotated_ms or self.made_ms


@dataclass(frozen=True)
class Admitted:
    """A device that has just joined, with its key, which is given only this once."""

    device: DeviceAccount
    bench_name: str
    key: str


class Accounts:
    """Benches and keys in one database. `actor` is who the audit log names for what is done."""

    def __init__(self, database: Database, actor: str = THE_HUB) -> None:
        self._database = database
        self._actor = actor

    # --- benches ---

    def make_bench(self, name: str, now_ms: int) -> BenchAccount:
        """A new, empty bench. InputError when the name is taken or empty."""
        name = " ".join(name.split())
        if not 0 < len(name) <= 64:
            raise InputError("bench", name, say("give a name of 1 to 64 letters"))
        bench = RandomIdentity().new_bench()

        def insert(transaction: Transaction) -> int:
            made = transaction.change(
                "INSERT INTO benches (bench, name, made_ms) VALUES (?, ?, ?)"
                " ON CONFLICT DO NOTHING",
                (bench, name, now_ms),
            )
            if made:
                note(transaction, now_ms, Act.BENCH_MADE, self._actor, bench=bench)
            return made

        if not self._database.run(insert):
            ask = say("a bench of that name is here already; give another")
            raise InputError("bench", name, ask)
        return BenchAccount(bench, name, now_ms, 0)

    def benches(self) -> list[BenchAccount]:
        """Every bench, by name."""
        sql = "SELECT bench, name, made_ms, head FROM benches ORDER BY name"
        return [
            BenchAccount(*row)
            for row in self._database.run(lambda transaction: transaction.rows(sql))
        ]

    def bench(self, name: str) -> BenchAccount:
        """The bench of that name or id. InputError when there is none."""
        found = [each for each in self.benches() if name in (each.name, each.bench)]
        if not found:
            names = ", ".join(each.name for each in self.benches())
            here = say("benches here: {names}", names=names)
            raise InputError("bench", name, here if names else say("make a bench first"))
        return found[0]

    # --- joining ---

    def new_code(self, bench: str, role: Role, now_ms: int, minutes: int = CODE_MINUTES) -> str:
        """A joining code, as a person types it. Codes that are past their time are forgotten."""
        code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
        expires = now_ms + minutes * 60_000

        def insert(transaction: Transaction) -> None:
            transaction.change("DELETE FROM codes WHERE expires_ms < ?", (now_ms,))
            transaction.change(
                "INSERT INTO codes (code_sha, bench, role, expires_ms) VALUES (?, ?, ?, ?)",
                (_digest_of(code), bench, str(role), expires),
            )
            note(transaction, now_ms, Act.CODE_MADE, self._actor, bench=bench, detail=role)

        self._database.run(insert)
        return f"{code[:4]}-{code[4:]}"

    def admit(self, code: str, label: str, now_ms: int) -> Admitted | None:
        """The key for whoever shows a good code, which is then used up; None for any other."""
        code_sha, secret = _digest_of(_normalized_code(code)), secrets.token_urlsafe(24)
        key_id, label = secrets.token_hex(6), _printable_label(label)

        def use(transaction: Transaction) -> Row | None:
            good = "code_sha = ? AND used_ms IS NULL AND expires_ms >= ?"
            if not transaction.change(
                f"UPDATE codes SET used_ms = ? WHERE {good}", (now_ms, code_sha, now_ms)
            ):
                return None
            row = transaction.rows(
                "SELECT c.bench, c.role, b.name FROM codes c JOIN benches b ON b.bench = c.bench"
                " WHERE c.code_sha = ?",
                (code_sha,),
            )[0]
            transaction.change(
                "INSERT INTO keys (key_id, bench, label, role, secret_sha, made_ms)"
                " VALUES (?, ?, ?, ?, ?, ?)",
                (key_id, row[0], label, row[1], _digest_of(secret), now_ms),
            )
            _note_own(transaction, now_ms, Act.JOINED, row[0], key_id, row[1])
            return row

        row = self._database.run(use)
        if row is None:
            return None
        device = DeviceAccount(key_id, row[0], label, row[1], now_ms, None, None)
        return Admitted(device, row[2], _key(key_id, secret))

    # --- keys ---

    def device_of(self, key: str, now_ms: int) -> DeviceAccount | None:
        """Whose key this is; None for one that was never given, is revoked or is past its time."""
        prefix, _, rest = key.partition(".")
        key_id, _, secret = rest.partition(".")
        if prefix != _PREFIX or not (key_id and secret and key.isascii()):
            return None
        return self._database.run(
            lambda transaction: _admitted_device(transaction, key_id, secret, now_ms)
        )

    def devices(self, bench: str) -> list[DeviceAccount]:
        """Every device that ever joined a bench, oldest first."""
        sql = f"SELECT {_KEY_COLUMNS} FROM keys WHERE bench = ? ORDER BY made_ms, key_id"
        return [
            DeviceAccount(*row)
            for row in self._database.run(lambda transaction: transaction.rows(sql, (bench,)))
        ]

    def revoke(self, bench: str, name: str, now_ms: int) -> list[DeviceAccount]:
        """Shut a device out at once, by key id or label. InputError when no such device is in."""
        device = self._inside(bench, name)
        self._end(device, now_ms, Act.REVOKED, self._actor)
        return [device]

    def leave(self, device: DeviceAccount, now_ms: int) -> None:
        """Make a key worthless because its own device says so."""
        self._end(device, now_ms, Act.LEFT, device.key_id)

    def _end(self, device: DeviceAccount, now_ms: int, what: Act, actor: str) -> None:
        def end(transaction: Transaction) -> None:
            sql = "UPDATE keys SET revoked_ms = ?, next_sha = NULL WHERE key_id = ?"
            transaction.change(sql, (now_ms, device.key_id))
            about = {"bench": device.bench, "key_id": device.key_id}
            note(transaction, now_ms, what, actor, **about)

        self._database.run(end)

    def ask_to_rotate(self, bench: str, name: str, now_ms: int) -> DeviceAccount:
        """Have a device rotate its key when it meets next. InputError when no such device is in."""
        device = self._inside(bench, name)

        def ask(transaction: Transaction) -> None:
            sql = "UPDATE keys SET rotation_asked_ms = ? WHERE key_id = ?"
            transaction.change(sql, (now_ms, device.key_id))
            about = {"bench": bench, "key_id": device.key_id}
            note(transaction, now_ms, Act.ROTATION_ASKED, self._actor, **about)

        self._database.run(ask)
        return device

    def rotate(self, device: DeviceAccount) -> str:
        """The successor of a device's key, told this once. The old one is good until this one is
        first shown; asking again, as when the answer was lost, makes another one in its place."""
        secret = secrets.token_urlsafe(24)
        sql = "UPDATE keys SET next_sha = ? WHERE key_id = ? AND revoked_ms IS NULL"
        values = (_digest_of(secret), device.key_id)
        self._database.run(lambda transaction: transaction.change(sql, values))
        return _key(device.key_id, secret)

    def _inside(self, bench: str, name: str) -> DeviceAccount:
        """The one device of that key id or label that may in."""
        inside = [each for each in self.devices(bench) if each.revoked_ms is None]
        found = [each for each in inside if name in (each.key_id, each.label)]
        if not found:
            names = ", ".join(f"{each.key_id} ({each.label})" for each in inside) or "none"
            ask = say("devices that may in: {names}", names=names)
            raise InputError("device", name, ask)
        if len(found) > 1:
            ids = ", ".join(each.key_id for each in found)
            ask = say("several are called that; name one: {ids}", ids=ids)
            raise InputError("device", name, ask)
        return found[0]


def _admitted_device(
    transaction: Transaction, key_id: str, secret: str, now_ms: int
) -> DeviceAccount | None:
    sql = f"SELECT secret_sha, next_sha, {_KEY_COLUMNS} FROM keys WHERE key_id = ?"
    row = one(transaction.rows(sql, (key_id,)))
    if row is None:
        return None
    shown, device = _digest_of(secret), DeviceAccount(*row[2:])
    current = hmac.compare_digest(str(row[0]), shown)
    successor = hmac.compare_digest(str(row[1]), shown)
    if device.revoked_ms is not None or not (current or successor):
        return None
    if device.expires_ms is not None and now_ms >= device.expires_ms:
        return None
    if successor:
        device = _succeed(transaction, device, shown, now_ms)
    if device.seen_ms is None or abs(now_ms - device.seen_ms) >= SEEN_EVERY_MS:
        transaction.change("UPDATE keys SET seen_ms = ? WHERE key_id = ?", (now_ms, key_id))
    return device


def _succeed(
    transaction: Transaction, device: DeviceAccount, secret_sha: str, now_ms: int
) -> DeviceAccount:
    """A key's successor was shown for the first time: the old one opens nothing from now on."""
    changed = transaction.change(
        "UPDATE keys SET secret_sha = next_sha, next_sha = NULL, rotated_ms = ?,"
        " rotation_asked_ms = NULL WHERE key_id = ? AND next_sha = ?",
        (now_ms, device.key_id, secret_sha),
    )
    if changed:  # unless another process was shown it at the same moment
        _note_own(transaction, now_ms, Act.ROTATED, device.bench, device.key_id)
    return replace(device, rotated_ms=now_ms, rotation_asked_ms=None)


def _note_own(
    transaction: Transaction, now_ms: int, what: Act, bench: str, key_id: str, detail: str = ""
) -> None:
    """Write down what a device did itself."""
    note(transaction, now_ms, what, key_id, bench=bench, key_id=key_id, detail=detail)


def _key(key_id: str, secret: str) -> str:
    return f"{_PREFIX}.{key_id}.{secret}"


def _printable_label(label: str) -> str:
    """A label as it may stand on the operator's terminal and in any database."""
    words = "".join(letter if letter.isprintable() else " " for letter in label).split()
    return " ".join(words) or "a device"


def _normalized_code(code: str) -> str:
    """The code as it was made, from any way of typing it."""
    return "".join(code.upper().replace("-", " ").split())


def _digest_of(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()

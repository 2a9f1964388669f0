"""Accounts: benches, their devices' keys, and the codes by which a device joins.

A key is `nw1.<key id>.<secret>`. Secrets are random (160 bits and more), so a plain digest of them
can be kept. A joining code is short, so it works once, for a quarter of an hour, and guesses at it
are slowed down before they come here.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass

from logic.history.identity import RandomIdentity
from logic.sync.hub.database import Database, Row, Transaction, one
from logic.sync.wire import CODE_LENGTH, CODE_LETTERS, Role
from shared.errors import InputError
from shared.words import say

CODE_MINUTES = 15
SEEN_EVERY_MS = 60_000
"""How exactly "last seen" is kept."""
_PREFIX = "nw1"
_KEY_COLUMNS = "key_id, bench, label, role, made_ms, seen_ms, revoked_ms"


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


@dataclass(frozen=True)
class Admitted:
    """A device that has just joined, with its key, which is given only this once."""

    device: DeviceAccount
    bench_name: str
    key: str


class Accounts:
    """Benches and keys in one database."""

    def __init__(self, database: Database) -> None:
        self._database = database

    # --- benches ---

    def make_bench(self, name: str, now_ms: int) -> BenchAccount:
        """A new, empty bench. InputError when the name is taken or empty."""
        name = " ".join(name.split())
        if not 0 < len(name) <= 64:
            raise InputError("bench", name, say("give a name of 1 to 64 letters"))
        bench = RandomIdentity().new_bench()

        def insert(transaction: Transaction) -> int:
            return transaction.change(
                "INSERT INTO benches (bench, name, made_ms) VALUES (?, ?, ?)"
                " ON CONFLICT DO NOTHING",
                (bench, name, now_ms),
            )

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
            return row

        row = self._database.run(use)
        if row is None:
            return None
        device = DeviceAccount(key_id, row[0], label, row[1], now_ms, None, None)
        return Admitted(device, row[2], f"{_PREFIX}.{key_id}.{secret}")

    # --- keys ---

    def device_of(self, key: str, now_ms: int) -> DeviceAccount | None:
        """Whose key this is; None for a key that was never given or is revoked."""
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
        sql = "UPDATE keys SET revoked_ms = ? WHERE key_id = ?"
        self._database.run(lambda transaction: transaction.change(sql, (now_ms, found[0].key_id)))
        return found


def _admitted_device(
    transaction: Transaction, key_id: str, secret: str, now_ms: int
) -> DeviceAccount | None:
    row = one(
        transaction.rows(f"SELECT secret_sha, {_KEY_COLUMNS} FROM keys WHERE key_id = ?", (key_id,))
    )
    if row is None or not hmac.compare_digest(str(row[0]), _digest_of(secret)):
        return None
    device = DeviceAccount(*row[1:])
    if device.revoked_ms is not None:
        return None
    if device.seen_ms is None or abs(now_ms - device.seen_ms) >= SEEN_EVERY_MS:
        transaction.change("UPDATE keys SET seen_ms = ? WHERE key_id = ?", (now_ms, key_id))
    return device


def _printable_label(label: str) -> str:
    """A label as it may stand on the operator's terminal and in any database."""
    words = "".join(letter if letter.isprintable() else " " for letter in label).split()
    return " ".join(words) or "a device"


def _normalized_code(code: str) -> str:
    """The code as it was made, from any way of typing it."""
    return "".join(code.upper().replace("-", " ").split())


def _digest_of(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()

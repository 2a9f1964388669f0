"""Numbered steps that bring a hub's database to what this version needs, each applied once."""

from __future__ import annotations

from pathlib import Path

from logic.sync.hub.database import Database
from shared.errors import HubStoreError, NewerFormat

HERE = Path(__file__).parent
_VERSION_TABLE = """CREATE TABLE IF NOT EXISTS meta (
    name   TEXT PRIMARY KEY,
    value  TEXT NOT NULL
)"""


def steps(kind: str) -> dict[int, str]:
    """Number and SQL of each step for a database of `kind`.

    A file `0002_name.sqlite.sql` is for that kind only; `0001_name.sql` is for every kind.
    """
    found = {}
    for path in sorted(HERE.glob("*.sql")):
        number, _, rest = path.name.partition("_")
        only = rest.split(".")[1]
        if only in ("sql", kind):
            found[int(number)] = path.read_text(encoding="utf-8")
    return found


def migrate(database: Database) -> int:
    """Apply what is missing; the version reached. NewerFormat when a newer hub made it."""
    database.script(_VERSION_TABLE)
    wanted = steps(database.kind)
    version = applied(database)
    if version > max(wanted):
        raise NewerFormat(
            f"A newer hub made this database (step {version}; this one knows {max(wanted)})",
            safe="Nothing was changed.",
            next="Update Nutwright on the hub.",
        )
    for number in range(version + 1, max(wanted) + 1):
        _apply(database, number, wanted[number])
    return max(wanted)


def applied(database: Database) -> int:
    """The last step that was applied."""
    rows = database.run(
        lambda transaction: transaction.rows("SELECT value FROM meta WHERE name = 'version'")
    )
    return int(rows[0][0]) if rows else 0


def _apply(database: Database, number: int, sql: str) -> None:
    note = (
        f"UPDATE meta SET value = '{number}' WHERE name = 'version'"
        if number > 1
        else "INSERT INTO meta (name, value) VALUES ('version', '1')"
    )
    try:
        database.script(f"{sql}\n;{note}")
    except HubStoreError:
        if applied(database) < number:  # unless another hub that starts now was quicker
            raise

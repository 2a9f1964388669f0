"""Copies of a whole hub: made while it runs, read back before they count, played back anywhere.

A copy is a hub's database in one SQLite file, whatever the hub itself runs on. So one drill serves
both kinds, a shop that grows moves to PostgreSQL by the same way, a copy can be looked into with
`hub check --store COPY`, and no client program of the server's own version has to be at hand. From
SQLite it is made by SQLite's online copy, from PostgreSQL out of one REPEATABLE READ snapshot.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from logic.history.storage.whole_file import no_room, place_new, sync_folder, takes_no_more
from logic.sync.hub.accounts import Accounts
from logic.sync.hub.archive import check
from logic.sync.hub.audit import Act, note
from logic.sync.hub.database import Database, Row, Transaction
from logic.sync.hub.event_store import renew_epoch
from logic.sync.hub.migrations import migrate
from logic.sync.hub.sqlite import SqliteDatabase
from shared.errors import HubStoreError, InputError
from shared.words import say

ROWS_AT_ONCE = 200
"""A row holds up to 262,144 bytes of text: so many are held at a time."""
_TABLES = (
    "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    " ORDER BY rowid"  # as they were made: what others refer to comes first
)


@dataclass(frozen=True)
class BackupReport:
    """What a copy holds, and the SHA-256 of its file."""

    benches: int
    entries: int
    sha256: str


@dataclass(frozen=True)
class RestoreReport:
    """What was played back. `digest_known`: whether the copy came with the digest of its file."""

    benches: int
    entries: int
    epoch: str
    digest_known: bool


def digest_file(copy: Path) -> Path:
    """Where the digest of a copy stands, in the form that `sha256sum --check` reads."""
    return copy.with_name(f"{copy.name}.sha256")


# --- making one ---


def back_up(database: Database, file: Path, now_ms: int, actor: str) -> BackupReport:
    """Write a copy to `file`, which must not be there yet. Only what was read back and found right
    gets that name. InputError for a name that cannot be used, HubStoreError for a copy that is not
    right."""
    _refuse_to_overwrite(file)
    try:
        report = _write_copy(database, file)
    except OSError as error:
        if takes_no_more(error):
            raise no_room(str(file), error) from error
        why = error.strerror or str(error)
        raise InputError("file", str(file), say("name a new file ({why})", why=why)) from error
    database.run(lambda now: note(now, now_ms, Act.BACKED_UP, actor, detail=report.entries))
    return report


def _refuse_to_overwrite(file: Path) -> None:
    for each in (file, digest_file(file)):
        if each.exists():
            raise InputError("file", str(each), say("it is there already; name a new file"))


def _write_copy(database: Database, file: Path) -> BackupReport:
    """Written beside its place in a folder that only its owner reads, and moved there whole."""
    with tempfile.TemporaryDirectory(prefix=".backup-", dir=file.parent) as folder:
        copy = Path(folder) / file.name
        copy.touch(0o600)
        _copy_into(database, copy)
        benches, entries = _read_back(copy)
        report = BackupReport(benches, entries, _sha256_of(copy))
        digest = digest_file(copy)
        digest.write_text(f"{report.sha256}  {file.name}\n", encoding="utf-8")
        for each in (digest, copy):  # a copy in its place has its digest beside it
            _sync(each)
            place_new(each, file.parent / each.name)
        sync_folder(file.parent)
    return report


def _copy_into(database: Database, copy: Path) -> None:
    if isinstance(database, SqliteDatabase):
        database.copy_to(copy)
        return
    with closing(SqliteDatabase(copy)) as target:
        migrate(target)
        schema = target.run(_schema)
        database.snapshot(
            lambda source: target.run(lambda sink: _copy_tables(source, sink, schema))
        )
        target.leave_one_file()


def _read_back(copy: Path) -> tuple[int, int]:
    """How many benches and entries a copy holds; HubStoreError when anything in it is not right."""
    with closing(SqliteDatabase(copy)) as database:
        problems = database.problems()
        benches = Accounts(database).benches() if not problems else []
        found = [check(database, each.bench) for each in benches]
        database.leave_one_file()
    wrong = [*problems, *(line for each in found for line in each.wrong)]
    if wrong:
        raise HubStoreError(
            say("The copy is not right ({wrong})", wrong=wrong[0]),
            safe=say("The hub's own database was only read."),
            next=say("Run `hub check`: the hub's database may be damaged itself."),
        )
    return len(benches), sum(each.events for each in found)


# --- playing one back ---


def restore(database: Database, file: Path, now_ms: int, actor: str) -> RestoreReport:
    """Play a copy into `database`, which must hold no bench, and begin a new epoch, so that devices
    look at everything again. All of it arrives, or nothing. InputError when the copy or the place
    cannot be used."""
    digest_known = refuse_altered(file)
    with opened_copy(file) as source:
        schema = source.run(_schema)
        if not database.run(lambda place: _is_empty(place, schema)):
            ask = say("name an empty place with --store; nothing was changed")
            what = say("this hub's database holds something already")
            raise InputError("store", "", ask, what=what)
        epoch = source.snapshot(
            lambda rows: database.run(lambda sink: _play_back(rows, sink, schema, now_ms, actor))
        )
    found = [check(database, each.bench) for each in Accounts(database).benches()]
    if wrong := [line for each in found for line in each.wrong]:
        raise HubStoreError(
            say("What was played back is not right ({wrong})", wrong=wrong[0]),
            safe=say("The copy was only read."),
            next=say("Take an older copy, and another empty place."),
        )
    return RestoreReport(len(found), sum(each.events for each in found), epoch, digest_known)


def refuse_altered(file: Path) -> bool:
    """Whether a digest stands beside a copy, which then holds: InputError where it does not."""
    if not file.is_file():
        raise InputError("file", str(file), say("name a file that is there"))
    if file.with_name(f"{file.name}-wal").exists():
        ask = say("that is a hub's own file, in use; name one that `hub backup` wrote")
        raise InputError("file", str(file), ask)
    beside = digest_file(file)
    if not beside.is_file():
        return False
    if beside.read_text(encoding="utf-8").split()[:1] != [_sha256_of(file)]:
        ask = say("it is not what was backed up; take another copy")
        raise InputError("file", str(file), ask)
    return True


@contextmanager
def opened_copy(file: Path) -> Iterator[SqliteDatabase]:
    """A copy as this version has its tables. The file itself is left alone: a copy of it is opened
    and, where it comes from an earlier version, brought up to date."""
    with tempfile.TemporaryDirectory(prefix="nutwright-restore-") as folder:
        working_copy = Path(folder) / "copy.sqlite"
        shutil.copyfile(file, working_copy)
        with closing(_sound(working_copy, file)) as database:
            migrate(database)
            yield database


def _sound(working_copy: Path, file: Path) -> SqliteDatabase:
    """The database in `working_copy`. InputError when it is none, or damaged."""
    ask = say("it is damaged, or no backup of a hub; take another copy")
    try:
        database = SqliteDatabase(working_copy)
    except HubStoreError as error:
        raise InputError("file", str(file), ask) from error
    tables = database.run(lambda rows: rows.rows(_TABLES)) if not database.problems() else []
    if ("benches",) not in tables:
        database.close()
        raise InputError("file", str(file), ask)
    return database


def _play_back(
    source: Transaction, sink: Transaction, schema: Schema, now_ms: int, actor: str
) -> str:
    _copy_tables(source, sink, schema)
    epoch = renew_epoch(sink)
    note(sink, now_ms, Act.RESTORED, actor, detail=epoch)
    return epoch


# --- what both need ---


@dataclass(frozen=True)
class CopiedTable:
    """A table: its columns in order, and those of its primary key."""

    name: str
    columns: tuple[str, ...]
    key: tuple[str, ...]


Schema = list[CopiedTable]


def _schema(sqlite: Transaction) -> Schema:
    """Every table. PostgreSQL has the same ones by the same names."""
    return [_table(sqlite, name) for (name,) in sqlite.rows(_TABLES)]


def _table(sqlite: Transaction, name: str) -> CopiedTable:
    found = sqlite.rows("SELECT name, pk FROM pragma_table_info(?) ORDER BY cid", (name,))
    key = sorted((pk, column) for column, pk in found if pk)
    return CopiedTable(
        name, tuple(column for column, _ in found), tuple(column for _, column in key)
    )


def _is_empty(place: Transaction, schema: Schema) -> bool:
    """Whether no table holds a row, but for the notes that every database of a hub has."""
    tables = [table.name for table in schema if table.name != "meta"]
    return not any(place.rows(f"SELECT 1 FROM {name} LIMIT 1") for name in tables)


def _copy_tables(source: Transaction, sink: Transaction, schema: Schema) -> None:
    """Every row of every table. The number of the last step is the sink's own."""
    sink.change("DELETE FROM meta WHERE name <> 'version'")
    for table in schema:
        for rows in _pages(source, table):
            kept = [row for row in rows if (table.name, row[0]) != ("meta", "version")]
            sink.insert_all(table.name, ", ".join(table.columns), kept)


def _pages(source: Transaction, table: CopiedTable) -> Iterator[list[Row]]:
    columns, key = ", ".join(table.columns), ", ".join(table.key)
    places = [table.columns.index(column) for column in table.key]
    select, order = f"SELECT {columns} FROM {table.name}", f" ORDER BY {key} LIMIT {ROWS_AT_ONCE}"
    after = f" WHERE ({key}) > ({', '.join('?' * len(key.split(',')))})"
    rows = source.rows(select + order)
    while rows:
        yield rows
        rows = source.rows(select + after + order, [rows[-1][place] for place in places])


def _sync(file: Path) -> None:
    """Have a file on the disc."""
    with file.open("rb+") as content:
        os.fsync(content.fileno())


def _sha256_of(file: Path) -> str:
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()

"""What the command `hub` does."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import segno

from logic.sync.hub.accounts import CODE_MINUTES, Accounts, DeviceAccount
from logic.sync.hub.app import wall_ms
from logic.sync.hub.archive import check, export
from logic.sync.hub.database import Database
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.hub.purging import forget_bench, purge
from logic.sync.hub.serve import Serving, serve
from logic.sync.wire import Role
from shared.errors import InputError
from shared.words import say, say_many


def run(options: argparse.Namespace) -> int:
    """The exit code of one job, or of serving."""
    store = options.store or os.environ.get("NUTWRIGHT_STORE") or "hub.sqlite"
    if options.job is None:
        serve(_serving(options, store))
        return 0
    database = open_database(store)
    try:
        migrate(database)
        return _JOBS[options.job](options, database)
    finally:
        database.close()


def _serving(options: argparse.Namespace, store: str) -> Serving:
    return Serving(
        store=store,
        host=options.host,
        port=options.port,
        cert=options.cert,
        key=options.key,
        app=options.app,
        origins=tuple(options.origin),
        proxy=options.proxy,
    )


def _bench(options: argparse.Namespace, database: Database) -> int:
    bench = Accounts(database).make_bench(options.name, wall_ms())
    print(say("{bench} is made. For its first device:", bench=bench.name))
    _show_code(Accounts(database).new_code(bench.bench, Role.FULL, wall_ms()), options.address)
    return 0


def _code(options: argparse.Namespace, database: Database) -> int:
    accounts = Accounts(database)
    role = Role.READ_ONLY if options.read_only else Role.FULL
    bench = accounts.bench(options.bench)
    _show_code(accounts.new_code(bench.bench, role, wall_ms()), options.address)
    return 0


def _show_code(code: str, address: str) -> None:
    """As text, and as a picture to point a phone at. The code stands behind a # in the address,
    the part that browsers keep to themselves, so no log along the way holds it."""
    facts = {"code": code, "minutes": CODE_MINUTES}
    print(say("joining code {code} (works once, for {minutes} minutes)", **facts))
    if address:
        link = f"{address.rstrip('/')}/#join={code}"
        print(link)
        segno.make_qr(link).terminal(out=sys.stdout, compact=True)
    else:
        print(say("For a QR code as well, give --address with the hub's address."))


def _devices(options: argparse.Namespace, database: Database) -> int:
    accounts = Accounts(database)
    devices = accounts.devices(accounts.bench(options.bench).bench)
    for device in devices:
        print(_device_line(device))
    if not devices:
        print(say("no device has joined yet"))
    return 0


def _device_line(device: DeviceAccount) -> str:
    seen = say("seen {date}", date=_date(device.seen_ms)) if device.seen_ms else say("never seen")
    gone = device.revoked_ms
    state = say("revoked {date}", date=_date(gone)) if gone else seen
    return f"{device.key_id}  {device.role:<9}  {state:<26}  {device.label}"


def _date(time_ms: int) -> str:
    return datetime.fromtimestamp(time_ms / 1000, UTC).strftime("%Y-%m-%d %H:%M UTC")


def _revoke(options: argparse.Namespace, database: Database) -> int:
    accounts = Accounts(database)
    bench = accounts.bench(options.bench).bench
    for device in accounts.revoke(bench, options.device, wall_ms()):
        facts = {"device": device.label, "key": device.key_id}
        print(say("{device} ({key}) gets nothing from now on", **facts))
    return 0


def _export(options: argparse.Namespace, database: Database) -> int:
    bench = Accounts(database).bench(options.bench)
    file = Path(options.file)
    try:
        with file.open("xb") as out:
            count = export(database, bench.bench, wall_ms(), out.write)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError("file", options.file, say("name a new file ({why})", why=why)) from error
    print(
        say_many(
            "{count} entry written to {file}", "{count} entries written to {file}", count, file=file
        )
    )
    return 0


def _check(_options: argparse.Namespace, database: Database) -> int:
    wrong = 0
    for bench in Accounts(database).benches():
        found = check(database, bench.bench)
        line = say_many(
            "{bench}: {count} entry, {wrong} wrong",
            "{bench}: {count} entries, {wrong} wrong",
            found.events,
            bench=bench.name,
            wrong=len(found.wrong),
        )
        print(line)
        for line in found.wrong:
            print(f"  {line}")
        wrong += len(found.wrong)
    return 1 if wrong else 0


def _restored(_options: argparse.Namespace, database: Database) -> int:
    epoch = EventStore(database).new_epoch()
    print(say("new epoch {epoch}: devices bring back what the backup lacks", epoch=epoch))
    return 0


def _purge(_options: argparse.Namespace, database: Database) -> int:
    for bench in Accounts(database).benches():
        gone = purge(database, bench.bench, wall_ms())
        line = say_many(
            "{bench}: the content of {count} entry is gone",
            "{bench}: the content of {count} entries is gone",
            gone,
            bench=bench.name,
        )
        print(line)
    return 0


def _forget(options: argparse.Namespace, database: Database) -> int:
    bench = Accounts(database).bench(options.bench)
    if options.really != bench.name:
        ask = say("repeat the name to forget it: {bench}", bench=bench.name)
        raise InputError("really", options.really, ask)
    forget_bench(database, bench.bench)
    print(
        say(
            "{bench} is gone from this hub; its devices and backups still hold their copies",
            bench=bench.name,
        )
    )
    return 0


_JOBS: dict[str, Callable[[argparse.Namespace, Database], int]] = {
    "bench": _bench,
    "code": _code,
    "devices": _devices,
    "revoke": _revoke,
    "export": _export,
    "check": _check,
    "restored": _restored,
    "purge": _purge,
    "forget": _forget,
}

"""What the command `hub` does."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path

import segno

from logic.sync.hub.accounts import CODE_MINUTES, Accounts
from logic.sync.hub.app import wall_ms
from logic.sync.hub.console_care import CARE, check_copy
from logic.sync.hub.console_lines import device_line, operator
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
    if options.job == "check" and options.file:
        return check_copy(Path(options.file))
    database = open_database(store)
    try:
        migrate(database)
        return JOBS[options.job](options, database)
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
        check_hours=options.check_every,
    )


def _accounts(database: Database) -> Accounts:
    return Accounts(database, operator())


def _bench(options: argparse.Namespace, database: Database) -> int:
    accounts = _accounts(database)
    bench = accounts.make_bench(options.name, wall_ms())
    print(say("{bench} is made. For its first device:", bench=bench.name))
    _show_code(accounts.new_code(bench.bench, Role.FULL, wall_ms()), options.address)
    return 0


def _code(options: argparse.Namespace, database: Database) -> int:
    accounts = _accounts(database)
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
    bench = accounts.bench(options.bench).bench
    devices = accounts.devices(bench)
    for device in devices:
        print(device_line(device))
    for name, brought_by in EventStore(database).came_via(bench).items():
        facts = {"name": name, "device": brought_by}
        print(say("entries of device {name} came by file via {device}", **facts))
    if not devices:
        print(say("no device has joined yet"))
    return 0


def _revoke(options: argparse.Namespace, database: Database) -> int:
    accounts = _accounts(database)
    bench = accounts.bench(options.bench).bench
    for device in accounts.revoke(bench, options.device, wall_ms()):
        facts = {"device": device.label, "key": device.key_id}
        print(say("{device} ({key}) gets nothing from now on", **facts))
    return 0


def _rotate(options: argparse.Namespace, database: Database) -> int:
    accounts = _accounts(database)
    bench = accounts.bench(options.bench).bench
    device = accounts.ask_to_rotate(bench, options.device, wall_ms())
    facts = {"device": device.label, "key": device.key_id}
    print(say("{device} ({key}) gets a new key when it meets next, and need not join", **facts))
    return 0


def _purge(_options: argparse.Namespace, database: Database) -> int:
    for bench in Accounts(database).benches():
        gone = purge(database, bench.bench, wall_ms(), operator())
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
    forget_bench(database, bench.bench, wall_ms(), operator())
    print(
        say(
            "{bench} is gone from this hub; its devices and backups still hold their copies",
            bench=bench.name,
        )
    )
    return 0


JOBS: dict[str, Callable[[argparse.Namespace, Database], int]] = {
    "bench": _bench,
    "code": _code,
    "devices": _devices,
    "revoke": _revoke,
    "rotate": _rotate,
    **CARE,
    "purge": _purge,
    "forget": _forget,
}
"""What each job does; its exit code."""

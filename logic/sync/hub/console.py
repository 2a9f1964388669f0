"""What the command `hub` does."""

from __future__ import annotations

import argparse
import getpass
import json
import os
import sys
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

import segno

from logic.sync.hub.accounts import CODE_MINUTES, Accounts, DeviceAccount
from logic.sync.hub.app import wall_ms
from logic.sync.hub.archive import check, export
from logic.sync.hub.audit import THE_HUB, Act, AuditEntry, entries, note
from logic.sync.hub.backup import back_up, digest_file, opened_copy, refuse_altered, restore
from logic.sync.hub.bench_limits import DAY_MS, EVERY_BENCH, LimitName, limits_of, set_limit
from logic.sync.hub.database import Database
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.hub.purging import forget_bench, purge
from logic.sync.hub.serve import Serving, serve
from logic.sync.wire import Role
from shared.errors import InputError
from shared.words import mark, say, say_many


def run(options: argparse.Namespace) -> int:
    """The exit code of one job, or of serving."""
    store = options.store or os.environ.get("NUTWRIGHT_STORE") or "hub.sqlite"
    if options.job is None:
        serve(_serving(options, store))
        return 0
    if options.job == "check" and options.file:
        return _check_copy(Path(options.file))
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
        check_hours=options.check_every,
    )


def _operator() -> str:
    """Who the audit log names for what is done here: whoever is logged in on this machine."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):  # a user without a name, as in some containers
        return str(os.getuid())


def _accounts(database: Database) -> Accounts:
    return Accounts(database, _operator())


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
        print(_device_line(device))
    for name, brought_by in EventStore(database).came_via(bench).items():
        facts = {"name": name, "device": brought_by}
        print(say("entries of device {name} came by file via {device}", **facts))
    if not devices:
        print(say("no device has joined yet"))
    return 0


def _device_line(device: DeviceAccount) -> str:
    seen = say("seen {date}", date=_date(device.seen_ms)) if device.seen_ms else say("never seen")
    gone = device.revoked_ms
    state = say("revoked {date}", date=_date(gone)) if gone else seen
    line = f"{device.key_id}  {device.role:<9}  {state:<26}  {device.label}"
    return "  ".join((line, *(() if gone else _key_remarks(device))))


def _key_remarks(device: DeviceAccount) -> tuple[str, ...]:
    """What is to be known about a key's age, where there is anything."""
    remarks = []
    if device.expires_ms:
        remarks.append(say("key good until {date}", date=_date(device.expires_ms)))
    if device.rotation_asked_ms:
        remarks.append(say("gets a new key when it meets next"))
    return tuple(remarks)


def _date(time_ms: int) -> str:
    return datetime.fromtimestamp(time_ms / 1000, UTC).strftime("%Y-%m-%d %H:%M UTC")


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


def _export(options: argparse.Namespace, database: Database) -> int:
    bench = Accounts(database).bench(options.bench)
    file = Path(options.file)
    try:
        with file.open("xb") as out:
            purge(database, bench.bench, wall_ms(), _operator())  # due content is handed to nobody
            count = export(
                *(database, bench.bench, wall_ms(), out.write),
                erasures=not options.without_erasures,
            )
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError("file", options.file, say("name a new file ({why})", why=why)) from error
    _note(database, Act.EXPORTED, bench=bench.bench, detail=count)
    print(
        say_many(
            "{count} entry written to {file}", "{count} entries written to {file}", count, file=file
        )
    )
    return 0


def _check(_options: argparse.Namespace, database: Database) -> int:
    return _check_all(database)


def _check_all(database: Database) -> int:
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


def _check_copy(file: Path) -> int:
    """A backup is looked into without being touched: its digest is that of its bytes."""
    if not refuse_altered(file):
        print(say(_NO_DIGEST))
    with opened_copy(file) as database:
        return _check_all(database)


def _restored(_options: argparse.Namespace, database: Database) -> int:
    epoch = EventStore(database).new_epoch()
    _note(database, Act.RESTORED, detail=epoch)
    print(say("new epoch {epoch}: devices bring back what the backup lacks", epoch=epoch))
    return 0


_NO_DIGEST = mark("no digest stood beside the copy: its entries alone were compared with theirs")


def _backup(options: argparse.Namespace, database: Database) -> int:
    file = Path(options.file)
    report = back_up(database, file, wall_ms(), _operator())
    line = say_many(
        "{count} entry of {benches} in {file}, read back and right",
        "{count} entries of {benches} in {file}, read back and right",
        report.entries,
        benches=_benches_in_words(report.benches),
        file=file,
    )
    print(line)
    print(say("SHA-256 {digest}, also in {file}", digest=report.sha256, file=digest_file(file)))
    return 0


def _restore(options: argparse.Namespace, database: Database) -> int:
    report = restore(database, Path(options.file), wall_ms(), _operator())
    if not report.digest_known:
        print(say(_NO_DIGEST))
    line = say_many(
        "{count} entry of {benches} is back and right",
        "{count} entries of {benches} are back and right",
        report.entries,
        benches=_benches_in_words(report.benches),
    )
    print(line)
    print(say("new epoch {epoch}: devices bring back what the backup lacks", epoch=report.epoch))
    _show_who_may_in(Accounts(database))
    return 0


def _show_who_may_in(accounts: Accounts) -> None:
    inside = [
        f"  {bench.name}: {_device_line(device)}"
        for bench in accounts.benches()
        for device in accounts.devices(bench.bench)
        if device.revoked_ms is None
    ]
    if inside:
        print(say("Whoever was revoked after the backup may in again. These may:"))
    for line in inside:
        print(line)


def _benches_in_words(count: int) -> str:
    return say_many("{count} bench", "{count} benches", count)


def _note(database: Database, what: Act, bench: str = "", detail: object = "") -> None:
    """Write down what an operator did."""
    database.run(lambda now: note(now, wall_ms(), what, _operator(), bench=bench, detail=detail))


def _audit(options: argparse.Namespace, database: Database) -> int:
    accounts = Accounts(database)
    bench = accounts.bench(options.bench).bench if options.bench else ""
    since_ms = wall_ms() - options.days * DAY_MS if options.days else 0
    names = {each.bench: each.name for each in accounts.benches()}
    labels = {each.key_id: each.label for name in names for each in accounts.devices(name)}
    for entry in entries(database, bench, since_ms):
        line = json.dumps(asdict(entry)) if options.json else _audit_line(entry, names, labels)
        print(line)
    return 0


def _audit_line(entry: AuditEntry, names: dict[str, str], labels: dict[str, str]) -> str:
    """One act as a person reads it. Names are looked up now: what was forgotten has only its id."""
    about = [names.get(entry.bench, entry.bench)]
    if entry.key_id:
        about.append(f"{labels.get(entry.key_id, '')} ({entry.key_id})".strip())
    known = entry.what in _ACTS
    what = say(_ACTS[Act(entry.what)], detail=entry.detail) if known else entry.what
    actor = labels.get(entry.actor, entry.actor)
    by = say("by the hub itself") if actor == THE_HUB else say("by {actor}", actor=actor)
    return "  ".join((f"{entry.nr:>5}", _date(entry.at_ms), what, by, *filter(None, about)))


_ACTS = {
    Act.BENCH_MADE: mark("bench made"),
    Act.CODE_MADE: mark("joining code made ({detail})"),
    Act.JOINED: mark("joined ({detail})"),
    Act.ROTATION_ASKED: mark("new key asked for"),
    Act.ROTATED: mark("new key in use, the old one is worthless"),
    Act.REVOKED: mark("shut out"),
    Act.LEFT: mark("left"),
    Act.ERASED: mark("content of {detail} entries erased"),
    Act.EXPORTED: mark("{detail} entries exported"),
    Act.BACKED_UP: mark("backup made, {detail} entries"),
    Act.RESTORED: mark("backup played back, epoch {detail}"),
    Act.LIMITED: mark("limit set: {detail}"),
    Act.FORGOTTEN: mark("bench removed"),
}


def _limits(options: argparse.Namespace, database: Database) -> int:
    bench = Accounts(database).bench(options.bench).bench if options.bench else EVERY_BENCH
    for name in LimitName:
        value = getattr(options, name.replace("-", "_"))
        if value is not None and value < 0:
            raise InputError(name, value, say("give a number, or 0 for no limit"))
    for name in LimitName:
        value = getattr(options, name.replace("-", "_"))
        if value is not None:
            set_limit(database, bench, name, value, wall_ms(), _operator())
    found = asdict(database.run(lambda now: limits_of(now, bench)))
    for name in LimitName:
        print(f"{say(_LIMITS[name])}: {found[name.replace('-', '_')] or say('no limit')}")
    return 0


_LIMITS = {
    LimitName.ENTRIES: mark("entries kept of a bench"),
    LimitName.MEGABYTES: mark("megabytes kept of a bench"),
    LimitName.KEY_DAYS: mark("days until a key has to be a new one"),
    LimitName.ASIDE_DAYS: mark("days that entries set aside are kept"),
    LimitName.ERASURE_DAYS: mark("days that content stays here after its erasure arrived"),
}


def _purge(_options: argparse.Namespace, database: Database) -> int:
    for bench in Accounts(database).benches():
        gone = purge(database, bench.bench, wall_ms(), _operator())
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
    _note(database, Act.FORGOTTEN, bench=bench.bench)
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
    "rotate": _rotate,
    "export": _export,
    "backup": _backup,
    "restore": _restore,
    "check": _check,
    "restored": _restored,
    "audit": _audit,
    "limits": _limits,
    "purge": _purge,
    "forget": _forget,
}

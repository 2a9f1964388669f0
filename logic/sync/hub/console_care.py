"""The jobs of the command `hub` that keep a hub: copies, checks, the audit log, limits."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from logic.history.storage.whole_file import no_room, takes_no_more, whole_file
from logic.sync.hub.accounts import Accounts
from logic.sync.hub.app import wall_ms
from logic.sync.hub.archive import check, export
from logic.sync.hub.audit import THE_HUB, Act, AuditEntry, entries, note
from logic.sync.hub.backup import back_up, digest_file, opened_copy, refuse_altered, restore
from logic.sync.hub.bench_limits import DAY_MS, EVERY_BENCH, LimitName, limits_of, set_limit
from logic.sync.hub.console_lines import date, device_line, operator
from logic.sync.hub.database import Database, Transaction
from logic.sync.hub.event_store import renew_epoch
from logic.sync.hub.purging import purge
from shared.errors import InputError
from shared.words import mark, say, say_many


def _export(options: argparse.Namespace, database: Database) -> int:
    bench = Accounts(database).bench(options.bench)
    file = Path(options.file)
    try:
        with whole_file(file, fresh=True) as out:
            purge(database, bench.bench, wall_ms(), operator())  # due content is handed to nobody
            count = export(
                *(database, bench.bench, wall_ms(), out.write),
                erasures=not options.without_erasures,
            )
    except OSError as error:
        if takes_no_more(error):
            raise no_room(options.file, error) from error
        why = error.strerror or str(error)
        raise InputError("file", options.file, say("name a new file ({why})", why=why)) from error
    who = operator()
    database.run(
        lambda now: note(now, wall_ms(), Act.EXPORTED, who, bench=bench.bench, detail=count)
    )
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


def check_copy(file: Path) -> int:
    """A backup is looked into without being touched: its digest is that of its bytes."""
    if not refuse_altered(file):
        print(say(_NO_DIGEST))
    with opened_copy(file) as database:
        return _check_all(database)


def _restored(_options: argparse.Namespace, database: Database) -> int:
    epoch = database.run(_begin_epoch)
    print(say("new epoch {epoch}: devices bring back what the backup lacks", epoch=epoch))
    return 0


def _begin_epoch(transaction: Transaction) -> str:
    epoch = renew_epoch(transaction)
    note(transaction, wall_ms(), Act.RESTORED, operator(), detail=epoch)
    return epoch


_NO_DIGEST = mark("no digest stood beside the copy: its entries alone were compared with theirs")


def _backup(options: argparse.Namespace, database: Database) -> int:
    file = Path(options.file)
    report = back_up(database, file, wall_ms(), operator())
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
    report = restore(database, Path(options.file), wall_ms(), operator())
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
        f"  {bench.name}: {device_line(device)}"
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
    line = (f"{entry.nr:>5}", date(entry.at_ms), what, _by(entry), *filter(None, about))
    return "  ".join(line)


def _by(entry: AuditEntry) -> str:
    """Who did it. A device is not named by what it calls itself: that may be anybody's name."""
    if entry.actor == THE_HUB:
        return say("by the hub itself")
    return say("by itself") if entry.actor == entry.key_id else say("by {actor}", actor=entry.actor)


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
            set_limit(database, bench, name, value, wall_ms(), operator())
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


CARE: dict[str, Callable[[argparse.Namespace, Database], int]] = {
    "export": _export,
    "backup": _backup,
    "restore": _restore,
    "check": _check,
    "restored": _restored,
    "audit": _audit,
    "limits": _limits,
}
"""What each job does."""

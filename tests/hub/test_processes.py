"""The hub as it is run: killed, stopped, twice on one database, backed up and played back."""

from __future__ import annotations

import asyncio
import json
import re
import shutil
import socket
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from logic.history import FileDirectory, History
from logic.history.exchange.portable import unpack
from logic.sync.http_transport import HttpTransport
from logic.sync.hub.accounts import Accounts
from logic.sync.hub.archive import check
from logic.sync.hub.console import JOBS
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.session import SyncOutcome
from logic.sync.transport import HubClient
from logic.sync.wire import Code, Role
from shared.bootstrap import ROOT
from shared.errors import HubAway, HubRefused
from tests.hub.hubs import meet
from tests.hub.postgres import cluster
from tests.hub.processes import HubProcess, hub_command
from tests.logic.history.factory import open_history, opened, reading
from tests.logic.test_command_line import run_main

pytestmark = pytest.mark.programs

BENCH = "Alder Row Strings"


def key_at(store: str) -> str:
    """A key for one more device of the one bench."""
    database = open_database(store)
    try:
        migrate(database)
        accounts = Accounts(database)
        names = {each.name: each.bench for each in accounts.benches()}
        now = time.time_ns() // 1_000_000
        bench = names.get(BENCH) or accounts.make_bench(BENCH, now).bench
        admitted = accounts.admit(accounts.new_code(bench, Role.FULL, now), "a phone", now)
        assert admitted is not None
        return admitted.key
    finally:
        database.close()


def wrong_in(store: str) -> list[str]:
    """What a check of every bench finds wrong."""
    database = open_database(store)
    try:
        return [
            line
            for each in Accounts(database).benches()
            for line in check(database, each.bench).wrong
        ]
    finally:
        database.close()


def busy(letter: str, entries: int) -> History:
    """A phone after some work."""
    history = open_history(letter=letter)
    history.record_all([opened(), *(reading(1 + n % 6) for n in range(entries - 1))])
    return history


async def met(history: History, address: str, key: str, batch: int = 1000) -> SyncOutcome | None:
    """One meeting over the network; None when the hub went away in the middle."""
    try:
        return await meet(history, HttpTransport(address), key, batch=batch)
    except HubAway:
        return None


async def test_killed_between_commit_and_reply_nothing_is_lost_or_doubled(url: str) -> None:
    """Three times the hub dies after it kept a batch and before it said so; the phone sends again
    what it must, and both come to the same history."""
    phone, key = busy("a", 40), key_at(url)
    for _ in range(3):
        dying = HubProcess(url, die_after=2)
        dying.start()
        assert await met(phone, dying.address, key, batch=5) is None
        assert dying.process.wait(10) == -9
    hub = HubProcess(url)
    hub.start()
    try:
        outcome = await met(phone, hub.address, key)
        assert outcome is not None and outcome.agreed and outcome.sent == 40 - 30
        fresh = open_history(letter="z")
        assert (await met(fresh, hub.address, key_at(url))).received == 40  # type: ignore[union-attr]
    finally:
        hub.kill()
    assert wrong_in(url) == []


async def test_two_hubs_on_one_database_serve_one_bench() -> None:
    """Phones that meet different processes come to one history, and a key revoked at one is
    refused by the other at once."""
    store = cluster().schema()
    hubs = [HubProcess(store), HubProcess(store)]
    keys = [key_at(store) for _ in range(2)]
    for hub in hubs:
        hub.start()
    try:
        phones = [busy("a", 30), busy("b", 30)]
        meetings = zip(phones, hubs, keys, strict=True)
        await asyncio.gather(*(met(p, h.address, k, batch=3) for p, h, k in meetings))
        for phone, hub, key in zip(phones, reversed(hubs), keys, strict=True):
            outcome = await met(phone, hub.address, key)
            assert outcome is not None and outcome.agreed
        assert phones[0].vector == phones[1].vector == {"a1": 30, "b1": 30}
        key_id = keys[0].split(".")[1]
        assert "gets nothing" in hub_command("revoke", BENCH, key_id, "--store", store)
        for hub in hubs:
            with pytest.raises(HubRefused):
                await HubClient(HttpTransport(hub.address), keys[0]).me()
    finally:
        for hub in hubs:
            hub.kill()
    assert wrong_in(store) == []


async def test_the_backup_drill(tmp_path: Path) -> None:
    """Dump, lose a day, play back, say so: the devices bring back what the backup lacks."""
    store = cluster().schema()
    dump = str(cluster().folder / "drill.dump")
    hub, key = HubProcess(store), key_at(store)
    hub.start()
    phone = busy("a", 10)
    try:
        assert await met(phone, hub.address, key)
        cluster().dump(dump)
        phone.record(*reading(3))
        before = await met(phone, hub.address, key)
        assert hub.stop() in (0, -15, 143)
        cluster().restore(dump)
        assert "new epoch" in hub_command("restored", "--store", store)
        hub.start()
        after = await met(phone, hub.address, key)
        assert before and after and after.agreed
        assert (after.sent, after.epoch != before.epoch) == (1, True)
        assert f"{BENCH}: 11 entries, 0 wrong" in hub_command("check", "--store", store)
    finally:
        hub.kill()


async def test_the_drill_by_commands(url: str, tmp_path: Path) -> None:
    """As an operator does it: a copy while the hub runs and a phone writes, all lost, played into
    an empty place on SQLite, the hub started there: the phone brings back what came after the
    copy, and the audit log tells of the way."""
    copy, place = str(tmp_path / "copy.sqlite"), str(tmp_path / "again.sqlite")
    hub, key, phone = HubProcess(url), key_at(url), busy("a", 20)
    hub.start()
    try:
        assert await met(phone, hub.address, key)
        writing = asyncio.ensure_future(met(busy("b", 200), hub.address, key_at(url), batch=2))
        said = await asyncio.to_thread(hub_command, "backup", copy, "--store", url)
        assert "read back and right" in said and "SHA-256" in said
        assert await writing
        phone.record(*reading(3))
        assert await met(phone, hub.address, key)
    finally:
        hub.kill()
    assert ", 0 wrong" in run_main(["hub", "check", copy]).out
    said = run_main(["hub", "restore", copy, "--store", place]).out
    assert "are back and right" in said and "new epoch" in said and "a phone" in said
    hub = HubProcess(place)
    hub.start()
    try:
        outcome = await met(phone, hub.address, key)
        # its own last one, and what it had from the other phone that the copy lacks
        assert outcome is not None and outcome.agreed and outcome.sent >= 1
    finally:
        hub.kill()
    assert wrong_in(place) == []
    told = run_main(["hub", "audit", "--store", place]).out
    assert "bench made" in told and "joined (full)" in told and "backup played back" in told


async def test_a_hub_outlives_a_restart_of_its_database() -> None:
    """While the server is down the hub says so; afterwards it goes on by itself."""
    store = cluster().schema()
    hub, key = HubProcess(store), key_at(store)
    hub.start()
    phone = busy("a", 5)
    try:
        assert await met(phone, hub.address, key)
        phone.record(*reading(2))
        cluster().stop()
        assert await met(phone, hub.address, key) is None
        cluster().start()
        outcome = await met(phone, hub.address, key)
        assert outcome is not None and outcome.agreed and outcome.sent == 1
    finally:
        hub.kill()


async def test_stopping_is_clean_and_its_log_tells_no_names(tmp_path: Path) -> None:
    """SIGTERM ends it; what it logged is one JSON object a line, without key, label or content."""
    store, log = str(tmp_path / "hub.sqlite"), tmp_path / "log"
    hub, key = HubProcess(store, ("--check-every", "24"), log=log), key_at(store)
    hub.start()
    assert await met(busy("a", 5), hub.address, key)
    assert hub.stop() in (0, -15, 143)
    lines = [json.loads(line) for line in log.read_text().splitlines()]
    assert {"route": "/v1/exchange", "status": 200}.items() <= lines[-1].items()
    assert {"checked"} == {line["event"] for line in lines} - {"request"}
    for secret in (*key.split(".")[1:], "a phone", BENCH, "127.0.0.1", "stiff chords"):
        assert secret not in log.read_text()


async def test_over_tls(tmp_path: Path) -> None:
    """With a certificate of its own the hub is reached by those who trust it and by nobody else."""
    if not shutil.which("openssl"):
        pytest.skip("no openssl to make a certificate with")
    cert, secret = tmp_path / "cert.pem", tmp_path / "key.pem"
    make = ["req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=127.0.0.1"]
    named = ["-addext", "subjectAltName=IP:127.0.0.1", "-keyout", str(secret), "-out", str(cert)]
    subprocess.run(["openssl", *make, *named], check=True, capture_output=True)
    store = str(tmp_path / "hub.sqlite")
    key = key_at(store)
    hub = HubProcess(store, ("--cert", str(cert), "--key", str(secret)), scheme="https")
    hub.start()
    try:
        trusting = HubClient(HttpTransport(hub.address, str(cert)), key)
        assert (await trusting.me()).bench_name == BENCH
        with pytest.raises(HubAway, match=r"certificate is not trusted.*--trust"):
            await HubClient(HttpTransport(hub.address), key).me()
        with pytest.raises(HubAway):
            await HubClient(HttpTransport(hub.address.replace("https", "http")), key).me()
    finally:
        hub.kill()


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["--host", "0.0.0.0"], "give --cert and --key"),
        (["--cert", "nowhere.pem"], "together"),
        (["--app", "/tmp"], "name a folder that"),
        (["devices", "Nobody's"], "benches here"),
        (["revoke", BENCH, "Somebody"], "devices that may in"),
        (["export", BENCH, "/nowhere/at/all"], "name a new file"),
        (["--store", "postgresql:///nobody?host=/nowhere"], "The hub's database failed"),
        (["--store", "/nowhere/at/all.sqlite"], "The hub's database failed"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(
    tmp_path: Path, words: list[str], line: str
) -> None:
    """No door is opened by mistake: plain http stays on this machine, and every error is a line."""
    store = str(tmp_path / "hub.sqlite")
    key_at(store)
    jobs = [word for word in words if word in ("devices", "revoke", "export")]
    where = [] if "--store" in words else ["--store", store]
    command = [sys.executable, "-m", "logic", "hub", *([] if jobs else where), *words]
    command += where if jobs else []
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=30)
    assert done.returncode in (1, 2)
    assert line in done.stderr and done.stderr.count("\n") == 1, done.stderr


async def test_a_bench_is_made_joined_listed_and_exported(tmp_path: Path) -> None:
    """The whole way by commands: bench, code, join, devices, and a file that reads whole."""
    store = str(tmp_path / "hub.sqlite")
    said = hub_command("bench", BENCH, "--store", store, "--address", "https://bench.example")
    code = re.findall(r"joining code (\S+) ", said)[0]
    assert f"https://bench.example/#join={code}" in said and "█" in said
    assert "read-only" not in said
    hub = HubProcess(store)
    hub.start()
    try:
        joined = await HubClient(HttpTransport(hub.address)).join(code, "Bench phone")
        assert await met(busy("a", 7), hub.address, joined.key)
    finally:
        hub.kill()
    listed = hub_command("devices", BENCH, "--store", store)
    assert "Bench phone" in listed and "full" in listed and "seen 20" in listed
    file = tmp_path / "bench.txt"
    assert "7 entries" in hub_command("export", BENCH, str(file), "--store", store)
    parcel = unpack(file.read_bytes())
    assert (len(parcel.events), parcel.complete) == (7, True)


def test_a_desktop_joins_meets_and_leaves_by_commands(tmp_path: Path) -> None:
    """Two machines of a bench, each with a history of its own, come to the same one. What they
    wrote before they joined stands under names of no key, and each is told who brought it."""
    store = str(tmp_path / "hub.sqlite")
    hub = HubProcess(store)

    def sync(folder: str, *words: str) -> tuple[int, str]:
        command = [
            sys.executable,
            "-m",
            "logic",
            "sync",
            *words,
            "--folder",
            str(tmp_path / folder),
        ]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=30)
        return done.returncode, done.stdout + done.stderr

    for folder in ("desk", "cellar"):
        with closing(History.open(FileDirectory(tmp_path / folder))) as history:
            history.record_all([opened(f"job of {folder}"), reading(job=f"job of {folder}")])
    assert "join a bench first" in sync("desk")[1]
    code = re.findall(r"joining code (\S+) ", hub_command("bench", BENCH, "--store", store))[0]
    assert sync("desk", "join", hub.address, code)[0] == 1
    hub.start()
    try:
        host = socket.gethostname()[:64]
        brought = rf"entries of device …\w{{4}} came by file via {re.escape(host)}\n"
        said = f"joined {BENCH} as {re.escape(host)}\n2 entries sent, 0 received\n{brought}"
        result, told = sync("desk", "join", hub.address, code)
        assert result == 0 and re.fullmatch(said, told), told
        code = re.findall(r"joining code (\S+) ", hub_command("code", BENCH, "--store", store))[0]
        assert "2 entries sent, 2 received\n" in sync("cellar", "join", hub.address, code)[1]
        result, told = sync("desk")
        assert result == 0 and re.fullmatch(f"0 entries sent, 2 received\n({brought}){{2}}", told)
        with closing(History.open(FileDirectory(tmp_path / "desk"))) as history:
            history.merge(busy("x", 3).export())
        brought = f"came by file via {socket.gethostname()[:64]}"
        assert brought in sync("desk")[1] and brought in sync("cellar")[1]
        assert brought in hub_command("devices", BENCH, "--store", store)
        assert "stays on this machine" in sync("desk", "leave")[1]
    finally:
        hub.kill()
    assert "cannot be reached" in sync("cellar")[1]
    assert "needs https" in sync("desk", "join", "http://hub.example", "AAAA-AAAA")[1]
    with closing(History.open(FileDirectory(tmp_path / "desk"))) as history:
        assert {"job of desk", "job of cellar"} < {line.id for line in history.jobs()}


def test_the_page_on_the_exchange_names_every_code_and_command() -> None:
    """The documentation's tables are the codes of the program, and it names every job."""
    page = (ROOT / "assets" / "docs" / "sync.md").read_text(encoding="utf-8")
    section = page.partition("### Refusals")[2].partition("\n## ")[0].partition("\n### ")[0]
    rows = [line.split("|")[1:3] for line in section.splitlines() if line.startswith("|")]
    listed = {code for row in rows for code in re.findall(r"`([a-z-]+)`", " ".join(row))}
    assert listed == set(Code)
    said = hub_command("--help")
    for job in JOBS:
        assert f"hub {job}" in page and f"hub {job}" in said


def test_purge_and_forget_by_command(tmp_path: Path) -> None:
    """The name has to be given twice, and another bench is left alone."""
    store = str(tmp_path / "hub.sqlite")
    hub_command("bench", BENCH, "--store", store)
    hub_command("bench", "Quay Street Frets", "--store", store)
    assert f"{BENCH}: the content of 0 entries is gone" in hub_command("purge", "--store", store)
    command = [sys.executable, "-m", "logic", "hub", "forget", BENCH, "--store", store]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 2 and "repeat the name" in done.stderr
    assert "is gone" in hub_command("forget", BENCH, "--really", BENCH, "--store", store)
    assert hub_command("check", "--store", store) == "Quay Street Frets: 0 entries, 0 wrong\n"

"""What the version before rooms and words were put in order wrote opens unchanged.

The files in tests/golden/present were written once (by present.py beside this file) and are never
made anew. A later version may add fields to what it reads from them; it may lose or change none.
"""

from __future__ import annotations

import asyncio
import csv
import io
import json
import shutil
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from logic.history import History, MemoryDirectory
from logic.history.journal.segment import segment_number
from logic.sync.hub.app import Hub
from logic.sync.hub.archive import check
from logic.sync.hub.migrations import migrate
from logic.sync.hub.purging import purge
from logic.sync.hub.sqlite import SqliteDatabase
from shared.events import Event, Kind
from tests.hub.hubs import NOW_MS, InProcess, make_hub, message
from tests.logic.history.factory import all_events, documents, open_history
from tests.logic.test_command_line import run_main
from tests.stored_names.looking_up import as_read, looked_up
from tests.stored_names.test_events import BODIES

GOLDEN = Path(__file__).parents[1] / "golden" / "present"
WANTED: dict[str, Any] = json.loads((GOLDEN / "history.json").read_text(encoding="utf-8"))
SAID: dict[str, Any] = json.loads((GOLDEN / "hub.json").read_text(encoding="utf-8"))
NEWER = {
    Kind.CHECK_LOOKED_AGAIN,
    Kind.WORK_DONE,
    Kind.SETUP_READ,
    Kind.SETUP_CHOSEN,
    Kind.SETUP_STEP,
}
"""Kinds that came after these files were written."""


def missing(kept: Any, found: Any, where: str = "") -> list[str]:
    """Where `found` lacks or changes something that was kept; what was added counts for nothing. A
    field that was null may be left out: it reads the same in every version."""
    if isinstance(kept, dict) and isinstance(found, dict):
        lost = [
            f"{where}.{key} is gone" for key in kept if kept[key] is not None and key not in found
        ]
        both = [key for key in kept if key in found]
        return lost + [f for key in both for f in missing(kept[key], found[key], f"{where}.{key}")]
    if isinstance(kept, list) and isinstance(found, list) and len(kept) == len(found):
        pairs = enumerate(zip(kept, found, strict=True))
        return [lost for at, (a, b) in pairs for lost in missing(a, b, f"{where}[{at}]")]
    return [] if kept == found else [f"{where}: {kept!r} became {found!r}"]


def plain(value: Any) -> Any:
    """`value` as JSON holds it."""
    return json.loads(json.dumps(value))


def kept_files(*, cached: bool = True) -> MemoryDirectory:
    """The golden folder of a history, in memory; without its snapshot where not `cached`."""
    paths = [p for p in (GOLDEN / "history").iterdir() if cached or segment_number(p.name)]
    return MemoryDirectory({path.name: bytearray(path.read_bytes()) for path in paths})


def kept_events() -> list[Event]:
    """Every event of the golden history file."""
    lines = (GOLDEN / "history.txt").read_text(encoding="utf-8").splitlines()
    found = [json.loads(line[18:]) for line in lines]
    return [Event.read(line["event"]) for line in found if "event" in line]


def spelled(history: History) -> set[bytes]:
    """Every event that a history holds, in its canonical form."""
    return {event.canonical_bytes for event in all_events(history)}


def test_the_history_holds_every_kind_and_more() -> None:
    """Each kind that was written then stands in the golden files, and one that nobody knew."""
    events = kept_events()
    written = {kind: body for kind, body in BODIES.items() if kind not in NEWER}
    assert {event.kind for event in events} == {*written, "relief.bent"}
    assert any(event.unknown_fields and "was" in event.unknown_fields for event in events)
    assert any(event.unknown_fields and "sealed" in event.unknown_fields for event in events)
    assert any(event.version > 1 for event in events)
    standing = [event.body for event in events if event.kind != Kind.REDACTED]
    for kind, (needed, optional, _) in written.items():
        bodies = [event.body for event in events if event.kind == kind]
        assert any(set(body) >= {*needed, *optional} for body in bodies), kind
    assert any("moon" in body for body in standing)


@pytest.mark.parametrize("cached", [True, False], ids=["with its snapshot", "journal alone"])
def test_the_journal_opens_unchanged(cached: bool) -> None:
    """Documents, lists, jobs and the spreadsheet are what they were, read with and without help."""
    history = open_history(kept_files(cached=cached), "x")
    report = history.report
    assert (report.damaged_pieces, report.torn_bytes, report.mended) == (0, 0, 0)
    assert (report.broken_chains, report.altered, report.read_only) == ([], [], None)
    assert not report.new_identity
    found = plain(looked_up(history))
    kept = {name: value for name, value in WANTED.items() if name != "spreadsheet"}
    assert missing(kept, found) == []
    assert missing(rows(WANTED["spreadsheet"]), rows(found["spreadsheet"])) == []


def rows(text: str) -> list[dict[str, str]]:
    """A spreadsheet by the names of its columns."""
    return list(csv.DictReader(io.StringIO(text)))


def test_the_journal_loses_no_entry() -> None:
    """Opened and handed out again, every event is spelled byte for byte as it was written."""
    kept = {event.canonical_bytes for event in kept_events()}
    assert spelled(open_history(kept_files(), "x")) == kept
    again = open_history(letter="z")
    again.merge(open_history(kept_files(cached=False), "x").export())
    assert spelled(again) == kept


def test_the_history_file_is_taken_in_unchanged() -> None:
    """Another device takes all of it in, refuses nothing, and shows the same documents."""
    history = open_history(letter="y")
    report = history.merge((GOLDEN / "history.txt").read_bytes())
    assert (report.refused, report.forks) == ([], [])
    assert spelled(history) == {event.canonical_bytes for event in kept_events()}
    assert missing(WANTED["documents"], plain(documents(history))) == []


def test_the_history_goes_on_where_it_was_left() -> None:
    """The device keeps its name, and what it writes next follows the last it wrote."""
    history = open_history(kept_files(), "x")
    last = max((e for e in kept_events() if e.device == "d1"), key=lambda event: event.seq)
    written = history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "in"})
    assert (written.device, written.seq, written.prev) == ("d1", last.seq + 1, last.digest)


def test_the_history_file_is_sound_to_the_command_line() -> None:
    """`history check` finds nothing wrong with the file, whatever in it is unknown."""
    assert run_main(["history", "check", str(GOLDEN / "history.txt")]).code == 0


@pytest.mark.parametrize("path", sorted((GOLDEN / "jobs").glob("*.json")), ids=lambda p: p.stem)
def test_job_files_are_read_as_they_were(path: Path) -> None:
    """Every field of each, what was filled in, and what was said to be assumed; and it plans."""
    kept = json.loads(path.with_suffix(".read.txt").read_text(encoding="utf-8"))
    found = plain(as_read(path.read_text(encoding="utf-8")))
    assert missing(kept["job"], found["job"]) == []
    assert found["assumed"] == kept["assumed"]
    for command in ("plan", "pitch", "cut", "handover"):
        done = run_main([command, str(path)])
        assert done.code == 0, done.err


@pytest.fixture
def hub(tmp_path: Path) -> Hub:
    """The hub of the present version, its database brought up to date by this one."""
    path = tmp_path / "hub.sqlite"
    shutil.copyfile(GOLDEN / "hub.sqlite", path)
    return make_hub(SqliteDatabase(path))


def asked(hub: Hub, method: str, path: str, key: str, body: bytes = b"") -> tuple[int, Any]:
    """Status and body of the hub's answer."""
    headers = {"Authorization": f"Bearer {key}", "Content-Type": "application/json"}
    answer = asyncio.run(InProcess.of(hub).send(method, path, headers, body))
    return answer.status, json.loads(answer.body)


def test_the_hub_gives_out_what_it_held(hub: Hub) -> None:
    """A device that holds nothing gets every event, in the words in which they were sent."""
    status, reply = asked(hub, "POST", "/v1/exchange", SAID["keys"]["Seen phone"], message([]))
    assert status == 200
    assert missing(SAID["reply"], reply) == []
    given = {Event.read(item).canonical_bytes for item in reply["events"]}
    assert given >= {event.canonical_bytes for event in kept_events()}


def test_the_hub_knows_its_devices(hub: Hub) -> None:
    """Who could come in still can, as what it was; who was shut out stays out."""
    for label, wanted in SAID["me"].items():
        status, found = asked(hub, "GET", "/v1/me", SAID["keys"][label])
        assert (status, missing(wanted, found)) == (200, [])
    status, refused = asked(hub, "GET", "/v1/me", SAID["keys"]["Lost phone"])
    assert (status, refused["error"]["code"]) == (401, "key-unknown")


def test_the_hub_lets_in_by_a_code_that_it_gave(hub: Hub) -> None:
    """A joining code that was given out before the update opens the same bench, once."""
    body = json.dumps({"code": SAID["code"], "label": "New phone"}).encode()
    status, joined = asked(hub, "POST", "/v1/join", "", body)
    assert (status, joined["bench"], joined["role"]) == (200, SAID["bench"], "full")
    status, refused = asked(hub, "POST", "/v1/join", "", body)
    assert (status, refused["error"]["code"]) == (403, "code-unknown")


def test_the_hub_refuses_and_takes_as_it_did(hub: Hub) -> None:
    """What it holds is known, another event under its number a fork, a reader's word refused."""
    event = next(event for event in kept_events() if event.id == "n1:1")
    fork = event.wire() | {"body": {"name": "x", "value": 2}}
    sent = message([event.wire(), fork])
    _, reply = asked(hub, "POST", "/v1/exchange", SAID["keys"]["Bench phone"], sent)
    assert (reply["taken"], reply["known"]) == (0, 1)
    assert [(one["event"], one["code"]) for one in reply["refused"]] == [("n1:1", "fork")]
    _, reply = asked(hub, "POST", "/v1/exchange", SAID["keys"]["Reader"], message([event.wire()]))
    assert [one["code"] for one in reply["refused"]] == ["read-only"]


def test_the_hub_keeps_its_promises(hub: Hub) -> None:
    """Every digest holds, what was erased is gone, and what is promised goes when it is due."""
    database = hub.event_store.database
    assert check(database, SAID["bench"]).wrong == []
    assert purge(database, SAID["bench"], NOW_MS) == 0
    assert purge(database, SAID["bench"], NOW_MS * 2) == SAID["purged_later"]
    assert check(database, SAID["bench"]).wrong == []


def test_the_hubs_tables_hold_what_they_held(tmp_path: Path) -> None:
    """Bringing the database up to date loses no row and no column."""
    path = tmp_path / "hub.sqlite"
    shutil.copyfile(GOLDEN / "hub.sqlite", path)
    before = contents(path)
    database = SqliteDatabase(path)
    migrate(database)
    database.close()
    assert missing(before, contents(path)) == []


def contents(path: Path) -> dict[str, list[dict[str, Any]]]:
    """Every row of every table, but for the number of the last step."""
    connection = sqlite3.connect(path)
    connection.row_factory = sqlite3.Row
    names = [
        row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type='table'")
    ]
    found = {
        name: [dict(row) for row in connection.execute(f"SELECT * FROM {name} ORDER BY 1, 2")]
        for name in names
    }
    connection.close()
    found["meta"] = [row for row in found["meta"] if row["name"] != "version"]
    return found

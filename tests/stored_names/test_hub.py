"""What devices and hubs of different builds say to each other, and what a hub keeps."""

from __future__ import annotations

import asyncio
from typing import Any

from pydantic import BaseModel

from logic.app.presenters.hub import code_in
from logic.cli.hub import DEFAULT_STORE
from logic.sync import wire
from logic.sync.hub.app import make_app
from logic.sync.hub.audit import Act
from logic.sync.hub.bench_limits import LimitName
from logic.sync.hub.migrations import migrate, steps
from logic.sync.hub.postgresql import MIGRATION_LOCK
from logic.sync.hub.sqlite import SqliteDatabase
from tests.hub.hubs import InProcess, make_hub, message, new_key

FIELDS: dict[type[BaseModel], set[str]] = {
    wire.ExchangeRequest: {"protocol", "have", "events", "limit"},
    wire.ExchangeReply: {
        *("protocol", "epoch", "now_ms", "role", "have", "heads", "taken", "known", "refused"),
        *("events", "more", "rotate"),
    },
    wire.Refused: {"event", "code", "why"},
    wire.JoinRequest: {"protocol", "code", "label"},
    wire.JoinReply: {"bench", "bench_name", "key", "role", "epoch"},
    wire.RotateReply: {"key"},
    wire.Me: {"bench", "bench_name", "label", "role", "epoch"},
    wire.ErrorReply: {"error"},
}
CODES = {
    *("malformed", "too-large", "no-time", "fork", "read-only", "key-unknown", "code-unknown"),
    *("protocol", "too-often", "not-found", "not-allowed", "unavailable", "fault", "full"),
}
TABLES = {
    "meta": {"name", "value"},
    "benches": {"bench", "name", "made_ms", "head", "due_ms", "bytes"},
    "events": {
        *("bench", "device", "seq", "prev", "digest", "text", "hub_seq", "received_ms"),
        *("received_from", "husk"),
    },
    "runs": {"bench", "device", "first_seq", "last_seq"},
    "aside": {"bench", "device", "seq", "digest", "text", "received_ms", "received_from"},
    "keys": {
        *("key_id", "bench", "label", "role", "secret_sha", "made_ms", "seen_ms", "revoked_ms"),
        *("next_sha", "rotated_ms", "rotation_asked_ms"),
    },
    "codes": {"code_sha", "bench", "role", "expires_ms", "used_ms"},
    "erasures": {"bench", "device", "seq"},
    "audit": {"nr", "at_ms", "what", "bench", "key_id", "actor", "detail"},
    "bench_limits": {"bench", "name", "value"},
}
ACTS = {
    *("bench-made", "code-made", "joined", "rotation-asked", "rotated", "revoked", "left"),
    *("erased", "exported", "backed-up", "restored", "limited", "forgotten"),
}
LIMITS = {"entries", "megabytes", "key-days", "aside-days", "erasure-days"}
CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"


def test_messages_keep_their_fields() -> None:
    """Protocol 1: requests, replies, refusals and errors have these fields."""
    assert wire.PROTOCOL == 1
    assert {each: set(each.model_fields) & FIELDS[each] for each in FIELDS} == FIELDS
    error = wire.ErrorReply.model_fields["error"].annotation
    assert error is not None
    assert set(error.model_fields) >= {"code", "what", "next"}


def test_what_a_message_need_not_say_stays_what_it_was() -> None:
    """An older device leaves fields out; they mean what they meant."""
    request = wire.ExchangeRequest.model_validate({"have": {"d1": [[1, 3]]}})
    assert (request.protocol, request.events, request.limit) == (1, [], 1000)


def test_refusals_keep_their_codes() -> None:
    """Programs act on these words, whatever the text beside them says."""
    assert set(map(str, wire.Code)) >= CODES
    assert set(map(str, wire.Role)) >= {"full", "read-only"}


def test_addresses_of_the_exchange_stand() -> None:
    """Devices ask at these paths by these methods."""
    described: dict[str, Any] = make_app(make_hub()).openapi()["paths"]
    asked = {(path, method) for path, methods in described.items() for method in methods}
    assert asked >= {
        *(("/v1/exchange", "post"), ("/v1/join", "post")),
        *(("/v1/me", "get"), ("/v1/leave", "post"), ("/v1/rotate", "post")),
    }


def test_figures_of_a_hub_keep_their_names() -> None:
    """Who watches a hub watches these."""
    hub = make_hub()
    way, key = InProcess.of(hub), {"Authorization": f"Bearer {new_key(hub)}"}
    headers = {**key, "Content-Type": "application/json"}
    asyncio.run(way.send("POST", "/v1/exchange", headers, message([])))
    answer = asyncio.run(way.send("GET", "/metrics", {}, b""))
    for name in ("events_taken", "events_known", "events_given", "events_refused", "requests"):
        assert f"# TYPE nutwright_hub_{name}_total counter" in answer.body.decode()
    assert "# TYPE nutwright_hub_request_seconds histogram" in answer.body.decode()


def test_a_hub_keeps_its_store_where_it_was() -> None:
    """Without --store and NUTWRIGHT_STORE, this file in the folder where it is started."""
    assert DEFAULT_STORE == "hub.sqlite"


def test_keys_and_codes_are_spelled_as_ever() -> None:
    """A key is `nw1.ID.SECRET`; a joining code is eight letters, and in a link behind `#join=`."""
    prefix, key_id, secret = new_key(make_hub()).split(".")
    assert (prefix, len(key_id), len(secret)) == ("nw1", 12, 32)
    assert (wire.CODE_LETTERS, wire.CODE_LENGTH) == (CODE_LETTERS, 8)
    address = "https://hub.example:8443"
    assert code_in(f"{address}/#join=ABCD-EFGH", address) == ("ABCD-EFGH", "")


def test_tables_of_a_hub_keep_their_columns() -> None:
    """A database of any earlier hub is brought up to date and read by these names."""
    database = SqliteDatabase(None)
    migrate(database)
    rows = database.run(
        lambda now: now.rows(
            "SELECT m.name, c.name FROM sqlite_master m JOIN pragma_table_info(m.name) c"
            " WHERE m.type = 'table'"
        )
    )
    found: dict[str, set[str]] = {}
    for table, column in rows:
        found.setdefault(table, set()).add(column)
    assert {table: found.get(table, set()) & columns for table, columns in TABLES.items()} == TABLES


def test_what_the_audit_log_and_the_limits_say_stays() -> None:
    """Rows of any earlier hub are read by these words."""
    assert set(map(str, Act)) >= ACTS
    assert set(map(str, LimitName)) >= LIMITS


def test_steps_of_a_hubs_database_keep_their_numbers() -> None:
    """A step that was applied once is never another, and one lock keeps two hubs apart."""
    for kind in ("sqlite", "postgresql"):
        texts = steps(kind)
        assert "CREATE TABLE benches" in texts[1]
        assert "CREATE TABLE erasures" in texts[2]
        assert "CREATE TABLE audit" in texts[3]
    assert MIGRATION_LOCK == 7_205_771


def test_the_notes_of_a_hubs_database_keep_their_names() -> None:
    """`version` counts the steps, `epoch` names the store's life."""
    hub = make_hub()
    hub.event_store.epoch()
    rows = hub.event_store.database.run(lambda now: now.rows("SELECT name, value FROM meta"))
    found = dict(rows)
    assert set(found) >= {"version", "epoch"}
    assert int(found["version"]) >= 2
    assert found["epoch"]

"""The hub's face to the network: what it serves, and what no client can do to it."""

from __future__ import annotations

import gzip
import json
import tracemalloc
from pathlib import Path
from typing import Any

import pytest

from logic.sync.hub import guard
from logic.sync.hub.limits import RateLimit
from logic.sync.hub.sqlite import SqliteDatabase
from logic.sync.transport import HubAnswer
from logic.sync.wire import MAX_BODY_BYTES, MAX_PACKED_BYTES, Role
from shared.errors import HubStoreError
from shared.events import MAX_EVENT_BYTES
from tests.hub.hubs import NOW_MS, InProcess, make_hub, message, new_key, wires
from tests.logic.history.factory import all_events, open_history, opened, reading, setting

JSON = {"Content-Type": "application/json"}


def shown(key: str, **more: str) -> dict[str, str]:
    """The headers of a device that shows its key."""
    return {**JSON, "Authorization": f"Bearer {key}", **more}


def said(answer: HubAnswer) -> Any:
    """The JSON of an answer."""
    return json.loads(answer.body)


def code_of(answer: HubAnswer) -> str:
    """The code of a complaint."""
    return str(said(answer)["error"]["code"])


async def exchange(way: InProcess, key: str, body: bytes, **headers: str) -> HubAnswer:
    """One message to the exchange."""
    return await way.send("POST", "/v1/exchange", shown(key, **headers), body)


def some_events() -> list[dict[str, Any]]:
    """Three events of one phone."""
    history = open_history()
    history.record_all([opened(), reading(6), reading(5)])
    return wires(all_events(history))


# --- doors ---


@pytest.mark.parametrize("path", ["/v1/exchange", "/v1/leave"])
@pytest.mark.parametrize("key", ["", "nw1.a.b", "nonsense"])
async def test_nobody_comes_in_without_a_key(path: str, key: str) -> None:
    """No key and a wrong key get the same refusal and no event."""
    way = InProcess.of(make_hub())
    answer = await way.send("POST", path, shown(key), message([]))
    assert (answer.status, code_of(answer)) == (401, "key-unknown")
    assert answer.headers["www-authenticate"] == "Bearer"


async def test_a_key_in_the_address_is_not_looked_at() -> None:
    """Keys come in a header only, so that no log of addresses holds one."""
    hub = make_hub()
    answer = await InProcess.of(hub).send("GET", f"/v1/me?key={new_key(hub)}", {}, b"")
    assert answer.status == 401


async def test_a_revoked_phone_gets_nothing() -> None:
    """From the moment of revocation on, it neither reads nor writes."""
    hub = make_hub()
    way, key = InProcess.of(hub), new_key(hub)
    assert (await exchange(way, key, message(some_events()))).status == 200
    bench = hub.accounts.bench("Alder Row Strings").bench
    hub.accounts.revoke(bench, "a phone", NOW_MS)
    answer = await exchange(way, key, message([]))
    assert (answer.status, code_of(answer)) == (401, "key-unknown")
    assert b"complaint" not in answer.body


async def test_a_device_can_give_its_own_key_back() -> None:
    """After leaving, the key opens nothing; a key of another device still does."""
    hub = make_hub()
    way, key, other = InProcess.of(hub), new_key(hub), new_key(hub)
    assert (await way.send("POST", "/v1/leave", shown(key), b"")).status == 204
    assert (await way.send("GET", "/v1/me", shown(key), b"")).status == 401
    me = said(await way.send("GET", "/v1/me", shown(other), b""))
    assert (me["bench_name"], me["label"], me["role"]) == ("Alder Row Strings", "a phone", "full")


async def test_joining_over_the_network() -> None:
    """A good code is worth a key that works; the code is then worth nothing."""
    hub = make_hub()
    bench = hub.accounts.make_bench("Alder Row Strings", NOW_MS).bench
    code = hub.accounts.new_code(bench, Role.FULL, NOW_MS)
    way = InProcess.of(hub)
    body = json.dumps({"code": code, "label": "Bench phone"}).encode()
    joined = said(await way.send("POST", "/v1/join", JSON, body))
    assert (joined["bench"], joined["bench_name"]) == (bench, "Alder Row Strings")
    assert (await exchange(way, joined["key"], message([]))).status == 200
    again = await way.send("POST", "/v1/join", JSON, body)
    assert (again.status, code_of(again)) == (403, "code-unknown")


async def test_guessing_at_codes_is_slowed_down() -> None:
    """After a few wrong codes an address has to wait, and is told for how long."""
    way = InProcess.of(make_hub(join_rate=RateLimit(per_second=0.1, burst=3, now=lambda: 0.0)))
    body = json.dumps({"code": "AAAA-AAAA", "label": "x"}).encode()
    answers = [await way.send("POST", "/v1/join", JSON, body) for _ in range(5)]
    assert [answer.status for answer in answers] == [403, 403, 403, 429, 429]
    assert answers[-1].headers["retry-after"] == "10"
    other = InProcess(way.app, address="192.0.2.8")
    assert (await other.send("POST", "/v1/join", JSON, body)).status == 403


async def test_guessing_at_keys_is_slowed_down(monkeypatch: pytest.MonkeyPatch) -> None:
    """So is showing keys that are none."""
    monkeypatch.setattr(guard, "SLOWED_SECONDS", 0)
    way = InProcess.of(make_hub(unknown_key_rate=RateLimit(per_second=1, burst=2, now=lambda: 0.0)))
    statuses = [(await exchange(way, "nw1.a.b", message([]))).status for _ in range(4)]
    assert statuses == [401, 401, 429, 429]


async def test_a_device_that_asks_too_often_is_told_to_wait() -> None:
    """And one that does not is not held up by it."""
    hub = make_hub(exchange_rate=RateLimit(per_second=1, burst=2, now=lambda: 0.0))
    way, busy, calm = InProcess.of(hub), new_key(hub), new_key(hub)
    statuses = [(await exchange(way, busy, message([]))).status for _ in range(3)]
    assert statuses == [200, 200, 429]
    assert (await exchange(way, calm, message([]))).status == 200


async def test_benches_see_nothing_of_each_other() -> None:
    """Whatever bench an event names, it goes to the bench of the key and to no other."""
    hub = make_hub()
    way, ours, theirs = InProcess.of(hub), new_key(hub), new_key(hub, "Quay Street Frets")
    await exchange(way, ours, message(some_events()))
    their_bench = hub.accounts.bench("Quay Street Frets").bench
    forged = [event | {"bench": their_bench} for event in some_events()[:1]]
    assert said(await exchange(way, theirs, message([])))["events"] == []
    await exchange(way, ours, message(forged))
    reply = said(await exchange(way, theirs, message([])))
    assert (reply["events"], reply["have"]) == ([], {})


# --- messages ---


async def test_a_replayed_message_changes_nothing() -> None:
    """The same bytes again are answered, and nothing is kept twice."""
    hub = make_hub()
    way, key, body = InProcess.of(hub), new_key(hub), message(some_events())
    first, second = said(await exchange(way, key, body)), said(await exchange(way, key, body))
    assert (first["taken"], second["taken"], second["known"]) == (3, 0, 3)
    assert first["have"] == second["have"]


async def test_sound_events_are_taken_beside_bad_ones() -> None:
    """Each bad one is named with its reason; the others are kept."""
    hub = make_hub()
    sound = some_events()
    far = sound[0] | {"device": "far", "time": f"{10**14}.0"}
    big = sound[0] | {"device": "big", "body": {"x": "y" * MAX_EVENT_BYTES}}
    bad = [
        7,
        None,
        {"device": "half", "seq": 1},
        sound[0] | {"device": "f", "body": {"a": 0.5}},
        sound[0] | {"device": "g", "seq": True},
        sound[0] | {"device": "h", "newer": 0.5},
        sound[0] | {"device": "s", "body": {"a": "\ud800"}},
    ]
    good = [each for each in bad if isinstance(each, dict)]
    body = message([*good, far, big, *sound])
    reply = said(await exchange(InProcess.of(hub), new_key(hub), body))
    assert reply["taken"] == 3
    codes = {each["event"]: each["code"] for each in reply["refused"]}
    assert codes == {
        "half:1": "malformed",
        "f:1": "malformed",
        "#2": "malformed",
        "h:1": "malformed",
        "s:1": "malformed",
        "far:1": "no-time",
        "big:1": "too-large",
    }


async def test_what_a_newer_app_writes_passes_through_unread() -> None:
    """Unknown kinds, versions and fields come out as they went in."""
    hub = make_hub()
    newer = some_events()[0] | {"kind": "sung.to", "version": 9, "mood": ["low", {"e": 2}]}
    newer["body"] = {"anything": [1, None, True, "\u0000 é 𝄞"]}
    way, key = InProcess.of(hub), new_key(hub)
    await exchange(way, key, message([newer]))
    assert said(await exchange(way, key, message([])))["events"] == [newer]


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff\xfe",
        b'{"have": {"d": [[0, 1]]}}',
        b'{"have": {"d": [[1, 99999999999999999999]]}}',
        b'{"have": {"\\u0000": [[1, 1]]}}',
        b'{"have": {}, "limit": 1001}',
        b'{"have": {}, "limit": "5"}',
        b'{"have": {}, "events": {}}',
        b'{"have": {}, "events": [' + b"0," * 1000 + b"0]}",
        b'{"have":{},"limit":' + b"[" * 100_000 + b"]" * 100_000 + b"}",
        b"[" * 100_000 + b"]" * 100_000,
        b'{"have":{},"limit":' + b"9" * 10_000 + b"}",
    ],
)
async def test_what_is_no_message_is_refused_in_our_words(body: bytes) -> None:
    """Whatever is wrong with it, the answer is a complaint with a code and no inside of ours."""
    hub = make_hub()
    answer = await exchange(InProcess.of(hub), new_key(hub), body)
    assert answer.status == 400, answer
    assert code_of(answer) == "malformed"
    assert b"Traceback" not in answer.body and len(answer.body) < 600


async def test_another_protocol_is_refused_by_name() -> None:
    """A newer app is told which side is older, and not that its message is broken."""
    hub = make_hub()
    answer = await exchange(InProcess.of(hub), new_key(hub), message([], protocol=2))
    assert (answer.status, code_of(answer)) == (409, "protocol")


async def test_a_body_over_the_limit_is_refused_before_it_is_all_read() -> None:
    """Plain or packed, nothing over its limit reaches the hub."""
    hub = make_hub()
    way, key = InProcess.of(hub), new_key(hub)
    answer = await exchange(way, key, b"x" * (MAX_PACKED_BYTES + 1))
    assert (answer.status, code_of(answer)) == (413, "too-large")


async def test_a_small_body_that_unpacks_to_a_huge_one_is_refused_cheaply() -> None:
    """A body that grows a thousandfold costs the hub its limit in memory, and no more."""
    hub = make_hub()
    way, key = InProcess.of(hub), new_key(hub)
    bomb = gzip.compress(bytes(64_000_000), 6)
    assert len(bomb) < MAX_PACKED_BYTES
    tracemalloc.start()
    answer = await exchange(way, key, bomb, **{"Content-Encoding": "gzip"})
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert (answer.status, code_of(answer)) == (413, "too-large")
    assert peak < 4 * MAX_BODY_BYTES


@pytest.mark.parametrize(
    ("encoding", "body"),
    [
        ("gzip", b"not packed"),
        ("gzip", gzip.compress(b"{}")[:-4]),
        ("gzip", gzip.compress(b"{}") + b"tail"),
        ("br", b"{}"),
        ("gzip, gzip", gzip.compress(gzip.compress(b"{}"))),
    ],
    ids=["not packed", "cut", "trailed", "not spoken", "packed twice"],
)
async def test_damaged_packing_is_refused(encoding: str, body: bytes) -> None:
    """Cut, trailed by something, or packed in a way that is not spoken here."""
    hub = make_hub()
    answer = await exchange(InProcess.of(hub), new_key(hub), body, **{"Content-Encoding": encoding})
    assert (answer.status, code_of(answer)) == (400, "malformed")


async def test_packed_both_ways() -> None:
    """A packed message is understood, and a long answer comes packed where that is accepted."""
    hub = make_hub()
    way, key = InProcess.of(hub), new_key(hub)
    history = open_history()
    history.record_all([setting("note", "x" * 100) for _ in range(20)])
    body = gzip.compress(message(wires(all_events(history))))
    packing = {"Content-Encoding": "gzip", "Accept-Encoding": "gzip"}
    answer = await exchange(way, key, body, **packing)
    assert said(answer)["taken"] == 20 if answer.body[:1] == b"{" else answer.status == 200
    answer = await exchange(way, key, message([]), **{"Accept-Encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"
    assert len(json.loads(gzip.decompress(answer.body))["events"]) == 20


async def test_a_store_that_fails_is_told_as_such() -> None:
    """The client is asked to come again, and learns nothing of the store."""
    database = SqliteDatabase(None)
    hub = make_hub(database)
    way, key = InProcess.of(hub), new_key(hub)

    def fail(_work: object) -> None:
        raise HubStoreError("disk on fire at /var/lib/secret")

    database.run = fail  # type: ignore[method-assign, assignment]
    for answer in (
        await exchange(way, key, message([])),
        await way.send("GET", "/ready", {}, b""),
    ):
        assert (answer.status, code_of(answer)) == (503, "unavailable")
        assert answer.headers["retry-after"] == "5"
        assert b"secret" not in answer.body
    assert (await way.send("GET", "/alive", {}, b"")).status == 200


# --- headers, site, health ---


async def test_every_answer_carries_its_safe_headers() -> None:
    """Pages, complaints and answers alike; and no other site is let in unless named."""
    way = InProcess.of(make_hub())
    for path in ("/", "/v1/me", "/alive", "/nowhere"):
        answer = await way.send("GET", path, {"Origin": "https://elsewhere.example"}, b"")
        assert "default-src 'self'" in answer.headers["content-security-policy"]
        assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in answer.headers
    asked = {"Origin": "https://elsewhere.example", "Access-Control-Request-Method": "POST"}
    assert (await way.send("OPTIONS", "/v1/exchange", asked, b"")).status == 405


async def test_a_named_site_may_ask() -> None:
    """One origin that the hub was started with, and no other."""
    way = InProcess.of(make_hub(origins=("https://app.example",)))
    for origin, let_in in (("https://app.example", True), ("https://elsewhere.example", False)):
        asked = {"Origin": origin, "Access-Control-Request-Method": "POST"}
        answer = await way.send("OPTIONS", "/v1/exchange", asked, b"")
        assert (answer.headers.get("access-control-allow-origin") == origin) is let_in


async def test_the_app_is_served_from_its_folder_and_nothing_beside_it(tmp_path: Path) -> None:
    """With types, packed where that is accepted, and no way out of the folder; a browser that looks
    for what succeeds a worker that is not there gets the app's."""
    site = tmp_path / "site"
    (site / "icons").mkdir(parents=True)
    (site / "index.html").write_text("<p>bench</p>")
    (site / "sw.js").write_text("let a")
    (site / "sw.js.gz").write_bytes(gzip.compress(b"let a"))
    (tmp_path / "hub.sqlite").write_text("secret")
    (site / "link").symlink_to(tmp_path / "hub.sqlite")
    way = InProcess.of(make_hub(site=site))
    front = await way.send("GET", "/", {}, b"")
    assert (front.status, front.body) == (200, b"<p>bench</p>")
    assert front.headers["content-type"] == "text/html; charset=utf-8"
    packed = await way.send("GET", "/sw.js", {"Accept-Encoding": "gzip, br"}, b"")
    assert packed.headers["content-encoding"] == "gzip"
    assert gzip.decompress(packed.body) == b"let a"
    for path in (
        "/../hub.sqlite",
        "/icons/../../hub.sqlite",
        "/link",
        "/icons",
        "/\0",
        "/" + "a" * 999,
    ):
        assert (await way.send("GET", path, {}, b"")).status == 404
    succeeded = await way.send("GET", "/other/worker.js", {"Service-Worker": "script"}, b"")
    assert (succeeded.status, succeeded.body) == (200, b"let a")
    since = {"If-Modified-Since": front.headers["last-modified"]}
    assert (await way.send("GET", "/", since, b"")).status == 304


async def test_monitors_get_counters_and_no_names() -> None:
    """Requests and events are counted; neither bench, device, key nor content shows."""
    hub = make_hub()
    way, key = InProcess.of(hub), new_key(hub)
    await exchange(way, key, message(some_events()))
    text = (await way.send("GET", "/metrics", {}, b"")).body.decode()
    assert "nutwright_hub_events_taken_total 3" in text
    assert 'nutwright_hub_requests_total{route="/v1/exchange",status="200"} 1' in text
    for secret in ("Alder", "a phone", key.split(".")[1], hub.accounts.benches()[0].bench):
        assert secret not in text

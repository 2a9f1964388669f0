"""The wire format as its page tells it: messages made up from that page alone, and spoilt ones.

Nothing here imports the models: a device that somebody else wrote knows only `sync.md` and
`history.md`.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import re
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shared.bootstrap import ROOT
from tests.hub.hubs import InProcess, make_hub, new_key
from tests.hub.test_app import exchange, said

PAGE = (ROOT / "assets" / "docs" / "sync.md").read_text(encoding="utf-8")
ROWS = [line.split("|")[1:3] for line in PAGE.splitlines() if re.match(r"\|[^-]", line)]
OF_EVENTS = {cells[0].strip(" `") for cells in ROWS if cells[0].strip().startswith("`")}
OF_MESSAGES = {
    (int(status), code)
    for cells in ROWS
    for status in re.findall(r"\d{3}", cells[0])
    for code in re.findall(r"`([a-z-]+)`", cells[1])
}
FIELDS = {
    *("protocol", "epoch", "now_ms", "role", "have", "heads", "ends", "taken"),
    *("known", "refused", "events", "more", "via", "wants", "rotate"),
}

NAMES = st.from_regex(r"\A[0-9A-Za-z_-]{1,64}\Z")
NUMBERS = st.one_of(st.integers(1, 9), st.integers(1, 2**53 - 1))
PLAIN = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-(2**53) + 1, 2**53 - 1), st.text(max_size=8)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)
EVENTS = st.fixed_dictionaries(
    {
        "bench": NAMES,
        "device": st.sampled_from(["d1", "d2", "d3"]),
        "seq": st.integers(1, 6),
        "time": st.from_regex(r"\A[1-9][0-9]{0,13}\.[0-9]{1,4}\Z"),
        "kind": st.sampled_from(["reading.taken", "sung.to", "setting.changed"]),
        "version": st.integers(1, 3),
        "prev": st.sampled_from(["", hashlib.sha256(b"").hexdigest()]),
        "body": st.dictionaries(st.text(max_size=5), PLAIN, max_size=3),
    }
)
RUNS = st.lists(st.tuples(NUMBERS, NUMBERS).map(list), max_size=4)
MESSAGES = st.fixed_dictionaries(
    {"have": st.dictionaries(NAMES, RUNS, max_size=3)},
    optional={
        "protocol": st.just(1),
        "device": st.sampled_from(["d1", "d2"]),
        "limit": st.integers(0, 1000),
        "events": st.lists(EVENTS, max_size=5),
        "later": PLAIN,
    },
)
SPOILS = st.one_of(
    st.tuples(st.just("field"), st.sampled_from(["have", "events", "limit", "protocol"]), PLAIN),
    st.tuples(st.just("event"), st.sampled_from(["seq", "time", "prev", "body", "device"]), PLAIN),
    st.tuples(st.just("cut"), st.just(""), st.integers(1, 60)),
)
HUB = make_hub()
KEYS = (new_key(HUB), new_key(HUB))
WAY = InProcess.of(HUB)
often = settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))


def is_reply(reply: dict[str, Any]) -> bool:
    """Whether a reply is what the page says one is."""
    runs = [run for each in reply["have"].values() for run in each]
    refused = {each["code"] for each in reply["refused"]}
    return (
        reply.keys() <= FIELDS
        and all(1 <= first <= last for first, last in runs)
        and all(re.fullmatch("[0-9a-f]{64}", digest) for digest in reply["heads"].values())
        and reply["heads"].keys() <= reply["have"].keys()
        and refused <= OF_EVENTS
    )


@often
@given(MESSAGES, st.sampled_from(KEYS), st.booleans())
async def test_a_message_that_the_page_allows_is_answered_as_it_says(
    made: dict[str, Any], key: str, packs: bool
) -> None:
    """Each event is taken, known or refused with a reason of the page, and what the hub says it
    holds it gives."""
    body = json.dumps(made).encode()
    packing = {"Content-Encoding": "gzip"} if packs else {}
    answer = await exchange(WAY, key, gzip.compress(body) if packs else body, **packing)
    assert answer.status == 200, answer.body
    reply = said(answer)
    assert is_reply(reply), reply
    sent = made.get("events", [])
    assert reply["taken"] + reply["known"] + len(reply["refused"]) == len(sent)
    asked = {"have": reply["have"]}
    rest = said(await exchange(WAY, key, json.dumps(asked).encode()))
    assert (rest["events"], rest["more"]) == ([], False)


@often
@given(MESSAGES, SPOILS, st.sampled_from(KEYS))
async def test_a_message_that_is_spoilt_is_answered_too(
    made: dict[str, Any], spoil: tuple[str, str, Any], key: str
) -> None:
    """With a reply of the page or a refusal of the page, whatever was put in its place."""
    kind, name, value = spoil
    if kind == "field":
        made = made | {name: value}
    elif kind == "event":
        made = made | {"events": [each | {name: value} for each in made.get("events", [])]}
    body = json.dumps(made).encode()
    answer = await exchange(WAY, key, body[:-value] if kind == "cut" else body)
    if answer.status == 200:
        assert is_reply(said(answer))
    else:
        assert (answer.status, said(answer)["error"]["code"]) in OF_MESSAGES


def test_the_page_names_what_is_tried() -> None:
    """The tables were found, and the fields of a reply are those of the page."""
    assert {"malformed", "fork", "name-taken", "full"} <= OF_EVENTS
    assert {(400, "malformed"), (401, "key-unknown"), (413, "too-large")} <= OF_MESSAGES
    for field in FIELDS:
        assert f'"{field}"' in PAGE or f"`{field}`" in PAGE, field


@pytest.mark.parametrize("field", ["have", "events"])
async def test_a_body_that_is_costly_to_read_is_refused_unread(field: str) -> None:
    """Brackets and commas without end are counted before anything is made of them."""
    lists = b"[]," * 200_000 + b"[]"
    body = b'{"have":{},"' + field.encode() + b'":[' + lists + b"]}"
    answer = await exchange(WAY, KEYS[0], body)
    assert (answer.status, said(answer)["error"]["code"]) == (413, "too-large")

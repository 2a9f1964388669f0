"""One odd entry is one odd entry: every door refuses it alike, says where it stands and why, and
takes in all that is sound beside it."""

from __future__ import annotations

import hashlib
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.portable import unpack
from logic.history.journal.frame import encode, framed
from logic.history.journal.journal import Writer
from logic.history.journal.segment import header_line, read_segment, segment_name
from logic.sync.hub.verification import VerifiedEvent, verify
from logic.sync.session import SyncSession
from logic.sync.transport import HubAnswer, HubClient
from logic.sync.wire import Code
from shared.events import Event, read_event
from shared.plain_json import NoEvent, Unfit, read_json
from tests.hub.hubs import InProcess, make_hub, new_key
from tests.hub.test_app import exchange, said
from tests.logic.history.factory import all_events, open_history, setting
from tests.logic.history.odd_lines import SOUND, VALUES, Odd, odd_lines, spelled

TABLE = odd_lines()
SOUND_EVENTS = tuple(
    open_history(letter=letter).record(*setting("count", letter)) for letter in "ab"
)
SOUND_IDS = {"a1:1", "b1:1"}
HUB = make_hub()
WAY = InProcess.of(HUB)
each_value = pytest.mark.parametrize(
    "odd", [odd for odd in TABLE if odd.name.startswith("value")], ids=lambda odd: odd.name
)
each_odd_line = pytest.mark.parametrize("odd", TABLE, ids=lambda odd: odd.name)


def between(odd: Odd) -> list[bytes]:
    """The odd entry between two sound ones, as JSON."""
    before, after = (event.canonical_bytes for event in SOUND_EVENTS)
    return [before, odd.text.encode(), after]


def held(history: History) -> set[str]:
    """What a history holds, in a form that can be exported and folded anew."""
    again = open_history(letter="y")
    again.merge(history.export())
    ids = {event.id for event in all_events(history)}
    assert {event.id for event in all_events(again)} == ids
    return ids


@each_odd_line
def test_the_one_function_behind_the_doors_says_why(odd: Odd) -> None:
    """As the table has it."""
    with pytest.raises(NoEvent) as caught:
        read_event(read_json(odd.text.encode()))
    assert caught.value.unfit is odd.unfit


def test_the_sound_entry_that_the_table_spoils_is_sound() -> None:
    """So that each line of the table is odd by the one thing that its name says."""
    found = read_event(read_json(json.dumps(SOUND).encode()))
    assert isinstance(found, Event) and found.id == "z1:1"


@each_odd_line
def test_a_history_file_is_taken_in_but_for_its_odd_line(odd: Odd) -> None:
    """The line is said by its number, with the reason."""
    lines = [framed(b'{"event":' + text + b"}") for text in between(odd)]
    head = encode(
        {
            "format": "nutwright.history",
            "version": 1,
            "bench": "b",
            "made": "0.0",
            "of": "everything",
        }
    )
    whole = head + b"".join(lines)
    end = {"events": len(lines), "sha256": hashlib.sha256(whole).hexdigest()}
    data = whole + encode({"end": end})
    file = unpack(data)
    assert [(each.line, each.unfit) for each in file.odd] == [(3, odd.unfit)]
    assert file.complete and not file.damaged
    history = open_history(letter="x")
    report = history.merge(data)
    assert report.added == 2 and held(history) == SOUND_IDS
    assert [line for line in report.lines() if line.startswith("Line 3: ")]


@pytest.mark.parametrize("together", [False, True])
@each_odd_line
def test_a_journal_opens_but_for_its_odd_line(odd: Odd, together: bool) -> None:
    """Whether the line holds one entry or several; what is odd stays where it is."""
    texts = [b",".join(between(odd))] if together else between(odd)
    lines = [framed(b'{"events":[' + text + b"]}") for text in texts]
    data = header_line("alder-row", "d1", 1, 1, "") + b"".join(lines)
    directory = MemoryDirectory({segment_name(1): bytearray(data)})
    history = open_history(directory, "x")
    line = 2 if together else 3
    assert [(each.line, each.unfit) for each in history.report.odd] == [(line, odd.unfit)]
    assert any(f"journal-000001.txt, line {line}: " in said for said in history.report.lines())
    assert held(history) == SOUND_IDS
    history.record(*setting("more", 1))
    history.save_snapshot()
    again = open_history(directory, "y")
    assert held(again) == {*SOUND_IDS, "d1:1"}
    assert bytes(directory.files[segment_name(1)]).startswith(data)


@pytest.mark.parametrize("odd_first", [False, True])
@each_value
def test_an_odd_line_with_the_number_of_a_sound_one_never_stands_for_it(
    odd: Odd, odd_first: bool
) -> None:
    """The sound entry is found, passed on and kept, at every reading and every start."""
    sound = json.dumps(SOUND).encode()
    texts = [odd.text.encode(), sound] if odd_first else [sound, odd.text.encode()]
    lines = [framed(b'{"events":[' + text + b"]}") for text in texts]
    data = header_line("alder-row", "d1", 1, 1, "") + b"".join(lines)
    directory = MemoryDirectory({segment_name(1): bytearray(data)})
    for number in (1, 2, 3):
        history = open_history(directory, f"x{number}")
        history.record(*setting("more", number))
        found = history.event("z1:1")
        assert found is not None and found.body == SOUND["body"]
        history.journal.write_as(Writer("alder-row", f"w{number}"))  # another file
        history.record(*setting("more", -number))
        history.save_snapshot()
        assert "z1:1" in held(history)


@each_odd_line
async def test_a_hub_takes_a_batch_but_for_its_odd_entry(odd: Odd) -> None:
    """It is refused by its place in the message, with the code that the page gives."""
    body = b'{"protocol":1,"have":{},"device":"d9","events":[' + b",".join(between(odd)) + b"]}"
    answer = await exchange(WAY, new_key(HUB, odd.name[:40]), body)
    assert answer.status == 200, answer.body
    reply = said(answer)
    assert set(reply["have"]) == {"a1", "b1"} and reply["taken"] == 2
    (refused,) = reply["refused"]
    assert refused["event"] in ("#1", "z1:1", "z1:7")
    assert refused["why"].startswith("event 2 of the message: ")
    codes = {Unfit.SIZE: Code.TOO_LARGE, Unfit.TIME: Code.NO_TIME}
    assert refused["code"] == codes.get(odd.unfit, Code.MALFORMED)


@each_odd_line
async def test_a_device_takes_a_reply_but_for_its_odd_entry(odd: Odd) -> None:
    """A hub that gave it would be passed over for that one entry."""
    given = json.dumps(
        {"epoch": "e1", "now_ms": 0, "have": {"a1": [[1, 1]], "b1": [[1, 1]]}, "events": []}
    ).encode()
    given = given.replace(b'"events": []', b'"events": [' + b",".join(between(odd)) + b"]")

    class Answering(InProcess):
        """A way to a hub that answers so."""

        async def send(self, *_asked: object) -> HubAnswer:
            return HubAnswer(200, given)

    history = open_history(letter="x")
    session = SyncSession(history)
    session.handle_reply(await HubClient(Answering.of(HUB)).exchange(session.next_message() or b""))
    assert session.outcome.not_understood == 1
    assert held(history) == SOUND_IDS


JSON_TEXT = st.recursive(
    st.sampled_from([*VALUES, '"é"', '"x"', "1", "null", "{}", "[]", '"1.0"', '"1700000001000.0"'])
    | st.from_regex(r"\A-?[1-9][0-9]{0,20}(\.[0-9]{1,3})?(e[1-9]{1,4})?\Z"),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda all_: f"[{','.join(all_)}]")
        | st.lists(st.tuples(st.sampled_from(["a", "seq", "device"]), inner), max_size=3).map(
            lambda pairs: "{" + ",".join(f'"{name}":{value}' for name, value in pairs) + "}"
        )
    ),
    max_leaves=5,
)


@settings(deadline=None, max_examples=150)
@given(st.sampled_from([*SOUND, "mood", "counts_as"]), JSON_TEXT)
def test_whatever_stands_in_a_field_every_door_says_the_same(field: str, value: str) -> None:
    """File, journal and hub take it or refuse it together, and what is taken has one digest."""
    text = spelled(field, value).encode()
    file = unpack(encode({"format": "nutwright.history", "version": 1}) + line(b"event", text))
    kept = read_segment(1, header_line("b", "d", 1, 1, "") + line(b"events", b"[" + text + b"]"))
    verified = verify(read_json(text))
    verdicts = {
        tuple((each.line, each.unfit) for each in file.odd),
        tuple(kept.odd),
    }
    assert len(verdicts) == 1
    taken = isinstance(verified, VerifiedEvent)
    assert taken == bool(file.events) == bool(kept.events) == (verdicts == {()})
    if isinstance(verified, VerifiedEvent):
        digests = {event.digest for event in (*file.events, *kept.events)}
        assert digests == {verified.digest}


def line(name: bytes, text: bytes) -> bytes:
    """A line of a file that holds one field."""
    return framed(b'{"' + name + b'":' + text + b"}")

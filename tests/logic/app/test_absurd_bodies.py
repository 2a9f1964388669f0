"""Entries of a sound form whose bodies hold anything at all: each is kept and, where it makes no
sense, changes nothing; no fold, list, screen or spreadsheet fails on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.app import App
from logic.app.session.places import ScreenName
from logic.history import History, MemoryDirectory
from logic.history.documents.bodies import understood
from logic.history.exchange.spreadsheet import readings_csv
from logic.testing import TRADE
from shared.events import Event, Kind
from shared.readings import Buzz
from tests.logic.app.apps import DiscApp, Technician, fresh_app, walking
from tests.logic.history.factory import KIT, documents
from tests.logic.history.test_projection import EVENTS

Entry = tuple[str, dict[str, Any]]
Path = tuple[str | int, ...]
ABSURD: tuple[Any, ...] = (
    *(
        "",
        "x" * 200_000,
        "1e999 in",
        "1e-999 mm",
        "NaN mm",
        "-5 mm",
        "0 mm",
        "∞ in",
        "1/0",
        "²",
        "١٢",
    ),
    *("9" * 400 + " mm", "2 thou", "1e3", "-0", "E99", "E-5", "\x00", "\u202e", "../..", "=1+1"),
    *("walk:²", "walk:99999999999999999999", "hand over:-1", "a:1", "a:9999999999999999", "0.0"),
    *(0, -1, 24, 25, 2**53 - 1, -(2**53 - 1), True, False, None),
    *(
        [],
        {},
        [[]],
        ["6"],
        [6] * 1000,
        ["0.01 in"] * 400,
        {"a": 1},
        {"6": "20 thou"},
        {"²": "1 mm"},
    ),
)
SCREENS: tuple[ScreenName, ...] = get_args(ScreenName)


@cache
def worked() -> DiscApp:
    """A visit in which every string was read."""
    app = fresh_app()
    gaps = dict.fromkeys(range(1, 7), 0.5)
    Technician(gaps, dict.fromkeys(gaps, Buzz.NONE)).walk(app, walking(app), 40)
    return app


@cache
def entries() -> tuple[Entry, ...]:
    """One of each kind and of each thing that it can hold, about the visit."""
    app = worked()
    visit = app.history.jobs()[0]
    own = {"job": visit.id, "instrument": visit.instrument_id or "i1"}
    told = [(each.kind, each.body) for each in (*EVENTS, *app.history.events_after({}))]
    told += [(Kind.SETTING_CHANGED, {"name": name, "value": "x"}) for name in app.settings]
    told += [
        (Kind.JOB_CHANGED, {"job": "", "field": field, "value": value})
        for field, value in (
            ("kit", KIT),
            ("player", {"attack": "light", "targets": {"6": "20 thou"}}),
            ("ticket", "12"),
            ("note", "flat"),
            ("to_my_target", True),
        )
    ]
    told += [
        (Kind.READING_TAKEN, {"job": "", "reading": {"string": 6, "fret": 1, "cents": "8.5"}}),
        (Kind.READING_TAKEN, {"job": "", "reading": LEAF, "instead": INSTEAD}),
        (Kind.PASS_FILED, {"job": "", "pass": {"string": 6, "strokes": 3, "file": "0.046 in"}}),
        (Kind.WORK_DONE, {"job": "", "work": WORK}),
        *((Kind.SETUP_READ, {"job": "", "measurement": each}) for each in MEASURED),
    ]
    return tuple((kind, body | {k: v for k, v in own.items() if k in body}) for kind, body in told)


LEAF = {"string": 6, "leaf": "0.018 in", "contact": "none"}
INSTEAD = {"event": "a:1", "device": "a", "time": "1700000000000.0", "counts_as": "1.0"}
WORK = {
    "what": "fill",
    "strings": [6],
    "amount": "0.3 mm",
    "minutes": 10,
    "usual_minutes": 12,
    "technician": "A.",
}
MEASURED = (
    {"quantity": "relief", "string": 6, "side": "bass", "holds": [1, 14], "at": 7}
    | {"leaf": "1 mm"},
    {"quantity": "action", "string": 6, "fret": 12, "value": "2.4 mm"},
    {"quantity": "temperature", "celsius": "21.5"},
    {"quantity": "humidity", "percent": 45},
)


def paths(value: Any, at: Path = ()) -> Iterator[Path]:
    """Where each thing within `value` stands."""
    held: Sequence[tuple[str | int, Any]] = ()
    if isinstance(value, dict):
        held = list(value.items())
    elif isinstance(value, list | tuple):
        held = list(enumerate(value))
    for key, each in held:
        yield (*at, key)
        yield from paths(each, (*at, key))


def with_at(value: Any, at: Path, put: Any) -> Any:
    """`value` with `put` at a place within it."""
    if not at:
        return put
    copied: Any = dict(value) if isinstance(value, dict) else list(value)
    copied[at[0]] = with_at(copied[at[0]], at[1:], put)
    return copied


@st.composite
def absurd_entries(draw: st.DrawFn) -> Entry:
    """A sound entry with up to three things in it put into something else."""
    kind, body = draw(st.sampled_from(entries()))
    for _ in range(draw(st.integers(1, 3))):
        where = list(paths(body))
        if where:
            body = with_at(body, draw(st.sampled_from(where)), draw(st.sampled_from(ABSURD)))
    return kind, body


def merged(kind: str, body: dict[str, Any]) -> History | None:
    """The visit with one entry more, of another device; None where it is no entry at all."""
    files = {name: bytearray(data) for name, data in worked().disc.files.items()}
    history = History.open(MemoryDirectory(files))
    before = sum(history.vector.values())
    event = Event("alder-row", "zz", 1, "1700099999999.0", str(kind), body)
    try:
        event.check()
    except ValueError:
        return None
    history.merge_events([event])
    assert sum(history.vector.values()) == before + 1
    return history


def look_at_all(history: History, screens: Sequence[ScreenName]) -> None:
    """Every document, the spreadsheet, and some screens of the visit."""
    for line in history.jobs():
        found = history.job(line.id)
        assert found is not None
        found.as_job()
    for shown in history.instruments():
        assert history.instrument(shown.id) is not None
    assert history.kits() is not None and history.last_touched() is not None
    assert readings_csv(history.queries)
    app = App(history, TRADE, lambda: "n1")
    app.speak()
    app.resume()
    app.view()
    for screen in screens:
        for place in (screen, f"{screen}:6"):
            app.session.stand_in(worked().history.jobs()[0].id, place)
            app.view()


@settings(deadline=None, max_examples=30)
@given(absurd_entries(), st.lists(st.sampled_from(SCREENS), min_size=2, max_size=2))
def test_no_body_makes_anything_fail(entry: Entry, screens: list[ScreenName]) -> None:
    """Whatever a sound entry is turned into, in up to three places."""
    history = merged(*entry)
    if history is not None:
        look_at_all(history, screens)


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        (Kind.CHECK_ANSWERED, {"job": "j" * 200_000, "gate": "relief", "answer": "ok"}),
        (Kind.READING_TAKEN, {"job": "j1", "reading": LEAF | {"leaf": "1e999 in"}}),
        (Kind.READING_TAKEN, {"job": "j1", "reading": LEAF | {"leaf": "NaN mm"}}),
        (Kind.KIT_SAVED, {"kit": "k1", "value": {"leaves": ["1e999 in"]}}),
        (Kind.UNDONE, {"event": "e" * 200_000, "touches": []}),
        (Kind.CONTENT_ERASED, {"events": {"d1": [[1, 2**54]]}, "due": 0}),
    ],
    ids=lambda each: str(each)[:40] if isinstance(each, str) else "",
)
def test_a_body_that_makes_no_sense_is_kept_and_changes_nothing(
    kind: Kind, body: dict[str, Any]
) -> None:
    """As one of a newer version would be."""
    assert not understood(Event("b", "zz", 1, "1.0", kind, body))
    history = merged(kind, body)
    if history is not None:
        look_at_all(history, SCREENS)
        assert documents(history) == documents(worked().history)

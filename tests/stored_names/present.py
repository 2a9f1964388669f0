"""Writes the golden files of the version that stood before rooms and words were put in order.

    python -m tests.stored_names.present tests/golden/present      writes what is not there yet

A bench's history with every kind of event and every field that this version writes, and beside
them what it does not know; job files with everything in them; and a hub's database. Written once.
"""

from __future__ import annotations

import asyncio
import json
import shutil
import sys
from pathlib import Path
from typing import Any

from logic.history import History, MemoryDirectory
from logic.sync.hub.app import Hub
from logic.sync.hub.purging import purge
from logic.sync.hub.sqlite import SqliteDatabase
from logic.sync.wire import Role
from shared.events import Event, Kind
from shared.instrument import Make, NutType
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, message, wires
from tests.logic.history.factory import open_history, setting
from tests.stored_names.looking_up import as_read, looked_up
from tests.stored_names.test_places import IN_A_JOB
from tests.stored_names.test_settings import KEYS, VALUES

PITCHES = ("E4", "B3", "G3", "D3", "A2", "E2", "D2", "B1", "A1")
EXTRA: dict[str, Any] = {"moon": {"phase": ["full", 3, None, True]}}
"""What no version so far knows."""

STRINGS = [
    {
        "string": number,
        "pitch": pitch,
        "gauge": f"0.0{9 + 4 * number:02d} in",
        "make": make.value,
        "core": "0.005 in",
        "course": number,
        "octave": number == 3,
        "from_fret": 0,
        "grams_per_metre": "3.25",
        "whole_tone_stretch": "0.9 mm",
        **({"ball": "brass"} if number == 1 else {}),
    }
    for number, (pitch, make) in enumerate(zip(PITCHES, Make, strict=True), start=1)
]
INSTRUMENT: dict[str, Any] = {
    "label": "Nine strings, ticket 7 ♯",
    "owner": "tag 44",
    "kind": "other",
    "scale": "650 mm",
    "scale_bass": "27 in",
    "fretted": True,
    "left_handed": True,
    "relief": "0.2 mm",
    "action_12": {"9": "2.2 mm", "1": "1/16 in"},
    "a4_hz": "442",
    "strings": STRINGS,
    "nut": {
        "type": "slotted",
        "material": "bone",
        "width": "52 mm",
        "shim": "0.1 mm",
        "original": True,
        "glued": True,
        "colour": "ivory",
    },
    "finish": EXTRA,
}
PLAIN = {"gauge": "0.012 in", "make": "plain steel"}
PLAYER = {"attack": "heavy", "targets": {"9": "0.6 mm", "1": "0.4 mm"}, "budget_cents": "4.5"}
KIT = {
    "name": "Touring bag",
    "leaves": ["0.016 in", "0.40 mm"],
    "files": ["0.046 in"],
    "shims": ["0.1 mm"],
    "fills": ["bone dust"],
    "blanks": ["bone"],
    "worn_files": ["0.046 in"],
    "lost_leaves": ["0.018 in"],
    "lost_files": ["0.036 in"],
    "lost_shims": ["0.2 mm"],
    "shelf": "upper",
}
READINGS: tuple[dict[str, Any], ...] = (
    {"string": 9, "leaf": "0.018 in", "contact": "light", "buzz": "none"},
    {"string": 9, "leaf": ["0.018 in", "0.25 mm"], "contact": "heavy", "buzz": "hard"},
    {"string": 8, "leaf": "18 thou", "contact": "none", "buzz": "unknown"},
    {"string": 7, "clearance": "0.55 mm", "buzz": "normal"},
    {"string": 6, "held_at": 3, "gap": "0.1 mm", "buzz": "soft", "hand": "left"},
    {"string": 5, "fret": 1, "cents": "8.5"},
    {"string": 4, "buzz": "normal"},
)
PASSES: tuple[dict[str, Any], ...] = (
    {"string": 9, "strokes": 3, "file": "0.046 in", "material": "bone", "technician": "Hand 2"},
    {"string": 9, "strokes": 60, "light": True},
)
PROOFS: tuple[dict[str, Any], ...] = (
    {"string": 9, "buzz": "none", "clearance": "0.5 mm", "cents": "3.5"},
    {"string": 8, "buzz": "hard", "unproven": "no time before the show"},
)
ANSWERS: tuple[tuple[str, int | None, Any], ...] = (
    *(("relief", None, "0.2 mm"), ("capo", None, True), ("frets", 9, "ok")),
    *(("seated", 9, "yes"), ("seated", None, "skipped"), ("ping", 8, "unknown"), ("time", None, 2)),
    *(("a check to come", None, "somehow"), ("seated", 8, "no")),
)
Happened = tuple[Kind, dict[str, Any]]


def opened(job: str, instrument: str | None, **more: Any) -> Happened:
    """A job with everything that comes with it."""
    body = {"job": job, "instrument": instrument, "value": INSTRUMENT, "player": PLAYER}
    return Kind.JOB_OPENED, body | {"kit": KIT, "complaint": "stiff ♯"} | more


def whole_job(job: str) -> list[Happened]:
    """Everything that can happen in one job, at each of its places."""
    happened: list[Happened] = [opened(job, "i1", taken_by="Hand 2", extra=EXTRA)]
    happened += [
        (Kind.CHECK_ANSWERED, {"job": job, "gate": gate, "string": string, "answer": answer})
        for gate, string, answer in ANSWERS
    ]
    happened += [(Kind.READING_TAKEN, {"job": job, "reading": reading}) for reading in READINGS]
    happened += [(Kind.PASS_FILED, {"job": job, "pass": made}) for made in PASSES]
    happened += [(Kind.PROOF_TAKEN, {"job": job, "proof": proof}) for proof in PROOFS]
    values = (("instrument", INSTRUMENT), ("player", PLAYER), ("kit", KIT), ("complaint", "buzz"))
    happened += [
        (Kind.JOB_CHANGED, {"job": job, "field": name, "value": value}) for name, value in values
    ]
    places = [place for room in IN_A_JOB for place in (room, f"{room}:5", f"left {room}:5")]
    happened += [(Kind.PLACE_MOVED, {"job": job, "place": place}) for place in places]
    happened += [(Kind.JOB_CLOSED, {"job": job, "reason": "done", "by": "Hand 2"})]
    return [*happened, (Kind.JOB_REOPENED, {"job": job}), (Kind.PLACE_MOVED, PLAN | {"job": job})]


PLAN = {"place": "plan"}


def settings() -> list[Happened]:
    """Every setting at its last value, and what is kept under names of its own."""
    happened = [
        setting(f"{name} d1" if name == "language" else name, max(values))
        for name, values in VALUES.items()
    ]
    happened += [setting(f"key {deed}", f"F{n}") for n, deed in enumerate(KEYS, start=1)]
    rack = {"waiting": ["i2"], "gone": [["i1", "j1"], ["i3", ""]]}
    happened += [setting("rack d1", rack), setting("copy d1", {"ms": NOW_MS, "entries": 12})]
    happened += [setting("people", "Ada, Ben · Cem"), setting("who d1", "Ben")]
    return [*happened, setting("bag", "k1"), setting("took j1 shim", "25 of 30")]


def of_another_build() -> list[Event]:
    """Entries of a device that runs a newer build: what it says is kept, known here or not."""
    bodies: tuple[tuple[str, dict[str, Any], int, dict[str, Any] | None], ...] = (
        ("setting.changed", {"name": "unit", "value": "mm", "why": EXTRA}, 2, {"sealed": "x9"}),
        ("relief.bent", {"job": "j1", "relief": {"at": 7}}, 1, None),
        ("reading.taken", {"job": "j1", "reading": {"string": 9, "smell": "bone"}}, 1, None),
        ("place.moved", {"job": "j1", "place": "a room to come:3"}, 1, None),
        ("player.saved", {"instrument": "i2", "value": PLAYER | EXTRA}, 1, None),
    )
    made: list[Event] = []
    for seq, (kind, body, version, more) in enumerate(bodies, start=1):
        prev, time = made[-1].digest if made else "", f"{NOW_MS + 500_000 + seq}.3"
        made.append(Event("alder-row", "n1", seq, time, kind, body, version, prev, more))
    return made


def told_again() -> Event:
    """What a device that slipped back told anew under a name of its own."""
    was = {"event": "d0:7", "digest": "ab" * 32}
    body = {"job": "j1", "reading": {"string": 3, "leaf": "0.015 in", "contact": "light"}}
    time, device = f"{NOW_MS + 400_000}.0", f"r{'ab' * 15}a"
    kind = str(Kind.READING_TAKEN)
    return Event("alder-row", device, 1, time, kind, body, unknown_fields={"was": was})


def a_bench(directory: MemoryDirectory) -> History:
    """The history: two devices, one of a newer build, things taken back, and things erased."""
    history = open_history(directory)
    history.journal.segment_bytes = 12_000
    history.record_all(settings())
    history.record_all([(Kind.KIT_SAVED, {"kit": "k1", "value": KIT, "since": "spring"})])
    for job in ("j1", "j2"):
        for happened in whole_job(job):
            history.record(*happened)
    saved = {"instrument": "i2", "value": INSTRUMENT | {"nut": {"type": NutType.OWN_NUT.value}}}
    history.record(Kind.INSTRUMENT_SAVED, saved | EXTRA)
    history.record(Kind.PLAYER_SAVED, {"instrument": "i1", "value": PLAYER})
    history.record(*opened("j3", None, complaint="quick check", player={}, kit={}))
    back = history.record(*setting("theme", "sun"))
    history.undo(back.id)
    history.redo(back.id)
    history.undo(history.record(Kind.JOB_CLOSED, {"job": "j3"}).id)
    history.merge_events([*of_another_build(), told_again()])
    history.save_snapshot()
    history.erase(("job", "j2"), due_ms=NOW_MS)
    history.undo(history.erase(("job", "j1"), due_ms=NOW_MS * 2).id)
    history.purge()
    history.erase(("instrument", "i2"), due_ms=NOW_MS * 2)
    history.merge_events([_fork(history)])
    history.save_snapshot()
    return history


def _fork(history: History) -> Event:
    """Another event under a number that was given out."""
    here = history.event("n1:5")
    assert here is not None
    return Event("alder-row", "n1", 5, here.time, "setting.changed", {"name": "x", "value": 1})


# --- job files ----------------------------------------------------------------------------------


def job_files() -> dict[str, Any]:
    """Job files by name: everything, names of strings, many spellings, work in progress."""
    steel = [1, 2, 3, 4, 5, 6]
    return {
        "everything": {
            "format": "nutwright.job",
            "version": 1,
            "complaint": "stiff; pings",
            **EXTRA,
            "instrument": INSTRUMENT | {"a4_hz": 442, "strings": _numbers(STRINGS)},
            "player": PLAYER | {"budget_cents": 4.5},
            "kit": KIT,
            "passes": PASSES,
            "checks": _checks(),
            "readings": _numbers(READINGS),
            "proofs": _numbers(PROOFS),
        },
        "pairs": {
            "instrument": {"kind": "12-string guitar", "action_12": {"6 main": "2 mm"}},
            "player": {"targets": {"1 first": "0.4 mm", "6 octave": "0.5 mm"}},
            "checks": {"seated": {"6 octave": "yes", "2 second": "no", "12": "skipped"}},
            "readings": [
                {"string": "6 octave", "clearance": "0.70 mm"},
                {"string": " 2  First ", "leaf": "0.024 in", "contact": "light"},
                {"string": "12", "buzz": "hard"},
            ],
        },
        "spellings": {
            "instrument": {"kind": "electric guitar", "scale": "25½ in", "relief": '0.008"'},
            "kit": {"leaves": ["0.40mm", "400 µm", "16 thou", "1/64 in"], "shims": ["0,1 mm"]},
            "checks": {"pitch_ok": True, "no_capo": "yes", "relief": "0.2 mm", "frets": None},
            "readings": [{"string": s, "clearance": f"{s + 15} thou"} for s in steel],
        },
        "boards": {
            "instrument": {
                "kind": "other",
                "scale": "686 mm",
                "relief": "0.1 mm",
                "board": {"semitones": [2, 3, 4, 5, 7, 9, 10, 11, 12], "tied": True},
                "action_12": {"2": "2 mm", "1": "1.8 mm"},
                "nut": {"type": "slotted", "width": "36 mm"},
                "strings": [
                    {"string": 2, "pitch": "A3"} | PLAIN,
                    {"string": 1, "pitch": "D4", "scale": "680 mm", "from_fret": 1} | PLAIN,
                ],
            },
            "readings": [{"string": 2, "fret": 9, "cents": 4}, {"string": 1, "clearance": ".5 mm"}],
        },
        "smallest": {"instrument": {"kind": "5-string banjo"}},
        "nulls": {
            "instrument": {"kind": "mandolin", "label": None, "nut": None, "relief": None},
            "player": None,
            "kit": None,
            "checks": None,
            "readings": None,
            "complaint": None,
        },
    }


def _numbers(items: Any) -> list[dict[str, Any]]:
    """`items` with decimal text as the numbers that job files hold."""
    decimal = ("cents", "grams_per_metre")
    return [
        {name: float(value) if name in decimal else value for name, value in item.items()}
        for item in items
    ]


def _checks() -> dict[str, Any]:
    found: dict[str, Any] = {}
    for gate, string, answer in ANSWERS:
        if string is None:
            found[gate] = answer
        elif isinstance(found.setdefault(gate, {}), dict):
            found[gate][str(string)] = answer
    return found


# --- a hub --------------------------------------------------------------------------------------


def write_hub(path: Path, history: History) -> dict[str, Any]:
    """A hub's database with two benches, keys of all sorts, a fork, and erasures; what it says."""
    database = SqliteDatabase(path)
    hub = make_hub(database)
    bench = hub.accounts.make_bench("Alder Row Strings", NOW_MS).bench
    hub.accounts.make_bench("Second bench", NOW_MS)
    keys = {
        label: _key(hub, bench, label, role)
        for label, role in (
            *(("Bench phone", Role.FULL), ("Reader", Role.READ_ONLY)),
            *(("Lost phone", Role.FULL), ("Seen phone", Role.FULL)),
        )
    }
    hub.accounts.revoke(bench, "Lost phone", NOW_MS)
    direct = Direct(hub)
    asyncio.run(meet(history, direct, keys["Bench phone"]))
    sent = message(wires([_fork(history)]))
    bearer = {"Authorization": f"Bearer {keys['Bench phone']}"}
    asyncio.run(direct.send("POST", "/v1/exchange", bearer, sent))
    promised = Event(
        *("alder-row", "h1", 1, f"{NOW_MS}.0", "content.erased"),
        {"events": {"h1": [[2, 2]]}, "due": NOW_MS},
    )
    gone = Event(
        *("alder-row", "h1", 2, f"{NOW_MS}.1", "setting.changed", {"name": "x", "value": "y"}),
        prev=promised.digest,
    )
    asyncio.run(direct.send("POST", "/v1/exchange", bearer, message(wires([promised, gone]))))
    assert purge(database, bench, NOW_MS) >= 1
    live = hub.accounts.new_code(bench, Role.FULL, NOW_MS, minutes=60 * 24 * 365)
    said = {"bench": bench, "keys": keys, "code": live, **_answers(hub, keys)}
    database.tidy()
    database.close()
    shutil.copyfile(path, path.with_suffix(".later"))
    later = SqliteDatabase(path.with_suffix(".later"))
    said["purged_later"] = purge(later, bench, NOW_MS * 2)
    later.close()
    path.with_suffix(".later").unlink()
    return said


def _answers(hub: Hub, keys: dict[str, str]) -> dict[str, Any]:
    """What the hub says to whoever asks: all it holds, and who they are."""
    found: dict[str, Any] = {"me": {}}
    for label in ("Bench phone", "Reader", "Seen phone"):
        device = hub.accounts.device_of(keys[label], NOW_MS)
        assert device is not None
        found["me"][label] = hub.me(device).model_dump(mode="json")
    bearer = {"Authorization": f"Bearer {keys['Seen phone']}"}
    answer = asyncio.run(Direct(hub).send("POST", "/v1/exchange", bearer, message([])))
    return found | {"reply": json.loads(answer.body)}


def _key(hub: Hub, bench: str, label: str, role: Role) -> str:
    admitted = hub.accounts.admit(hub.accounts.new_code(bench, role, NOW_MS), label, NOW_MS)
    assert admitted is not None
    return admitted.key


# --- writing ------------------------------------------------------------------------------------


def as_text(value: Any) -> str:
    """JSON as the golden files keep it."""
    return json.dumps(value, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def write(folder: Path) -> None:
    """Write what is not there yet."""
    if not (folder / "history").exists():
        write_history(folder)
    for name, tree in job_files().items():
        path = folder / "jobs" / f"{name}.json"
        if not path.exists():
            path.parent.mkdir(exist_ok=True)
            path.write_text(json.dumps(tree, ensure_ascii=False, indent=1) + "\n", "utf-8")
            read = as_text(as_read(path.read_text("utf-8")))
            path.with_suffix(".read.txt").write_text(read, "utf-8")


def write_history(folder: Path) -> None:
    """The history, and the hub that met it."""
    directory = MemoryDirectory()
    history = a_bench(directory)
    (folder / "history").mkdir(parents=True)
    for name in directory.names():
        if name != "reserve.txt":
            (folder / "history" / name).write_bytes(directory.files[name])
    (folder / "history.txt").write_bytes(history.export())
    (folder / "history.json").write_text(as_text(looked_up(history)), "utf-8")
    said = write_hub(folder / "hub.sqlite", history)
    (folder / "hub.json").write_text(as_text(said), "utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1]))

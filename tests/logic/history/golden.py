"""Writes the golden files of a format's version: days at the bench of Alder Row Strings."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from logic.history import History, MemoryDirectory
from logic.history.journal.segment import segment_number
from shared.events import Event, Kind, redacted
from tests.logic.history.entries import (
    put_right,
    reported,
    told_older_apps,
    with_action,
)
from tests.logic.history.factory import (
    KIT,
    Named,
    Ticking,
    checked,
    documents,
    measured,
    open_history,
    opened,
    reading,
    setting,
)
from tests.logic.history.golden_visit import visit

GOLDEN = Path(__file__).parents[2] / "golden" / "history"


def a_week(directory: MemoryDirectory) -> History:
    """Two devices, one job taken to its proof, a disagreement, and undos."""
    bench, touring = open_history(directory), open_history(letter="t", now=1_700_000_400_000)
    bench.journal.segment_bytes = 3000
    bench.record_all([setting("unit", "thou"), (Kind.KIT_SAVED, {"kit": "k1", "value": KIT})])
    bench.record(*opened("j1", "i1"))
    bench.record(*checked("relief", "ok"))
    bench.record(*checked("seated", "yes", 6))
    bench.record(*reading(6, "0.018 in", "none"))
    wrong = bench.record(*reading(1, "0.016 in", "heavy"))
    bench.undo(wrong.id)
    touring.merge(bench.export())
    touring.record(
        Kind.JOB_CHANGED, {"job": "j1", "field": "complaint", "value": "sharp at fret 1 ♯"}
    )
    touring.record(
        Kind.READING_TAKEN, {"job": "j1", "reading": {"string": 1, "fret": 1, "cents": "8.5"}}
    )
    bench.record(Kind.JOB_CHANGED, {"job": "j1", "field": "complaint", "value": "stiff chords"})
    bench.merge(touring.export())
    bench.record(Kind.PASS_FILED, {"job": "j1", "pass": {"string": 6, "strokes": 3}})
    bench.record(Kind.PROOF_TAKEN, {"job": "j1", "proof": {"string": 6, "buzz": "none"}})
    bench.record(Kind.PLACE_MOVED, {"job": "j1", "place": "plan"})
    bench.record(Kind.JOB_CLOSED, {"job": "j1", "reason": "done"})
    bench.record(Kind.JOB_REOPENED, {"job": "j1"})
    bench.redo(wrong.id)
    bench.record(Kind.INSTRUMENT_SAVED, {"instrument": "i1", "value": opened()[1]["value"]})
    return bench


def actions(directory: MemoryDirectory) -> History:
    """Commands that recorded several entries: each body holds the id of its action, and one is
    taken back whole. Apps from before action ids must fold them to the same documents."""
    bench = open_history(directory, letter="a")
    bench.record(*opened("j1", "i1"))
    later = opened()[1]["value"] | {"label": "Put right"}
    corrected = {"job": "j1", "field": "instrument", "value": later, "action": "name-2"}
    bench.record_all(
        [(Kind.JOB_CHANGED, corrected), with_action(checked("nut_type", "slots"), "name-2")]
    )
    skips = [with_action(checked(gate, "skipped"), "name-3") for gate in ("seated", "slot_wall")]
    undone = bench.record_all(skips)
    bodies = [bench.undo_body(event.id) | {"action": "name-4"} for event in undone]
    bench.record_all([(Kind.UNDONE, body) for body in bodies])
    bench.record(*reading(6, "0.018 in", "none"))
    excused = {"job": "j1", "proof": {"string": 6, "unproven": "in a hurry"}, "action": "name-5"}
    closed = {"job": "j1", "reason": "in a hurry", "action": "name-5"}
    bench.record_all([(Kind.PROOF_TAKEN, excused), (Kind.JOB_CLOSED, closed)])
    return bench


def measurements(directory: MemoryDirectory) -> History:
    """One visit in which the neck, the action and the room were measured beside two strings, and
    one measurement taken back. Apps that do not know the kind keep it and fold the rest."""
    bench = open_history(directory, letter="m")
    bench.record(*opened("j1", "i1"))
    held = {"quantity": "relief", "string": 6, "side": "bass", "holds": [1, 14], "at": 7}
    bench.record(*measured(held | {"leaf": "0.010 in", "contact": "light"}))
    bench.record(*reading(6, "0.018 in", "none"))
    bench.record(*measured({"quantity": "relief", "side": "treble", "value": "-0.05 mm"}))
    action = {"quantity": "action", "string": 6, "fret": 12}
    bench.record(*measured(action | {"shank": "2.4 mm", "contact": "none"}))
    wrong = bench.record(*measured(action | {"value": "2.9 mm"}))
    bench.undo(wrong.id)
    bench.record(*measured({"quantity": "temperature", "celsius": "21.5"}))
    bench.record(*measured({"quantity": "humidity", "percent": 45}))
    bench.record(*reading(1, "0.016 in", "heavy"))
    return bench


def to_target(directory: MemoryDirectory) -> History:
    """A visit in which every slot was asked down to its target, and one that came in so and was
    put back. Apps that do not know the field keep the entries and fold the rest."""
    bench = open_history(directory, letter="g")
    bench.record(*opened("j1", "i1"))
    bench.record(*reading(6, "0.018 in", "none"))
    asked = {"job": "j1", "field": "to_my_target", "value": True}
    bench.record(Kind.JOB_CHANGED, asked)
    kind, body = opened("j2", "i2")
    bench.record(kind, body | {"to_my_target": True})
    bench.record(Kind.JOB_CHANGED, asked | {"job": "j2", "value": False})
    return bench


def ticket(directory: MemoryDirectory) -> History:
    """Two visits that were booked under a ticket, one of them put right and taken back. Apps that
    do not know the field keep the entries and fold the rest."""
    bench = open_history(directory, letter="k")
    bench.record(*opened("j1", "i1"))
    booked = {"job": "j1", "field": "ticket", "value": "2041"}
    bench.record(Kind.JOB_CHANGED, booked)
    bench.record(*reading(6, "0.018 in", "none"))
    bench.record(*opened("j2", "i2"))
    bench.record(Kind.JOB_CHANGED, booked | {"job": "j2", "value": "blue slip ♯ 7"})
    wrong = bench.record(Kind.JOB_CHANGED, booked | {"job": "j2", "value": "2042"})
    bench.undo(wrong.id)
    return bench


def note(directory: MemoryDirectory) -> History:
    """Two visits with a note for their sheets, one of them written anew and taken back. Apps that
    do not know the field keep the entries and fold the rest."""
    bench = open_history(directory, letter="n")
    bench.record(*opened("j1", "i1"))
    bench.record(*reading(6, "0.018 in", "none"))
    noted = {"job": "j1", "field": "note", "value": "Fret 3 is flat; next time. ♯"}
    bench.record(Kind.JOB_CHANGED, noted)
    bench.record(*opened("j2", "i2"))
    bench.record(Kind.JOB_CHANGED, noted | {"job": "j2", "value": "Case is broken"})
    wrong = bench.record(Kind.JOB_CHANGED, noted | {"job": "j2", "value": ""})
    bench.undo(wrong.id)
    return bench


def work_done(directory: MemoryDirectory) -> History:
    """A neck set right between two readings of both strings, a slot filled and that taken back.
    Apps that do not know the kind keep the entries, are told that the readings are stale, and fold
    the rest."""
    bench = open_history(directory, letter="w")
    bench.record(*opened("j1", "i1"))
    bench.record(*checked("relief", "high"))
    bench.record(*checked("seated", "yes", 6))
    bench.record_all([reading(6, "0.018 in", "none"), reading(1, "0.016 in", "heavy")])
    bench.record(Kind.PASS_FILED, {"job": "j1", "pass": {"string": 6, "strokes": 3}})
    neck = {"what": "relief set", "strings": [1, 6], "minutes": 10, "technician": "A."}
    bench.record_all(reported(neck, "name-1"))
    bench.record(*checked("relief", "0.2 mm"))
    bench.record(*reading(6, "0.016 in", "none"))
    told = with_action(told_older_apps("no"), "name-2")
    bench.record_all([told, with_action(reading(1, "0.014 in", "none"), "name-2")])
    filled = {"what": "fill", "strings": [6], "amount": "0.3 mm"}
    undone = bench.record_all(reported(filled, "name-3"))
    bodies = [bench.undo_body(event.id) | {"action": "name-4"} for event in undone]
    bench.record_all([(Kind.UNDONE, body) for body in bodies])
    return bench


def newer_work(directory: MemoryDirectory) -> History:
    """Work of a kind that this version does not know, from a newer device, and what that said to
    older ones. It is kept and ignored; what was said is believed."""
    bench = open_history(directory, letter="w")
    bench.record(*opened("j1", "i1"))
    bench.record(*reading(6, "0.018 in", "none"))
    body = {"job": "j1", "work": {"what": "slot floor hardened", "strings": [6], "passes": 2}}
    done = Event(bench.bench, "z1", 1, "1700000100000.0", str(Kind.WORK_DONE), body=body)
    kind, said = told_older_apps("yes")
    told = Event(bench.bench, "z1", 2, "1700000100000.1", str(kind), said, prev=done.digest)
    bench.merge_events([done, told])
    return bench


def every_kind(directory: MemoryDirectory) -> History:
    """One visit with an entry of every kind: a second look, work done, promises to erase as they
    were written before `have`, one of them called back, and what one left where its content was."""
    bench = open_history(directory, letter="e")
    bench.record(*opened("j1", "i1"))
    bench.record(*checked("seated", "no", 6))
    bench.record(Kind.CHECK_LOOKED_AGAIN, checked("seated", "yes", 6)[1])
    bench.record(*measured({"quantity": "relief", "value": "0.2 mm"}))
    bench.record_all([reading(6, "0.018 in", "none"), reading(1, "0.016 in", "heavy")])
    bench.record(Kind.PASS_FILED, {"job": "j1", "pass": {"string": 6, "strokes": 3}})
    neck = {"what": "relief set", "strings": [1, 6], "minutes": 10, "technician": "A."}
    bench.record_all(reported(neck, "name-1"))
    bench.record(Kind.PROOF_TAKEN, {"job": "j1", "proof": {"string": 6, "buzz": "none"}})
    noted = {"job": "j1", "field": "note", "value": "Fret 3 is flat; next time. ♯"}
    bench.record(Kind.JOB_CHANGED, noted)
    bench.record(Kind.PLACE_MOVED, {"job": "j1", "place": "plan"})
    bench.record(Kind.JOB_CLOSED, {"job": "j1", "reason": "done"})
    bench.record(Kind.JOB_REOPENED, {"job": "j1"})
    bench.record(Kind.INSTRUMENT_SAVED, {"instrument": "i1", "value": opened()[1]["value"]})
    bench.record(Kind.PLAYER_SAVED, {"instrument": "i1", "value": {"attack": "light"}})
    bench.record_all([setting("unit", "thou"), (Kind.KIT_SAVED, {"kit": "k1", "value": KIT})])
    gone = Event(bench.bench, "z1", 1, "1700000000500.0", *setting("owner", "somebody"))
    bench.merge_events([redacted(gone)])
    done = {"events": {"z1": [[1, 1]]}, "due": 1_700_000_000_000}
    bench.record(Kind.CONTENT_ERASED, done)
    bench.record(Kind.CONTENT_ERASED, {"events": {"e1": [[1, 9]]}, "due": 3_400_000_000_000})
    wanted = {"events": {"e1": [[10, 14]], "z2": [[1, 3]]}, "due": 3_400_000_000_000}
    bench.undo(bench.record(Kind.CONTENT_ERASED, wanted).id)
    return bench


def corrections(directory: MemoryDirectory) -> History:
    """A reading before a pass and a proof, each struck out and recorded right in its place; the
    reading once more. Apps from before `instead` take each for one of its own time."""
    bench = open_history(directory, letter="c")
    bench.record(*opened("j1", "i1"))
    wrong = bench.record(*reading(6, "0.018 in", "none"))
    bench.record(Kind.PASS_FILED, {"job": "j1", "pass": {"string": 6, "strokes": 3}})
    bench.record(*reading(6, "0.014 in", "light"))
    heard = bench.record(Kind.PROOF_TAKEN, {"job": "j1", "proof": {"string": 6, "buzz": "soft"}})
    again = bench.record_all(put_right(bench, wrong, *reading(6, "0.018 in", "light"), "one"))[1]
    bench.record_all(put_right(bench, again, *reading(6, "0.018 in", "heavy"), "two", wrong))
    proof = {"job": "j1", "proof": {"string": 6, "buzz": "none"}}
    bench.record_all(put_right(bench, heard, Kind.PROOF_TAKEN, proof, "three"))
    return bench


def far_clock(directory: MemoryDirectory) -> History:
    """A visit begun by a clock seventy years ahead and gone on with once it was set, another device
    among it. Apps that do not know `counts_as` order these entries by their time alone."""
    clock = Ticking(3_900_000_000_000)
    bench = History.open(directory, clock, Named("q"))
    bench.record_all([opened("j1", "i1"), checked("relief", "high"), setting("unit", "thou")])
    wrong = bench.record(*reading(6, "0.018 in", "none"))
    other = open_history(letter="o")
    other.merge(bench.export())
    other.record(*checked("relief", "low"))
    clock.now = 1_700_000_100_000
    bench.merge(other.export())
    bench.record(*checked("relief", "ok"))
    bench.record(*setting("unit", "mm"))
    bench.undo(wrong.id)
    bench.record(*opened("j2", "i2"))
    return bench


DULCIMER: dict[str, Any] = {
    "label": "Dulcimer of the back shelf",
    "kind": "mountain dulcimer",
    "scale": "27 in",
    "board": {"semitones": [2, 3, 4, 5, 7, 9, 10, 11.5, 12], "tied": False},
    "strings": [
        {"string": 3, "pitch": "D3", "gauge": "0.022 in", "make": "wound bronze", "course": 2},
        {"string": 2, "pitch": "D4", "gauge": "0.012 in", "make": "plain steel", "course": 1},
        {
            "string": 1,
            "pitch": "D4",
            "gauge": "0.012 in",
            "make": "plain steel",
            "course": 1,
            "scale": "680.5 mm",
            "from_fret": 1,
        },
    ],
}


def boards(directory: MemoryDirectory) -> History:
    """Two instruments with frets of their own, one of them with a string of its own scale, one
    whose tied frets were counted, and a board put right and taken back. Apps that do not know the
    fields keep the entries, and are told that what they read is stale."""
    bench = open_history(directory, letter="f")
    kind, body = opened("j1", "i1")
    bench.record_all([(kind, body | {"value": DULCIMER}), told_apps_without_boards("j1")])
    bench.record(Kind.READING_TAKEN, {"job": "j1", "reading": {"string": 3, "fret": 9, "cents": 4}})
    changed = {"job": "j1", "field": "instrument"}
    fewer = DULCIMER | {"board": {"semitones": [0.5, 1.02, 2.0391]}}
    wrong = bench.record(Kind.JOB_CHANGED, changed | {"value": fewer})
    bench.undo(wrong.id)
    lute = opened()[1]["value"] | {"kind": "lute", "board": {"frets": 8, "tied": True}}
    bench.record(kind, body | {"job": "j2", "instrument": "i2", "value": lute})
    quarters = lute | {"board": {"semitones": [each / 2 for each in range(1, 49)], "tied": True}}
    bench.record(Kind.INSTRUMENT_SAVED, {"instrument": "i3", "value": quarters})
    return bench


def told_apps_without_boards(job: str) -> tuple[Kind, dict[str, Any]]:
    """What apps that do not know boards are told of readings on one."""
    kind, body = checked("saddle_moved", "yes", job=job)
    return kind, body | {"for_apps_without_boards": True}


WRITERS = {
    "v1": a_week,
    "v1-actions": actions,
    "v1-measurements": measurements,
    "v1-visit": visit,
    "v1-to-target": to_target,
    "v1-ticket": ticket,
    "v1-work": work_done,
    "v1-corrections": corrections,
    "v1-newer-work": newer_work,
    "v1-note": note,
    "v1-far-clock": far_clock,
    "v1-every-kind": every_kind,
    "v1-boards": boards,
}
"""By folder: what it holds. A format's version comes first in its name."""


def write(version: str) -> None:
    """Make the folder of `version`; refuse when it is there."""
    folder = GOLDEN / version
    folder.mkdir(parents=True)
    directory = MemoryDirectory()
    history = WRITERS[version](directory)
    for name in directory.names():
        if segment_number(name):
            (folder / name).write_bytes(directory.files[name])
    (folder / "history.txt").write_bytes(history.export())
    text = json.dumps(documents(history), ensure_ascii=False, indent=1, sort_keys=True)
    (folder / "documents.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    write(sys.argv[1])

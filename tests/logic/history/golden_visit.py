"""The golden day of a whole visit; `golden.py` writes it with the others."""

from __future__ import annotations

from logic.history import History, MemoryDirectory
from shared.events import Kind
from tests.logic.history.entries import put_right
from tests.logic.history.factory import (
    KIT,
    chosen,
    measured,
    open_history,
    opened,
    reading,
    stepped,
)


def visit(directory: MemoryDirectory) -> History:
    """A whole visit: what it is for, what was measured and how the instrument lay, a step of every
    kind, one measurement and one step put right in their places, work on one string between, and
    a rod, a saddle, a board's curve and shanks. Apps that do not know the kinds and fields keep
    the entries and fold the rest."""
    bench = open_history(directory, letter="v")
    kind, body = opened("j1", "i1")
    hardware = {"rod": {"type": "two-way", "reach": "headstock"}, "saddle": {"type": "individual"}}
    shape = {"board": {"tied": False, "frets": 22, "radius": ["254 mm", "406 mm"], "join": 16}}
    kit = KIT | {"shanks": ["1.5 mm", "2 mm"], "straightedge": True, "rule": "II"}
    listed = body["value"] | hardware | shape | {"bridge": "floating", "pickups": True}
    bench.record(kind, body | {"value": listed, "kit": kit})
    for field, value in (("scope", "check"), ("scope", "whole"), ("due", "Friday ♯")):
        bench.record(*chosen(field, value))
    bench.record(*chosen("overnight", True))
    bow = {"quantity": "relief", "side": "bass", "string": 6, "holds": [1, 14], "at": 7}
    felt = bow | {"contact": "light", "posture": "as played"}
    wrong = bench.record(*measured(felt | {"leaf": "0.001 in"}))
    action = {"quantity": "action", "string": 6, "fret": 12, "posture": "as played"}
    bench.record(*measured(action | {"value": "2.4 mm"}))
    for step in (
        {"step": "skip", "stage": "frets", "why": "new frets"},
        {"step": "strings", "what": "changed"},
        {"step": "strings", "what": "retuned"},
    ):
        bench.record(*stepped(step))
    bench.record_all([reading(6, "0.018 in", "none"), reading(1, "0.016 in", "heavy")])
    bench.record_all(put_right(bench, wrong, *measured(felt | {"leaf": "0.010 in"}), "right-1"))
    turn = bench.record(*stepped({"step": "turn", "eighths": 2, "settled": "10 min"}))
    less = stepped({"step": "turn", "eighths": -2, "settled": "10 min"})
    bench.record_all(put_right(bench, turn, *less, "right-2"))
    eased = {"what": "slot eased", "strings": [6], "minutes": 2}
    bench.record(Kind.WORK_DONE, {"job": "j1", "work": eased})
    for step in (
        {"step": "turn"},
        {"step": "saddle", "string": 6, "height": "-0.32 mm"},
        {"step": "saddle"},
        {"step": "set-back", "string": 6, "move": "1.9 mm"},
        {"step": "rest", "hours": "8.5"},
        {"step": "refer", "why": "rod at its end"},
    ):
        bench.record(*stepped(step))
    back = measured(bow | {"leaf": "0.008 in", "contact": "none", "posture": "on its back"})
    bench.record(*back)
    gone = bench.record(*stepped({"step": "rest"}))
    bench.undo(gone.id)
    bench.redo(gone.id)
    return bench

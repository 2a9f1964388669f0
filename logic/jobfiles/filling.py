"""Fills what a job file leaves out from the preset of its kind, and says so."""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field
from typing import Any

from logic.bench.instrument.presets import OTHER, kinds, preset
from logic.bench.tables.presets import PresetBoard
from logic.bench.tables.trade_tables import TradeTables
from logic.jobfiles.json_text import at
from shared.board import MOST_FRETS, Board
from shared.errors import JobFileError, shorten
from shared.instrument import Attack
from shared.job import Assumed
from shared.words import mark, say

Tree = dict[str, Any]


@dataclass
class Filling:
    """The values taken for one job because nobody gave them, in the order they were met."""

    trade: TradeTables
    assumed: list[Assumed] = field(default_factory=list)

    def instrument(self, given: Tree) -> Tree:
        """`given` with its scale, nut, action and strings; JobFileError for an unknown kind, or a
        string that has no preset to complete it."""
        kind = self._kind(given)
        usual = preset(kind, self.trade)
        nut = self._completed(
            child(given, "nut", "instrument"), usual.nut.written(), "instrument.nut", _from(kind)
        )
        filled = present(given) | {"kind": kind, "nut": nut}
        if "scale" not in filled:
            filled["scale"] = self._assume("instrument.scale", usual.scale, _from(kind))
        if "fretted" not in filled and not usual.fretted:
            filled["fretted"] = False
            self._assume("instrument.fretted", say("bare board"), _from(kind))
        filled["strings"] = self._strings(given, [one.written() for one in usual.strings], kind)
        if "action_12" not in filled:
            filled["action_12"] = self._action(filled["strings"], usual.action_12, kind)
        if usual.board is not None and filled.get("fretted") is not False:
            filled |= self._board(given, usual.board, kind)
        return filled

    def player(self, given: Tree) -> Tree:
        """`given` with an attack, and a note of whose targets are taken if it has none."""
        if not given.get("targets"):
            whose = say("none of your own are given")
            self._assume("player.targets", say("common practice"), whose)
        usual = {"attack": Attack.MEDIUM.value}
        return self._completed(given, usual, "player", say("the middle of light, medium and heavy"))

    def kit(self, given: Tree) -> Tree:
        """`given` with leaves, files and shims; an empty list stays empty: there are none."""
        filled = present(given)
        usual = self.trade.presets.kit
        for name, sizes in zip(_TOOLS, (usual.leaves, usual.files, usual.shims), strict=True):
            if name in filled:
                self._note_empty(f"kit.{name}", items(filled, name, "kit"))
            else:
                ends = {"count": len(sizes), "first": sizes[0], "last": sizes[-1]}
                shown = say("{count}, from {first} to {last}", **ends)
                self._assume(f"kit.{name}", shown, say("taken from a usual bench drawer"))
                filled[name] = list(sizes)
        return filled

    def _kind(self, given: Tree) -> str:
        known = kinds(self.trade)
        kind = given.get("kind")
        tidy = " ".join(kind.lower().split()) if isinstance(kind, str) else ""
        by_letters = {each.lower(): each for each in known}
        if tidy in by_letters:
            return by_letters[tidy]
        what = say("is missing")
        if kind is not None:
            what = say("no such kind of instrument: {kind}", kind=shorten(kind))
        near = [by_letters[one] for one in difflib.get_close_matches(tidy[:60], by_letters, n=3)]
        asks = [say('did you mean "{kind}"?', kind=near[0])] if near else []
        if len(near) != 1:
            asks.append(say("write one of: {known}", known=", ".join(near or known)))
        ask = " ".join(asks)
        raise JobFileError("instrument.kind", kind, ask, what=what)

    def _strings(self, given: Tree, usual: list[Tree], kind: str) -> list[Tree]:
        if given.get("strings") is None:
            shown = ", ".join(f"{spec['pitch']} {spec['gauge']}" for spec in usual)
            self._assume("instrument.strings", shown, _from(kind))
            return usual
        listed = items(given, "strings", "instrument")
        if not listed:
            ask = say("list the strings, or leave the field out for the usual ones")
            raise JobFileError("instrument.strings", "[]", ask, what=say("has no strings"))
        presets = {spec["string"]: spec for spec in usual}
        filled = [self._string(one, n, presets, kind) for n, one in enumerate(listed)]
        return [_in_unison(own, one, filled) for own, one in zip(listed, filled, strict=True)]

    def _string(self, given: Tree, index: int, presets: dict[int, Tree], kind: str) -> Tree:
        path = f"instrument.strings[{index}]"
        number = given.get("string")
        if not isinstance(number, int) or isinstance(number, bool):
            what = say("is missing") if number is None else ""
            raise JobFileError(f"{path}.string", number, say("write a whole number"), what=what)
        usual = dict(presets.get(number, {}))
        if "gauge" in given or "make" in given:
            for drawn in ("core", "grams_per_metre"):  # they belong to the string they are of
                usual.pop(drawn, None)
        for name in ("pitch", "gauge", "make"):
            if given.get(name) is None and name not in usual:
                ask = say(_no_such_string(kind), kind=say(kind), number=number)
                raise JobFileError(f"{path}.{name}", "", ask, what=say("is missing"))
        whose = say(_from_string(kind), kind=say(kind), number=number)
        return self._completed(given, usual, path, whose)

    def _action(self, strings: list[Tree], usual: Tree, kind: str) -> Tree:
        numbers = {str(spec["string"]) for spec in strings}
        fitting = {number: action for number, action in usual.items() if number in numbers}
        if fitting:
            shown = ", ".join(
                say("string {name}: {action}", name=number, action=action)
                for number, action in fitting.items()
            )
            self._assume("instrument.action_12", shown, _from(kind))
        return fitting

    def _board(self, given: Tree, usual: PresetBoard, kind: str) -> Tree:
        """The usual board, with as many frets as the file counts, where the file lists none."""
        board = present(child(given, "board", "instrument"))
        count = board.get("frets", given.get("frets"))
        if "semitones" in board:
            return {}
        taken = Board.model_validate(usual.written())
        if count is not None:
            if not (type(count) is int and 1 <= count <= MOST_FRETS):
                return {}  # refused where the board is read
            taken = taken.with_frets(count)
        shown = ", ".join(f"{at:g}" for at in taken.semitones or ())
        self._assume("instrument.board", shown or str(taken.frets), _from(kind))
        return {"board": taken.model_dump(exclude_none=True) | board}

    def _completed(self, given: Tree, usual: Tree, path: str, whose: str) -> Tree:
        filled = present(given)
        for name, value in usual.items():
            if name not in filled:
                filled[name] = value
                if name not in ("octave", "from_fret", "course"):
                    self._assume(at(path, name), value, whose)
        return filled

    def _assume(self, path: str, value: Any, whose: str) -> Any:
        self.assumed.append(Assumed(field=path, value=str(value), why=whose))
        return value

    def _note_empty(self, path: str, sizes: list[Any]) -> None:
        if not sizes:
            why = say("the kit has none, so none is suggested")
            self.assumed.append(Assumed(field=path, value=say("none"), why=why))


def _in_unison(own: Tree, filled: Tree, strings: list[Tree]) -> Tree:
    """The string without the preset's word that it is the octave of its course, where the file has
    it sound as another of that course does and says nothing of octaves itself."""
    if not filled.get("octave") or own.get("octave") is not None:
        return filled
    others = [one for one in strings if one is not filled and one.get("course")]
    sounds = [(one["course"], one.get("pitch")) for one in others]
    if (filled.get("course"), filled.get("pitch")) not in sounds:
        return filled
    return {name: value for name, value in filled.items() if name != "octave"}


def child(tree: Tree, key: str, path: str = "") -> Tree:
    """The object at `key`, empty when it is left out; JobFileError when it is something else."""
    found = tree.get(key)
    if found is None:
        return {}
    if not isinstance(found, dict):
        raise JobFileError(at(path, key), found, say("write an object: {…}"))
    return found


_OF_OBJECTS = ("strings", "readings", "complaints", "rounds", "steps")


def items(tree: Tree, key: str, path: str = "") -> list[Any]:
    """The list at `key`, empty when it is left out; JobFileError when it is something else, or
    when a list of strings, readings, steps, complaints or rounds holds anything but objects."""
    found = tree.get(key)
    if found is None:
        return []
    if not isinstance(found, list):
        raise JobFileError(at(path, key), found, say("write a list: […]"))
    for n, one in enumerate(found):
        if key in _OF_OBJECTS and not isinstance(one, dict):
            raise JobFileError(at(at(path, key), n), one, say("write an object: {…}"))
    return found


def present(given: Tree) -> Tree:
    """What is really there: null is as good as left out."""
    return {key: value for key, value in given.items() if value is not None}


_TOOLS = ("leaves", "files", "shims")


def _from(kind: str) -> str:
    if kind == OTHER:
        return say("taken from a six-string electric guitar, to start from")
    return say("taken from a usual {kind}", kind=say(kind))


def _from_string(kind: str) -> str:
    if kind == OTHER:
        return mark("taken from string {number} of a six-string electric guitar, to start from")
    return mark("taken from string {number} of a usual {kind}")


def _no_such_string(kind: str) -> str:
    if kind == OTHER:
        return mark(
            "write it: a six-string electric guitar, to start from has no string {number} "
            "to take it from"
        )
    return mark("write it: a usual {kind} has no string {number} to take it from")

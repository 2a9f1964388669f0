"""Reads a job file: checks it, fills what is left out from the preset of its kind, says what it
assumed, and refuses with one clear line what it cannot use.

Strings are named by number ("6"), counted from the treble side of the nut, pairs included; in a
paired course also by course and place: "6 octave" and "6 main", "2 first" and "2 second". A bare
number is always a string's, never a course's. A list of strings is the whole list: what it leaves
out is not on the instrument; a field that a listed string leaves out comes from the preset's string
of the same number.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from logic.bench.instrument.plausibility import read_length
from logic.bench.instrument.presets import kinds, preset_instrument, preset_kit
from logic.bench.measuring.kinds import kind_of
from logic.bench.tables.trade_tables import TradeTables
from logic.jobfiles.filling import Filling, Tree, child, items
from logic.jobfiles.json_text import at, read_tree
from logic.jobfiles.refusals import validated
from shared.errors import JobFileError, LengthError
from shared.instrument import Instrument, NutType
from shared.job import Assumed, Job
from shared.readings import Reading
from shared.words import mark, say

__all__ = ["kinds", "preset_instrument", "preset_kit", "read_job"]

FORMAT = "nutwright.job"
VERSION = 1
_LENGTHS = {
    "instrument.scale": "scale",
    "instrument.scale_bass": "scale",
    "instrument.relief": "relief",
    "instrument.action_12.*": "action_12",
    "instrument.nut.width": "nut width",
    "instrument.nut.shim": "nut shim",
    "instrument.strings[].gauge": "gauge",
    "instrument.strings[].core": "core",
    "instrument.strings[].whole_tone_stretch": "stretch",
    "player.targets.*": "clearance",
    "kit.leaves[]": "leaf",
    "kit.files[]": "file",
    "kit.shims[]": "shim",
    "readings[].leaf": "leaf",
    "readings[].leaf[]": "leaf",
    "readings[].clearance": "clearance",
    "readings[].gap": "gap",
}
"""Which quantity each length of a job file is; `*` stands for the name of a string."""
_BY_STRING = ("instrument.action_12", "player.targets")
_STRING_NAME = re.compile(r"\s*[0-9]+(\s+[a-z]+)?\s*", re.IGNORECASE)


def read_job(text: str | bytes, trade: TradeTables) -> tuple[Job, tuple[Assumed, ...]]:
    """The job that `text` describes, and every value that it left out. JobFileError, one line
    naming the field, when it cannot be used."""
    tree = read_tree(text)
    _check_header(tree)
    filling = Filling(trade)
    parts: Tree = {
        "instrument": filling.instrument(child(tree, "instrument")),
        "player": filling.player(child(tree, "player")),
        "kit": filling.kit(child(tree, "kit")),
        "checks": _checks(child(tree, "checks")),
        "readings": items(tree, "readings"),
    }
    parts = _Lengths(trade, parts["instrument"]).read(parts)
    whole = tree | _with_numbers(parts) | {"format": FORMAT, "version": VERSION}
    if whole.get("complaint") is None:
        whole["complaint"] = ""
    job = validated(Job, whole)
    _check_sense(job, trade)
    return job, tuple(filling.assumed)


def _check_header(tree: Tree) -> None:
    kind, version = tree.get("format", FORMAT), tree.get("version", VERSION)
    if kind != FORMAT:
        raise JobFileError("format", kind, say('a job file says "{format}"', format=FORMAT))
    if isinstance(version, int | float) and version > VERSION:
        written = mark("this job was written by a newer Nutwright (version {version:g})")
        would_do = say("update this one to read it")
        raise JobFileError("version", version, would_do, what=say(written, version=version))
    if version is True or version != VERSION:
        raise JobFileError("version", version, say("write {this}", this=VERSION))
    if "instrument" not in tree:
        would_do = say('write at least {"kind": "electric guitar"} or another kind')
        raise JobFileError("instrument", "", would_do, what=say("is missing"))


def _checks(given: Tree) -> Tree:
    """The answers that were given; a null is no answer."""
    answers = {}
    for gate, answer in given.items():
        if isinstance(answer, dict):
            for name, one in answer.items():
                _refuse_no_answer(one, at(at("checks", gate), name))
            answers[gate] = {name: one for name, one in answer.items() if one is not None}
        elif answer is not None:
            _refuse_no_answer(answer, at("checks", gate))
            answers[gate] = answer
    return answers


def _refuse_no_answer(answer: Any, path: str) -> None:
    if isinstance(answer, dict | list):
        would_do = say("answer with words, a number, true or false")
        raise JobFileError(path, answer, would_do)


@dataclass(frozen=True)
class _Lengths:
    """Reads every text that stands where a length belongs, as the quantity that belongs there."""

    trade: TradeTables
    instrument: Tree

    def read(self, value: Any, path: str = "", pattern: str = "") -> Any:
        """`value` with its lengths read. JobFileError for one that is none, or can hardly be."""
        if isinstance(value, dict):
            return {
                key: self.read(inner, at(path, key), self._pattern(pattern, key))
                for key, inner in value.items()
            }
        if isinstance(value, list):
            inside = f"{pattern}[]"
            return [self.read(inner, at(path, n), inside) for n, inner in enumerate(value)]
        if pattern in _LENGTHS and value is not None:
            return self._length(value, path, self._quantity(pattern))
        return value

    def _pattern(self, pattern: str, key: str) -> str:
        return f"{pattern}.*" if pattern in _BY_STRING else f"{pattern}.{key}" if pattern else key

    def _quantity(self, pattern: str) -> str:
        quantity = _LENGTHS[pattern]
        tall = self.instrument["nut"].get("type") == NutType.TALL_SLIDE
        return "tall clearance" if tall and quantity == "clearance" else quantity

    def _length(self, value: Any, path: str, quantity: str) -> Any:
        text = value if isinstance(value, str) else repr(value)
        try:
            return read_length(quantity, text, self.trade, self.instrument["kind"])
        except LengthError as error:
            raise JobFileError(path, value, error.would_do, what=error.what) from error


def _with_numbers(parts: Tree) -> Tree:
    """`parts` with every name of a string turned into its number."""
    body = parts["instrument"] | {"action_12": {}}
    instrument = validated(Instrument, body, "instrument")
    _refuse_twins(instrument)
    action = child(parts["instrument"], "action_12", "instrument")
    targets = child(parts["player"], "targets", "player")
    checks = {
        gate: _keyed(answer, instrument, at("checks", gate), strict=False)
        if isinstance(answer, dict)
        else answer
        for gate, answer in parts["checks"].items()
    }
    readings = [
        one | {"string": _number(one.get("string"), instrument, f"readings[{n}].string")}
        for n, one in enumerate(parts["readings"])
    ]
    return parts | {
        "instrument": body | {"action_12": _keyed(action, instrument, "instrument.action_12")},
        "player": parts["player"] | {"targets": _keyed(targets, instrument, "player.targets")},
        "checks": {g: _text_keys(a) for g, a in checks.items()},
        "readings": readings,
    }


def _refuse_twins(instrument: Instrument) -> None:
    seen: set[int] = set()
    for n, spec in enumerate(instrument.strings):
        if spec.string in seen:
            what = say("string {name} is listed twice", name=spec.string)
            would_do = say("give each string its own number, 1 on the treble side")
            raise JobFileError(f"instrument.strings[{n}].string", "", would_do, what=what)
        seen.add(spec.string)


def _keyed(
    given: Tree, instrument: Instrument, path: str, *, strict: bool = True
) -> dict[Any, Any]:
    """`given` by string number; keys that name no string are refused if `strict`, else kept."""
    return {
        _number(key, instrument, at(path, key))
        if strict or _STRING_NAME.fullmatch(key)
        else key: value
        for key, value in given.items()
    }


def _text_keys(answer: Any) -> Any:
    return {str(key): one for key, one in answer.items()} if isinstance(answer, dict) else answer


def _number(name: Any, instrument: Instrument, path: str) -> int:
    names = ", ".join(instrument.name_of(spec.string) for spec in instrument.strings)
    if isinstance(name, bool) or not isinstance(name, int | str):
        what = say("is missing") if name is None else ""
        raise JobFileError(path, name, say("name a string: {names}", names=names), what=what)
    try:
        return instrument.number_of(name)
    except KeyError:
        what = say("there is no string {name} on this instrument", name=name)
        would_do = say("name one of {known}", known=names)
        raise JobFileError(path, name, would_do, what=what[:120]) from None


def _check_sense(job: Job, trade: TradeTables) -> None:
    """Refuses figures that are each possible and together are not."""
    for n, spec in enumerate(job.instrument.strings):
        if spec.core and spec.core >= spec.gauge:
            would_do = say("a core lies inside its winding: write the thinner of the two")
            sizes = {"core": spec.core, "gauge": spec.gauge}
            what = say("{core} is no thinner than the string ({gauge})", **sizes)
            raise JobFileError(f"instrument.strings[{n}].core", "", would_do, what=what)
    for n, reading in enumerate(job.readings):
        _check_reading(reading, job.instrument, f"readings[{n}]", trade)
    if not job.kit.leaves and not job.readings:
        would_do = say("list the leaves of your kit, or give readings as clearance, gap or cents")
        raise JobFileError("kit.leaves", "[]", would_do, what=say("no leaves and no readings"))


def _check_reading(reading: Reading, instrument: Instrument, path: str, trade: TradeTables) -> None:
    doubt = kind_of(reading).doubt(reading, instrument, trade)
    if doubt is not None:
        raise JobFileError(at(path, doubt.field), "", doubt.ask, what=doubt.found)

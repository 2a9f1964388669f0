"""Collects all that is said: literals handed to `say` and its kin in Python, the words of the files
that the page is made of, and texts of the tables."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from logic.bench.raising.nut_layout import Spacing
from logic.bench.tables.vocabulary import RaiseMethod
from logic.bench.visits.proof import Proven
from logic.bench.visits.quick_check import Moved
from mobile.publish.page_words import WEB, sentences
from shared.bootstrap import ROOT
from shared.instrument import Make, NutType
from shared.job import CallKind, GateState
from shared.readings import Buzz

ROOMS = ("shared", "logic", "mobile")
_SPOKEN = {"say": 1, "mark": 1, "say_many": 2, "say_as": 2, "pgettext": 2}
"""How many of the first arguments belong to the sentence."""
_TEXT_FIELDS = {
    *(
        "ask",
        "ask_length",
        "why",
        "label",
        "says",
        "say",
        "reason",
        "title",
        "do",
        "undo",
        "called",
        "by",
    ),
    *("lower", "together", "higher", "caution"),
}
_NAMED = {"string_sets", "targets"}
"""Tables whose rows have names that people read."""
_KEYS_READ = {("presets", "kinds"), ("cutting", "materials")}
"""Tables in tables whose keys people read."""
_NO_WORDS = {"setup", "simulation"}


@dataclass(frozen=True)
class Said:
    """One sentence: `many` for one that goes with a count, `meant` for one said by its meaning."""

    text: str
    many: str = ""
    meant: str = ""
    where: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What a catalogue finds it by."""
        return self.text, self.meant


_ENUMS: dict[type[StrEnum], str] = {
    **dict.fromkeys((CallKind, Make, NutType, Spacing, Moved, Proven), ""),
    GateState: "check",
    Buzz: "playing",
}
"""Sets of words whose values are read, and what they mean where that has to be said."""
_MEANT = (("pair", "known"), ("pair", "unknown"), ("pair", "either"))
_WAYS = tuple(way.value for way in RaiseMethod)
_SIDES = ("bass", "treble")
_MORE = (
    *(Said(way, meant="way") for way in _WAYS),
    *(Said(text, meant=meant) for meant, text in _MEANT),
    *(Said(side) for side in _SIDES),
)


@cache
def everything_said() -> tuple[Said, ...]:
    """Each sentence once, in the order of the files."""
    found: dict[tuple[str, str], Said] = {}
    for said in (*_in_code(), *_in_page(), *_in_enums(), *_in_tables()):
        known = found.setdefault(said.key, said)
        if said.many and not known.many:
            found[said.key] = said
    return tuple(found.values())


def _in_code() -> Iterator[Said]:
    for room in ROOMS:
        for path in sorted((ROOT / room).rglob("*.py")):
            where = path.relative_to(ROOT).as_posix()
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call) and (said := _spoken(node, where)):
                    yield said


def _in_page() -> Iterator[Said]:
    for path in sorted(WEB.rglob("*")):
        if path.suffix in {".html", ".js", ".json"}:
            where = path.relative_to(ROOT).as_posix()
            yield from (Said(text, meant=meant, where=where) for meant, text in sentences(path))


def _in_enums() -> Iterator[Said]:
    for words, meant in _ENUMS.items():
        yield from (Said(str(word.value), meant=meant) for word in words)
    yield from _MORE


def _spoken(call: ast.Call, where: str) -> Said | None:
    name = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
    parts = [
        arg.value for arg in call.args[: _SPOKEN.get(name, 0)] if isinstance(arg, ast.Constant)
    ]
    texts = [part for part in parts if isinstance(part, str) and part]
    if not texts or len(texts) != _SPOKEN[name]:
        return None
    if name in {"say_as", "pgettext"}:
        return Said(texts[1], meant=texts[0], where=where)
    return Said(texts[0], many=texts[1] if name == "say_many" else "", where=where)


def _in_tables() -> Iterator[Said]:
    for path in sorted((ROOT / "assets").glob("*.json")):
        if path.stem not in _NO_WORDS:
            where = path.relative_to(ROOT).as_posix()
            table = json.loads(path.read_text(encoding="utf-8"))
            yield from (Said(text, where=where) for text in _texts(path.stem, table, ""))


def _texts(stem: str, value: Any, field: str) -> Iterator[str]:
    if isinstance(value, dict):
        if (stem, field) in _KEYS_READ:
            yield from value
        if stem == "rules" and "ask" in value:
            yield value["id"].replace("_", " ")
        for key, inner in value.items():
            yield from _texts(stem, inner, key)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(stem, inner, field)
    elif isinstance(value, str) and _is_read(stem, value, field):
        yield value


def _is_read(stem: str, value: str, field: str) -> bool:
    if field in {"value", "low", "high"}:
        return field == "value" and not value[:1].isdigit()
    if stem == "complaints" and field == "ask":
        return False  # names of rules
    if stem == "kit_sizes":
        return field in {"fills", "blanks"}
    return field in _TEXT_FIELDS or (stem in _NAMED and field == "name")

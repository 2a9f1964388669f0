"""JSON as it comes from anywhere: every byte string becomes a tree of plain values, or one clear
line about the place that cannot be used."""

from __future__ import annotations

import json
import math
import unicodedata
from typing import Any

from shared.errors import JobFileError
from shared.words import say

LONGEST_FILE = 4_000_000
"""Bytes of a job file: several times what the most readings take up that one may hold, and so few
that whatever is written in them stays below 200 MB while it is looked over, as was measured with
objects of one key each."""
LONGEST_TEXT = 4_000
"""Letters of one text: a page of a note (common practice, no source)."""
MOST_ITEMS = 5_000
"""Items of one list or object: more readings than anybody takes in one visit (common practice, no
source)."""
DEEPEST = 24
"""Levels: twice as deep as any job is (common practice, no source)."""
_LONGEST_INTEGER = 18
"""Digits; more than this is no number from a bench, and Python would refuse the longest."""


def read_tree(text: str | bytes) -> dict[str, Any]:
    """The object that `text` spells; JobFileError when it spells none or holds what nobody writes:
    a key twice, a number that is not finite, text past reading, nesting past following."""
    if len(text) > LONGEST_FILE:
        found = say("{count} characters", count=len(text))
        raise JobFileError(say("job file"), found, say("a job is far shorter than that"))
    tree = _parse(_decode(text))
    if not isinstance(tree, dict):
        ask = say('write an object: {"format": "nutwright.job", …}')
        raise JobFileError(say("job file"), tree, ask)
    _look_over(tree, "", 0)
    return tree


def at(path: str, key: str | int) -> str:
    """The dotted path of `key` inside `path`: instrument.strings[2].gauge."""
    if isinstance(key, int):
        return f"{path}[{key}]"
    shown = "".join(sign if sign.isprintable() else "?" for sign in key[:40])
    return f"{path}.{shown}" if path else shown


def _decode(text: str | bytes) -> str:
    if isinstance(text, bytes):
        try:
            text = text.decode("utf-8")
        except UnicodeDecodeError as error:
            raise JobFileError(
                say("job file"),
                say("byte {number}", number=error.start + 1),
                say("save it as UTF-8 text"),
                what=say("is not UTF-8 text (byte {number})", number=error.start + 1),
            ) from error
    return text.removeprefix("\ufeff")


def _parse(text: str) -> Any:
    try:
        return json.loads(
            text, object_pairs_hook=_object, parse_int=_integer, parse_constant=lambda _: math.nan
        )
    except json.JSONDecodeError as error:
        where = {"line": error.lineno, "column": error.colno}
        fault = f"{error.msg[:1].lower()}{error.msg[1:]}"
        raise JobFileError(
            say("job file"),
            text[error.pos : error.pos + 20],
            say("look at line {line}, column {column}: {fault}", **where, fault=fault),
            what=say("is not JSON") if text.strip() else say("is empty"),
        ) from error
    except RecursionError as error:
        raise _too_deep(say("job file")) from error


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            ask = say("keep one of them")
            raise JobFileError(at("", key), key, ask, what=say("is written twice"))
        found[key] = value
    return found


def _integer(digits: str) -> int | float:
    return int(digits) if len(digits) <= _LONGEST_INTEGER else math.inf


def _look_over(value: Any, path: str, depth: int) -> None:
    if depth > DEEPEST:
        raise _too_deep(path)
    if isinstance(value, dict | list):
        _look_inside(value, path, depth)
    elif isinstance(value, float) and not math.isfinite(value):
        what = say("is not a usable number")
        raise JobFileError(path, str(value), say("write a number"), what=what)
    elif isinstance(value, str):
        _look_at_text(value, path)


def _look_inside(value: dict[str, Any] | list[Any], path: str, depth: int) -> None:
    if len(value) > MOST_ITEMS:
        ask = say("{number} are plenty", number=MOST_ITEMS)
        what = say("holds {number} items", number=len(value))
        raise JobFileError(path or say("job file"), len(value), ask, what=what)
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
        if isinstance(key, str):
            _look_at_text(key, at(path, key))
        _look_over(inner, at(path, key), depth + 1)


def _look_at_text(text: str, path: str) -> None:
    if len(text) > LONGEST_TEXT:
        ask = say("{number} characters are plenty", number=LONGEST_TEXT)
        what = say("is {number} characters long", number=len(text))
        raise JobFileError(path, text[:40], ask, what=what)
    for sign in text:
        if unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\r\t":
            ask = say("write it without control signs")
            raise JobFileError(path, ascii(sign), ask, what=say("holds a control sign"))


def _too_deep(path: str) -> JobFileError:
    ask = say("{number} levels are plenty", number=DEEPEST)
    return JobFileError(path[:200], "", ask, what=say("is nested too deeply"))

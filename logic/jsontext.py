"""JSON as it comes from anywhere: every byte string becomes a tree of plain values, or one clear
line about the place that cannot be used."""

from __future__ import annotations

import json
import math
import unicodedata
from typing import Any

from shared.errors import JobFileError

LONGEST_FILE = 16_000_000
LONGEST_TEXT = 4_000
MOST_ITEMS = 5_000
DEEPEST = 24
_LONGEST_INTEGER = 18
"""Digits; more than this is no number from a bench, and Python would refuse the longest."""


def read_tree(text: str | bytes) -> dict[str, Any]:
    """The object that `text` spells; JobFileError when it spells none or holds what nobody writes:
    a key twice, a number that is not finite, text past reading, nesting past following."""
    if len(text) > LONGEST_FILE:
        raise JobFileError("job file", f"{len(text)} characters", "a job is far shorter than that")
    tree = _parse(_decode(text))
    if not isinstance(tree, dict):
        raise JobFileError("job file", tree, 'write an object: {"format": "nutwright.job", …}')
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
                "job file",
                f"byte {error.start + 1}",
                "save it as UTF-8 text",
                what=f"is not UTF-8 text (byte {error.start + 1})",
            ) from error
    return text.removeprefix("\ufeff")


def _parse(text: str) -> Any:
    try:
        return json.loads(
            text, object_pairs_hook=_object, parse_int=_integer, parse_constant=lambda _: math.nan
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise JobFileError(
            "job file",
            text[error.pos : error.pos + 20],
            f"look at {where}: {error.msg[:1].lower()}{error.msg[1:]}",
            what="is not JSON" if text.strip() else "is empty",
        ) from error
    except RecursionError as error:
        raise _too_deep("job file") from error


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise JobFileError(at("", key), key, "keep one of them", what="is written twice")
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
        raise JobFileError(path, str(value), "write a number", what="is not a usable number")
    elif isinstance(value, str):
        _look_at_text(value, path)


def _look_inside(value: dict[str, Any] | list[Any], path: str, depth: int) -> None:
    if len(value) > MOST_ITEMS:
        would_do = f"{MOST_ITEMS} are plenty"
        raise JobFileError(
            path or "job file", len(value), would_do, what=f"holds {len(value)} items"
        )
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
        if isinstance(key, str):
            _look_at_text(key, at(path, key))
        _look_over(inner, at(path, key), depth + 1)


def _look_at_text(text: str, path: str) -> None:
    if len(text) > LONGEST_TEXT:
        would_do = f"{LONGEST_TEXT} characters are plenty"
        raise JobFileError(path, text[:40], would_do, what=f"is {len(text)} characters long")
    for sign in text:
        if unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\r\t":
            raise JobFileError(
                path, ascii(sign), "write it without control signs", what="holds a control sign"
            )


def _too_deep(path: str) -> JobFileError:
    return JobFileError(path[:200], "", f"{DEEPEST} levels are plenty", what="is nested too deeply")

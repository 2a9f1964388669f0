"""JSON from anywhere, read so that one odd value spoils only what holds it.

Whatever no event may hold (half a character, a number past all bounds, a field named twice, levels
without end) is read as `Unkept` or as text that cannot be written, in its place. What stands beside
it is read as it is.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Unfit(StrEnum):
    """Why something is no event that can be kept."""

    FIELDS = "fields"  # one is missing, or is not what it has to be
    NUMBER = "number"  # with a fraction, not finite, or past what readers keep exactly
    TEXT = "text"  # half a character, or bytes that spell none
    TWICE = "twice"  # one object names a field twice
    DEEP = "deep"  # nested deeper than an event may be
    SIZE = "size"  # larger than an event may be
    TIME = "time"  # a time that no clock shows


class NoEvent(ValueError):
    """What was read is no event that can be kept."""

    def __init__(self, unfit: Unfit, what: str) -> None:
        super().__init__(what)
        self.unfit = unfit


@dataclass(frozen=True)
class Unkept:
    """Stands where a piece of JSON was that no event may hold."""

    unfit: Unfit


_DEEPEST = 200
"""Levels that are read at all, counted from outside: well past those of any event in any message,
and well within what Python's parser takes."""
_LONGEST_DIGITS = 17
"""A whole number of more letters is past the largest that is kept."""
_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"?|[\[{]|[\]}]', re.DOTALL)
"""A text without an end goes on to the end of all, so that no letter is looked at twice."""


def read_json(data: bytes) -> Any:
    """The value that `data` spells in UTF-8. ValueError when it spells none."""
    text = data.decode("utf-8", "surrogateescape")
    try:
        return _decoder.decode(text)
    except json.JSONDecodeError:
        raise
    except (ValueError, RecursionError):  # digits past what Python turns into a number, or depth
        pass
    try:
        return _digits_decoder.decode(text)
    except RecursionError:
        return _digits_decoder.decode(_flattened(text))


def _object(pairs: list[tuple[str, Any]]) -> Any:
    held = dict(pairs)
    return held if len(held) == len(pairs) else Unkept(Unfit.TWICE)


def _no_number(_text: str) -> Unkept:
    return Unkept(Unfit.NUMBER)


def _whole_number(text: str) -> int | Unkept:
    return int(text) if len(text) <= _LONGEST_DIGITS else Unkept(Unfit.NUMBER)


_decoder = json.JSONDecoder(object_pairs_hook=_object, parse_constant=_no_number)
_digits_decoder = json.JSONDecoder(
    object_pairs_hook=_object, parse_constant=_no_number, parse_int=_whole_number
)


def _flattened(text: str) -> str:
    """`text` with lists, each two levels deep, in place of everything that lies too deep."""
    parts: list[str] = []
    depth, kept_from = 0, 0
    for token in _TOKEN.finditer(text):
        if token[0] in "[{":
            depth += 1
            if depth == _DEEPEST + 1:
                parts.append(text[kept_from : token.start()])
        elif token[0] in "]}":
            if depth == _DEEPEST + 1:
                parts.append("[[]]")
                kept_from = token.end()
            depth -= 1
    return "".join((*parts, text[kept_from:]))

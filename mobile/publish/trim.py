"""Cuts from the client what only code on a screen would reach: how each language is coloured.

The client brings a map of some two hundred programming languages, each a value that is made when it
is first asked for. No screen here shows code, so nobody asks: the maps are emptied, and every
language that nothing else names is left out. It is an eighth of what the client sends.
"""

from __future__ import annotations

import re
from itertools import pairwise

from mobile.publish.patch import moved

# `s($,"…","name",()=>…)` at the beginning of a line: a value made when `$.name()` first asks.
_VALUE = re.compile(rb'^\w\(\$,"\w+","(\w+)",\(\)=>', re.MULTILINE)
_ASKED = re.compile(rb"\$\.(\w+)\(\)")
_MAPS = re.compile(rb'(?<=\(\)=>)(A\.q\(\[)("(?:1c|vue)",\$\.\w+\(\)[^\]]*)(\],t\.\w+,t\.\w+\))')
_FEWEST = 150


def without_languages(source: bytes) -> bytes:
    """The client's program without the colouring of code; BuildError where that is not found."""
    maps = _MAPS.findall(source)
    named = {name for _, listed, _ in maps for name in _ASKED.findall(listed)}
    if len(named) < _FEWEST:
        raise moved("main.dart.js", "the maps of languages that code is coloured in")
    return _without_values(_MAPS.sub(rb"\1\3", source), named)


def _without_values(source: bytes, named: set[bytes]) -> bytes:
    """`source` without the values `named` that nothing in it asks for."""
    asked = set(_ASKED.findall(source))
    starts = [(found.start(), found[1]) for found in _VALUE.finditer(source)]
    kept = [source[: starts[0][0]]]
    for (start, name), (end, _) in pairwise(starts):
        value = source[start:end]
        if name not in named or name in asked or not value.endswith(b")\n"):
            kept.append(value)
    return b"".join((*kept, source[starts[-1][0] :]))

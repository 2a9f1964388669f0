"""Marks on what is in a kit: lost, found again, worn, replaced.

What is lost is not offered, what is worn is offered with a word; neither is forgotten.
"""

from __future__ import annotations

from logic.bench.kit.advice import Tool
from shared.amounts import Joined
from shared.errors import InputError
from shared.kit import Kit
from shared.units import Length
from shared.words import in_words, mark, say

HELD = {Tool.LEAF: "leaves", Tool.FILE: "files", Tool.SHIM: "shims"}
LOST = {Tool.LEAF: "lost_leaves", Tool.FILE: "lost_files", Tool.SHIM: "lost_shims"}


_NONE_HELD = {
    Tool.LEAF: mark("this kit has no leaf of that size"),
    Tool.FILE: mark("this kit has no file of that size"),
    Tool.SHIM: mark("this kit has no shim of that size"),
}
_NONE_LOST = {
    Tool.LEAF: mark("no leaf of that size is lost"),
    Tool.FILE: mark("no file of that size is lost"),
    Tool.SHIM: mark("no shim of that size is lost"),
}


def lose(kit: Kit, tool: Tool, size: Length) -> Kit:
    """The kit without one tool, which is marked lost. InputError when it holds no such tool."""
    return _moved(kit, size, HELD[tool], LOST[tool], say(_NONE_HELD[tool]))


def found_again(kit: Kit, tool: Tool, size: Length) -> Kit:
    """The kit with a lost tool back in it. InputError when no such tool is marked lost."""
    return _moved(kit, size, LOST[tool], HELD[tool], say(_NONE_LOST[tool]))


def wear(kit: Kit, file: Length) -> Kit:
    """The kit with one of its files marked worn. InputError when it holds no such file."""
    _place(kit.files, file, say(_NONE_HELD[Tool.FILE]))
    return kit.model_copy(update={"worn_files": tuple(sorted({*kit.worn_files, file}))})


def replaced(kit: Kit, file: Length) -> Kit:
    """The kit with a worn file replaced by a fresh one of the same width."""
    place = _place(kit.worn_files, file, say("no file of that size is marked worn"))
    worn = kit.worn_files[:place] + kit.worn_files[place + 1 :]
    return kit.model_copy(update={"worn_files": worn})


def _moved(kit: Kit, size: Length, start: str, end: str, what: str) -> Kit:
    """One tool of this size from one list to another; the worn mark goes with neither."""
    held: tuple[Length, ...] = getattr(kit, start)
    place = _place(held, size, what)
    kept = held[:place] + held[place + 1 :]
    there = tuple(sorted((*getattr(kit, end), held[place])))
    return kit.model_copy(update={start: kept, end: there})


def _place(held: tuple[Length, ...], size: Length, what: str) -> int:
    if size not in held:
        have = Joined(held, between=", ") if held else say("none")
        found = in_words(size)
        raise InputError("size", found, say("choose one of: {have}", have=have), what=what)
    return held.index(size)

"""Words that once stood for something else in this code, and where they may still be read.

One word has one meaning: each of these was a private metaphor, and has a term of the trade or the
field in its place. Text in quotes is not looked at: what is stored, published or said on a screen
keeps its words. Run as `python -m tests.house.vocabulary [FOLDER]`, it lists what is left.
"""

from __future__ import annotations

import ast
import io
import re
import sys
import tokenize
from collections.abc import Iterator
from pathlib import Path

from shared.bootstrap import ROOT

ROOMS = ("shared", "logic", "mobile")
INSTEAD = {
    "desk": "app",
    "porch": "start screen",
    "knock": "pending command",
    "knocks": "pending commands",
    "visitor": "shortcut handler",
    "visitors": "shortcut handler",
    "keeper": "start screen cache",
    "errand": "device action",
    "errands": "device actions",
    "companion": "device effects",
    "pen": "writer lock",
    "grip": "lock state",
    "deed": "key action",
    "deeds": "key actions",
    "lesson": "learned rate",
    "lessons": "learned rates",
    "taught": "learned",
    "witness": "derived fact, diagnosis",
    "witnesses": "derived facts",
    "testify": "diagnose",
    "testimony": "diagnosis",
    "judge": "evaluator",
    "judges": "evaluators",
    "ledger": "event store",
    "doors": "accounts",
    "sealed": "verified event",
    "husk": "redacted event",
    "husks": "redacted events",
    "tombstone": "uninstall site",
    "wondering": "what if",
    "rulebook": "rule set",
    "told": "a word of its own for each use",
    "bury": "build the uninstall site",
    "moves": "handlers",
    "bag": "kit",
}
"""The old word, and what stands for it now."""

IDENTIFIERS_ONLY = frozenset({"told", "taught", "moves", "judge", "pen", "doors", "sealed"})
"""Plain English in a comment, a metaphor as a name."""

ALLOWED = frozenset({("logic/history/documents/bodies.py", "husk")})
"""A folder or file, and a word that means there what it says."""

_PART = re.compile(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])")
_WORD = re.compile(r"[a-z]+")


def leftovers(path: Path) -> Iterator[tuple[int, str, str]]:
    """Line, word and what holds it, for each old word in the names and comments of one file."""
    relative = path.relative_to(ROOT).as_posix()
    allowed = {word for where, word in ALLOWED if relative.startswith(where)}
    text = path.read_text(encoding="utf-8")
    for line, word, held in (*_names(text), *_prose(text)):
        if word in INSTEAD and word not in allowed:
            yield line, word, held


def _names(text: str) -> Iterator[tuple[int, str, str]]:
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type == tokenize.NAME:
            for part in _PART.findall(token.string):
                yield token.start[0], part.lower(), token.string


def _prose(text: str) -> Iterator[tuple[int, str, str]]:
    """Words of comments and of docstrings, those of attributes included."""
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type == tokenize.COMMENT:
            yield from _words(token.start[0], token.string)
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Expr(value=ast.Constant(value=str(prose))):
                yield from _words(node.lineno, prose)


def _words(line: int, prose: str) -> Iterator[tuple[int, str, str]]:
    for offset, each in enumerate(prose.splitlines()):
        for word in _WORD.findall(each.lower()):
            if word not in IDENTIFIERS_ONLY:
                yield line + offset, word, each.strip()


def main(folders: list[str]) -> int:
    """Print what is left under `folders`; the exit code says whether anything is."""
    found = 0
    for folder in folders or ROOMS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            for line, word, held in leftovers(path):
                found += 1
                print(f"{path.relative_to(ROOT)}:{line}: {word} ({INSTEAD[word]}) in {held}")
    print(f"{found} left")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

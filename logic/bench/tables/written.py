"""Where the entries of a table stand in its file, and what is wrong with one, with its line."""

from __future__ import annotations

import json
import re
from collections import deque
from collections.abc import Iterator, Mapping

from pydantic import ValidationError

from shared.errors import TableError

Path = tuple[str | int, ...]
"""The keys and places that lead to an entry from the outermost object."""

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\]:,]|[^\s{}\[\]:,"]+')


def entries(text: str) -> Iterator[tuple[Path, int]]:
    """Every entry of a JSON text with its line, in the order they stand there. A key that is
    written twice comes twice."""
    tokens = deque(
        (found.group(), text.count("\n", 0, found.start()) + 1) for found in _TOKEN.finditer(text)
    )
    return _inside(tokens, ())


def _inside(tokens: deque[tuple[str, int]], path: Path) -> Iterator[tuple[Path, int]]:
    opened, _ = tokens.popleft()
    place = 0
    while opened in "{[" and tokens[0][0] not in "}]":
        line = tokens[0][1]
        step: str | int = _key(tokens) if opened == "{" else place
        yield (*path, step), line
        yield from _inside(tokens, (*path, step))
        place += 1
        if tokens[0][0] == ",":
            tokens.popleft()
    if opened in "{[":
        tokens.popleft()


def _key(tokens: deque[tuple[str, int]]) -> str:
    key, _ = tokens.popleft()
    tokens.popleft()  # its colon
    return str(json.loads(key))


def refusal(name: str, text: str, error: ValidationError) -> TableError:
    """What is wrong with the table `name`, with the line of the entry it is about."""
    try:
        json.loads(text)
    except json.JSONDecodeError as broken:
        return TableError(name, broken.lineno, broken.msg)
    found = error.errors(include_url=False)
    # an entry that is missing has no line of its own, and is often only misspelt
    first = next((one for one in found if one["type"] != "missing"), found[0])
    loc = (*first["loc"], *([first["ctx"]["entry"]] if first["type"] == "figure" else []))
    line, path = _nearest(text, loc)
    reason = _reason(first["type"], first["msg"], loc)
    return TableError(name, line, f"{_shown(path)}: {reason}")


def _reason(kind: str, message: str, loc: Path) -> str:
    if kind == "missing":
        return f"{loc[-1]} is missing"
    return f"no such entry: {loc[-1]}" if kind == "extra_forbidden" else message


def _nearest(text: str, loc: Path) -> tuple[int, Path]:
    """The line of the entry at `loc`, or of the innermost one around it that is written."""
    lines = dict(entries(text))
    found: Path = ()
    for step in loc:  # the models' own names for a choice of rows stand between the keys
        if (*found, step) in lines:
            found = (*found, step)
        elif isinstance(step, str) and step.isdigit() and (*found, int(step)) in lines:
            found = (*found, int(step))
    return lines.get(found, 1), found


def _shown(path: Path) -> str:
    return " → ".join(map(str, path)) or "the table"


def check_written(texts: Mapping[str, str], known: frozenset[str]) -> None:
    """TableError for a file that no table reads, a key that an object holds twice, or a figure of
    one name in two tables. `texts` are by the name of their file, without the ending."""
    homes: dict[str, str] = {}
    for name, text in texts.items():
        if name not in known:
            raise TableError(name, 1, "no table is read from this file")
        lines = _once(name, text)
        for path, line in lines.items():
            figure = str(path[-2]) if path[-1] == "value" and len(path) > 1 else ""
            if figure and homes.setdefault(figure, name) != name:
                problem = f"{figure} stands in assets/{homes[figure]}.json too: give it one home"
                raise TableError(name, line, problem)


def _once(name: str, text: str) -> dict[Path, int]:
    """The line of each entry; TableError for one that is written twice."""
    lines: dict[Path, int] = {}
    for path, line in entries(text):
        if path in lines:
            problem = f"{_shown(path)} stands twice, first in line {lines[path]}"
            raise TableError(name, line, problem)
        lines[path] = line
    return lines

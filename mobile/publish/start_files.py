"""Which files the start screen needs: the app's module and all that importing it imports."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator


def reached(sources: dict[str, bytes], module: str) -> set[str]:
    """The paths in `sources` of `module` and of everything that is imported along with it.

    What is imported inside a function, or for type checkers alone, is not.
    """
    found: set[str] = set()
    ahead = [module]
    while ahead:
        path = _path(ahead.pop(), sources)
        if path and path not in found:
            found.add(path)
            ahead.extend(_imported(ast.parse(sources[path]).body))
    return found


def _path(module: str, sources: dict[str, bytes]) -> str | None:
    stem = module.replace(".", "/")
    return next((path for path in (f"{stem}.py", f"{stem}/__init__.py") if path in sources), None)


def _imported(body: Iterable[ast.stmt]) -> Iterator[str]:
    """The modules that running `body` imports, their packages first."""
    for node in body:
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            module = node.module or ""
            names = [module, *(f"{module}.{alias.name}" for alias in node.names)]
        else:
            continue
        for name in names:
            parts = name.split(".")
            yield from (".".join(parts[: depth + 1]) for depth in range(len(parts)))

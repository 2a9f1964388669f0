"""The project's own Python files as trees, for the rules that read them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from shared.bootstrap import ROOT

ROOMS = ("shared", "logic", "mobile")


@cache
def trees(*folders: str) -> dict[Path, ast.Module]:
    """Path and tree of each Python file under `folders`, else under all rooms."""
    return {
        path: ast.parse(path.read_text(encoding="utf-8"), filename=str(path))
        for folder in folders or ROOMS
        for path in sorted((ROOT / folder).rglob("*.py"))
    }


def module_of(path: Path) -> str:
    """The dotted name under which `path` is imported."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports_of(tree: ast.Module, modules: frozenset[str]) -> Iterator[str]:
    """The modules of `modules` that a file imports, in functions and for type checkers too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in modules)
        elif isinstance(node, ast.ImportFrom) and node.module:
            inner = {f"{node.module}.{alias.name}" for alias in node.names} & modules
            yield from inner or {node.module} & modules


def functions_of(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function and method of a file."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node

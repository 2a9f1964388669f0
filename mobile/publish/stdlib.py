"""The standard library as the phone gets it: without what only servers and developers reach."""

from __future__ import annotations

import ast
import zipfile
from collections.abc import Iterable
from pathlib import Path

from shared.errors import BuildError

# Modules, whole packages and parts of packages that nothing on a phone imports.
DROPPED = frozenset(Path(__file__).with_name("left_out.txt").read_text("ascii").split())


def stdlib_files(archive: Path) -> dict[str, bytes]:
    """Path and source of every module kept from the runtime's own `archive`."""
    with zipfile.ZipFile(archive) as given:
        names = [
            name for name in given.namelist() if name.endswith(".py") and not _is_dropped(name)
        ]
        return {name: given.read(name) for name in names}


def _is_dropped(path: str) -> bool:
    parts = path.removesuffix(".py").split("/")
    return any("/".join(parts[:depth]) in DROPPED for depth in range(1, len(parts) + 1))


def check_imports(sources: dict[str, bytes]) -> None:
    """BuildError when one of our own `sources` imports a module that the phone will not have."""
    for path, source in sources.items():
        for name in _imported(source) if path.endswith(".py") else ():
            if _is_dropped(name.replace(".", "/")):
                raise BuildError(
                    f"{path} imports {name}, which the site leaves out",
                    next="Do without it, or take it off the list in mobile/publish/left_out.txt",
                )


def _imported(source: bytes) -> Iterable[str]:
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)

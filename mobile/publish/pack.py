"""The archives of the app: our modules, their data and the packages they need."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from mobile.publish import wheels
from shared.errors import BuildError

# Our own modules that only a command line, a server or the publisher runs.
_NOT_FOR_PHONES = (
    "logic/__main__.py",
    "logic/cli/",
    "logic/sync/hub/",
    "logic/testing.py",
    "mobile/__main__.py",
    "mobile/publish/",
    "mobile/web/",
    "shared/bootstrap.py",
)
# Parts of the packages that only a server, a desktop, a type checker or a test run reaches.
_LEFT_OUT = (
    "flet/cli.py",
    "flet/fastapi/",
    "flet/pytest_plugin.py",
    "flet/testing/",
    "pydantic/_hypothesis_plugin.py",
    "pydantic/mypy.py",
    "pydantic/v1/",
    "segno/cli.py",
    "segno/helpers.py",
    "segno/utils.py",
    "segno/writers.py",
    "tinydb/mypy_plugin.py",
)
# What a package imports of its own that nothing here asks for, which would bring more with it: of
# segno the writers of picture formats (with XML, HTTP and mail of the standard library, which the
# first screen would wait for). A label takes the squares alone.
_UNASKED = {"segno/__init__.py": b"from . import writers, utils\n"}
_TYPES_ONLY = (".pyi", "py.typed")
# Compiled parts are loaded from real files; all the rest is imported straight from an archive.
_COMPILED = ("msgpack/", "pydantic_core/")
RUNTIME_LICENCES = """\
Python runs in this site as Pyodide (Mozilla Public License 2.0), which holds CPython and its
standard library (PSF License Agreement). Flet is under the Apache License 2.0.
"""
FLET_WHEELS = ("flet", "msgpack", "repath", "six")


@dataclass(frozen=True)
class PublishedApp:
    """What to publish: the `module` to run, and which paths under `root` go with it.

    `name` and `description` are what the device shows for it; `wheels` are the packages it
    needs, all of the list when left empty. `start_screen` are the beginnings of the
    paths that the start screen may need besides what importing `module` imports. `check` raises
    BuildError where its data must not be published.
    """

    root: Path
    module: str
    paths: tuple[str, ...]
    name: str
    description: str
    wheels: tuple[str, ...] = ()
    start_screen: tuple[str, ...] = ()
    check: Callable[[], None] = lambda: None


def app_files(app: PublishedApp) -> dict[str, bytes]:
    """Path and bytes of the app's own files, as `app.paths` (globs under `app.root`) name them."""
    found: dict[str, bytes] = {}
    for pattern in app.paths:
        for path in sorted(app.root.glob(pattern)):
            relative = path.relative_to(app.root).as_posix()
            if path.is_file() and "__pycache__" not in relative:
                found[relative] = path.read_bytes()
    return {path: data for path, data in found.items() if not path.startswith(_NOT_FOR_PHONES)}


def package_files(app: PublishedApp, cache: Path, *, first: bool) -> dict[str, bytes]:
    """Path and bytes of the packages that the start screen needs (`first`), or of all the others.

    The parts of them that nothing on a phone imports are left out.
    """
    files = _unpacked(app, cache, lambda name: (name in FLET_WHEELS) is first)
    return {path: _as_asked(path, data) for path, data in files.items() if _is_reached(path)}


def _as_asked(path: str, data: bytes) -> bytes:
    """A package's file without the import that nothing here asks for; BuildError where that is not
    there exactly once."""
    unasked = _UNASKED.get(path)
    if unasked is None:
        return data
    if data.count(unasked) != 1:
        raise BuildError(
            f"{path} does not hold exactly one {unasked.decode().strip()!r}",
            safe="No site was written.",
            next="Look at what moved in the package and change mobile/publish/pack.py",
        )
    return data.replace(unasked, b"")


def licences(app: PublishedApp, cache: Path) -> bytes:
    """The licence texts of the packages that are shipped, one after the other."""
    parts = [RUNTIME_LICENCES]
    for path, data in _unpacked(app, cache).items():
        if ".dist-info/" in path and ("LICEN" in path.upper() or "COPYING" in path.upper()):
            parts.append(f"{'-' * 80}\n{path}\n\n{data.decode('utf-8', 'replace')}")
    return "\n".join(parts).encode()


def _unpacked(
    app: PublishedApp, cache: Path, wanted: Callable[[str], bool] = lambda name: True
) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for wheel in wheels.wheels(cache):
        name = wheel.name.split("-")[0].replace("_", "-")
        if wanted(name) and (not app.wheels or name in app.wheels):
            files |= wheels.unpack(wheel)
    return files


def must_be_a_file(path: str) -> bool:
    """Whether `path` of a package works only as a file of its own, not from inside an archive."""
    return path.startswith(_COMPILED)


def _is_reached(path: str) -> bool:
    metadata = ".dist-info/" in path or ".data/" in path
    return not (metadata or path.startswith(_LEFT_OUT) or path.endswith(_TYPES_ONLY))


def zipped(files: dict[str, bytes], *, packed: bool = True) -> bytes:
    """One archive of `files`: same files, same bytes.

    Not `packed`, its files are stored uncompressed. The host then compresses the whole archive on
    the way, which makes it a third smaller than files compressed one by one, and Python need not
    decompress what it imports from it at every start.
    """
    method = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method, compresslevel=9) as archive:
        for path in sorted(files):
            entry = zipfile.ZipInfo(path, date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = method
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[path])
    return buffer.getvalue()

"""The app archive: our rooms, their data and the packages they stand on, in one file."""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass
from pathlib import Path

from mobile.publish import wheels

# Parts of the packages that only a server, a desktop or a test run reaches.
_LEFT_OUT = (
    "flet/testing/",
    "flet/fastapi/",
    "flet/cli.py",
    "flet/pytest_plugin.py",
)
_TYPES_ONLY = (".pyi", "py.typed")


@dataclass(frozen=True)
class App:
    """What to publish: the `module` to run, and which paths under `root` go with it.

    `name` and `description` are what the device shows for it.
    """

    root: Path
    module: str
    paths: tuple[str, ...]
    name: str
    description: str


def app_files(app: App) -> dict[str, bytes]:
    """Path and bytes of the app's own files, as `app.paths` (globs under `app.root`) name them."""
    found: dict[str, bytes] = {}
    for pattern in app.paths:
        for path in sorted(app.root.glob(pattern)):
            relative = path.relative_to(app.root).as_posix()
            if path.is_file() and "__pycache__" not in relative:
                found[relative] = path.read_bytes()
    return {path: data for path, data in found.items() if not _stays_home(path)}


def _stays_home(path: str) -> bool:
    return path.startswith(("mobile/publish/", "mobile/web/", "mobile/__main__"))


def package_files(cache: Path) -> dict[str, bytes]:
    """Path and bytes of the packages, without what no phone reaches."""
    files: dict[str, bytes] = {}
    for wheel in wheels.wheels(cache):
        for path, data in wheels.unpack(wheel).items():
            if _is_reached(path):
                files[f"__pypackages__/{path}"] = data
    return files


def _is_reached(path: str) -> bool:
    metadata = ".dist-info/" in path
    return not (metadata or path.startswith(_LEFT_OUT) or path.endswith(_TYPES_ONLY))


def zipped(files: dict[str, bytes]) -> bytes:
    """One archive of `files`: same files, same bytes."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for path in sorted(files):
            entry = zipfile.ZipInfo(path, date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[path])
    return buffer.getvalue()

"""The list of everything the device keeps, with the hash that each file must have."""

from __future__ import annotations

import hashlib
import json
from pathlib import PurePosixPath

from mobile.publish.builds import digest_of

TYPES = {
    ".bin": "application/octet-stream",
    ".css": "text/css; charset=utf-8",
    ".frag": "text/plain; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".otf": "font/otf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".ttf": "font/ttf",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".woff2": "font/woff2",
    ".zip": "application/zip",
}


def content_type(path: str) -> str:
    """The type a server should name for `path`."""
    return TYPES.get(PurePosixPath(path).suffix, "application/octet-stream")


def build_id(files: dict[str, bytes]) -> str:
    """A name for exactly these files: 16 hexadecimal digits of their common digest."""
    return digest_of((path, hashlib.sha256(data).hexdigest()) for path, data in files.items())[:16]


ENGINES = {"canvaskit/chromium/": "chromium", "canvaskit/": "any"}
"""The drawing engine's two builds by where they lie: a browser takes one and keeps only that."""


def listing(files: dict[str, bytes], build: str) -> bytes:
    """precache.json: the build and, per file, its path, hash, size, type and what it is for."""
    return json.dumps({"build": build, "files": entries(files)}, indent=1).encode()


def entries(files: dict[str, bytes]) -> list[dict[str, str | int]]:
    """What a list says of each file, in order of the paths."""
    return [_entry(path, files[path]) for path in sorted(files)]


def _entry(path: str, data: bytes) -> dict[str, str | int]:
    digest = hashlib.sha256(data).hexdigest()
    entry: dict[str, str | int] = {"path": path, "sha256": digest}
    entry |= {"size": len(data), "type": content_type(path)}
    engine = next((name for folder, name in ENGINES.items() if path.startswith(folder)), None)
    return entry | {"engine": engine} if engine else entry

"""Writes a compressed copy beside each file that gains from one, for servers that send such copies.

gzip always, brotli where that library is installed. Results are kept by content, so an unchanged
file is compressed once.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Callable
from pathlib import Path

try:
    import brotli  # type: ignore[import-untyped, import-not-found, unused-ignore]
except ImportError:
    brotli = None

_GAINS = (".bin", ".css", ".frag", ".html", ".js", ".json", ".mjs", ".otf", ".txt", ".wasm")
_UNKNOWN_SYSTEM = 255
_WORTH_IT = 0.95
_QUALITY = 9


def squeezed(files: dict[str, bytes], kept: Path) -> dict[str, bytes]:
    """The compressed copies of `files`, by path; `kept` is the folder of earlier results."""
    kept.mkdir(parents=True, exist_ok=True)
    ways: dict[str, tuple[str, Callable[[bytes], bytes]]] = {".gz": (".gz", gzipped)}
    if brotli is not None:  # kept by quality: a copy made otherwise is another copy
        ways[".br"] = (f".{_QUALITY}.br", _brotli)
    copies = {}
    for path, data in files.items():
        for suffix, (name, way) in ways.items() if path.endswith(_GAINS) else ():
            copy = _kept(kept / f"{hashlib.sha256(data).hexdigest()}{name}", data, way)
            if len(copy) < len(data) * _WORTH_IT:
                copies[path + suffix] = copy
    return copies


def sent_size(data: bytes, kept: Path) -> int:
    """How many bytes of `data` travel from a host that compresses with gzip."""
    kept.mkdir(parents=True, exist_ok=True)
    store = kept / f"{hashlib.sha256(data).hexdigest()}.gz"
    return min(len(data), len(_kept(store, data, gzipped)))


def gzipped(data: bytes) -> bytes:
    """`data` as gzip, with a header that names no time and no system."""
    squeezer = zlib.compressobj(9, zlib.DEFLATED, 31)
    made = bytearray(squeezer.compress(data) + squeezer.flush())
    made[9] = _UNKNOWN_SYSTEM
    return bytes(made)


def _brotli(data: bytes) -> bytes:
    return bytes(brotli.compress(data, quality=_QUALITY, lgwin=24))


def _kept(store: Path, data: bytes, way: Callable[[bytes], bytes]) -> bytes:
    if not store.exists():
        store.write_bytes(way(data))
    return store.read_bytes()

"""Writes a compressed copy beside each file that gains from one, for servers that send such copies.

gzip always, brotli where that library is installed. Results are kept by content, so an unchanged
file is compressed once.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Callable, Collection, Iterator
from functools import partial
from pathlib import Path
from tempfile import NamedTemporaryFile

try:
    import brotli  # type: ignore[import-untyped, import-not-found, unused-ignore]
except ImportError:
    brotli = None

_GAINS = (".bin", ".css", ".frag", ".html", ".js", ".json", ".mjs", ".otf", ".txt", ".wasm", ".zip")
_UNKNOWN_SYSTEM = 255
_WORTH_IT = 0.95
_QUALITY, _HARDEST = 9, 11
"""Of brotli. The hardest takes ten times as long."""


def squeezed(
    files: dict[str, bytes], kept: Path, hardest: Collection[str] = ()
) -> dict[str, bytes]:
    """The compressed copies of `files`, by path; `kept` is the folder of earlier results.

    The paths in `hardest` are made as small as can be.
    """
    kept.mkdir(parents=True, exist_ok=True)
    copies = {}
    for path, data in files.items():
        for suffix, name, compress in _methods(path in hardest) if path.endswith(_GAINS) else ():
            copy = _kept(kept / f"{hashlib.sha256(data).hexdigest()}{name}", data, compress)
            if len(copy) < len(data) * _WORTH_IT:
                copies[path + suffix] = copy
    return copies


def _methods(hardest: bool) -> Iterator[tuple[str, str, Callable[[bytes], bytes]]]:
    """Each method: the suffix of its copies in the site and in the folder of results, and how."""
    yield ".gz", ".gz", gzipped
    if brotli is not None:  # kept by quality: a copy made otherwise is another copy
        quality = _HARDEST if hardest else _QUALITY
        yield ".br", f".{quality}.br", partial(_brotli, quality=quality)


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


def _brotli(data: bytes, quality: int) -> bytes:
    return bytes(brotli.compress(data, quality=quality, lgwin=24))


def _kept(store: Path, data: bytes, compress: Callable[[bytes], bytes]) -> bytes:
    if not store.exists():
        put(store, compress(data))
    return store.read_bytes()


def put(store: Path, data: bytes) -> None:
    """Have `store` hold `data`, whole from the moment that it is there: two builds may go on at
    the same time."""
    with NamedTemporaryFile(dir=store.parent, delete=False) as coming:
        coming.write(data)
    Path(coming.name).replace(store)

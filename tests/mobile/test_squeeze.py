"""The packed copies beside each file."""

from __future__ import annotations

import gzip
import hashlib
from pathlib import Path

import pytest

from mobile.publish.squeeze import squeezed

TEXT = b"one slot, one leaf, one reading; " * 200


def test_copies_unpack_to_what_they_stand_beside(tmp_path: Path) -> None:
    """Gzip and brotli of what gains by it, nothing of the rest."""
    brotli = pytest.importorskip("brotli")
    copies = squeezed({"page.js": TEXT, "picture.png": TEXT}, tmp_path)
    assert gzip.decompress(copies.pop("page.js.gz")) == TEXT
    assert brotli.decompress(copies.pop("page.js.br")) == TEXT
    assert copies == {}


def test_a_copy_of_unknown_quality_is_not_taken_from_the_store(tmp_path: Path) -> None:
    """One commit makes the same bytes whatever an earlier version of this left behind."""
    pytest.importorskip("brotli")
    fresh = squeezed({"page.js": TEXT}, tmp_path / "fresh")
    (tmp_path / "old").mkdir()
    stale = tmp_path / "old" / f"{hashlib.sha256(TEXT).hexdigest()}.br"
    stale.write_bytes(b"packed otherwise")
    assert squeezed({"page.js": TEXT}, tmp_path / "old") == fresh

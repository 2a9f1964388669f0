"""The packed copies beside each file."""

from __future__ import annotations

import gzip
import hashlib
from pathlib import Path

import pytest

from mobile.publish.squeeze import squeezed

WORDS = " ".join(f"slot {n} leaf {n * n % 97}" for n in range(4000)).encode()
TEXT = b"one slot, one leaf, one reading; " * 200


def test_copies_unpack_to_what_they_stand_beside(tmp_path: Path) -> None:
    """Gzip and brotli of what gains by it, nothing of the rest."""
    brotli = pytest.importorskip("brotli")
    copies = squeezed({"page.js": TEXT, "picture.png": TEXT}, tmp_path)
    assert gzip.decompress(copies.pop("page.js.gz")) == TEXT
    assert brotli.decompress(copies.pop("page.js.br")) == TEXT
    assert copies == {}


def test_the_hardest_way_is_kept_apart_from_the_usual(tmp_path: Path) -> None:
    """What was packed the usual way before is packed anew when it is to be as small as can be."""
    brotli = pytest.importorskip("brotli")
    usual = squeezed({"page.js": WORDS}, tmp_path)["page.js.br"]
    hardest = squeezed({"page.js": WORDS}, tmp_path, ["page.js"])["page.js.br"]
    assert len(hardest) < len(usual)
    assert brotli.decompress(hardest) == brotli.decompress(usual) == WORDS
    assert squeezed({"page.js": WORDS}, tmp_path)["page.js.br"] == usual


def test_a_copy_of_unknown_quality_is_not_taken_from_the_store(tmp_path: Path) -> None:
    """One commit makes the same bytes whatever an earlier version of this left behind."""
    pytest.importorskip("brotli")
    fresh = squeezed({"page.js": TEXT}, tmp_path / "fresh")
    (tmp_path / "old").mkdir()
    stale = tmp_path / "old" / f"{hashlib.sha256(TEXT).hexdigest()}.br"
    stale.write_bytes(b"packed otherwise")
    assert squeezed({"page.js": TEXT}, tmp_path / "old") == fresh

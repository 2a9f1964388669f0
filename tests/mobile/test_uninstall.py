"""The site that takes the app away: what it is made of, where it may be written, what it says."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest

from mobile.publish.build import NUTWRIGHT
from mobile.publish.commands import main
from mobile.publish.uninstall import build_uninstall_site
from shared.errors import BuildError
from tests.browser.harness import PLAIN


def test_it_is_the_same_each_time_and_holds_nothing_of_the_app(tmp_path: Path) -> None:
    """Four small files, byte for byte the same; the worker has the name that the app's had."""
    names = []
    for folder in ("one", "two"):
        build_uninstall_site(NUTWRIGHT, tmp_path / folder)
        names.append(sorted(path.name for path in (tmp_path / folder).iterdir()))
    assert names[0] == names[1] == ["index.html", "precache.json", "sw.js", "tombstone.js"]
    for name in names[0]:
        one, two = ((tmp_path / folder / name).read_bytes() for folder in ("one", "two"))
        assert one == two
    assert sum(path.stat().st_size for path in (tmp_path / "one").iterdir()) < 20_000


def test_it_takes_the_place_of_a_site_and_of_nothing_else(tmp_path: Path) -> None:
    """A folder with anything else in it is left as it is; an earlier site is replaced."""
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "to a friend.txt").write_text("Dear friend")
    with pytest.raises(BuildError):
        build_uninstall_site(NUTWRIGHT, tmp_path / "letters")
    assert (tmp_path / "letters" / "to a friend.txt").exists()
    site = tmp_path / "site"
    site.mkdir()
    for name in ("precache.json", "main.dart.js"):
        (site / name).write_text("{}")
    build_uninstall_site(NUTWRIGHT, site)
    assert not (site / "main.dart.js").exists()


def test_the_command_says_where_it_belongs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line to run, and what to do with it; a path that no site lives under is refused."""
    assert main(["tombstone", "--out", str(tmp_path / "stone"), "--base", "/bench/"]) == 0
    assert "at the address that served the app" in capsys.readouterr().out
    assert '<base href="/bench/">' in (tmp_path / "stone" / "index.html").read_text()
    assert main(["tombstone", "--out", str(tmp_path / "other"), "--base", "bench"]) == 2
    assert not (tmp_path / "other").exists()


def test_it_asks_nothing_of_any_other_host(tmp_path: Path) -> None:
    """No address outside the site stands in it, and its policy lets it fetch nothing at all."""
    build_uninstall_site(PLAIN, tmp_path / "stone")
    for name in ("index.html", "tombstone.js", "sw.js"):
        assert not re.search(r"https?://", (tmp_path / "stone" / name).read_text()), name
    assert "default-src 'none'" in unescape((tmp_path / "stone" / "index.html").read_text())
    listing = json.loads((tmp_path / "stone" / "precache.json").read_text())
    assert {file["path"] for file in listing["files"]} == {"index.html", "sw.js", "tombstone.js"}

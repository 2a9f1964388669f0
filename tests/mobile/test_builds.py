"""What a build knows of itself and of those before it, and what follows an hour in other hands."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mobile.publish.build import with_worker
from mobile.publish.builds import (
    KnownBuild,
    Lineage,
    digest_of,
    in_words,
    lineage_after,
    published,
)
from mobile.publish.commands import main
from mobile.publish.recover import build_recovery
from shared.errors import BuildError
from tests.browser.harness import PLAIN

RECOVERY = "0123456789abcdef"
NAMES = st.text("abcdef/.-", min_size=1, max_size=8)


def site(folder: Path, word: str, lineage: Lineage | None = None) -> Path:
    """A site of three files that says `word`, in the place of what is in `folder`."""
    if lineage is None:
        lineage = lineage_after(folder) if folder.exists() else Lineage()
    files = {"index.html": b"<p>{{build}}", "a.js": word.encode(), "b.wasm": b"\0asm"}
    folder.mkdir(exist_ok=True)
    for path, data in with_worker(files, lineage)[0].items():
        (folder / path).write_bytes(data)
    return folder


def constant(folder: Path, name: str) -> object:
    """What a site's worker holds under this name."""
    found = re.search(rf"^const {name} = (.*);$", (folder / "sw.js").read_text("utf-8"), re.M)
    assert found is not None
    return json.loads(found[1])


def known_to(folder: Path) -> list[str]:
    """The builds that a site's worker may go back to, latest first."""
    held = constant(folder, "EARLIER")
    assert isinstance(held, list)
    return [one["build"] for one in held]


def test_the_digest_is_the_one_that_the_document_defines(tmp_path: Path) -> None:
    """A line for each path and each SHA-256, in order of the paths, as `sha256sum` of the files and
    of that text would give it."""
    made = site(tmp_path / "site", "one")
    text = ""
    for path in ("a.js", "b.wasm", "index.html"):
        text += f"{path}\n{hashlib.sha256((made / path).read_bytes()).hexdigest()}\n"
    assert published(made).digest == hashlib.sha256(text.encode()).hexdigest()


@given(st.dictionaries(NAMES, st.text("0123456789abcdef", min_size=64, max_size=64)))
def test_the_digest_hangs_on_no_order_and_on_every_file(hashes: dict[str, str]) -> None:
    """Files named in another order give the same; one file less, or another hash, another."""
    digest = digest_of(hashes.items())
    assert digest == digest_of(reversed(hashes.items()))
    for path, found in hashes.items():
        less = {name: value for name, value in hashes.items() if name != path}
        assert digest_of(less.items()) != digest
        other = found[::-1] if found != found[::-1] else "0" * 63 + "1"
        assert digest_of({**hashes, path: other}.items()) != digest


def test_the_worker_holds_the_hash_of_every_file(tmp_path: Path) -> None:
    """The list of the site stands in its worker, entry for entry."""
    made = site(tmp_path / "site", "one")
    listing = json.loads((made / "precache.json").read_text("utf-8"))
    assert constant(made, "FILES") == listing["files"]
    for entry in listing["files"]:
        found = hashlib.sha256((made / entry["path"]).read_bytes()).hexdigest()
        assert entry["sha256"] == found


def test_a_build_knows_its_last_two_predecessors(tmp_path: Path) -> None:
    """Each that is built over another takes it for the one before, and forgets the third."""
    host = tmp_path / "host"
    made: list[KnownBuild] = []
    for word in ("one", "two", "three", "four"):
        made.append(published(site(host, word)))
        assert known_to(host) == [one.build for one in reversed(made[-3:-1])]
    held = constant(host, "EARLIER")
    assert isinstance(held, list)
    assert held[0]["digest"] == made[-2].digest


def test_the_same_sources_over_themselves_change_nothing(tmp_path: Path) -> None:
    """A build is no predecessor of itself: every byte stays, and so do those before it."""
    host = site(tmp_path / "host", "one")
    site(host, "two")
    before = {path.name: path.read_bytes() for path in host.iterdir()}
    site(host, "two")
    assert {path.name: path.read_bytes() for path in host.iterdir()} == before


def test_predecessors_give_a_build_no_other_id(tmp_path: Path) -> None:
    """The id and the digest are those of its own files, whatever came before."""
    one = published(site(tmp_path / "one", "same"))
    before = site(tmp_path / "before", "other")
    assert published(site(tmp_path / "two", "same", lineage_after(before))) == one


def test_after_a_recovery_none_before_it_is_known(tmp_path: Path) -> None:
    """The same sources are another build, no build before it is gone back to, and those that follow
    go on clearing devices that come late."""
    host = site(tmp_path / "host", "one")
    before = published(host).build
    site(host, "one", Lineage(recovery=RECOVERY))
    recovered = published(host).build
    assert recovered != before
    assert known_to(host) == []
    site(host, "two")
    assert known_to(host) == [recovered]
    assert f'const RECOVERY = "{RECOVERY}";' in (host / "sw.js").read_text("utf-8")


def test_a_site_of_an_older_publisher_is_known_itself(tmp_path: Path) -> None:
    """It has no record of those before it."""
    host = site(tmp_path / "host", "one")
    (host / "builds.json").unlink()
    assert lineage_after(host) == Lineage((published(host),))


@pytest.mark.parametrize("name", ["precache.json", "builds.json"])
@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"build": "x", "files": [], "earlier": [{}], "recovery": "<"}']
)
def test_a_site_that_does_not_say_what_it_is_is_no_predecessor(
    tmp_path: Path, name: str, text: str
) -> None:
    """What cannot be read is refused in words; nothing of it comes into a worker."""
    host = site(tmp_path / "host", "one")
    (host / name).write_text(text, "utf-8")
    with pytest.raises(BuildError, match="which build"):
        lineage_after(host)


def test_the_command_prints_the_digest_of_a_site(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In groups that can be read to each other; a folder that is none is said in one line."""
    host = site(tmp_path / "host", "one")
    assert main(["digest", str(host)]) == 0
    assert capsys.readouterr().out == in_words(published(host).digest) + "\n"
    assert main(["digest", str(tmp_path)]) == 2


@pytest.mark.parametrize("path", ["worker", "/worker.js", "../worker.js"])
def test_a_worker_outside_the_site_is_refused(tmp_path: Path, path: str) -> None:
    """Only a script below the site is written over, and nothing before that is known."""
    with pytest.raises(BuildError, match="worker"):
        build_recovery(PLAIN, tmp_path / "out", RECOVERY, workers=(path,))
    assert not (tmp_path / "out").exists()


@pytest.mark.builds
def test_what_follows_such_an_hour_lies_under_every_address_asked_for(tmp_path: Path) -> None:
    """The page knows the recovery by name, and the worker lies where the other's lay."""
    out = tmp_path / "out"
    build_recovery(PLAIN, out, RECOVERY, workers=("deep/other.js",))
    assert (out / "deep" / "other.js").read_bytes() == (out / "sw.js").read_bytes()
    assert f'data-recovery="{RECOVERY}"' in (out / "index.html").read_text("utf-8")

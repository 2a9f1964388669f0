"""What tabs, workers and copies of different builds find each other and the records by.

An update leaves the tab of the build before open, and its worker, its copies and its records stay.
A lock, a channel or a folder of another name would give two writers, or an empty bench.
"""

from __future__ import annotations

import ast
import asyncio
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from logic.app.views.start_views import HomeView
from mobile.device.device_actions import ACCEPTED, RECORDS_NOTE
from mobile.device.writer_lock import (
    CHANNEL,
    LockAction,
    LockMessage,
    LockRole,
    LockState,
    let_go,
    step,
)
from mobile.publish.precache import ENGINES, listing
from mobile.start.start_screen import NOTE_NAME, OF_LABEL, SHORTCUTS, StartScreenNote
from shared.bootstrap import ROOT
from shared.label import label_code, label_link

WEB = ROOT / "mobile" / "web"


def page(name: str) -> str:
    """The text of one file of the page."""
    return (WEB / name).read_text(encoding="utf-8")


def constants(path: Path) -> dict[str, object]:
    """What a module of Python gives names to at its top, where that is text.

    These modules run in a browser only and cannot be imported here.
    """
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {
        target.id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
        for target in node.targets
        if isinstance(target, ast.Name)
    }


def given_to(call: str) -> Iterator[object]:
    """The text constants that modules for the browser hand to `call`, as `request(LOCK`."""
    for path in (ROOT / "mobile").rglob("*.py"):
        named = constants(path)
        text = path.read_text(encoding="utf-8")
        for found in re.findall(rf"{re.escape(call)}\(?,? ?([A-Z_]+)", text):
            yield named.get(found)


def test_one_lock_keeps_writers_apart() -> None:
    """Whatever the build, the writing tab holds this lock."""
    assert set(given_to("locks.request")) == {"nutwright-history"}


def test_records_lie_in_the_same_folder() -> None:
    """The folder of the private file system."""
    assert set(given_to("getDirectoryHandle")) == {"nutwright-history"}


def test_records_lie_in_the_same_database() -> None:
    """The database and its one store, at version 1, keyed by file and piece."""
    assert set(given_to("factory.open")) == {"nutwright-history"}
    assert set(given_to("createObjectStore")) == {"pieces"}
    assert set(given_to("objectStore")) == {"pieces"}
    (path,) = [p for p in (ROOT / "mobile").rglob("*.py") if "createObjectStore" in p.read_text()]
    text = path.read_text(encoding="utf-8")
    assert re.search(r"factory\.open, [A-Z_]+, 1\)", text)
    assert "bridge.array(change.name, change.number)" in text


def test_the_site_that_takes_the_app_away_finds_the_records() -> None:
    """It reads the same folder, database and store, and journal files of the same name."""
    text = page("uninstall/uninstall.js")
    assert 'const STORE = "nutwright-history";' in text
    assert "getDirectoryHandle(STORE)" in text
    assert "indexedDB.open(STORE)" in text
    assert 'objectStore("pieces")' in text
    assert r"const SEGMENT = /^journal-\d{6,}\.txt$/;" in text


def test_tabs_ask_each_other_for_the_pen_as_ever() -> None:
    """The channel, the two messages, and who they are from and to."""
    assert CHANNEL == "nutwright-pen"
    asked = '{"say": "ask", "who": "t2", "to": ""}'
    given = '{"say": "given", "who": "t1", "to": "t2"}'
    assert LockMessage("ask", "t2").text() == asked
    heard = LockMessage.read(asked)
    assert heard is not None
    grip, act = step(LockState("t1", LockRole.WRITES), heard)
    assert act is LockAction.LET_GO
    assert let_go(grip)[1].text() == given
    answer = LockMessage.read(given)
    assert answer is not None
    assert step(LockState("t2", LockRole.ASKS), answer)[1] is LockAction.TAKE


def test_a_tab_asks_with_the_same_text() -> None:
    """What goes over the channel, end to end: an older tab understands no other."""
    from mobile.device.writer_lock import WriterLock

    class Wire:
        """Keeps what is said."""

        said: list[str]

        def __init__(self) -> None:
            self.said = []

        def post(self, text: str) -> None:
            """Say it."""
            self.said.append(text)

        def listen(self, take: Any) -> None:
            """Nobody speaks."""

    async def close() -> None:
        """Nothing is open."""

    async def ask() -> list[str]:
        wire = Wire()
        await WriterLock(wire, LockState("t2", LockRole.READS), close).ask(0.0)
        return wire.said

    (said,) = asyncio.run(ask())
    assert json.loads(said) == {"say": "ask", "who": "t2", "to": ""}


@pytest.mark.parametrize("name", ["sw.js", "uninstall/sw.js"])
def test_copies_of_the_app_are_called_as_ever(name: str) -> None:
    """`nutwright <path> <build>`: a worker tidies up and serves what begins so."""
    assert "const PREFIX = `nutwright ${new URL(scope).pathname} `;" in page(name)


def test_the_copy_and_the_notes_are_found() -> None:
    """The build's own copy, its list, the notes beside it and what is noted under which name."""
    text = page("sw.js") + page("go_back.js")
    assert "const CACHE = PREFIX + BUILD;" in text
    assert 'const NOTES = PREFIX + "notes";' in text
    assert "match(`${scope}engine`)" in text
    assert "match(scope + BUILD)" in text
    assert "JSON.stringify({ to: to.name, why })" in text
    assert 'new URL("precache.json", scope)' in text
    shell = page("kept_copy.js")
    assert "caches.open(`nutwright ${here.pathname} notes`)" in shell
    assert 'new URL("engine", here)' in shell
    assert 'register("sw.js"' in shell
    uninstall = page("uninstall/uninstall.js")
    assert "startsWith(`nutwright ${here.pathname} `)" in uninstall


def test_page_and_worker_of_two_builds_understand_each_other() -> None:
    """What a page asks the worker that serves it, and the fields of the answers."""
    worker = page("sw.js") + page("go_back.js")
    shell = page("shell.js") + page("kept_copy.js")
    for say in ("booted", "copies", "back", "again", "mend"):
        assert re.search(rf"^  {say}: ", worker, re.MULTILINE), say
        assert f'say: "{say}"' in shell, say
    assert 'if (asked === "apply") self.skipWaiting();' in worker
    assert "const { say: asked, ...facts } = event.data || {};" in worker
    assert 'postMessage({ say: "apply" })' in shell
    for name in ("build: BUILD", "earlier: (await earlierCopy())?.name", "gaveWay: await rolled"):
        assert f"    {name}" in worker
    assert 'broadcast({ say: "refused", why:' in worker
    assert 'message.say !== "refused"' in shell
    assert "booted: async ({ build })" in worker
    assert "back: async ({ why })" in worker


def test_the_list_of_a_copy_keeps_its_fields() -> None:
    """A worker of one build may check a copy by the list of another."""
    files = {"index.html": b"x", "canvaskit/canvaskit.wasm": b"y"}
    made = json.loads(listing(files, "0123456789abcdef"))
    assert set(made) == {"build", "files"}
    engine, plain = made["files"]
    assert set(plain) == {"path", "sha256", "size", "type"}
    assert set(engine) == {"path", "sha256", "size", "type", "engine"}
    assert ENGINES == {"canvaskit/chromium/": "chromium", "canvaskit/": "any"}


def test_marks_beside_the_records_are_found() -> None:
    """Records, first screen and language, each under `nutwright.`; two more in the session."""
    assert (NOTE_NAME, RECORDS_NOTE) == ("porch", "records")
    assert "localStorage.getItem(`nutwright.${key}`)" in page("python.js")
    assert "const name = `nutwright.${key}`;" in page("bench_io.js")
    assert 'localStorage.setItem("nutwright.language", code)' in page("bench_io.js")
    assert "localStorage.getItem(`nutwright.${key}`)" in page("uninstall/uninstall.js")
    assert 'const WENT_BACK = "nutwright.went-back";' in page("shell.js")
    assert 'const AT_HOME = "nutwright.at-home";' in page("shell.js")
    assert 'sessionStorage.getItem("nutwright.at-home")' in page("python.js")
    for key in ("porch", "records", "language"):
        assert f'bench.stored("{key}")' in page("python.js") + page("shell.js")


def test_the_first_screen_as_kept_is_read_again() -> None:
    """Eight digits of CRC-32, then JSON: the note of one build is drawn by another."""
    kept = StartScreenNote(HomeView(()), {"theme": "paper"}, 5, "de").text()
    assert re.match("[0-9a-f]{8}{", kept)
    assert set(json.loads(kept[8:])) == {"home", "settings", "busy_until_ms", "language"}
    assert StartScreenNote.read(kept) == StartScreenNote(HomeView(()), {"theme": "paper"}, 5, "de")


def test_shortcuts_lead_to_the_same_addresses() -> None:
    """`#start=check`, `#start=job`, `#join=CODE` and `#i=CODE`: an installed app's shortcuts are
    old, and a printed label is older."""
    manifest = json.loads(page("manifest.json"))
    assert [each["url"] for each in manifest["shortcuts"]] == ["./#start=check", "./#start=job"]
    assert manifest["id"] == "nutwright"
    assert (manifest["start_url"], manifest["scope"]) == ("./", "./")
    assert set(SHORTCUTS) >= {"check", "job"}
    assert "/#start=(check|job)$/" in page("python.js")
    assert "/#(i=[^#]{0,64})/" in page("python.js")
    assert OF_LABEL == "i="
    assert label_link("https://b.example/", "0123456789abcdef") == (
        "https://b.example/#i=0123456789abcdef"
    )
    assert label_code("i2") == "c06f469d56b41274"
    assert "/^#join=([^&]{1,64})$/" in page("bench_io.js")


def test_files_that_the_picker_takes_and_hands_out() -> None:
    """History files end in these, and are handed out under this name."""
    assert set(ACCEPTED.split(",")) >= {".txt", ".nutwright", "text/plain"}
    assert "`nutwright-history-${day}-" in page("uninstall/uninstall.js")


def test_the_page_knows_the_first_screen_by_its_mark() -> None:
    """The page proves a build by `ready`, and pages and tests know that it has come by `booted`."""
    assert """'[flt-semantics-identifier="ready"]'""" in page("shell.js")
    drawn = [p for p in (ROOT / "mobile").glob("*.py") if 'identifier="ready"' in p.read_text()]
    assert len(drawn) == 1
    assert 'document.documentElement.dataset.booted = "yes"' in page("shell.js")
    assert "const BUILD = document.documentElement.dataset.build;" in page("shell.js")
    assert 'data-build="{{build}}"' in page("index.html")

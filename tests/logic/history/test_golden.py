"""Files of every version open to the same documents, and keep to the written rules."""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from logic.history import MemoryDirectory
from logic.history.journal.segment import segment_number
from logic.trade_loader import ASSETS
from shared.events import Kind
from shared.setup import STEP_KINDS
from tests.logic.history.factory import all_events, documents, open_history
from tests.logic.history.golden import GOLDEN, WRITERS

VERSIONS = sorted(path for path in GOLDEN.iterdir() if path.is_dir())
OF_A_NEWER_VERSION = {"v1-newer-work": 1}
"""By folder: how many of its entries only a newer version understands."""
PAGE = (ASSETS / "docs" / "history.md").read_text(encoding="utf-8")


def journal(folder: Path) -> MemoryDirectory:
    """The golden journal, in memory."""
    files = {p.name: bytearray(p.read_bytes()) for p in folder.iterdir() if segment_number(p.name)}
    return MemoryDirectory(files)


def wanted(folder: Path) -> Any:
    """The golden documents."""
    return json.loads((folder / "documents.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("folder", VERSIONS, ids=lambda path: str(path.name))
def test_every_version_opens_to_its_documents(folder: Path) -> None:
    """The journal and the history file of each version fold to the documents kept beside them."""
    opened = open_history(journal(folder), "x")
    assert replace(opened.report, not_understood=0).clean
    assert opened.report.not_understood == OF_A_NEWER_VERSION.get(folder.name, 0)
    assert documents(opened) == wanted(folder)
    imported = open_history(letter="y")
    report = imported.merge((folder / "history.txt").read_bytes())
    assert (report.refused, report.forks) == ([], [])
    assert documents(imported) == wanted(folder)


@pytest.mark.parametrize(
    ("folder", "segments"),
    [
        ("v1", 2),
        *(
            (f"v1-{of}", 1)
            for of in (
                "actions",
                "measurements",
                "to-target",
                "ticket",
                "work",
                "newer-work",
                "note",
                "far-clock",
                "every-kind",
                "boards",
                "visit",
            )
        ),
    ],
)
def test_this_version_still_writes_what_its_golden_files_hold(folder: str, segments: int) -> None:
    """The same days give the same bytes: a change of format needs a new version and a folder."""
    directory = MemoryDirectory()
    history = WRITERS[folder](directory)
    kept = journal(GOLDEN / folder).files
    assert {name: bytes(directory.files[name]) for name in kept} == {
        name: bytes(data) for name, data in kept.items()
    }
    assert len(kept) >= segments
    assert documents(history) == wanted(GOLDEN / folder)


def test_every_kind_of_entry_is_in_a_golden_file() -> None:
    """The files of two folders hold an entry of each kind, so that none can change its meaning
    unseen; those of the whole visit a step of each kind."""
    every, visit = (
        all_events(open_history(journal(GOLDEN / f"v1-{of}"), "x"))
        for of in ("every-kind", "visit")
    )
    assert {event.kind for event in (*every, *visit)} == set(Kind)
    steps = {event.body["step"]["step"] for event in visit if event.kind == Kind.SETUP_STEP}
    assert steps == {kind.named() for kind in STEP_KINDS}


def test_promises_from_before_have_are_read_as_they_were_written() -> None:
    """A golden journal holds promises to erase without `have`; opening it lets nothing go."""
    folder = GOLDEN / "v1-every-kind"
    opened = open_history(journal(folder), "x")
    promises = [each for each in all_events(opened) if each.kind == Kind.CONTENT_ERASED]
    assert len(promises) == 3 and all(set(each.body) == {"events", "due"} for each in promises)
    assert not opened.purge()
    assert documents(opened) == wanted(folder)


def test_an_action_id_changes_no_document() -> None:
    """An app that does not know the field folds the same entries without it to the same documents,
    but for the digests that name entries."""
    named = open_history(journal(GOLDEN / "v1-actions"), "x")
    plain = open_history(letter="a")
    for event in all_events(named):
        body = {name: value for name, value in event.body.items() if name != "action"}
        plain.record(Kind(event.kind), body)
    assert any("action" in event.body for event in all_events(named))
    assert _without_times(documents(plain)) == _without_times(documents(named))


def _without_times(value: Any) -> Any:
    """Documents without their stamps, which differ where entries were not recorded together."""
    if isinstance(value, dict):
        stamps = ("time", "changed", "opened")
        return {name: _without_times(each) for name, each in value.items() if name not in stamps}
    return [_without_times(each) for each in value] if isinstance(value, list) else value


def frames(data: bytes) -> list[Any]:
    """A reader made from the page alone: every line proves itself."""
    payloads = []
    for line in data.decode("utf-8").splitlines(keepends=True):
        found = re.fullmatch(r"([0-9a-f]{8}) ([0-9a-f]{8}) (.*)\n", line)
        assert found
        text = found[3].encode()
        assert (int(found[1], 16), int(found[2], 16)) == (len(text), zlib.crc32(text))
        payloads.append(json.loads(text))
    return payloads


def canonical(value: Any) -> bytes:
    """As the page says."""
    return json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode()


def test_a_reader_made_from_the_page_alone_reads_it() -> None:
    """Headers, digests, closings, chains and the end line are as the page says they are."""
    after, last = "", dict[str, str]()
    for number, name in enumerate(sorted(journal(GOLDEN / "v1").files), 1):
        data = (GOLDEN / "v1" / name).read_bytes()
        header, *rest = frames(data)
        assert (header["format"], header["version"]) == ("nutwright.journal", 1)
        assert (header["segment"], header["after"]) == (number, after)
        for event in [event for line in rest for event in line.get("events", [])]:
            assert event["prev"] == last.get(event["device"], "")
            last[event["device"]] = hashlib.sha256(canonical(event)).hexdigest()
        if "closed" in rest[-1]:
            before = data[: data.rindex(b"\n", 0, -1) + 1]
            after = hashlib.sha256(before).hexdigest()
            assert rest[-1]["closed"]["sha256"] == after
    whole = (GOLDEN / "v1" / "history.txt").read_bytes()
    lines = frames(whole)
    before = whole[: whole.rindex(b"\n", 0, -1) + 1]
    end = {"events": len(lines) - 2, "sha256": hashlib.sha256(before).hexdigest()}
    assert lines[-1] == {"end": end}


def test_the_page_names_every_kind_and_no_other() -> None:
    """The table of kinds in the documentation is the list that the code knows."""
    table = PAGE.split("## Kinds")[1].split("## Fold")[0]
    assert set(re.findall(r"^\| `([a-z._]+)`", table, re.MULTILINE)) == set(Kind)

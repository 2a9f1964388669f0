"""`python -m logic history`: check, export and import, as somebody at a desk does them."""

from __future__ import annotations

import csv
import io
import json
import os
from contextlib import closing
from pathlib import Path

import pytest

from logic.history import FileDirectory, History
from logic.history.exchange.portable import pack
from logic.history.journal.frame import LEAD_BYTES, encode
from logic.history.journal.segment import segment_name
from shared.events import Event, Kind
from tests.logic.history.factory import Ticking, documents, open_history, opened, reading
from tests.logic.test_command_line import run_main


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """This machine's history: one job with two readings and a label that looks like a formula."""
    where = tmp_path / "history"
    monkeypatch.setenv("NUTWRIGHT_HISTORY", str(where))
    history = open_history(FileDirectory(where))
    kind, body = opened()
    history.record(kind, body | {"value": body["value"] | {"label": "=1+1"}})
    history.record(*reading(6, "0.018 in", "none"))
    history.record(*reading(1, "0.010 in", "heavy"))
    history.close()
    return where


def history(*words: str, stdin: bytes = b"") -> tuple[int, str, str]:
    """Exit code, standard output and standard error of one command."""
    ran = run_main(["history", *words], stdin)
    return int(str(ran.code)), ran.out, ran.err


def test_export_and_import_move_a_history_to_another_machine(folder: Path, tmp_path: Path) -> None:
    """What one machine exports, another imports to the same documents, however often."""
    file, other = str(tmp_path / "out.txt"), tmp_path / "other"
    assert history("export", file)[0] == 0
    assert history("import", file, "--folder", str(other))[1] == "3 new, 0 already here.\n"
    assert history("import", file, "--folder", str(other))[1] == "0 new, 3 already here.\n"
    here, there = FileDirectory(folder), FileDirectory(other)
    assert documents(History.open(here)) == documents(History.open(there))
    here.close()
    there.close()


def test_check_says_what_is_there_and_changes_nothing(folder: Path, tmp_path: Path) -> None:
    """A sound folder and a sound file are said to be; a damaged one ends with 1 and says where."""
    code, out, _ = history("check", str(folder))
    assert (code, out) == (
        0,
        "3 entries of 1 device, bench alder-row.\nNothing is wrong with it.\n",
    )
    segment = folder / segment_name(1)
    data = bytearray(segment.read_bytes())
    data[len(data) // 2] ^= 1
    segment.write_bytes(bytes(data))
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    code, out, _ = history("check", str(folder))
    assert code == 1
    assert "damaged in one place" in out
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_single_entry_is_counted_as_one(tmp_path: Path) -> None:
    """Nobody reads of "1 entries"."""
    with closing(open_history(FileDirectory(tmp_path / "one"))) as one:
        one.record(*opened())
    told = history("check", str(tmp_path / "one"))[1]
    assert told == "One entry of one device, bench alder-row.\nNothing is wrong with it.\n"


def test_readings_go_to_a_spreadsheet_and_nothing_in_them_is_a_formula(folder: Path) -> None:
    """One row for each reading, lengths as written, text that begins like a formula defused."""
    code, out, _ = history("export", "-", "--csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert code == 0
    assert [(row["string"], row["pitch"], row["leaf"], row["contact"]) for row in rows] == [
        ("6", "E2", "0.018 in", "none"),
        ("1", "E4", "0.01 in", "heavy"),
    ]
    assert {row["instrument"] for row in rows} == {"'=1+1"}
    assert rows[0]["taken (UTC)"] == "2023-11-14 22:13:22"


def test_a_history_passes_through_pipes(folder: Path, tmp_path: Path) -> None:
    """Export to standard output, import and check from standard input."""
    _, out, err = history("export", "-", "--job", "j1")
    assert err == ""
    assert history("check", "-", stdin=out.encode())[0] == 0
    assert history("import", "-", "--folder", str(tmp_path / "b"), stdin=out.encode())[0] == 0


@pytest.mark.parametrize(
    "words",
    [
        ["check", "/nowhere.txt"],
        ["check", "."],
        ["import", "/nowhere.txt"],
        ["export", "/no/such/folder/out.txt"],
        ["export", "-", "--job", "unknown"],
        ["export", "-", "--folder", "/nowhere"],
        ["check", __file__],
        ["status", "x"],
        ["promised", "x"],
        ["mend", "x"],
    ],
)
def test_what_cannot_be_used_is_answered_in_one_line(folder: Path, words: list[str]) -> None:
    """Exit code 2, one line that says what would do, no traceback."""
    code, out, err = history(*words)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1


def test_a_history_in_use_and_a_folder_out_of_reach_are_told(folder: Path, tmp_path: Path) -> None:
    """Somebody else writing, or no right to write: exit code 1 and what to do."""
    held = FileDirectory(folder)
    code, _, err = history("export", "-")
    assert code == 1
    assert "Another Nutwright" in err
    held.close()
    blocked = tmp_path / "a file"
    blocked.write_text("in the way")
    file = tmp_path / "f.txt"
    assert history("export", str(file))[0] == 0
    code, _, err = history("import", str(file), "--folder", str(blocked / os.sep.join("xy")))
    assert code == 1
    assert "cannot be written" in err


def test_what_is_due_to_be_gone_is_in_no_export(folder: Path, tmp_path: Path) -> None:
    """Without any hub too: the file holds the chain and not the content, and so does the folder."""
    with closing(History.open(FileDirectory(folder), Ticking())) as opened_here:
        job = opened_here.jobs()[0]
        opened_here.erase(("job", job.id), due_ms=1)
    file = tmp_path / "after.txt"
    assert history("export", str(file), "--folder", str(folder))[0] == 0
    kept = "".join(each.read_text() for each in (file, *folder.iterdir()) if each.is_file())
    assert job.label not in kept and '"husk"' in file.read_text()
    assert history("check", str(file))[0] == 0


def test_a_history_that_a_newer_version_wrote_is_exported_as_it_is(
    folder: Path, tmp_path: Path
) -> None:
    """What is due waits for the version that may write; the copy is made all the same."""
    with closing(History.open(FileDirectory(folder), Ticking())) as opened_here:
        opened_here.erase(("job", opened_here.jobs()[0].id), due_ms=1)
    first = folder / segment_name(1)
    header, _, rest = first.read_bytes().partition(b"\n")
    newer = encode(json.loads(header[LEAD_BYTES:]) | {"version": 9})
    first.write_bytes(newer + rest)
    before = first.read_bytes()
    code, _, told = history("export", str(tmp_path / "copy.txt"), "--folder", str(folder))
    assert code == 0 and "newer" in told and first.read_bytes() == before


def erasing_file(folder: Path, where: Path) -> tuple[str, str]:
    """A file that asks for all of this machine's entries to be gone, and the promise's id."""
    with closing(History.open(FileDirectory(folder))) as here:
        heads = here.journal.heads.items()
        have = {name: [[1, head.seq, head.digest]] for name, head in heads}
        body = {"events": {name: [[1, 2**40]] for name, _ in heads}, "due": 0, "have": have}
        promise = Event("alder-row", "x", 1, "1700000000000.0", Kind.CONTENT_ERASED, body)
    where.write_bytes(pack([promise], "alder-row", "1.0"))
    return str(where), promise.id


def test_an_erasure_in_a_file_is_told_and_waits(folder: Path, tmp_path: Path) -> None:
    """With what it would erase, of which device, and who asks; told again whenever one asks."""
    file, name = erasing_file(folder, tmp_path / "odd.txt")
    code, out, _ = history("import", file)
    assert code == 0 and "1 erasure" in out and f"{name}: =1+1: the job of" in out
    assert "3 entries" in out and "device …x" in out and "waits for your yes" in out
    assert history("promised")[1] in out
    code, out, _ = history("let-go", name)
    assert code == 0 and "Gone here from" in out
    assert history("keep", name)[0] == 0
    assert history("promised")[1] == "Nothing is promised to be gone.\n"
    for asked in ("keep", "let-go"):
        assert history(asked, name)[0] == 2
        code, _, err = history(asked)
        assert code == 2 and "ID: is missing" in err and "`history promised`" in err


@pytest.mark.parametrize(
    ("answer", "told", "left"),
    [
        ("yes", "1 erasure, to which you said yes.", "Gone here from"),
        ("no", "1 erasure, which is called back.", "Nothing is"),
    ],
)
def test_an_erasure_in_a_file_is_answered_at_once(
    folder: Path, tmp_path: Path, answer: str, told: str, left: str
) -> None:
    """A yes begins the grace, a no calls it back, and it is told so, not that it waits; nothing is
    gone on that day."""
    file, _ = erasing_file(folder, tmp_path / "odd.txt")
    code, out, _ = history("import", file, "--erasures", answer)
    assert code == 0 and told in out and "wait" not in out
    assert left in history("promised")[1]
    with closing(History.open(FileDirectory(folder))) as here:
        assert not here.purge() and len(here.jobs()) == 1

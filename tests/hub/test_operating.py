"""What an operator types at a hub, and reads there, in both languages."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from logic.sync.hub.backup import digest_file
from tests.logic.test_command_line import run_main

BENCH = "Alder Row Strings"


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A hub with one bench, found by NUTWRIGHT_STORE."""
    file = tmp_path / "hub.sqlite"
    monkeypatch.setenv("NUTWRIGHT_STORE", str(file))
    assert run_main(["hub", "bench", BENCH]).code == 0
    return file


def test_limits_are_set_shown_and_written_down(store: Path) -> None:
    """For all benches and for one; nonsense sets nothing."""
    assert "entries kept of a bench: 5000" in run_main(["hub", "limits", "--entries", "5000"]).out
    own = run_main(["hub", "limits", BENCH, "--key-days", "365", "--language", "de"])
    assert "Einträge, die von einer Werkbank bleiben: 5000" in own.out
    assert "Tage, bis ein Schlüssel neu sein muss: 365" in own.out
    wrong = run_main(["hub", "limits", "--entries", "7", "--aside-days", "-1"])
    assert wrong.code == 2 and "aside-days: cannot use '-1'" in wrong.err
    assert "entries kept of a bench: 5000" in run_main(["hub", "limits"]).out
    assert "days until a key has to be a new one: no limit" in run_main(["hub", "limits"]).out
    told = run_main(["hub", "audit"]).out
    assert "limit set: entries 5000" in told and "limit set: key-days 365" in told


def test_the_audit_log_is_read_by_people_and_by_programs(store: Path) -> None:
    """A line for each act with its date, or a JSON object with its ids; in German too."""
    lines = run_main(["hub", "audit", BENCH]).out.splitlines()
    assert [line.split("  ")[-1] for line in lines] == [BENCH, BENCH]
    assert "UTC  bench made  by " in lines[0] and "UTC  joining code made (full)  by " in lines[1]
    assert "Werkbank angelegt  von " in run_main(["hub", "audit", "--language", "de"]).out
    rows = [json.loads(line) for line in run_main(["hub", "audit", "--json"]).out.splitlines()]
    assert [(row["nr"], row["what"]) for row in rows] == [(1, "bench-made"), (2, "code-made")]
    assert run_main(["hub", "audit", "--days", "1"]).out.count("\n") == 2
    assert run_main(["hub", "audit", "Nobody's"]).code == 2


def test_looking_into_a_copy_leaves_it_as_it_is(store: Path, tmp_path: Path) -> None:
    """`hub check COPY` opens no hub of its own, and the copy is restored from afterwards."""
    copy = tmp_path / "copy.sqlite"
    assert "0 entries of 1 bench" in run_main(["hub", "backup", str(copy)]).out
    kept = copy.read_bytes()
    looked = run_main(["hub", "check", str(copy), "--store", str(tmp_path / "none.sqlite")])
    assert (looked.code, looked.out) == (0, f"{BENCH}: 0 entries, 0 wrong\n")
    assert copy.read_bytes() == kept and not (tmp_path / "none.sqlite").exists()
    digest_file(copy).unlink()
    assert "no digest stood beside" in run_main(["hub", "check", str(copy)]).out
    again = ["hub", "restore", str(copy), "--store", str(tmp_path / "again.sqlite")]
    assert "0 entries of 1 bench are back and right" in run_main(again).out


def test_what_cannot_be_done_with_a_copy_is_said_in_one_line(store: Path, tmp_path: Path) -> None:
    """Over another file, into no folder, into a hub that is in use, from nothing."""
    copy = tmp_path / "copy.sqlite"
    assert run_main(["hub", "backup", str(copy)]).code == 0
    for words, line in (
        (["backup", str(copy)], "it is there already"),
        (["backup", str(tmp_path / "no" / "copy.sqlite")], "name a new file"),
        (["restore", str(copy)], "name an empty place with --store"),
        (["restore", str(tmp_path / "nothing")], "name a file that is there"),
        (["rotate", BENCH, "Somebody"], "devices that may in: none"),
    ):
        done = run_main(["hub", *words])
        assert done.code == 2 and line in done.err and done.err.count("\n") == 1, done.err

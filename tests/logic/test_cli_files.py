"""Files on the command line: any input ends in one line or a result, soon and in bounded memory,
and this machine's history is its owner's alone."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from logic.cli import files
from logic.cli.files import Wanted, read_input
from logic.history import FileDirectory
from shared.bootstrap import ROOT
from shared.errors import InputError
from tests.logic.history.factory import open_history, opened, reading
from tests.logic.test_command_line import SAMPLES, run_main

MEGABYTE = 1_000_000
MOST_MEMORY = 200 * MEGABYTE
JOB = str(SAMPLES / "electric_after_restring.json")
HISTORY = Wanted("history file", "give another", 9 * MEGABYTE, 6 * MEGABYTE)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """This machine's history, with a job and a reading."""
    where = tmp_path / "history"
    monkeypatch.setenv("NUTWRIGHT_HISTORY", str(where))
    with closing(open_history(FileDirectory(where))) as history:
        history.record(*opened())
        history.record(*reading())
    return where


# --- reading ---


MEASURER = """
import resource, subprocess, sys
words, most_s = sys.argv[1:]
done = subprocess.run(["sh", "-c", words], stdout=subprocess.DEVNULL, timeout=float(most_s))
print(done.returncode, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024)
"""
"""A process begins with the largest memory of the one that started it (getrusage(2), from memory),
and tests may have taken much by then: so a small one starts what is measured."""


def measured(words: str, most_s: float = 60) -> tuple[int, str, int]:
    """Exit code, standard error and largest memory (bytes) of a shell's commands."""
    done = subprocess.run(
        [sys.executable, "-c", MEASURER, words, str(most_s)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        env=os.environ | {"PY": sys.executable},
        check=True,
    )
    code, memory = map(int, done.stdout.split())
    return code, done.stderr, memory


@pytest.mark.programs
@pytest.mark.parametrize(
    "words",
    [
        "$PY -m logic plan /dev/zero",
        "$PY -m logic plan /dev/urandom",
        "yes | $PY -m logic plan -",
        "$PY -m logic history check /dev/zero",
        "$PY -m logic history import /dev/urandom",
        "yes | $PY -m logic history import -",
        "yes '0000000d 00000000 {' | $PY -m logic history check -",
        "$PY -m logic history check - < /dev/zero",
        "$PY -m logic history check - <&-",
        "$PY -m logic plan - <&-",
    ],
)
def test_input_without_end_ends_in_one_line(words: str, folder: Path) -> None:
    """Devices, streams and a closed standard input: exit code 2, one line, bounded memory."""
    code, told, memory = measured(words)
    assert (code, told.count("\n")) == (2, 1), told
    assert told.startswith("nutwright: ") and memory < MOST_MEMORY


@pytest.mark.programs
def test_an_endless_stream_of_sound_lines_ends_too(folder: Path, tmp_path: Path) -> None:
    """As a history file would be that never ends: no more is held than a stream may bring."""
    file = tmp_path / "out.txt"
    assert run_main(["history", "export", str(file)]).code == 0
    code, told, memory = measured(f'yes "$(cat {file})" | $PY -m logic history import -')
    assert (code, told.count("\n")) == (2, 1), told
    assert "longer than" in told and memory < MOST_MEMORY


@pytest.mark.parametrize("words", [["plan"], ["history", "check"], ["history", "import"]])
def test_what_is_no_file_is_one_line(words: list[str], folder: Path, tmp_path: Path) -> None:
    """A folder, a name that is none, a pipe that nobody writes to, a file that does not let itself
    be read: at once, exit code 2."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "empty folder").mkdir()
    for name in ("empty folder", "not there", "pipe", "a\0b", "x" * 5000):
        began = time.monotonic()
        done = run_main([*words, str(tmp_path / name)])
        assert (done.code, done.out, done.err.count("\n")) == (2, "", 1)
        assert time.monotonic() - began < 2 + files.PIPE_PATIENCE_S
    done = run_main([*words, "/proc/self/mem"])
    assert (done.code, done.err.count("\n")) == (2, 1)


def test_a_pipe_that_somebody_writes_to_is_read_whole(tmp_path: Path) -> None:
    """However late and in however many pieces."""
    pipe, pieces = tmp_path / "pipe", [b"a" * 70_000, b"b" * 200_000, b"c"]
    os.mkfifo(pipe)

    def write() -> None:
        time.sleep(0.2)
        with pipe.open("wb", buffering=0) as file:
            for piece in pieces:
                time.sleep(0.05)
                file.write(piece)

    writing = threading.Thread(target=write)
    writing.start()
    assert read_input(str(pipe), HISTORY) == b"".join(pieces)
    writing.join()


@pytest.mark.parametrize("size", [0, 1, files.HEAD_BYTES - 1, files.HEAD_BYTES, 8 * MEGABYTE])
def test_a_file_is_read_to_its_last_byte(size: int, tmp_path: Path) -> None:
    """Whatever its size beside that of what is looked at first."""
    file = tmp_path / "file"
    data = os.urandom(1000) * (size // 1000) + b"x" * (size % 1000)
    file.write_bytes(data)
    assert read_input(str(file), HISTORY) == data


def test_a_file_past_its_bound_is_refused_unread(tmp_path: Path) -> None:
    """By its size alone, be it a hole of a thousand gigabytes."""
    file = tmp_path / "hole"
    file.touch()
    os.truncate(file, 10**12)
    with pytest.raises(InputError, match="longer than 9 MB"):
        read_input(str(file), HISTORY)


def test_what_does_not_begin_right_is_refused_by_its_head(tmp_path: Path) -> None:
    """Nothing past the head is read of it."""
    file, seen = tmp_path / "file", []

    def none(head: bytes) -> bool:
        seen.append(len(head))
        return False

    file.write_bytes(b"x" * 8 * MEGABYTE)
    wanted = Wanted("file", "give another", 9 * MEGABYTE, MEGABYTE, none)
    with pytest.raises(InputError):
        read_input(str(file), wanted)
    assert max(seen) < files.HEAD_BYTES + 2 * MEGABYTE


def test_a_folder_with_a_file_past_all_sense_is_refused(folder: Path) -> None:
    """A hole in place of a journal's file is not read."""
    os.truncate(folder / "journal-000001.txt", 10**11)
    done = run_main(["history", "check", str(folder)])
    assert (done.code, done.err.count("\n")) == (2, 1)


# --- printing ---


@pytest.mark.programs
@pytest.mark.parametrize(
    "words", [f"plan {JOB}", f"cut {JOB} --json", "--help", "history export -", "history status"]
)
def test_a_full_standard_output_is_one_line(words: str, folder: Path) -> None:
    """Exit code 1: it is no fault of the input, and none of ours."""
    code, told, _ = measured(f"$PY -m logic {words} >/dev/full")
    assert (code, told.count("\n")) == (1, 1), told
    assert "No space left" in told and "fault of ours" not in told


@pytest.mark.programs
@pytest.mark.parametrize("words", [f"plan {JOB}", "history export -", "checks"])
def test_a_reader_that_stops_early_is_no_fault(words: str, folder: Path) -> None:
    """As `head` does: no word on standard error."""
    code, told, _ = measured(f"$PY -m logic {words} | head -c 1 >&2")
    assert (code, len(told)) == (0, 1)


@pytest.mark.programs
def test_closed_streams_are_told_as_far_as_can_be() -> None:
    """No standard output: one line. No standard error either: the exit code."""
    code, told, _ = measured(f"$PY -m logic plan {JOB} >&-")
    assert (code, told.count("\n")) == (1, 1)
    assert measured("$PY -m logic plan nowhere 2>&-")[0] == 2
    assert measured("$PY -m logic plan nowhere 2>/dev/full")[0] == 2


def test_exit_codes_are_documented() -> None:
    """Each one that a command ends with."""
    told = run_main(["--help"]).out
    assert all(f"\n  {code}  " in told for code in (0, 1, 2, 130))


@contextmanager
def umask(mode: int) -> Iterator[None]:
    """New files are as open as this leaves them."""
    before = os.umask(mode)
    try:
        yield
    finally:
        os.umask(before)


def mode_of(path: Path) -> int:
    """What whom is allowed with it."""
    return stat.S_IMODE(path.stat().st_mode)


# --- this machine's history ---


def test_a_history_is_private_under_any_umask(tmp_path: Path) -> None:
    """Its folder, those made above it, and every file."""
    where = tmp_path / "share" / "nutwright" / "history"
    with umask(0), closing(open_history(FileDirectory(where))) as history:
        history.record(*opened())
        history.save_snapshot()
    folders = (where, *where.parents[:2])
    assert {mode_of(each) for each in folders} == {0o700}
    assert {mode_of(each) for each in where.iterdir()} == {0o600}


def test_a_history_that_others_could_read_is_mended(folder: Path) -> None:
    """As it was copied, or made by an older version: at the next opening."""
    (folder / "hub-a.txt").write_bytes(b"a key")
    for each in (folder, *folder.iterdir()):
        each.chmod(0o777)
    FileDirectory(folder).close()
    assert mode_of(folder) == 0o700
    assert {mode_of(each) & 0o077 for each in folder.iterdir()} == {0}


def test_a_folder_that_holds_other_things_stays_as_it_is(folder: Path) -> None:
    """Whoever keeps a history in a folder of theirs goes on with the rest of it."""
    other = folder / "notes.md"
    other.write_bytes(b"x")
    for each in (folder, *folder.iterdir()):
        each.chmod(0o755)
    FileDirectory(folder).close()
    assert (mode_of(folder), mode_of(other)) == (0o755, 0o755)
    assert mode_of(folder / "journal-000001.txt") == 0o700


def test_the_status_tells_what_is_missing(folder: Path) -> None:
    """Entries and files by count, and what this opening found."""
    with closing(open_history(FileDirectory(folder))) as history:
        history.journal.segment_bytes = 700
        for _ in range(8):
            history.record(*reading())
    files_here = len([path for path in folder.iterdir() if path.name.startswith("journal")])
    (folder / "journal-000002.txt").unlink()
    told = run_main(["history", "status"]).out
    assert f"Files of the journal: {files_here - 1} (1 missing)" in told
    assert "1 file of the record is missing" in told and "not here" in told
    again = run_main(["history", "status"]).out
    assert "1 missing" in again and "1 file of the record is missing" not in again


def test_every_command_that_opens_a_history_tells_what_is_missing(
    folder: Path, tmp_path: Path
) -> None:
    """On standard error, beside its own result."""
    with closing(open_history(FileDirectory(folder))) as history:
        history.journal.segment_bytes = 700
        for _ in range(8):
            history.record(*reading())
    lost = (folder / "journal-000002.txt").read_bytes()
    out = str(tmp_path / "out")
    for words in (
        ["labels", out, "--address", "https://bench.example/"],
        ["history", "export", out],
    ):
        (folder / "journal-000002.txt").unlink()
        (folder / "aside.txt").unlink(missing_ok=True)
        done = run_main(words)
        assert (done.code, "1 file of the record is missing" in done.err) == (0, True)
        (folder / "journal-000002.txt").write_bytes(lost)
    (folder / "journal-000002.txt").unlink()
    (folder / "aside.txt").unlink(missing_ok=True)
    assert "1 file of the record is missing" in run_main(["sync"]).err

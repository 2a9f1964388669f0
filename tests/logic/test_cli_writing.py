"""What a command writes is there whole or not at all, for its owner alone."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from logic.cli.files import write_output
from logic.history.storage.whole_file import whole_file
from shared.bootstrap import ROOT
from shared.errors import InputError, OutputError
from tests.logic.test_cli_files import JOB, folder, mode_of, umask
from tests.logic.test_command_line import run_main

__all__ = ["folder"]

WRITING = {
    "history": (["history", "export", "FILE"], b"nutwright.history"),
    "csv": (["history", "export", "FILE", "--csv"], b"taken (UTC)"),
    "sheet": (["handover", JOB, "--pdf", "FILE"], b"%PDF"),
    "svg": (["layout", JOB, "--svg", "FILE"], b"<svg"),
    "layout": (["layout", JOB, "--pdf", "FILE"], b"%PDF"),
    "labels": (["labels", "FILE", "--address", "https://bench.example/"], b"%PDF"),
}


@pytest.mark.parametrize("name", WRITING)
def test_what_a_command_writes_is_whole_and_private(
    name: str, folder: Path, tmp_path: Path
) -> None:
    """Under any umask, and in place of a file that was open to all; nothing is left beside it."""
    words, lead = WRITING[name]
    out = tmp_path / "out"
    out.mkdir()
    file = out / "file"
    for before in (None, b"old"):
        if before:
            file.write_bytes(before)
            file.chmod(0o666)
        with umask(0):
            done = run_main([str(file) if word == "FILE" else word for word in words])
        assert done.code == 0, done.err
        assert lead in file.read_bytes()[:400] and mode_of(file) == 0o600
        assert [path.name for path in out.iterdir()] == ["file"]


@pytest.mark.parametrize("name", WRITING)
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EIO])
def test_a_full_disc_leaves_the_old_file_whole(
    name: str, code: int, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit code 1 and one line; the file that was there is as it was, with nothing beside it."""
    words, _ = WRITING[name]
    out = tmp_path / "out"
    out.mkdir()
    file = out / "file"
    file.write_bytes(b"old")
    real = os.fsync

    def refuse(handle: int) -> None:
        if ".part" in os.readlink(f"/proc/self/fd/{handle}"):
            raise OSError(code, os.strerror(code))
        real(handle)

    monkeypatch.setattr(os, "fsync", refuse)
    done = run_main([str(file) if word == "FILE" else word for word in words])
    assert (done.code, done.err.count("\n")) == (1, 1)
    assert file.read_bytes() == b"old" and [path.name for path in out.iterdir()] == ["file"]


@pytest.mark.programs
def test_a_kill_in_the_middle_leaves_the_old_file_whole(tmp_path: Path) -> None:
    """SIGKILL while half is written: the old file is there, and what was begun is private."""
    file = tmp_path / "file"
    file.write_bytes(b"old")
    work = """
import os, sys
from pathlib import Path
from logic.history.storage.whole_file import whole_file
with whole_file(Path(sys.argv[1])) as file:
    file.write(b"half")
    file.flush()
    os.kill(os.getpid(), 9)
"""
    ended = subprocess.run([sys.executable, "-c", work, str(file)], cwd=ROOT, check=False)
    assert ended.returncode == -9 and file.read_bytes() == b"old"
    (left,) = [path for path in tmp_path.iterdir() if path != file]
    assert left.name.startswith(".file.") and left.suffix == ".part" and mode_of(left) == 0o600


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """What it leads to is written anew."""
    file, link = tmp_path / "file", tmp_path / "link"
    file.write_bytes(b"old")
    link.symlink_to(file)
    write_output("--pdf", str(link), b"new")
    assert link.is_symlink() and file.read_bytes() == b"new"


def test_devices_are_written_to_and_never_replaced(tmp_path: Path) -> None:
    """What is no file of its own stays what it is; a pipe that nobody reads is not waited for."""
    write_output("--pdf", os.devnull, b"x")
    assert stat.S_ISCHR(Path(os.devnull).stat().st_mode)
    with pytest.raises(OutputError, match="No space left"):
        write_output("--pdf", "/dev/full", b"x" * 100_000)
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(InputError):
        write_output("--pdf", str(pipe), b"x")


@pytest.mark.parametrize("name", ["no/such/folder/file", ".", "a\0b", "x" * 300])
def test_a_name_that_cannot_be_written_is_one_line(name: str, tmp_path: Path) -> None:
    """InputError, and nothing is left."""
    with pytest.raises(InputError):
        write_output("--pdf", f"{tmp_path}/{name}", b"x")
    assert not list(tmp_path.iterdir())


def test_a_fresh_file_takes_the_place_of_none(tmp_path: Path) -> None:
    """Neither of one that was there, nor of one that came meanwhile."""
    file = tmp_path / "file"
    with pytest.raises(FileExistsError), whole_file(file, fresh=True) as out:
        out.write(b"new")
        file.write_bytes(b"came first")
    assert file.read_bytes() == b"came first"
    with pytest.raises(FileExistsError), whole_file(file, fresh=True) as out:
        out.write(b"new")
    assert [path.name for path in tmp_path.iterdir()] == ["file"]

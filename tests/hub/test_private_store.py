"""What a hub keeps and writes can be read by its owner alone, and is there whole."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import closing
from pathlib import Path

import pytest

from logic.sync.hub.open_database import open_database
from tests.logic.test_cli_files import umask
from tests.logic.test_command_line import run_main


def modes(folder: Path) -> dict[str, int]:
    """What whom is allowed with each file there."""
    return {path.name: stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()}


def test_a_store_is_private_under_any_umask(tmp_path: Path) -> None:
    """The database, and what lies beside it while it is in use."""
    with umask(0), closing(open_database(str(tmp_path / "hub.sqlite"))) as database:
        database.script("CREATE TABLE some (thing TEXT)")
        database.run(lambda now: now.change("INSERT INTO some VALUES ('x')"))
        found = modes(tmp_path)
    assert "hub.sqlite" in found and set(found.values()) == {0o600}


def test_a_store_that_others_could_read_is_mended(tmp_path: Path) -> None:
    """As it was made by an older version, with its log."""
    file = tmp_path / "hub.sqlite"
    open_database(str(file)).close()
    (tmp_path / "hub.sqlite-journal").touch()
    for each in tmp_path.iterdir():
        each.chmod(0o666)
    with closing(open_database(str(file))):
        assert set(modes(tmp_path).values()) == {0o600}


@pytest.fixture
def store(tmp_path: Path) -> str:
    """A hub with one bench."""
    url = str(tmp_path / "hub.sqlite")
    assert run_main(["hub", "bench", "alder row", "--store", url]).code == 0
    return url


def test_a_bench_is_written_out_whole_and_private(store: str, tmp_path: Path) -> None:
    """Under any umask, and never over a file that is there."""
    out = tmp_path / "out"
    out.mkdir()
    words = ["hub", "export", "alder row", str(out / "bench.txt"), "--store", store]
    with umask(0):
        done = run_main(words)
    assert done.code == 0, done.err
    assert modes(out) == {"bench.txt": 0o600}
    assert run_main(words).code == 2 and modes(out) == {"bench.txt": 0o600}


def test_a_full_disc_leaves_no_half_of_a_bench(
    store: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One line, and no file of that name or beside it."""
    out = tmp_path / "out"
    out.mkdir()
    real = os.fsync

    def refuse(handle: int) -> None:
        if ".part" in os.readlink(f"/proc/self/fd/{handle}"):
            raise OSError(errno.ENOSPC, "No space left on device")
        real(handle)

    monkeypatch.setattr(os, "fsync", refuse)
    done = run_main(["hub", "export", "alder row", str(out / "b.txt"), "--store", store])
    assert done.code == 1 and done.err.count("\n") == 1 and not list(out.iterdir())

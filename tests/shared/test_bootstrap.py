"""What a fresh machine lacks is installed, or named in one line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from shared import bootstrap
from shared.bootstrap import install_system_packages, need_library, need_path, need_program

Need = Callable[[], object]


@pytest.fixture
def installed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The packages asked for, on a machine whose package tool does nothing."""
    asked: list[str] = []
    monkeypatch.setattr(bootstrap, "install_system_packages", lambda *names: asked.extend(names))
    return asked


NEEDS: dict[str, Need] = {
    "program": lambda: need_program("nutwright-no-such-program", "package"),
    "library": lambda: need_library("libnutwright-no-such.so.1", "package"),
    "path": lambda: need_path("nutwright/no/such/*", "package"),
}


@pytest.mark.parametrize("need", NEEDS)
def test_what_is_missing_is_installed_and_named_when_it_stays_away(
    need: str, installed: list[str]
) -> None:
    """One try to install its package, then one line that says what to install."""
    with pytest.raises(SystemExit, match=r"is needed\. Install it \(package\) and try again\."):
        NEEDS[need]()
    assert installed == ["package"]


def test_what_is_there_is_not_installed(installed: list[str]) -> None:
    """Nothing is asked of the machine that it has: its C library, a shell, its password file."""
    need_library("libc.so.6", "package")
    assert Path(need_program("sh", "package")).name == "sh"
    assert need_path("etc/pass*d", "package") == Path("/etc/passwd")
    assert installed == []


def test_a_library_is_there_once_its_package_is(
    monkeypatch: pytest.MonkeyPatch, installed: list[str]
) -> None:
    """The look after installing decides, not the one before."""
    monkeypatch.setattr(bootstrap, "_loads", lambda _: bool(installed))
    need_library("libatomic.so.1", "libatomic1")
    assert installed == ["libatomic1"]


@pytest.mark.parametrize(
    ("found", "user"), [((), 0), (("apt-get",), 1000)], ids=["no package tool", "not allowed"]
)
def test_who_may_not_install_is_told_what_to_install(
    monkeypatch: pytest.MonkeyPatch, found: tuple[str, ...], user: int
) -> None:
    """Without Debian's package tool, or without the right to use it, one line names the packages
    and nothing is run."""
    monkeypatch.setattr(bootstrap.shutil, "which", lambda name: name if name in found else None)
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: user)
    monkeypatch.setattr(bootstrap.subprocess, "run", lambda *_, **__: pytest.fail("it ran"))
    with pytest.raises(SystemExit, match="Install these packages and try again: one two"):
        install_system_packages("one", "two")

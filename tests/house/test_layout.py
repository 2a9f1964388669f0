"""The rules of the house that a machine can check."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from shared.bootstrap import ROOT
from tests.house.sources import ROOMS, functions_of, trees

TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"),
    *("mobile", "logic", "assets", "tests", "shared", "sample_jobs"),
}


def run(*command: str) -> str:
    """The output of a checker that must be content."""
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def tracked() -> list[Path]:
    """Every file that git knows or would take, or every file where there is no git."""
    ask = ["git", "ls-files", "-co", "--exclude-standard"]
    try:
        listed = subprocess.run(ask, cwd=ROOT, capture_output=True, text=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return [path for path in ROOT.rglob("*") if path.is_file()]
    return [ROOT / name for name in listed.stdout.splitlines() if (ROOT / name).is_file()]


def test_the_top_level_is_the_clients() -> None:
    """Nothing stands at the top level that the client's layout does not name."""
    names = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


@pytest.mark.programs
def test_types_hold() -> None:
    """mypy, strict, finds nothing in the rooms."""
    run("mypy")


@pytest.mark.programs
def test_ruff_is_content() -> None:
    """Lint and format rules hold everywhere."""
    run("ruff", "check", ".")
    run("ruff", "format", "--check", ".")


def test_scripts_of_the_page_fit_one_sitting() -> None:
    """No script of the page is longer than 400 lines either."""
    scripts = list((ROOT / "mobile" / "web").rglob("*.js"))
    assert len(scripts) > 8
    for path in scripts:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, path


@pytest.mark.parametrize("room", (*ROOMS, "tests"))
def test_files_fit_one_sitting(room: str) -> None:
    """No file of code or tests is longer than 400 lines, and no function than 60."""
    for path, tree in trees(room).items():
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, path
        for function in functions_of(tree):
            assert lines_of(function) <= 60, f"{path}: {function.name}"


def test_functions_are_small() -> None:
    """Half of all functions have at most seven lines, nine in ten at most sixteen."""
    lengths = sorted(lines_of(each) for tree in trees().values() for each in functions_of(tree))
    assert lengths[len(lengths) // 2] <= 7
    assert lengths[len(lengths) * 9 // 10] <= 16


def lines_of(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines from the function's `def` to its end."""
    return (function.end_lineno or function.lineno) - function.lineno + 1


def test_every_test_says_what_it_proves() -> None:
    """Each test function has a sentence of its own."""
    for path, tree in trees("tests").items():
        for node in functions_of(tree) if path.name.startswith("test_") else ():
            assert not node.name.startswith("test_") or ast.get_docstring(node), (
                f"{path}: {node.name}"
            )


def test_the_machine_side_runs_on_the_pinned_flet() -> None:
    """flet and flet-web are pinned to the same exact version."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert '"flet==1.0.5"' in text
    assert '"flet-web==1.0.5"' in text

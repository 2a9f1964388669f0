"""The rules of the house that a machine can check."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from shared.bootstrap import ROOT

pytestmark = pytest.mark.programs
ROOMS = ("shared", "logic", "mobile")
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


def test_arrows_run_one_way() -> None:
    """Imports go from mobile to logic to shared, and decisions know no screen."""
    script = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr


def test_types_hold() -> None:
    """mypy, strict, finds nothing in the rooms."""
    run("mypy")


def test_ruff_is_content() -> None:
    """Lint and format rules hold everywhere."""
    run("ruff", "check", ".")
    run("ruff", "format", "--check", ".")


@pytest.mark.parametrize("room", ROOMS)
def test_files_fit_one_sitting(room: str) -> None:
    """No source file is longer than 400 lines, and no function than 60."""
    for path in (ROOT / room).rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        assert len(text.splitlines()) <= 400, path
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                assert (node.end_lineno or 0) - node.lineno < 60, f"{path}: {node.name}"


def test_every_test_says_what_it_proves() -> None:
    """Each test function has a sentence of its own."""
    for path in (ROOT / "tests").rglob("test_*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                assert not node.name.startswith("test_") or ast.get_docstring(node), (
                    f"{path}: {node.name}"
                )


def test_the_machine_side_runs_on_the_pinned_flet() -> None:
    """flet and flet-web are pinned to the same exact version."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert '"flet==1.0.5"' in text
    assert '"flet-web==1.0.5"' in text

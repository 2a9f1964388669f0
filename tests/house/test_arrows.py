"""Imports go one way."""

from __future__ import annotations

import subprocess
import sys

import pytest

from shared.bootstrap import ROOT


@pytest.mark.programs
def test_arrows_run_one_way() -> None:
    """Every import contract of pyproject.toml holds."""
    script = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr

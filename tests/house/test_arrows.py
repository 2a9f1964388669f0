"""Imports go one way, and nowhere in a circle."""

from __future__ import annotations

import subprocess
import sys
from graphlib import CycleError, TopologicalSorter

import pytest

from shared.bootstrap import ROOT
from tests.house.sources import imports_of, module_of, trees


@pytest.mark.programs
def test_arrows_run_one_way() -> None:
    """Every import contract of pyproject.toml holds."""
    script = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr


def test_no_module_imports_itself_by_way_of_others() -> None:
    """There is an order in which every module comes after all that it imports anywhere."""
    modules = frozenset(map(module_of, trees()))
    graph = {module_of(path): set(imports_of(tree, modules)) for path, tree in trees().items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as circle:
        raise AssertionError(" <- ".join(circle.args[1])) from None

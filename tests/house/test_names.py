"""One word, one meaning: what the names of this code may not be."""

from __future__ import annotations

import ast
from collections import defaultdict

import pytest

from shared.bootstrap import ROOT
from tests.house.sources import ROOMS, module_of, trees
from tests.house.vocabulary import leftovers


@pytest.mark.parametrize("room", ROOMS)
def test_no_private_metaphor_is_left(room: str) -> None:
    """No name, comment or docstring uses a word that has a term of the trade or the field."""
    found = [
        f"{path.relative_to(ROOT)}:{line}: {word} in {held}"
        for path in trees(room)
        for line, word, held in leftovers(path)
    ]
    assert not found, "\n".join(found)


def test_no_class_name_stands_in_two_modules() -> None:
    """A class is known by its name alone, without the module that holds it."""
    homes: dict[str, list[str]] = defaultdict(list)
    for path, tree in trees().items():
        for node in tree.body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                homes[node.name].append(module_of(path))
    twice = {name: where for name, where in homes.items() if len(where) > 1}
    assert not twice

"""What a hub runs on is pinned, file by file, and covers what the project asks for."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import metadata

from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from shared.bootstrap import ROOT

LOCK = ROOT / "logic" / "sync" / "hub" / "requirements.txt"


@dataclass(frozen=True)
class Pinned:
    """One package of the lock file."""

    requirement: Requirement
    hashes: tuple[str, ...]

    @property
    def version(self) -> str:
        """The one version that may be installed."""
        (only,) = self.requirement.specifier
        assert only.operator == "=="
        return only.version


@cache
def pinned() -> dict[str, Pinned]:
    """The lock file by name."""
    lines = LOCK.read_text(encoding="utf-8").splitlines(keepends=True)
    text = "".join(line for line in lines if not line.startswith("#"))
    found = {}
    for entry in text.replace("\\\n", " ").splitlines():
        asked, *hashes = entry.split(" --hash=")
        if asked.strip():
            requirement = Requirement(asked.strip())
            each = Pinned(requirement, tuple(text.strip() for text in hashes))
            found[canonicalize_name(requirement.name)] = each
    return found


def asked_for() -> list[Requirement]:
    """What pyproject.toml asks for on behalf of a hub."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = [*project["dependencies"], *project["optional-dependencies"]["hub"]]
    return [Requirement(line) for line in lines]


def applies(requirement: Requirement, extra: str = "") -> bool:
    """Whether a requirement counts on this machine."""
    return requirement.marker is None or requirement.marker.evaluate(
        {**default_environment(), "extra": extra}
    )


def test_every_package_has_one_version_and_the_digests_of_its_files() -> None:
    """`pip install --require-hashes` takes nothing else."""
    assert len(pinned()) > 20
    for each in pinned().values():
        assert each.version
        assert each.hashes, each
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", text) for text in each.hashes)


def test_the_lock_covers_what_the_project_asks_for() -> None:
    """Each dependency, and each of the extra "hub", at a version that pyproject.toml allows."""
    for requirement in asked_for():
        held = pinned()[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(held.version), requirement


def test_the_lock_covers_what_those_need_in_turn() -> None:
    """Walked through what is installed here: with hashes required, pip refuses whatever a package
    needs that is not in the file."""
    todo = [(each, extra) for each in asked_for() for extra in (*each.extras, "")]
    seen = set()
    while todo:
        requirement, extra = todo.pop()
        name = canonicalize_name(requirement.name)
        if (name, extra) in seen or not applies(requirement):
            continue
        seen.add((name, extra))
        assert name in pinned(), f"{name} is missing: make the file anew as its first lines say"
        for line in metadata.requires(name) or ():
            needed = Requirement(line)
            if applies(needed, extra):
                todo += [(Requirement(_bare(needed)), each) for each in (*needed.extras, "")]
    assert ("psycopg-binary", "") in seen


def _bare(requirement: Requirement) -> str:
    """A requirement that applies, without the marker that said so."""
    return f"{requirement.name}{requirement.specifier}"

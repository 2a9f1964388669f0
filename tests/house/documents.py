"""What the documents say that a machine can look up: paths, links, modules, command lines."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from shared.bootstrap import ROOT

DOCUMENTS = (
    ROOT / "README.md",
    ROOT / "DEVELOPERS.md",
    *sorted((ROOT / "assets" / "docs").glob("*.md")),
    *sorted((ROOT / "tests").rglob("README.md")),
)

_INLINE = re.compile(r"(?<!`)`([^`\n]+(?:\n[^`\n]+)?)`(?!`)")
_LINK = re.compile(r"\[[^\]]*\]\(([^)#\s]+)[^)]*\)")
_PATH = re.compile(r"[\w.-]+(?:/[\w.*-]+)*/?")
_SUFFIX = re.compile(r"\w\.(py|js|mjs|json|md|toml|html|sql)$")
_RUN = re.compile(r"\S*python3? -m (.*)")
_OPTIONAL = re.compile(r"\s*\[([^\]]*)\]")


@dataclass(frozen=True)
class CommandLine:
    """One `python -m …` of a document: the module, and the words after it."""

    document: str
    module: str
    words: tuple[str, ...]


def code_of(text: str) -> Iterator[str]:
    """Each piece of code: the spans in a line, and the lines that stand indented by four."""
    for span in _INLINE.findall(text):
        yield " ".join(span.split())
    for line in text.splitlines():
        if line.startswith("    "):
            yield line.strip()


def links_of(document: Path) -> Iterator[Path]:
    """The files that a document links to or shows as pictures."""
    for target in _LINK.findall(document.read_text(encoding="utf-8")):
        if "://" not in target:
            yield document.parent / target


def paths_of(document: Path) -> Iterator[str]:
    """What is written as a path of this project, in code."""
    for code in code_of(document.read_text(encoding="utf-8")):
        if _PATH.fullmatch(code) and (_first_is_ours(code) or _SUFFIX.search(code)):
            yield code


def _first_is_ours(path: str) -> bool:
    first, slash, _ = path.partition("/")
    return bool(slash) and (ROOT / first).is_dir()


def exists(path: str, document: Path) -> bool:
    """Whether `path` names something: from the root, beside the document, or somewhere by name."""
    plain = path.rstrip("/")
    starts = (ROOT, document.parent)
    if any(any(start.glob(plain)) for start in starts):
        return True
    rooms = ("shared", "logic", "mobile", "assets", "tests", "sample_jobs")
    return any(True for room in rooms for _ in (ROOT / room).rglob(plain))


def command_lines(document: Path) -> Iterator[CommandLine]:
    """Every command line shown, with what stands in brackets left out and put in."""
    name = document.relative_to(ROOT).as_posix()
    for code in code_of(document.read_text(encoding="utf-8")):
        found = _RUN.match(re.split(r"\s{2,}|\s#", code)[0])
        if found:
            said = _spelled_out(found[1])
            for line in dict.fromkeys((_OPTIONAL.sub("", said), _OPTIONAL.sub(r" \1", said))):
                module, *words = shlex.split(line)
                yield CommandLine(name, module, tuple(words))


def _spelled_out(shown: str) -> str:
    """A command line with the first of each choice, and a value for each option left open."""
    first = re.sub(r"\[([^]|]*?)\s*\|[^]]*\]", r"[\1]", shown)
    return re.sub(r"(--\w+) …", r"\1 X", first).replace("…", "").strip()

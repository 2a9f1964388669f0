"""The documents are true: what they name exists, and what they tell to type can be typed."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

import pytest

from logic import __main__ as command_line
from logic.app.routing.routes import ROUTES
from logic.cli import COMMANDS
from mobile.publish import commands as publisher
from shared.bootstrap import OLDEST_PYTHON, ROOT
from tests.house.documents import (
    DOCUMENTS,
    CommandLine,
    code_of,
    command_lines,
    exists,
    links_of,
    paths_of,
)
from tests.house.sources import trees

BUILT_OR_GIVEN = {
    *("cert.pem", "key.pem", "precache.json", "builds.json", "app.zip", "rest.zip", "packages.zip"),
    *("manifest.json", "history.txt"),
}
"""Files that the documents speak of and that stand in a site, a folder of records or a shop."""
NAMED = {
    "FILE": "history.txt",
    "FILE-OR-FOLDER": "history.txt",
    "CODE": "AAAA-BBBB",
    "ID": "job-1",
    "BENCH": "Alder Row Strings",
    "CERTIFICATE": "cert.pem",
    "NAME": "bench_calls",
}
"""What stands for a word that a document leaves to its reader."""
LINES = [line for document in DOCUMENTS for line in command_lines(document)]


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_path_and_link_leads_somewhere(document: Path) -> None:
    """Whatever a document writes as a path of this project, or links to, is there."""
    missing = [path for path in paths_of(document) if not exists(path, document)]
    assert not set(missing) - BUILT_OR_GIVEN
    assert [link for link in links_of(document) if not link.exists()] == []


@pytest.mark.parametrize("line", LINES, ids=lambda line: " ".join((line.module, *line.words)))
def test_every_command_line_can_be_typed(line: CommandLine) -> None:
    """The module is there to be run, and its own parser takes the words shown."""
    if re.fullmatch("[A-Z]+", line.module.rpartition(".")[2]):
        return  # "tests.benchmarks.NAME" stands for each of the modules that the test below reads
    assert find_spec(line.module) is not None
    words = [NAMED.get(word, word) for word in line.words]
    parse = PARSERS.get(line.module)
    if parse:
        parse(words)


def _parse_decision(words: list[str]) -> argparse.Namespace:
    name = next(word for word in words if word in COMMANDS or word == "--help")
    if name == "--help":
        return argparse.Namespace()
    command = import_module(f"logic.cli.{name}")
    return command_line._parser(name, command).parse_args(words)


PARSERS: dict[str, Callable[[list[str]], argparse.Namespace]] = {
    "logic": _parse_decision,
    "mobile": publisher._parser().parse_args,
}


@pytest.mark.parametrize(
    "line", [each for each in LINES if each.words[:1] in (("plan",), ("checks",))], ids=str
)
def test_the_commands_that_decide_run_as_shown(
    line: CommandLine, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Typed at the root of a checkout, each prints its answer."""
    monkeypatch.chdir(ROOT)
    assert command_line.main(list(line.words)) == 0
    assert capsys.readouterr().out


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_test_that_a_document_names_is_there(document: Path) -> None:
    """A promise that names the test that holds it is held: the function stands in that module."""
    for module, name in re.findall(r"`(tests/\S+\.py)::(\w+)`", document.read_text("utf-8")):
        source = (ROOT / module).read_text(encoding="utf-8")
        assert re.search(rf"^(async )?def {name}\(", source, re.MULTILINE), f"{module}::{name}"


@pytest.mark.parametrize(
    ("name", "heading", "rows_at_least"),
    [
        ("history.md", "## What is promised, and what is not", 20),
        ("sync.md", "## What is promised", 20),
        ("threats.md", "## What could happen", 20),
    ],
)
def test_every_promise_names_its_tests(name: str, heading: str, rows_at_least: int) -> None:
    """No line of these tables stands without a test."""
    text = (ROOT / "assets" / "docs" / name).read_text(encoding="utf-8")
    table = text.partition(heading)[2].partition("\n\n## ")[0]
    rows = [line for line in table.splitlines() if line.startswith("| ")][1:]
    assert len(rows) >= rows_at_least
    assert [row for row in rows if "`tests/" not in row] == []


def test_what_everybody_can_do_and_cannot_names_its_tests() -> None:
    """Stranger, member, lost phone, careless file, evil host and other bench: each row says what is
    out of its reach, and which test shows that."""
    text = (ROOT / "assets" / "docs" / "threats.md").read_text(encoding="utf-8")
    table = text.partition("## Who can do what to a history")[2].partition("\n\n## ")[0]
    rows = [line.split(" | ") for line in table.splitlines() if line.startswith("| ")][1:]
    assert len(rows) >= 6
    assert [row[0] for row in rows if len(row) != 4 or "`tests/" not in row[3]] == []


def test_smaller_jobs_of_a_command_exist() -> None:
    """A `hub revoke` or `history export` inside a sentence is one that the command's help lists."""
    for document in DOCUMENTS:
        for code in code_of(document.read_text(encoding="utf-8")):
            name, _, rest = code.partition(" ")
            if name in COMMANDS and re.match("[a-z]", rest):
                known = import_module(f"logic.cli.{name}").__doc__ or ""
                job = rest.split()[0]
                assert re.search(rf"^({name} )?{job}\b", known, re.MULTILINE), code


def test_the_benchmarks_listed_are_the_benchmarks() -> None:
    """The map lists each benchmark once, and each that it lists is there."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    listed = re.findall(r"^- `((?:bench|trace)_\w+)`", text, re.MULTILINE)
    there = [
        path.stem
        for path in (ROOT / "tests" / "benchmarks").glob("*.py")
        if path.stem.startswith(("bench_", "trace_"))
    ]
    assert sorted(listed) == sorted(there)


def test_the_python_asked_for_is_the_one_that_is_needed() -> None:
    """README, the project's metadata and the set-up name the same oldest Python."""
    oldest = ".".join(map(str, OLDEST_PYTHON))
    assert f"Python {oldest} or newer" in (ROOT / "README.md").read_text(encoding="utf-8")
    assert f'requires-python = ">={oldest}"' in (ROOT / "pyproject.toml").read_text("utf-8")


def test_every_name_in_the_glossary_is_in_the_code() -> None:
    """The third column of the glossary names classes, functions, fields or modules that exist."""
    text = (ROOT / "assets" / "docs" / "glossary.md").read_text(encoding="utf-8")
    rows = [line.split("|")[3] for line in text.splitlines() if line.startswith("| ")]
    named = {name for row in rows for name in re.findall(r"`([^`]+)`", row)}
    sources = "\n".join(path.read_text(encoding="utf-8") for path in trees())
    modules = {name for path in trees() for name in (path.stem, path.parent.name)}
    unknown = [
        name
        for name in sorted(named - modules)
        if not re.search(rf"^\s*(class |def |async def )?{name}\b\s*[(:=]", sources, re.MULTILINE)
    ]
    assert not unknown


def test_every_screen_is_on_the_map() -> None:
    """The map lists each screen of the route table once, with who shows and who draws it."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.partition("## Screens")[2].partition("\n\n")[2].partition("\n\n")[0]
    rows = [
        [re.findall("`([^`]+)`", cell) for cell in line.split("|")[1:-1]]
        for line in table.splitlines()[2:]
    ]
    assert sorted(name for names, *_ in rows for name in names) == sorted(ROUTES)
    for _, (presenter,), (screen,) in rows:
        assert (ROOT / "logic" / "app" / "presenters" / presenter).is_file(), presenter
        assert (ROOT / "mobile" / "screens" / screen).is_file(), screen

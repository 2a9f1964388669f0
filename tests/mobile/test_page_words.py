"""The page's own words come from the catalogues, into each script those that it says."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from logic.languages import languages, load_language
from mobile.publish.build import site_files
from mobile.publish.page_words import PRELUDE, WEB, catalogues, localised, script, sentences
from mobile.publish.uninstall import build_uninstall_site
from tests.browser.harness import PLAIN
from tests.languages.extract import everything_said

SOURCES = sorted(path for path in WEB.rglob("*") if path.suffix in {".html", ".js", ".json"})
UNINSTALL = WEB / "uninstall"
OTHERS = [code for code in languages() if code != "en"]


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    """The site of the plain page, which has the scripts of the app's."""
    return site_files(PLAIN, "./")


def filled_in(published: bytes) -> dict[str, dict[str, str]]:
    """The sentences of every language that a published script brings."""
    found = re.search(r"^const CATALOGUES = (.*);$", published.decode(), re.MULTILINE)
    assert found is not None
    words: dict[str, dict[str, str]] = json.loads(found[1])
    return words


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.relative_to(WEB).as_posix())
def test_the_page_says_literals_that_are_collected(path: Path) -> None:
    """No sentence is put together at run time and then looked up in vain: every call has a literal,
    which is among all that is said and has to be translated."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".js" and path != PRELUDE:
        calls = re.findall(r"(?<!const )\b(?:say|sayAs)\(", text)
        literal = re.findall(r"\b(?:say|sayAs)\(\s*\"", text)
        assert len(calls) == len(literal)
    assert {(text, meaning) for meaning, text in sentences(path)} <= {
        said.key for said in everything_said()
    }


def test_sentences_are_found_however_they_are_written(tmp_path: Path) -> None:
    """Over several lines, with quotes and facts, by meaning; text of a page without its breaks."""
    code = tmp_path / "some.js"
    code.write_text('x(say("One \\"two\\", " +\n  "{three}.", { three }));\nsayAs("a mark", ".");')
    assert sentences(code) == (("", 'One "two", {three}.'), ("a mark", "."))
    page = tmp_path / "some.html"
    page.write_text("<p data-say>One\n   two</p><p>three</p><button id=x data-say>four</button>")
    assert sentences(page) == (("", "One two"), ("", "four"))


def test_a_script_brings_what_it_says_and_no_more(files: dict[str, bytes], tmp_path: Path) -> None:
    """The page's shell speaks for the whole page; workers and the uninstall page for themselves."""
    build_uninstall_site(PLAIN, tmp_path / "site")
    uninstall = (tmp_path / "site" / "tombstone.js").read_bytes()
    scripts = ("shell.js", "kept_copy.js", "bench_io.js", "index.html")
    said = {text for name in scripts for _, text in sentences(WEB / name)}
    page = {
        text for name in ("uninstall.js", "index.html") for _, text in sentences(UNINSTALL / name)
    }
    assert len(said) > 40 and len(page) > 10
    for code in OTHERS:
        assert {key.split("\x04")[-1] for key in filled_in(files["shell.js"])[code]} == said
        assert set(filled_in(uninstall)[code]) == page


def test_words_are_those_of_the_catalogue() -> None:
    """What is put in is what the app would say itself, also where a word needs its meaning."""
    made = catalogues([("", "Later"), ("decimal mark", "."), ("", "nobody ever said this")])
    for code in OTHERS:
        spoken = load_language(code)
        assert made[code]["Later"] == spoken.gettext("Later") != "Later"
        assert "nobody ever said this" not in made[code]
    assert made["de"]["decimal mark\x04."] == ","


def test_no_blank_is_left_in_what_is_published(files: dict[str, bytes]) -> None:
    """Every script is whole, and a worker outside any page speaks too."""
    for name in ("shell.js", "bench_io.js", "python.js", "worker.js"):
        assert b"{{" not in files[name], name
    worker = script(WEB / "sw.js").decode()
    blanks = {"build", "recovery", "files", "earlier"}
    assert set(re.findall(r"\{\{(\w+)\}\}", worker)) == blanks
    assert len(filled_in(worker.encode())["de"]) == len(sentences(WEB / "sw.js")) > 3


def test_the_manifest_has_its_words_in_every_language(files: dict[str, bytes]) -> None:
    """Shortcuts and description stand in English, and beside them as the standard has translations
    (W3C Web Application Manifest, "*_localized members")."""
    manifest = json.loads(files["manifest.json"])
    for shortcut in manifest["shortcuts"]:
        for name in ("name", "description"):
            for code in OTHERS:
                translated = shortcut[f"{name}_localized"][code]
                assert translated == load_language(code).gettext(shortcut[name]) != shortcut[name]
    assert localised({"name": "Nobody translates this"}) == {"name": "Nobody translates this"}

"""A new language is one file: with a made-up third catalogue beside the others, and no line of code
changed, the whole app speaks it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from typing import Any

import pytest
from babel.messages.catalog import Catalog

from logic.languages import language_name, languages
from shared.bootstrap import ROOT
from tests.languages.catalogue import compiled
from tests.languages.extract import everything_said
from tests.languages.pseudo import unsaid

CODE, NAME = "eo", "Invented"
"""A code that no language of ours has, and what this one calls itself."""
OWN = {("en", "language"): CODE, ("English", "language"): NAME, (".", "decimal mark"): "·"}
COPIED = ("shared", "logic", "mobile", "assets")
TRIED = """
import json, sys
from pathlib import Path

from logic.app.commands import commands as do
from logic.languages import chosen_language, load_language
from mobile.parts.theme import Theme
from mobile.start.start_screen import OpeningWait, first_shell
from mobile.publish.build import NUTWRIGHT
from mobile.publish.pack import app_files
from mobile.publish.page_words import WEB, script
from mobile.publish.uninstall import build_uninstall_site
from shared.words import use
from tests.logic.app.apps import fresh_app, walking
from tests.mobile.tree import drawn

code, out = sys.argv[1], Path(sys.argv[2])
theme = Theme(language=code)
use(load_language(chosen_language("", f"{code}-XX")))
first = first_shell("", False, theme, lambda _: None, OpeningWait())
words = {"first screen": drawn(first.view, theme).words()}
app = fresh_app()
app.do(do.SeeSettings())
settings = app.do(do.SetSetting("language", code))
words["settings"] = drawn(settings, theme).words()
words["walk"] = drawn(walking(app), theme).words()
build_uninstall_site(NUTWRIGHT, out)
print(json.dumps({
    "choices": [[one.key, one.label] for one in settings.groups[0][2]],
    "words": words,
    "shipped": [path for path in app_files(NUTWRIGHT) if path.endswith(".mo")],
    "page": script(WEB / "shell.js", also=[WEB / "index.html"]).decode(),
    "worker": script(WEB / "sw.js").decode(),
    "uninstall": (out / "tombstone.js").read_text(encoding="utf-8"),
}))
"""


def third_language() -> bytes:
    """A compiled catalogue in which every sentence stands in brackets."""
    made = Catalog(locale=CODE)
    for said in everything_said():
        ids = (said.text, said.many) if said.many else said.text
        forms = tuple(f"⟦{text}⟧" for text in (said.text, said.many or said.text))
        own = OWN.get(said.key, forms[0])
        made.add(ids, forms if said.many else own, context=said.meant or None)
    return compiled(made)


@pytest.fixture(scope="module")
def tried(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What a copy of the app says that has one catalogue more."""
    root = tmp_path_factory.mktemp("copy")
    for name in COPIED:
        shutil.copytree(ROOT / name, root / name, ignore=shutil.ignore_patterns("__pycache__"))
    (root / "assets" / "languages" / f"{CODE}.mo").write_bytes(third_language())
    done = subprocess.run(
        [sys.executable, "-c", TRIED, CODE, str(root / "uninstall")],
        cwd=root,
        env={**os.environ, "PYTHONPATH": os.pathsep.join((str(root), str(ROOT)))},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def test_it_can_be_chosen_by_its_own_name(tried: dict[str, Any]) -> None:
    """The settings offer it beside the others, and phones get its catalogue."""
    assert [CODE, NAME] in tried["choices"]
    assert len(tried["choices"]) == 1 + len(languages()) + 1  # and "as the device"
    assert f"assets/languages/{CODE}.mo" in tried["shipped"]


def test_every_screen_speaks_it(tried: dict[str, Any]) -> None:
    """Where the device asks for it the first screen is in it, and once chosen all others are."""
    known = (NAME, *map(language_name, languages()), "Nutwright", "thou")
    assert set(tried["words"]) == {"first screen", "settings", "walk"}
    for screen, words in tried["words"].items():
        assert "⟦" in words
        words = words.replace("⟧\n⟦", "⟧ ⟦")
        if screen == "walk":  # the answers are broken into lines
            words = words.replace("\n", " ")
        assert unsaid(words, *known) == (), screen


@pytest.mark.parametrize(
    ("script", "sentence"),
    [
        ("page", "Laying out the bench…"),
        ("page", "Use it now"),
        ("worker", "The app is not on this device"),
        ("uninstall", "Hand out a copy of everything"),
    ],
)
def test_the_page_speaks_it(script: str, sentence: str, tried: dict[str, Any]) -> None:
    """The page, its worker and the page that takes the app away bring its words with them."""
    found = re.search(r"^const CATALOGUES = (.*);$", tried[script], re.MULTILINE)
    assert found is not None
    words = json.loads(found[1])
    assert set(words) == {*languages(), CODE} - {"en"}
    assert words[CODE][sentence] == f"⟦{sentence}⟧"

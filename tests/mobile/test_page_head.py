"""What the page asks for before anything runs, and what it shows until then."""

from __future__ import annotations

import json
import re

import pytest

from mobile.publish.build import site_files
from tests.browser.harness import PLAIN

pytestmark = pytest.mark.builds


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    """The site of the plain page, which has the same head as the app's."""
    return site_files(PLAIN, "./")


def test_nothing_holds_up_the_first_paint(files: dict[str, bytes]) -> None:
    """Scripts wait for the page and not the page for them: on a slow line the name and the line of
    progress stand there as soon as the page itself is here."""
    scripts = re.findall(r"<script src=[^>]+>", files["index.html"].decode())
    assert len(scripts) >= 4
    assert all(" defer>" in script or " async>" in script for script in scripts), scripts


def test_type_is_asked_for_before_the_drawing_engine_asks(files: dict[str, bytes]) -> None:
    """Every font that the engine will want, and its list of them, as it will ask for them; behind
    the scripts, which are waited for first."""
    page = files["index.html"].decode()
    early = re.findall(r'<link rel="preload" as="fetch" crossorigin href="([^"]+)">', page)
    families = json.loads(files["assets/FontManifest.json"])
    fonts = {f"assets/{font['asset']}" for family in families for font in family["fonts"]}
    assert set(early) == fonts | {"assets/FontManifest.json"}
    assert set(early) <= set(files)
    assert page.index("flutter_bootstrap.js") < page.index('as="fetch"')


def test_what_is_asked_for_early_is_there(files: dict[str, bytes]) -> None:
    """No link in the head leads nowhere."""
    page = files["index.html"].decode()
    named = re.findall(r'<link [^>]*href="([^"]+)"', page) + re.findall(r'src="([^"]+)"', page)
    assert {name for name in named if name not in files} == set()

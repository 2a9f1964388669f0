"""Every screen says all its words through the catalogue, and says them anew in another language."""

from __future__ import annotations

import re
from dataclasses import replace

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.languages import chosen_language, language_name, languages, load_language
from mobile.device.voice import aloud
from mobile.parts.text_metrics import em
from mobile.parts.theme import Theme
from mobile.shell import theme_from
from shared.readings import Contact
from shared.words import Catalogue, English, speaking
from tests.languages.extract import everything_said
from tests.languages.pseudo import Pseudo, unsaid
from tests.logic.app.apps import fresh_app, walking
from tests.mobile.instrument_scenes import instrument_scenes
from tests.mobile.keeping_scenes import keeping_scenes
from tests.mobile.label_scenes import ADDRESS as LABEL_ADDRESS
from tests.mobile.label_scenes import HANDED_OUT
from tests.mobile.scenes import scenes
from tests.mobile.tree import drawn
from tests.mobile.visit_scenes import DUE, LIKES, NEVER, visit_scenes

SAME_IN_ALL = ("Nutwright", "thou", *map(language_name, languages()))
"""Our name, a unit of the trade, and what languages call themselves."""
GIVEN = (
    "Blue hollow body, the one with the long neck and a patched top",
    "Blue hollow body",
    "Alder Row Strings",
    "Bench phone",
    "https://bench.example:8443",
    "http://127.0.0.1:8765/",
    LABEL_ADDRESS,
    HANDED_OUT,
    "The last entry was cut short.",
    "No file was chosen.",
    "Records are in",
    "private files",
    "Room granted",
    "String 6: 20 + 10 thou",
    *(LIKES, NEVER, DUE),
)
"""Names that people gave, an address, and words that the scenes put in from outside the app."""
_ID = re.compile(r"\b[bd][0-9a-z]{17}\b|\b(?:[0-9a-f]{4} ){3}[0-9a-f]{4}\b")
"""Names of histories and devices, and a digest."""


def made_in(language: Catalogue) -> dict[str, views.View]:
    """Every scene, made by an app that speaks `language`."""
    remembered = (scenes, instrument_scenes, keeping_scenes, visit_scenes)
    try:
        with speaking(language):
            for each in remembered:
                each.cache_clear()
            return scenes()
    finally:
        for each in remembered:
            each.cache_clear()


@pytest.fixture(scope="module")
def bracketed() -> dict[str, views.View]:
    """Every scene in the bracketed language."""
    return made_in(Pseudo())


@pytest.fixture(scope="module")
def in_german() -> dict[str, views.View]:
    """Every scene in German."""
    return made_in(load_language("de"))


@pytest.mark.parametrize("scene", sorted(set(scenes()) - {"trouble"}))
def test_no_word_is_forgotten(scene: str, bracketed: dict[str, views.View]) -> None:
    """Whatever is read or told on a screen went through the catalogue; names of people and things
    did not."""
    with speaking(Pseudo()):
        told = drawn(bracketed[scene], Theme()).words()
    told = _ID.sub("", told).replace("⟧\n⟦", "⟧ ⟦")
    for name in GIVEN:
        told = told.replace(name, "")
    if scene.startswith("walk"):  # the answers are broken into lines
        told = told.replace("\n", " ")
    assert unsaid(told, *SAME_IN_ALL) == ()


def test_nothing_is_said_that_no_catalogue_holds() -> None:
    """No sentence of a screen is put together at run time and then looked up in vain; figures and
    units are the same in every language."""
    spoken = Pseudo()
    with speaking(spoken):
        for view in made_in(spoken).values():
            drawn(view, Theme()).words()
    listed = {each.key for each in everything_said()}
    vain = {sentence for sentence, meant in spoken.said - listed if any(map(str.isalpha, sentence))}
    assert vain <= {"mm", "thou", "in"}


@pytest.mark.parametrize("theme", [Theme(width=390, height=844), Theme(width=320, height=568)])
@pytest.mark.parametrize("scene", ["walk", "walk by ear", "plan", "cut", "settings", "home"])
def test_german_fits_where_english_does(
    scene: str, theme: Theme, in_german: dict[str, views.View]
) -> None:
    """Words that must stand on one line do, in the size that they are set in."""
    with speaking(load_language("de")):
        screen = drawn(in_german[scene], replace(theme, language="de"))
        for each in screen.all(ft.Text):
            if each.no_wrap and each.size:
                lines = str(each.value).split("\n")
                closer = -(each.style.letter_spacing or 0) / each.size if each.style else 0
                assert max(em(line, closer) for line in lines) * each.size <= theme.width


def test_a_switch_is_heard_at_once_everywhere() -> None:
    """German from the touch on, in figures too, and what was worked out before is said anew; the
    way back is as short."""
    app = fresh_app()
    with speaking(English()):
        walking(app)
        before = app.do(do.Feel(Contact.NONE))
        app.do(do.SeeSettings())
        settings = app.do(do.SetSetting("language", "de"))
        assert isinstance(settings, views.SettingsView) and settings.groups[0][1] == "Sprache"
        theme = theme_from(app.settings, Theme())
        assert (theme.language, theme.decimal) == ("de", ",")
        german = app.do(do.Back())
        assert isinstance(german, views.WalkView) and german.place.startswith("Saite 6 von 6")
        assert "kein Kontakt" in german.trail[-1] and german.gauge.startswith(".046")
        assert aloud("0,51 mm") == "0,51 Millimeter"
        app.do(do.SetSetting("mark", "."))
        assert app.view().gauge.startswith(".")  # type: ignore[union-attr]
        app.do(do.SetSetting("language", "en"))
        english = app.view()
        assert isinstance(english, views.WalkView) and isinstance(before, views.WalkView)
        assert (english.trail, english.place) == (before.trail, before.place)


@pytest.mark.parametrize(
    ("chosen", "device", "spoken"),
    [("device", "de-CH", "de"), ("device", "fr", "en"), ("en", "de", "en"), ("de", "en", "de")],
)
def test_the_device_is_followed_until_a_language_is_chosen(
    chosen: str, device: str, spoken: str
) -> None:
    """Its language where it ships, else English; a choice goes before."""
    assert chosen_language(chosen, device) == spoken

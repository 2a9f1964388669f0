"""The hand-over and the settings: what is written stands on the sheets, and is in reach."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.languages import load_language
from mobile.parts.text_metrics import em
from mobile.parts.theme import TAP, Theme
from shared.job import LONGEST_NOTE
from shared.words import speaking
from tests.logic.app.apps import DiscApp, fresh_app
from tests.logic.app.test_one_truth import first_visit, second_visit
from tests.mobile.tree import Drawn, drawn, walk

LOOKS = [
    Theme(width=width, height=height, scale=scale, language=language)
    for (width, height), scale, language in product(
        ((390, 844), (844, 390), (320, 568)), (1.0, 2.0), ("en", "de")
    )
]
every_look = pytest.mark.parametrize(
    "theme",
    LOOKS,
    ids=lambda look: f"{look.width:.0f}x{look.height:.0f} at {look.scale:.0%} {look.language}",
)


def line(screen: Drawn, label: str) -> ft.TextField:
    """The line to write in that has this name."""
    fields = (each for each in walk(screen.root) if isinstance(each, ft.TextField))
    return next(each for each in fields if each.label == label)


def handed_over(app: DiscApp) -> views.HandOverView:
    """The owner's sheet of a visit with all sorts of work."""
    second_visit(app, 6)
    view = app.do(do.SeeSheet())
    assert isinstance(view, views.HandOverView)
    return view


@pytest.fixture(scope="module")
def sheet() -> views.HandOverView:
    """Made once, in English: nothing in it is changed by drawing it."""
    return handed_over(first_visit("electric guitar"))


@every_look
def test_a_note_can_be_written_at_the_hand_over(sheet: views.HandOverView, theme: Theme) -> None:
    """The line shows what was written before; what stands in it is kept with a touch."""
    with speaking(load_language(theme.language)):
        screen = drawn(replace(sheet, written="Fret 9 is worn"), theme)
        label = "Notiz auf beiden Protokollen" if theme.language == "de" else "Note on both sheets"
        field = line(screen, label)
        assert (field.value, field.max_length) == ("Fret 9 is worn", LONGEST_NOTE)
        assert field.width is not None and field.width <= theme.width
        field.value = "Fret 9 is worn; new strings"
        assert screen.sends("save-note") == [do.WriteNote("Fret 9 is worn; new strings")]


@every_look
def test_every_button_of_the_hand_over_can_be_hit_and_read(
    sheet: views.HandOverView, theme: Theme
) -> None:
    """Each is as high as a thumb needs, and no word in it is longer than the screen is wide."""
    with speaking(load_language(theme.language)):
        screen = drawn(sheet, theme)
        marks = screen.marks()
        assert {"sheet-owner", "sheet-bench", "save-note", "share-text", "share-a4"} <= set(marks)
        for button in screen.buttons():
            for text in walk(button):
                if isinstance(text, ft.Text) and text.size:
                    widest = max(map(em, str(text.value).split()), default=0.0)
                    assert widest * text.size <= theme.width
            heights = [each.height for each in walk(button) if getattr(each, "height", None)]
            assert not heights or max(heights) >= TAP * 0.8


@every_look
def test_workshop_and_technician_are_a_line_each(theme: Theme) -> None:
    """What was kept stands in its line; what is written is kept under its own name."""
    app = fresh_app()
    app.do(do.SetSetting("workshop", "Alder Row Strings"))
    view = app.do(do.SeeSettings())
    assert isinstance(view, views.SettingsView)
    with speaking(load_language(theme.language)):
        screen = drawn(view, theme)
        workshop, technician = (
            ("Werkstatt", "Ausgeführt von")
            if theme.language == "de"
            else ("Workshop", "Technician")
        )
        assert line(screen, workshop).value == "Alder Row Strings"
        field = line(screen, technician)
        assert field.value == "" and field.width is not None and field.width <= theme.width
        field.value = "Ada Kern"
        assert screen.sends("save-technician") == [do.SetSetting("technician", "Ada Kern")]


def test_names_and_note_reach_both_sheets() -> None:
    """Written on the two screens, they stand on the sheets, and the note outlives a restart of the
    screen."""
    app = first_visit("electric guitar")
    handed_over(app)
    app.do(do.SetSetting("workshop", "Alder Row Strings"))
    app.do(do.SetSetting("technician", " Ada Kern "))
    for bench in (False, True):
        app.do(do.WriteNote("Fret 9 is worn\n"))
        view = app.do(do.SeeSheet(bench))
        assert isinstance(view, views.HandOverView)
        assert view.subtitle.startswith("Alder Row Strings · Ada Kern · ")
        assert view.written == "Fret 9 is worn"
        (note,) = (part.lines for part in view.sections if part.heading == "Note")
        assert note == ("Fret 9 is worn",)


def test_the_same_note_is_not_recorded_twice() -> None:
    """Only what is another note than before is an entry; an empty one takes it off the sheets."""
    app = first_visit("electric guitar")
    handed_over(app)
    app.do(do.WriteNote("Fret 9 is worn"))
    before = dict(app.history.vector)
    app.do(do.WriteNote("Fret 9 is worn "))
    assert app.history.vector == before
    view = app.do(do.WriteNote(""))
    assert isinstance(view, views.HandOverView) and view.written == ""
    assert all(part.heading != "Note" for part in view.sections)

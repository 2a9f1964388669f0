"""The instruments on screen: found, shown, changed and taken in again, by touch alone."""

from __future__ import annotations

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands.label_commands import ScanLabel, SeeFindLabel, SeeLabels, ShareLabels
from logic.app.presenters.targets import TARGET
from logic.app.views import views
from mobile.parts.theme import Theme
from shared.instrument import Attack, Make, NutType
from tests.mobile.instrument_scenes import instrument_scenes
from tests.mobile.tree import Drawn, drawn, walk

PHONE, SIDEWAYS = Theme(), Theme(width=844, height=390)
Touches = dict[str, do.Command]
TOUCHES: dict[str, Touches] = {
    "no instruments": {"back": do.GoHome()},
    "instruments": {
        "back": do.GoHome(),
        "several": ido.ChooseSeveral(True),
        "labels": SeeLabels(),
        "find-label": SeeFindLabel(),
        "later": ido.TurnPage(1),
    },
    "choosing": {
        "several": ido.ChooseSeveral(False),
        "labels": SeeLabels(),
        "check-rack": ido.CheckRack(),
    },
    "labels of all": {
        "back": do.Back(),
        "labels-A4": ShareLabels("A4"),
        "labels-Letter": ShareLabels("Letter"),
    },
    "find by label with a reader": {"back": do.Back(), "scan": ScanLabel()},
    "unknown label": {
        "back": do.Back(),
        "find-label": SeeFindLabel(),
        "records": do.SeeRecords(),
        "instruments": ido.SeeInstruments(),
    },
    "rack begun": {"next": ido.NextInRack()},
    "instrument": {
        "back": do.Back(),
        "new-job": ido.NewJobOn("name-2"),
        "quick-check": ido.QuickCheck("name-2"),
        "name": ido.SeeName(),
        "strings": ido.SeeStrings(),
        "nut": ido.SeeNut(),
        "targets": do.SeeTargets(),
        "duplicate": ido.Duplicate(),
        "job-name-1": do.OpenJob("name-1"),
    },
    "strings of one": {
        "back": do.Back(),
        "undo": do.Undo(),
        "point-all": ido.SeeStrings(None),
        "point-6": ido.SeeStrings(6),
        "less-pitch": ido.StepPitch(-1),
        "more-gauge": ido.StepGauge(1),
        "make-flatwound": ido.SetMake(Make.FLATWOUND),
        "set-9 to 42": ido.PutOnSet("9 to 42"),
        "tuning-Drop D": ido.Retune("Drop D"),
    },
    "targets of one": {
        "back": do.Back(),
        "undo": do.Undo(),
        "point-all": do.SeeTargets(None),
        "point-6": do.SeeTargets(6),
        "less-target": do.SetTarget(-1),
        "more-target": do.SetTarget(1),
        "type": do.TypeNumber(TARGET),
        "attack-heavy": do.SetAttack(Attack.HEAVY),
        "target-1": do.SeeTargets(1),
    },
    "own target": {"tables": do.TablesTarget()},
    "nut": {
        "back": do.Back(),
        "nut-zero fret": ido.SetNutType(NutType.ZERO_FRET),
        "material-brass": ido.SetNutMaterial("brass"),
    },
}


@pytest.mark.parametrize("theme", [PHONE, SIDEWAYS], ids=["upright", "on its side"])
@pytest.mark.parametrize("scene", TOUCHES)
def test_each_touch_sends_its_command(scene: str, theme: Theme) -> None:
    """The buttons of each page do what they say, upright and on their side."""
    screen = drawn(instrument_scenes()[scene], theme)
    for mark, command in TOUCHES[scene].items():
        assert screen.sends(mark) == [command]


@pytest.mark.parametrize(
    ("scene", "command"),
    [("instruments", ido.SeeInstrument), ("choosing", ido.ChooseInstrument)],
)
def test_every_line_stands_for_its_own_instrument(
    scene: str, command: type[ido.SeeInstrument] | type[ido.ChooseInstrument]
) -> None:
    """A line opens the instrument that it names, or while choosing takes it."""
    view = instrument_scenes()[scene]
    assert isinstance(view, views.InstrumentsView) and view.lines
    screen = drawn(view, PHONE)
    for line in view.lines:
        assert screen.sends(f"instrument-{line.instrument}") == [command(line.instrument)]


def test_a_page_of_the_list_is_drawn_however_many_there_are() -> None:
    """Forty-one instruments are on record; the list draws twenty rows."""
    view = instrument_scenes()["instruments"]
    assert isinstance(view, views.InstrumentsView)
    rows = [mark for mark in drawn(view, PHONE).marks() if mark.startswith("instrument-")]
    assert (len(rows), view.count) == (20, "1 to 20 of 41")


def fields_of(screen: Drawn) -> list[ft.TextField]:
    """Where something can be written."""
    return [each for each in walk(screen.root) if isinstance(each, ft.TextField)]


def write(field: ft.TextField, text: str) -> None:
    """What a keyboard does to a field."""
    field.value = text
    if field.on_change is not None:
        event = ft.Event(name="change", control=field)
        field.on_change(event)  # type: ignore[call-arg]


def test_what_is_written_finds_as_it_is_written() -> None:
    """Each letter narrows the list; the field itself is not made anew under the fingers."""
    screen = drawn(instrument_scenes()["instruments"], PHONE)
    (field,) = fields_of(screen)
    for text in ("b", "bl", "blu"):
        write(field, text)
    assert screen.sent == [ido.FindInstruments(text) for text in ("b", "bl", "blu")]
    assert fields_of(screen) == [field]


def test_a_name_is_handed_in_with_what_was_written() -> None:
    """Save hands in label and owner's tag as they stand in their fields, Enter does the same."""
    screen = drawn(instrument_scenes()["name"], PHONE)
    label, owner = fields_of(screen)
    write(label, "Green one")
    write(owner, "B. S.")
    assert screen.sends("save-name") == [ido.SaveName("Green one", "B. S.")]
    screen.sent.clear()
    owner.on_submit(ft.Event(name="submit", control=owner))  # type: ignore[call-arg,misc]
    assert screen.sent == [ido.SaveName("Green one", "B. S.")]


def test_a_trend_is_said_as_well_as_drawn() -> None:
    """Each trend drawing has a name for a screen reader that holds its course in words."""
    view = instrument_scenes()["instrument"]
    assert isinstance(view, views.InstrumentView) and len(view.trends) == 6
    images = [each for each in drawn(view, PHONE).all(ft.Semantics) if each.image]
    for trend, image in zip(view.trends, images, strict=True):
        assert trend.said in str(image.label)
    assert view.trends[3].said.startswith("down ")


def test_every_string_on_record_is_read_out_whole() -> None:
    """A screen reader hears of each string its gauge, its clearance and its target in one go."""
    view = instrument_scenes()["instrument"]
    assert isinstance(view, views.InstrumentView)
    said = [str(each.label) for each in drawn(view, PHONE).all(ft.Semantics) if each.label]
    for line in view.strings:
        (only,) = [label for label in said if label.startswith(f"String {line.name}, ")]
        assert line.spec in only and line.known in only and line.target in only


def test_no_quick_check_is_offered_where_nothing_is_on_record() -> None:
    """An instrument that nobody measured says what is missing instead."""
    app_view = instrument_scenes()["instrument after one job"]
    assert isinstance(app_view, views.InstrumentView) and app_view.checks
    bare = drawn(views.InstrumentView("x", "X", "", (), (), (), (), 0, False), PHONE)
    assert "quick-check" not in bare.marks() and "new-job" in bare.marks()
    assert "needs one job" in bare.words()


@pytest.mark.parametrize("theme", [PHONE, SIDEWAYS], ids=["upright", "on its side"])
def test_an_own_target_is_marked_in_words_beside_the_tables(theme: Theme) -> None:
    """The own one says whose it is, the table's stands below with the uncertainty of its window,
    and only where there is an own one is there a touch back to the table's."""
    own, tables = instrument_scenes()["own target"], instrument_scenes()["targets of one"]
    assert isinstance(own, views.TargetsView) and isinstance(tables, views.TargetsView)
    shown, before = drawn(own, theme), drawn(tables, theme)
    texts = {str(each.value) for each in shown.all(ft.Text)}
    assert {own.target, own.whose, own.tables, *own.notes} <= texts
    assert own.whose == "Own target" and own.notes[0].startswith("Own target of this player")
    assert "±" in own.tables
    assert "tables" in shown.marks() and "tables" not in before.marks()


def test_the_page_of_the_instrument_says_which_target_is_own() -> None:
    """In its row and to a screen reader; the others stand without the word."""
    view = instrument_scenes()["instrument with an own target"]
    assert isinstance(view, views.InstrumentView)
    labels = [str(each.label) for each in drawn(view, PHONE).all(ft.Semantics) if each.label]
    own = [label for label in labels if "target own " in label]
    assert len(own) == 1 and own[0].startswith("String 3, ")

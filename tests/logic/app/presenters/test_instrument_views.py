"""The pages of an instrument, field by field, and the pages of a check and of erasing."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.presenters.instrument_pages import name_view, nut_view, strings_view
from logic.app.presenters.instruments import ends_mm
from logic.app.views import views
from logic.app.views.instrument_views import StringFields
from logic.app.wording.wording import Wording
from logic.bench.instrument.restringing import offered
from logic.bench.visits.quick_check import KnownClearance
from logic.jobfiles.reading import kinds
from logic.testing import TRADE, instrument
from shared.events import Kind
from shared.instrument import NutType
from shared.readings import Contact
from shared.units import Unit
from tests.logic.app.apps import DiscApp, kinds_recorded, measured_at
from tests.logic.app.commands.test_commands import chosen
from tests.logic.app.presenters.test_instruments import measured

TRUTH = {6: 0.55, 5: 0.5, 4: 0.48, 3: 0.45, 2: 0.42, 1: 0.4}
KINDS = kinds(TRADE)


def on_record() -> DiscApp:
    """A guitar that was measured once, its page shown."""
    app = measured_at(TRUTH)
    app.do(do.CloseJob())
    app.do(ido.SeeInstrument("name-2"))
    return app


def page(app: DiscApp) -> views.InstrumentView:
    """The page of the one instrument."""
    shown = app.do(ido.SeeInstrument("name-2"))
    assert isinstance(shown, views.InstrumentView)
    return shown


# --- one instrument ---


def test_the_page_says_of_each_string_what_it_is_and_where_it_stood() -> None:
    """Pitch, gauge and make; the last known clearance with its interval; the target."""
    strings = page(on_record()).strings
    assert [each.string for each in strings] == [6, 5, 4, 3, 2, 1]
    assert strings[1] == StringFields(
        string=5,
        name="5",
        spec="A2 · .036 · wound steel",
        known="20 thou (19 to 21)",
        target="20 thou",
    )


def test_the_page_of_an_instrument_measured_once_has_one_job_and_no_trend() -> None:
    """Two jobs make a trend; one is where it stood."""
    shown = page(on_record())
    assert (shown.title, shown.about) == ("Electric guitar", "Electric guitar")
    assert [name for name, _ in shown.facts] == ["Scale", "Frets", "Nut", "Last seen", "Played"]
    assert len(shown.past) == 1 and shown.past[0].state == "" and shown.more_past == 0
    assert shown.trends == () and shown.checks
    assert (shown.changes, shown.erasing) == (0, False)


@pytest.mark.parametrize(
    ("unit", "known"),
    [
        ("thou", "20 thou (19 to 21)"),
        ("in", "0.020 in (0.019 to 0.021)"),
        ("mm", "0.51 mm (0.48 to 0.54)"),
    ],
)
def test_what_is_known_is_said_in_the_unit_of_the_bench(unit: str, known: str) -> None:
    """The same clearance with its interval, three ways."""
    app = on_record()
    app.do(do.SetSetting("unit", unit))
    assert page(app).strings[1].known == known


@pytest.mark.parametrize(
    ("clearance_mm", "sd_mm", "ends"),
    [(0.5, 0.01, (0.4804, 0.5196)), (0.01, 0.02, (0.0, 0.0492)), (0.0, 0.0, (0.0, 0.0))],
)
def test_a_clearance_on_record_reaches_two_deviations_and_never_below_the_crown(
    clearance_mm: float, sd_mm: float, ends: tuple[float, float]
) -> None:
    """1.96 standard deviations to each side (95 % of a normal distribution), cut off at nought."""
    known = KnownClearance(clearance_mm, sd_mm)
    assert ends_mm(known) == pytest.approx(ends)


@pytest.mark.parametrize("kind", KINDS)
def test_usual_sets_and_tunings_fit_the_instrument_they_are_offered_for(kind: str) -> None:
    """Each kind: what it came with is chosen where it is among them, and never two at once."""
    made = instrument(kind)
    shown = strings_view("i", made, None, Wording(), TRADE)
    usual = offered(made, TRADE)
    assert [c.key for c in shown.sets] == [each.name for each in usual.sets]
    assert [c.key for c in shown.tunings] == [each.name for each in usual.tunings]
    assert len(chosen(shown.sets)) <= 1 and len(chosen(shown.tunings)) <= 1
    assert shown.place == "All strings" and not any(mark.here for mark in shown.marks)
    assert len(shown.pitch.split()) == len(made.strings)


def test_one_string_at_hand_is_shown_alone() -> None:
    """Its pitch, gauge and make, its place lit in the row."""
    shown = strings_view("i", instrument(), 3, Wording(), TRADE)
    assert (shown.place, shown.pitch, shown.gauge) == ("String 3", "G3", ".017")
    assert chosen(shown.makes) == ["plain steel"]
    assert [mark.string for mark in shown.marks if mark.here] == [3]


@pytest.mark.parametrize(
    ("unit", "gauge"), [(Unit.THOU, ".046 to .010"), (Unit.MM, ".046 to .010")]
)
def test_all_strings_are_said_from_the_thickest_to_the_thinnest(unit: Unit, gauge: str) -> None:
    """As the trade names a set; of several makes none is chosen."""
    shown = strings_view("i", instrument(), None, Wording(unit), TRADE)
    assert shown.gauge == gauge and chosen(shown.makes) == []


@pytest.mark.parametrize("nut", list(NutType))
def test_the_page_of_the_nut_has_every_kind_and_chooses_its_own(nut: NutType) -> None:
    """And every material of the table, beside one that only this instrument has."""
    made = instrument()
    other = made.nut.model_copy(update={"type": nut, "material": "walrus"})
    shown = nut_view("i", made.model_copy(update={"nut": other}), TRADE)
    assert [c.key for c in shown.types] == [each.value for each in NutType]
    assert chosen(shown.types) == [nut.value] and chosen(shown.materials) == ["walrus"]


def test_a_name_is_written_beside_its_owner() -> None:
    """What is on record, to be changed; without a label the kind is the title."""
    bare = name_view("i", instrument())
    assert (bare.title, bare.label, bare.owner) == ("Electric guitar", "", "")
    named = instrument().model_copy(update={"label": "Old blue", "owner": "Marlow"})
    shown = name_view("i", named)
    assert (shown.title, shown.label, shown.owner) == ("Old blue", "Old blue", "Marlow")


@pytest.mark.parametrize(
    ("label", "owner", "kept"),
    [
        ("  Old   blue ", "", ("Old blue", "")),
        ("x" * 200, "y" * 200, ("x" * 120, "y" * 120)),
        ("Old\nblue", "Mar\tlow", ("Old blue", "Mar low")),
    ],
)
def test_a_name_is_kept_tidy(label: str, owner: str, kept: tuple[str, str]) -> None:
    """One space between words, no lines, and no longer than a screen can show."""
    app = on_record()
    app.do(ido.SeeName())
    app.do(ido.SaveName(label, owner))
    found = app.history.instrument("name-2")
    assert found is not None and (found.value.label, found.value.owner) == kept


# --- a quick check ---


def test_a_check_asks_one_leaf_of_each_string_and_says_where_it_stood() -> None:
    """Explained on the first string; from the second on, where it stood is said."""
    app = on_record()
    shown = app.do(ido.QuickCheck("name-2"))
    assert isinstance(shown, views.CheckView)
    assert (shown.string, shown.estimate, shown.rack, shown.saved) == (6, "", "", "")
    assert shown.title == "Electric guitar" and shown.trail == ("Electric guitar",)
    second = app.do(do.Feel(Contact.LIGHT))
    assert isinstance(second, views.CheckView)
    assert second.string == 5 and second.estimate == "Stood at 20 thou (19 to 21)"
    assert second.saved.startswith("Saved: string 6,")


def test_a_check_of_which_every_string_was_skipped_found_nothing() -> None:
    """It says so, asks for nothing tonight, and is closed as a check of nothing."""
    app = on_record()
    shown = app.do(ido.QuickCheck("name-2"))
    while isinstance(shown, views.CheckView):
        shown = app.do(ido.SkipString())
    assert isinstance(shown, views.CheckedView)
    assert (shown.headline, shown.still, shown.note) == ("Nothing was checked", False, "")
    assert (shown.strings, shown.tonight, shown.rest) == ((), (), 6)
    assert shown.left_out == ("Skipped: every string",)
    closed = [each for each in app.history.events_after({}) if each.kind == Kind.JOB_CLOSED]
    assert closed[-1].body["reason"] == "nothing was checked"


@pytest.mark.parametrize(("contact", "first"), [(Contact.HEAVY, 1), (Contact.NONE, 6)])
def test_a_string_that_dropped_stands_first_among_what_was_found(
    contact: Contact, first: int
) -> None:
    """Five as they were and string 1 lower: it is named before the others. One leaf that goes
    through freely does not tell that a string rose."""
    app = on_record()
    app.do(ido.QuickCheck("name-2"))
    for _ in range(5):
        app.do(do.Feel(Contact.LIGHT))
    shown = app.do(do.Feel(contact))
    assert isinstance(shown, views.CheckedView)
    assert shown.strings[0].string == first and len(shown.strings) == 6
    assert shown.still is (contact is Contact.NONE)
    assert all(each.said for each in shown.strings)


# --- erasing ---


def test_what_can_be_erased_is_listed_from_the_whole_to_the_part() -> None:
    """The instrument with its jobs, all of its owner, each job; how long it can be kept after
    all."""
    app = on_record()
    app.do(ido.SeeName())
    app.do(ido.SaveName("Old blue", "Marlow"))
    shown = app.do(kdo.SeeErasure())
    assert isinstance(shown, views.ErasureView)
    assert [choice.key for choice in shown.choices] == [
        *("instrument name-2", "owner Marlow", "job name-1")
    ]
    assert shown.choices[1].detail == "1 instrument" and shown.promised == ()
    assert shown.title == "Old blue" and "days" in shown.about[0]


@pytest.mark.parametrize(
    ("what", "name", "first"),
    [
        ("job", "name-1", "The job of "),
        ("instrument", "name-2", "Electric guitar, with all its jobs"),
        ("owner", "Marlow", "0 instruments of Marlow"),
    ],
)
def test_before_erasing_it_is_said_what_goes_and_what_stays(
    what: str, name: str, first: str
) -> None:
    """Five lines, what stays of the entries and the copies out of reach among them; asking records
    nothing."""
    app = on_record()
    app.do(kdo.SeeErasure())
    before = len(list(app.history.events_after({})))
    shown = app.do(kdo.AskErase(what, name))
    assert isinstance(shown, views.SureView)
    assert (shown.does, shown.yes, len(shown.lines)) == ("erase", "Erase", 5)
    assert shown.lines[0].startswith(first)
    assert len(list(app.history.events_after({}))) == before


def test_a_promise_is_listed_and_can_be_taken_back_once() -> None:
    """Promised, listed with its day, kept after all: nothing is promised any more."""
    app = on_record()
    app.do(kdo.SeeErasure())
    app.do(kdo.AskErase("job", "name-1"))
    assert kinds_recorded(app, kdo.Erase()) == [Kind.CONTENT_ERASED]
    listed = app.view()
    assert isinstance(listed, views.ErasureView)
    ((promise),) = listed.promised
    assert promise.detail.startswith("gone on ") and page(app).erasing
    app.do(kdo.SeeErasure())
    assert kinds_recorded(app, kdo.KeepAfterAll(promise.key)) == [Kind.UNDONE]
    after = app.view()
    assert isinstance(after, views.ErasureView) and after.promised == ()


def test_erasing_what_nobody_asked_about_erases_nothing() -> None:
    """The button of a page that is gone, or touched twice."""
    app = on_record()
    assert kinds_recorded(app, kdo.Erase()) == []
    app.do(kdo.SeeErasure())
    app.do(kdo.AskErase("job", "name-1"))
    app.do(kdo.Erase())
    assert kinds_recorded(app, kdo.Erase()) == []


def test_a_number_that_nothing_asks_for_is_not_kept() -> None:
    """The key of the pad touched twice: the first puts the pad away, the second does nothing."""
    app = measured_at(TRUTH)
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    assert kinds_recorded(app, do.NumberTyped("0.5 mm")) == [Kind.READING_TAKEN]
    assert kinds_recorded(app, do.NumberTyped("0.5 mm")) == []


def test_a_gauge_and_pitch_that_cannot_be_are_questioned_where_they_are_stepped() -> None:
    """The usual strings are in no doubt; the first string ten times as thick pulls what none does,
    which is said at that string and at all, and no more once it is put right."""
    app, name, _ = measured()
    app.do(ido.SeeInstrument(name))
    shown = app.do(ido.SeeStrings(1))
    assert isinstance(shown, views.StringsView) and shown.doubts == ()
    shown = app.do(ido.StepGauge(70))
    assert isinstance(shown, views.StringsView)
    (doubt,) = shown.doubts
    assert doubt.startswith("String 1 would ") and doubt.endswith("are gauge and pitch right?")
    for string, doubts in ((None, (doubt,)), (6, ())):
        shown = app.do(ido.SeeStrings(string))
        assert isinstance(shown, views.StringsView) and shown.doubts == doubts
    app.do(ido.SeeStrings(1))
    shown = app.do(ido.StepGauge(-70))
    assert isinstance(shown, views.StringsView) and shown.doubts == ()


def test_of_many_strings_in_doubt_it_is_said_how_many() -> None:
    """All tuned two octaves up: two are named, of the others it is said how many."""
    app, name, _ = measured()
    app.do(ido.SeeInstrument(name))
    app.do(ido.SeeStrings(None))
    shown = app.do(ido.StepPitch(24))
    assert isinstance(shown, views.StringsView)
    assert len(shown.doubts) == 3 and shown.doubts[-1] == "and 4 strings more"

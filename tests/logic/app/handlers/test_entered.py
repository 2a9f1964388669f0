"""The instrument can be entered whole in its visit: kept there, and with the instrument."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.views import views
from logic.bench.instrument.plausibility import range_of
from logic.testing import TRADE
from shared.events import Kind
from shared.instrument import Instrument, Make, NutType
from shared.units import Length, LengthOf
from shared.work import WorkKind
from tests.logic.app.apps import (
    DiscApp,
    fresh_app,
    kinds_recorded,
    measured_at,
    open_document,
    restarted,
    start,
    walking,
)

INSTRUMENT = "name-2"


def at_intake(kind: str = "electric guitar") -> DiscApp:
    """A job on this kind, taken in."""
    app = fresh_app()
    start(app, kind)
    return app


def of_job(app: DiscApp) -> Instrument:
    """The instrument as the visit has it."""
    return open_document(app).instrument


def on_record(app: DiscApp) -> Instrument:
    """The instrument as its own page has it."""
    found = app.history.instrument(INSTRUMENT)
    assert found is not None
    return found.value


def typed(app: DiscApp, kind: str, text: str) -> views.View:
    """What is shown once this was typed on the pad that was asked for."""
    app.do(do.TypeNumber(kind))
    return app.do(do.NumberTyped(text))


def rows(shown: views.View) -> dict[str, str]:
    """What stands in the rows of an intake, by key."""
    assert isinstance(shown, views.IntakeView)
    return {row.key: row.value for row in shown.facts}


def test_a_scale_is_typed_at_the_intake_and_stays_with_the_instrument() -> None:
    """In the unit it was measured in; the visit, the instrument's page and the row agree, and an
    undo takes it back from both."""
    app = at_intake()
    before = rows(app.view())
    shown = typed(app, "scale", "628 mm")
    assert str(of_job(app).scale) == str(on_record(app).scale) == "628 mm"
    assert rows(shown)["scale"] == "24.72 in"
    assert rows(restarted(app).do(do.OpenJob("name-1")))["scale"] == "24.72 in"
    assert rows(app.do(do.Undo())) == before
    assert str(on_record(app).scale) == "25.5 in"


def test_a_second_scale_is_a_fan_until_it_is_the_same_again() -> None:
    """The lowest string's is typed beside the first's; typed alike, the frets are not fanned."""
    app = at_intake()
    shown = typed(app, "scale bass", "686 mm")
    assert str(of_job(app).scale_bass) == "686 mm"
    assert rows(shown)["scale"] == "25.5 in to 27.01 in, fanned"
    typed(app, "scale bass", "25.5 in")
    assert of_job(app).scale_bass is None


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("scale", "3000 mm"),
        ("scale", "3 mm"),
        ("scale bass", "9 in"),
        ("nut width", "430 mm"),
        ("gauge", "0.5 in"),
        ("scale", ""),
    ],
)
def test_what_can_hardly_be_is_asked_back_and_nothing_is_lost(kind: str, text: str) -> None:
    """One clear line on the pad, which stays; nothing is recorded, nothing is changed."""
    app = at_intake()
    before = of_job(app)
    app.do(do.TypeNumber(kind))
    vector = dict(app.history.vector)
    shown = app.do(do.NumberTyped(text))
    assert isinstance(shown, views.TypeView) and shown.trouble
    assert dict(app.history.vector) == vector and of_job(app) == before
    assert isinstance(app.do(do.Back()), views.IntakeView)


def test_a_scale_of_three_metres_is_refused_with_what_such_scales_are() -> None:
    """The line names the range that scales of this kind have."""
    app = at_intake()
    shown = typed(app, "scale", "3000 mm")
    assert isinstance(shown, views.TypeView)
    span = range_of(LengthOf.SCALE, TRADE, "electric guitar")
    assert f"between {span.low} and {span.high}" in shown.trouble


def test_a_gauge_is_typed_of_one_string() -> None:
    """That string alone is of it; what was known of the old string's core goes with the old one."""
    app = at_intake()
    app.do(ido.SeeStrings(6))
    shown = typed(app, "gauge", "52 thou")
    assert isinstance(shown, views.StringsView) and shown.string == 6
    spec = of_job(app).spec(6)
    assert (spec.gauge, spec.core) == (Length.parse("52 thou"), None)
    assert str(of_job(app).spec(5).gauge) == "0.036 in"
    assert on_record(app).spec(6) == spec


def test_a_string_more_and_a_string_fewer() -> None:
    """Added below the lowest and tuned a fourth lower (common practice, no source), taken away
    again: the others keep their numbers, and so does all that speaks of them."""
    app = at_intake()
    before = of_job(app)
    app.do(ido.SeeStrings())
    shown = app.do(ido.MoreStrings())
    assert isinstance(shown, views.StringsView) and shown.count == "7 strings"
    assert of_job(app).strings[:6] == before.strings
    assert str(of_job(app).spec(7).pitch) == "B1"
    assert len(on_record(app).strings) == 7
    app.do(ido.FewerStrings())
    assert of_job(app).strings == before.strings
    app.do(ido.FewerStrings())
    assert [spec.string for spec in of_job(app).strings] == [5, 4, 3, 2, 1]
    assert set(of_job(app).action_12) == {5, 1}


def test_an_added_string_is_walked_like_the_others() -> None:
    """The walk begins with it, as it lies outermost at the bass side."""
    app = at_intake()
    app.do(ido.SeeStrings())
    app.do(ido.MoreStrings())
    app.do(do.Back())
    shown = app.do(do.Measure())
    assert isinstance(shown, views.WalkView) and shown.string == 7
    assert [mark.string for mark in shown.marks] == [7, 6, 5, 4, 3, 2, 1]


def test_a_string_that_was_read_stays() -> None:
    """One line says why and what to do; nothing is recorded."""
    app = fresh_app()
    walking(app)
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.5 mm"))
    app.do(ido.SeeStrings())
    assert kinds_recorded(app, ido.FewerStrings()) == []
    shown = app.view()
    assert isinstance(shown, views.StringsView) and "String 6 was read" in shown.said
    assert len(of_job(app).strings) == 6


def test_the_last_string_is_not_taken_away() -> None:
    """An instrument has a string."""
    app = at_intake("mandolin")
    app.do(ido.SeeStrings())
    for _ in range(12):
        app.do(ido.FewerStrings())
    assert len(of_job(app).strings) == 1
    assert isinstance(app.view(), views.StringsView)


def test_nut_is_entered_in_the_visit() -> None:
    """Type, material and width; the type answers what is asked of it, and undo takes both back."""
    app = at_intake()
    app.do(ido.SeeNut())
    typed(app, "nut width", "44.5 mm")
    app.do(ido.SetNutMaterial("brass"))
    app.do(ido.SetNutType(NutType.ZERO_FRET))
    nut = of_job(app).nut
    assert (nut.type, nut.material, str(nut.width)) == (NutType.ZERO_FRET, "brass", "44.5 mm")
    assert on_record(app).nut == nut
    assert open_document(app).checks["nut_type"] == "zero fret"
    app.do(do.Undo())
    assert of_job(app).nut.type is NutType.SLOTTED
    assert "nut_type" not in open_document(app).checks


def test_name_owner_and_ticket_are_one_entry_each() -> None:
    """Saved together and undone together; the ticket is the visit's, the rest the instrument's."""
    app = at_intake()
    app.do(ido.SeeName())
    shown = app.do(ido.SaveName(" Blue  one ", "Marlow", " 2041 "))
    assert rows(shown)["name"] == "Blue one · Marlow · ticket 2041"
    assert open_document(app).ticket == "2041"
    assert (on_record(app).label, on_record(app).owner) == ("Blue one", "Marlow")
    (line,) = app.history.open_jobs()
    assert (line.label, line.owner, line.ticket) == ("Blue one", "Marlow", "2041")
    app.do(do.Undo())
    assert (open_document(app).ticket, on_record(app).owner) == ("", "")


def test_a_ticket_is_not_asked_for_again_at_the_next_visit() -> None:
    """It is of one visit: the next one of the instrument has none."""
    app = at_intake()
    app.do(ido.SeeName())
    app.do(ido.SaveName("", "", "2041"))
    app.do(ido.NewJobOn(INSTRUMENT))
    assert open_document(app).ticket == ""


def test_two_owners_of_one_name_are_told_apart() -> None:
    """The second instrument's row says what else is on record of that name, its page offers a tag
    for another owner, and taken, neither says anything of the other."""
    app = at_intake()
    app.do(ido.SeeName())
    app.do(ido.SaveName("", "Marlow"))
    app.do(do.GoHome())
    start(app, "mandolin")
    app.do(ido.SeeName())
    shown = app.do(ido.SaveName("", "Marlow"))
    assert "Also of Marlow: Electric guitar" in rows(shown)["name"]
    page = app.do(ido.SeeName())
    assert isinstance(page, views.NameView) and page.another == "Marlow (2)"
    shown = app.do(ido.SaveName("", page.another))
    assert rows(shown)["name"] == "Marlow (2)"


# --- on an open job, after readings ---

READ = {6: 0.9, 5: 0.5, 4: 0.2, 3: 0.45, 2: 0.7, 1: 0.1}


def test_another_scale_moves_windows_and_leaves_what_was_read() -> None:
    """It is said in words; readings stay and the plan is worked out anew."""
    app = measured_at(READ)
    before = app.session.work
    shown = app.do(ido.SeeTakenIn())
    assert isinstance(shown, views.IntakeView) and shown.begun
    after = typed(app, "scale", "620 mm")
    assert isinstance(after, views.IntakeView)
    assert after.said == "What was read stands; windows and targets follow the new scale."
    work = app.session.work
    assert work.job.readings == before.job.readings
    assert work.plan.strings[0].window_mm != before.plan.strings[0].window_mm


@pytest.mark.parametrize(
    "change", [ido.StepGauge(2), ido.SetMake(Make.FLATWOUND), ido.StepPitch(-2)]
)
def test_another_string_makes_its_reading_doubtful_and_says_so(change: do.Command) -> None:
    """Its name stands in the line, and only its."""
    app = measured_at(READ)
    app.do(ido.SeeStrings(5))
    shown = app.do(change)
    assert isinstance(shown, views.StringsView)
    assert shown.said.startswith("String 5 was read as it was listed before.")


def test_new_strings_end_what_was_read() -> None:
    """Said on the page of the strings: what was read is kept as before, and all are read again."""
    app = measured_at(READ)
    page = app.do(ido.SeeStrings())
    assert isinstance(page, views.StringsView) and page.can_be_fitted
    shown = app.do(do.ReportWork(WorkKind.STRINGS_CHANGED))
    assert isinstance(shown, views.WalkView) and shown.string == 6
    job = app.session.work.job
    assert job.readings == () and {one.string for one in job.rounds[0].readings} == set(READ)
    app.do(ido.SeeStrings())
    assert kinds_recorded(app, ido.FewerStrings()) == []  # it was read before the work


def test_from_the_plan_the_pages_lead_back_to_the_plan() -> None:
    """Strings, nut and name of an open job that was read: Back shows its plan."""
    for see in (ido.SeeStrings(), ido.SeeNut(), ido.SeeName()):
        app = measured_at(READ)
        app.do(see)
        assert isinstance(app.do(do.Back()), views.PlanView)


def test_a_page_of_a_string_that_is_gone_speaks_of_all() -> None:
    """Where the string at hand was taken away on another device, or by an undo."""
    app = at_intake()
    app.do(ido.SeeStrings())
    app.do(ido.MoreStrings())
    app.do(ido.SeeStrings(7))
    app.do(do.Undo())
    shown = app.view()
    assert isinstance(shown, views.StringsView) and shown.string is None


def test_of_an_instrument_that_left_the_record_the_visit_still_keeps_its_changes() -> None:
    """A visit without an instrument on record, as from a job file, records its own change alone."""
    app = at_intake()
    document = open_document(app)
    opened = {"job": "alone", "instrument": None, "value": document.instrument}
    app.history.record(Kind.JOB_OPENED, opened)
    app.do(do.OpenJob("alone"))
    app.do(do.TypeNumber("scale"))
    assert kinds_recorded(app, do.NumberTyped("620 mm")) == [Kind.JOB_CHANGED]

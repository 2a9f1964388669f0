"""Instruments on record: found, changed by their own events, taken in again with what is known."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.presenters.instruments import PAGE
from logic.app.views import views
from logic.jobfiles.reading import preset_instrument
from logic.testing import TRADE
from shared.events import Kind
from shared.instrument import Instrument, Make, NutType
from shared.readings import Buzz, ClearanceReading
from shared.units import Length
from tests.logic.app.apps import (
    DiscApp,
    Technician,
    answer_cards,
    events,
    fresh_app,
    restarted,
    start,
    walking,
)

GUITAR = preset_instrument("electric guitar", TRADE)
HEIGHTS = {6: 0.7, 5: 0.5, 4: 0.48, 3: 0.45, 2: 0.42, 1: 0.4}
HAND = Technician(HEIGHTS, dict.fromkeys(range(1, 7), Buzz.NONE))


def measured() -> tuple[DiscApp, str, int]:
    """An app with one guitar measured and its job closed; the guitar; answers that it took."""
    app = fresh_app()
    _, answers = HAND.walk(app, walking(app), 60)
    app.do(do.CloseJob())
    return app, only(app), answers


def only(app: DiscApp) -> str:
    """The one instrument on record."""
    (line,) = app.history.instruments()
    return line.id


def record(app: DiscApp, name: str) -> Instrument:
    """An instrument as it is on record."""
    found = app.history.instrument(name)
    assert found is not None
    return found.value


def page(app: DiscApp, name: str) -> views.InstrumentView:
    """One instrument's page."""
    shown = app.do(ido.SeeInstrument(name))
    assert isinstance(shown, views.InstrumentView)
    return shown


# --- the list ---


def shelf_of(*named: tuple[str, str, str]) -> DiscApp:
    """An app with these labels, kinds and owners on record."""
    app = fresh_app()
    for place, (label, kind, owner) in enumerate(named):
        value = GUITAR.model_copy(update={"label": label, "kind": kind, "owner": owner})
        body = {"instrument": f"i{place:05}", "value": value}
        app.history.record(Kind.INSTRUMENT_SAVED, body)
    return app


def listed(shown: views.View) -> list[str]:
    """The titles on the page of the list."""
    assert isinstance(shown, views.InstrumentsView)
    return [line.title for line in shown.lines]


@pytest.mark.parametrize(
    ("words", "titles"),
    [
        ("", ["Blue offset", "Long scale", "Mandolin"]),
        ("blue", ["Blue offset"]),
        ("OFF", ["Blue offset"]),
        ("guitar", ["Blue offset", "Long scale"]),
        ("alder", ["Long scale", "Mandolin"]),
        ("alder guitar", ["Long scale"]),
        ("lue", []),
    ],
)
def test_words_find_by_label_kind_and_owner(words: str, titles: list[str]) -> None:
    """Every word must begin a word of the label, the kind or the owner's tag."""
    app = shelf_of(
        ("Long scale", "bass guitar", "Alder Row"),
        ("", "mandolin", "Alder Row"),
        ("Blue offset", "electric guitar", "J. P."),
    )
    app.do(ido.SeeInstruments())
    assert listed(app.do(ido.FindInstruments(words))) == titles


def test_ten_thousand_instruments_come_page_by_page() -> None:
    """Each page holds thirty, and turning the pages meets every instrument once, by label."""
    count = 10_000
    app = shelf_of()
    index = app.history.queries.index
    index.load({"job": {}, "kit": {}, "instrument": {f"i{n:05}": _line(n) for n in range(count)}})
    shown = app.do(ido.SeeInstruments())
    seen = listed(shown)
    while isinstance(shown, views.InstrumentsView) and shown.later:
        assert len(shown.lines) == PAGE
        shown = app.do(ido.TurnPage(1))
        seen += listed(shown)
    assert seen == [f"No {n:05}" for n in range(count)]
    assert listed(app.do(ido.FindInstruments("07654"))) == ["No 07654"]


def _line(n: int) -> dict[str, object]:
    label = f"No {n:05}"
    return {"id": f"i{n:05}", "label": label, "kind": "mandolin", "changed": "1.0", "jobs": 0}


@pytest.mark.parametrize("pages", [-1, 1, 7])
def test_there_is_no_page_before_the_first_or_after_the_last(pages: int) -> None:
    """Turning too far stays where it was."""
    app = shelf_of(("A", "mandolin", ""), ("B", "mandolin", ""))
    before = app.do(ido.SeeInstruments())
    assert app.do(ido.TurnPage(pages)) == before


# --- the page ---


def test_the_page_shows_what_is_known_of_every_string() -> None:
    """Each string has its last known clearance, as near to the truth as its range says, and its
    target."""
    app, name, _ = measured()
    for line in page(app, name).strings:
        thou, low, high = (float(figure) for figure in re.findall(r"\d+", line.known))
        assert low <= thou <= high
        assert low - 1 <= HEIGHTS[line.string] / 0.0254 <= high + 1
        assert line.target.endswith("thou")


def test_the_page_tells_what_was_done() -> None:
    """The job, which is closed, stands in the history with what came of its calls."""
    app, name, _ = measured()
    (job,) = page(app, name).past
    assert job.said == "5 left, 1 not lowered"
    assert isinstance(app.do(do.OpenJob(job.job)), views.PlanView)


def test_a_trend_follows_a_string_from_job_to_job() -> None:
    """A slot that was found high and then on target is said to have come down."""
    app, name, _ = measured()
    app.do(ido.NewJobOn(name))
    app.session.record(
        Kind.READING_TAKEN, reading=ClearanceReading(string=6, clearance=Length.parse("20 thou"))
    )
    (trend,) = page(app, name).trends
    assert trend.string == 6 and len(trend.points) == 2
    assert trend.said.startswith("down ") and trend.said.endswith("→ 20")


# --- changing one ---


def on_page(app: DiscApp | None = None) -> tuple[DiscApp, str]:
    """An app before the page of its one guitar."""
    app = app or fresh_app()
    start(app)
    name = only(app)
    page(app, name)
    return app, name


def test_a_name_and_an_owner_are_kept_and_found() -> None:
    """What was written stands on the page, tidied, and finds the instrument."""
    app, _ = on_page()
    app.do(ido.SeeName())
    shown = app.do(ido.SaveName("  Blue   offset ", "Alder Row"))
    assert isinstance(shown, views.InstrumentView)
    assert (shown.title, shown.about) == ("Blue offset", "Electric guitar · Alder Row")
    app.do(ido.SeeInstruments())
    assert listed(app.do(ido.FindInstruments("row"))) == ["Blue offset"]


CHANGES: list[tuple[do.Command, do.Command]] = [
    (ido.SeeStrings(3), ido.StepPitch(-2)),
    (ido.SeeStrings(3), ido.StepGauge(1)),
    (ido.SeeStrings(None), ido.StepPitch(-1)),
    (ido.SeeStrings(6), ido.SetMake(Make.FLATWOUND)),
    (ido.SeeStrings(), ido.PutOnSet("9 to 42")),
    (ido.SeeStrings(), ido.Retune("Drop D")),
    (ido.SeeNut(), ido.SetNutType(NutType.ZERO_FRET)),
    (ido.SeeNut(), ido.SetNutMaterial("brass")),
    (ido.SeeName(), ido.SaveName("Blue", "A.")),
]


@pytest.mark.parametrize(("room", "change"), CHANGES)
def test_every_change_is_one_event_that_undo_takes_back(
    room: do.Command, change: do.Command
) -> None:
    """A change is saved at once as one event, outlives a power cut, and can be undone."""
    app, name = on_page()
    before, count = record(app, name), len(events(app))
    app.do(room)
    app.do(change)
    assert [event.kind for event in events(app)[count:]] == [Kind.INSTRUMENT_SAVED]
    after = record(app, name)
    assert after != before
    assert record(restarted(app), name) == after
    app.do(do.Undo())
    assert record(app, name) == before


def test_undo_does_not_take_back_what_a_job_brought_in() -> None:
    """With nothing changed there is nothing to undo on an instrument's pages."""
    app, _ = on_page()
    app.do(ido.SeeStrings())
    before = events(app)
    app.do(do.Undo())
    assert events(app) == before


def test_a_change_that_changes_nothing_is_not_kept() -> None:
    """Choosing what is chosen already writes nothing."""
    app, name = on_page()
    app.do(ido.SeeNut())
    before = events(app)
    app.do(ido.SetNutMaterial(record(app, name).nut.material))
    assert events(app) == before


def test_steps_change_one_string_and_leave_the_others() -> None:
    """A semitone down and a thousandth of an inch up, on the third string alone."""
    app, name = on_page()
    before = record(app, name)
    app.do(ido.SeeStrings(3))
    app.do(ido.StepPitch(-1))
    app.do(ido.StepGauge(1))
    after = record(app, name)
    assert after.spec(3).pitch.midi == before.spec(3).pitch.midi - 1
    assert after.spec(3).gauge.mm - before.spec(3).gauge.mm == pytest.approx(0.0254)
    assert [after.spec(s) for s in (1, 2, 4, 5, 6)] == [before.spec(s) for s in (1, 2, 4, 5, 6)]


@settings(deadline=None, max_examples=20)
@given(st.lists(st.sampled_from([-200, -12, -1, 1, 12, 200]), max_size=6))
def test_no_step_leaves_what_strings_are_made_in(steps: list[int]) -> None:
    """However far the steppers are turned, gauges and pitches stay possible."""
    app, name = on_page()
    app.do(ido.SeeStrings(None))
    for step in steps:
        app.do(ido.StepGauge(step))
        app.do(ido.StepPitch(step))
    for spec in record(app, name).strings:
        assert 0.005 * 25.4 <= spec.gauge.mm <= 0.2 * 25.4
        assert 0 <= spec.pitch.midi <= 127


def test_another_set_forgets_what_was_measured_of_the_old_strings() -> None:
    """Cores belong to the strings that are gone; a wound string of the set is wound."""
    app, name = on_page()
    app.do(ido.SeeStrings())
    app.do(ido.PutOnSet("12 to 54, wound third"))
    strings = record(app, name)
    assert strings.spec(3).make is Make.WOUND_STEEL
    assert all(spec.core is None for spec in strings.strings)
    shown = app.view()
    assert isinstance(shown, views.StringsView)
    assert [choice.key for choice in shown.sets if choice.chosen] == ["12 to 54, wound third"]


def test_open_jobs_keep_the_strings_they_came_in_with() -> None:
    """A job is about the instrument as it lay on the bench."""
    app, _ = on_page()
    (line,) = app.history.open_jobs()
    app.do(ido.SeeStrings())
    app.do(ido.PutOnSet("9 to 42"))
    job = app.history.job(line.id)
    assert job is not None and job.instrument == GUITAR


def test_a_duplicate_is_another_instrument_without_the_jobs() -> None:
    """It has the same strings and its own record, and is named next."""
    app, name, _ = measured()
    page(app, name)
    shown = app.do(ido.Duplicate())
    assert isinstance(shown, views.NameView) and shown.label == "Electric guitar, another"
    assert record(app, shown.instrument).strings == record(app, name).strings
    assert page(app, shown.instrument).past == ()
    assert len(page(app, name).past) == 1


def test_duplicates_can_be_told_apart_and_keep_whom_they_are_for() -> None:
    """Each gets a number of its own, also a duplicate's duplicate; own targets go along."""
    app, name, _ = measured()
    page(app, name)
    app.do(do.SeeTargets(6))
    app.do(do.SetTarget(2))
    labels = []
    for _ in range(3):
        shown = app.do(ido.Duplicate())
        assert isinstance(shown, views.NameView)
        labels.append(shown.label)
        assert app.session.past.player(shown.instrument).targets == {6: Length.parse("22 thou")}
    another = "Electric guitar, another"
    assert labels == [another, f"{another} 2", f"{another} 3"]


# --- taken in again ---


def test_a_job_on_record_needs_fewer_leaves_than_the_first() -> None:
    """What was known of the strings is where the walk begins; the calls stay the same."""
    app, name, first = measured()
    assert page(app, name).past[0].said == "5 left, 1 not lowered"
    app.do(ido.NewJobOn(name))
    app.do(do.Ask())
    shown, again = HAND.walk(app, answer_cards(app, app.do(do.AnswerAllYes())), 60)
    assert isinstance(shown, views.PlanView)
    assert again < first
    assert page(app, name).past[0].said == "1 to lower, 5 to leave"


def test_a_job_on_record_has_its_strings_its_nut_and_its_player() -> None:
    """Nothing that is known is asked again."""
    app, name, _ = measured()
    page(app, name)
    app.do(ido.SeeStrings())
    app.do(ido.Retune("Drop D"))
    app.do(ido.SeeNut())
    app.do(ido.SetNutMaterial("brass"))
    app.do(ido.NewJobOn(name))
    job = app.session.work.job
    assert job.instrument == record(app, name)
    assert job.instrument.spec(6).pitch.show() == "D2"
    assert job.player == app.session.past.player(name)


def test_the_relief_of_the_last_visit_is_remembered_as_such() -> None:
    """It is what the new relief is held against, and is not taken for measured now."""
    app = fresh_app()
    start(app)
    app.do(do.AnswerGate("relief", "0.25 mm"))
    name = only(app)
    app.do(do.CloseJob())
    app.do(ido.NewJobOn(name))
    job = app.session.work.job
    assert Length.parse(str(job.checks["relief_before"])) == Length.parse("0.25 mm")
    assert job.instrument.relief is None and "relief" not in job.checks


def test_a_page_that_is_gone_cannot_be_opened() -> None:
    """An instrument that is not on record leads nowhere."""
    app = fresh_app()
    before = app.view()
    assert app.do(ido.SeeInstrument("nobody")) == before


def test_the_way_back_leads_through_the_pages() -> None:
    """From strings to the page, to the list, home."""
    app, _ = on_page()
    app.do(ido.SeeStrings(3))
    rooms = [type(app.do(do.Back())) for _ in range(3)]
    assert rooms == [views.InstrumentView, views.InstrumentsView, views.HomeView]


def test_what_is_chosen_is_kept_while_searching() -> None:
    """A rack is put together from several searches."""
    app = shelf_of(("A", "mandolin", ""), ("B", "mandolin", ""))
    app.do(ido.SeeInstruments())
    app.do(ido.ChooseSeveral(True))
    app.do(ido.ChooseInstrument("i00000"))
    app.do(ido.FindInstruments("b"))
    app.do(ido.ChooseInstrument("i00001"))
    shown = app.do(ido.FindInstruments(""))
    assert isinstance(shown, views.InstrumentsView)
    assert (shown.chosen, [line.chosen for line in shown.lines]) == (2, [True, True])
    assert app.do(ido.ChooseInstrument("i00000")) == replace(
        shown, chosen=1, lines=(replace(shown.lines[0], chosen=False), shown.lines[1])
    )

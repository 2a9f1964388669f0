"""The quick check at the app: six taps to an answer, kept as a job, alone or along a rack."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.views import views
from logic.bench.visits.quick_check import QUICK_CHECK
from shared.instrument import Attack
from shared.readings import Buzz, Contact
from shared.units import Length
from tests.logic.app.apps import (
    events,
    fresh_app,
    restarted,
    said,
    start,
    walking,
)
from tests.logic.app.checked import TRUTH, check, measured, through


def test_six_taps_say_that_nothing_has_moved() -> None:
    """One leaf and one answer a string, from the bass side, and the instrument is known well."""
    app, (name,) = measured()
    result, taps = through(app, check(app, name), TRUTH)
    assert taps == 6
    assert result.still and result.headline == "Nothing has moved"
    assert [one.string for one in result.strings] == [6, 5, 4, 3, 2, 1]
    assert result.tonight == () and result.left_out == ()


@settings(deadline=None, max_examples=12)
@given(st.integers(1, 6), st.floats(0.2, 0.3))
def test_six_taps_find_the_string_that_dropped(string: int, by_mm: float) -> None:
    """Whichever string it is, it is named, with where it stood, and what to do is said."""
    app, (name,) = measured()
    result, taps = through(app, check(app, name), TRUTH | {string: TRUTH[string] - by_mm})
    assert taps == 6 and not result.still
    assert [one.string for one in result.strings if one.moved] == [string]
    assert result.headline.startswith(f"String {string}: ")


@pytest.mark.parametrize(
    ("dropped", "headline"),
    [
        ((3,), "String 3: lower than it was"),
        ((3, 2), "Strings 3 and 2: lower than they were"),
        ((6, 5, 4, 3), "4 strings: lower than they were"),
    ],
)
def test_the_headline_is_short_however_many_dropped(
    dropped: tuple[int, ...], headline: str
) -> None:
    """One and two strings are named, more are counted; the list below names them all."""
    app, (name,) = measured()
    truth = TRUTH | {string: TRUTH[string] - 0.25 for string in dropped}
    result, _ = through(app, check(app, name), truth)
    assert result.headline == headline
    assert [one.string for one in result.strings if one.moved] == list(dropped)


def test_a_string_that_buzzes_gets_what_can_be_undone_tonight() -> None:
    """Buzzes open, the fourth answer, leads to paper and capo, never to a file."""
    app, (name,) = measured()
    check(app, name)
    app.do(do.Hear(Buzz.NORMAL))
    result = app.do(ido.EndCheck())
    assert isinstance(result, views.CheckedView)
    assert result.headline == "String 6: buzzes open"
    assert any("paper" in line for line in result.tonight)


def test_no_string_says_what_is_expected_of_it() -> None:
    """Before the answer only the leaf and the old clearance are shown, not the answer hoped for."""
    app, (name,) = measured()
    shown = check(app, name)
    assert not any("expect" in text.lower() for text in said(shown))
    following = app.do(do.Feel(Contact.NONE))
    assert isinstance(following, views.CheckView)
    assert following.estimate.startswith("Stood at ")


def test_the_first_string_says_what_to_do_when_in_doubt_and_a_rack_says_it_of_none() -> None:
    """One line on the tap that tells, gone with the first answer and back with its undo; along a
    rack the place in the row and the last clearance stand there instead."""
    app, (name,) = measured()
    first = check(app, name)
    assert first.status.startswith("Not sure?") and not first.estimate
    following = app.do(do.Feel(Contact.NONE))
    assert isinstance(following, views.CheckView)
    assert "Not sure?" not in following.status
    undone = app.do(do.Undo())
    assert isinstance(undone, views.CheckView)
    assert undone.announced == "Taken back: no contact under 19 thou on string 6."
    assert replace(undone, saved="", announced="") == first
    app.do(ido.SeeInstruments())
    app.do(ido.ChooseSeveral(True))
    app.do(ido.ChooseInstrument(name))
    racked = app.do(ido.CheckRack())
    assert isinstance(racked, views.CheckView) and racked.estimate.startswith("Stood at ")


def test_a_check_is_a_closed_job_of_its_own_in_the_history() -> None:
    """It has its readings, is marked as what it was, and does not clutter the bench."""
    app, (name,) = measured()
    through(app, check(app, name), TRUTH)
    found = app.history.instrument(name)
    assert found is not None and len(found.jobs) == 2
    job = app.history.job(found.jobs[-1])
    assert job is not None
    assert (job.complaint, job.open, len(job.readings)) == (QUICK_CHECK, False, 6)
    home = app.do(do.GoHome())
    assert isinstance(home, views.HomeView) and home.jobs == ()
    page = app.do(ido.SeeInstrument(name))
    assert isinstance(page, views.InstrumentView)
    assert page.past[0].said == "quick check: nothing moved"


def test_each_answer_is_durable_before_the_next_string_is_shown() -> None:
    """A power cut after any tap loses nothing: the check goes on where it was."""
    app, (name,) = measured()
    shown: views.View = check(app, name)
    for taken in range(1, 4):
        shown = app.do(do.Feel(Contact.NONE))
        again = restarted(app)
        again.resume()
        resumed = again.view()
        assert isinstance(shown, views.CheckView) and isinstance(resumed, views.CheckView)
        assert (resumed.string, resumed.number) == (shown.string, shown.number)
        assert len(again.session.work.job.readings) == taken


def test_undo_takes_back_the_last_answer_and_stands_there_again() -> None:
    """From the next string and from the result alike; a closed check is open again."""
    app, (name,) = measured()
    check(app, name)
    app.do(do.Feel(Contact.NONE))
    shown = app.do(do.Undo())
    assert isinstance(shown, views.CheckView) and shown.string == 6
    through(app, shown, TRUTH)
    shown = app.do(do.Undo())
    assert isinstance(shown, views.CheckView) and shown.string == 1
    assert app.session.work.document.open
    result, taps = through(app, shown, TRUTH)
    assert result.still and taps == 1 and not app.session.work.document.open


def test_skipped_strings_are_said_and_can_be_checked_after_all() -> None:
    """What was left out stands in the result, with a way to it."""
    app, (name,) = measured()
    check(app, name)
    app.do(ido.SkipString())
    shown = app.do(ido.SkipString())
    result, taps = through(app, shown, TRUTH)
    assert taps == 4
    assert result.headline == "Nothing has moved on 4 of 6 strings"
    assert result.left_out == ("Skipped: strings 6 and 5",) and result.rest == 6
    result, taps = through(app, app.do(ido.CheckString(6)), TRUTH)
    assert taps == 2 and result.headline == "Nothing has moved" and result.rest is None


def test_nothing_answered_claims_nothing() -> None:
    """Ended at once, the check says that nothing was checked."""
    app, (name,) = measured()
    check(app, name)
    result = app.do(ido.EndCheck())
    assert isinstance(result, views.CheckedView)
    assert (result.headline, result.still) == ("Nothing was checked", False)


def test_a_string_that_is_not_clear_is_asked_once_more_with_another_leaf() -> None:
    """A second look at a string slides in a leaf that has not answered yet."""
    app, (name,) = measured()
    first = check(app, name)
    app.do(do.Feel(Contact.HEAVY))
    again = app.do(ido.CheckString(6))
    assert isinstance(again, views.CheckView) and again.number != first.number


def test_an_instrument_without_a_record_is_not_checked() -> None:
    """There is nothing to check it against, so nothing is recorded."""
    app = fresh_app()
    start(app)
    app.do(do.CloseJob())
    (line,) = app.history.instruments()
    before = events(app)
    shown = app.do(ido.QuickCheck(line.id))
    assert isinstance(shown, views.InstrumentView) and not shown.checks
    assert events(app) == before


def test_strings_without_a_record_are_named() -> None:
    """A guitar of which one string was measured is checked on that string alone."""
    app = fresh_app()
    walking(app)
    app.do(do.Walk(2))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("16 thou"))
    (line,) = app.history.instruments()
    app.do(do.CloseJob())
    shown = check(app, line.id)
    assert shown.string == 2
    result, taps = through(app, shown, {**TRUTH, 2: Length.parse("16 thou").mm})
    assert taps == 1
    assert result.left_out == ("Not on record: strings 6, 5, 4, 3 and 1",)


def test_a_tap_without_a_leaf_records_nothing() -> None:
    """A string that is not on record has no leaf, so its answers are not taken."""
    app = fresh_app()
    walking(app)
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("21 thou"))
    (line,) = app.history.instruments()
    app.do(do.CloseJob())
    check(app, line.id)
    app.do(ido.CheckString(1))
    before = events(app)
    app.do(do.Feel(Contact.NONE))
    assert events(app) == before


def test_back_from_a_check_is_the_instrument() -> None:
    """The page it was started from is one step back, from a string and from the result."""
    app, (name,) = measured()
    check(app, name)
    page = app.do(do.Back())
    assert isinstance(page, views.InstrumentView) and page.instrument == name
    check(app, name)
    app.do(ido.EndCheck())
    assert isinstance(app.do(do.Back()), views.InstrumentView)


@pytest.mark.parametrize("count", [1, 2])
def test_checks_follow_the_record_of_each_other(count: int) -> None:
    """After a check found a string lower, the next one starts from there and finds it still."""
    app, (name,) = measured()
    truth = TRUTH | {3: 0.22}
    through(app, check(app, name), truth)
    for _ in range(count):
        result, _ = through(app, check(app, name), truth)
    (third,) = [one for one in result.strings if one.string == 3]
    assert third.said != "Lower than it was"


def test_one_touch_on_the_list_begins_a_check_where_one_was_asked_for() -> None:
    """The list that a shortcut shows: a touch checks; looking for another and choosing several and
    thinking better of it leave it so, and the ordinary list opens pages again."""
    app, names = measured(2)
    shown = app.do(ido.CheckOne())
    assert isinstance(shown, views.InstrumentsView)
    assert shown.checking and len(shown.lines) == 2
    for command in (ido.FindInstruments("e"), ido.ChooseSeveral(True), ido.ChooseSeveral(False)):
        shown = app.do(command)
        assert isinstance(shown, views.InstrumentsView) and shown.checking
    assert isinstance(app.do(ido.QuickCheck(names[1])), views.CheckView)
    ordinary = app.do(ido.SeeInstruments())
    assert isinstance(ordinary, views.InstrumentsView) and not ordinary.checking


def test_a_touch_on_what_was_never_measured_shows_its_page() -> None:
    """Nothing is on record to check against: the page says so, and no job is opened."""
    app = fresh_app()
    start(app)
    app.do(do.SetAttack(Attack.HEAVY))  # an intake left as it was would be no job
    (only,) = app.history.instruments()
    before = len(app.history.jobs())
    app.do(ido.CheckOne())
    shown = app.do(ido.QuickCheck(only.id))
    assert isinstance(shown, views.InstrumentView) and not shown.checks
    assert len(app.history.jobs()) == before

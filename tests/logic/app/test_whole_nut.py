"""The ways of raising side by side, and a new nut laid out, as the app shows them."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from logic.app.commands import commands as do
from logic.app.presenters.new_nut import nut_as_pdf, nut_as_svg
from logic.app.views import views
from logic.drawing.page import Paper
from shared.instrument import NutType
from shared.job import CallKind
from shared.readings import Buzz
from tests.logic.app.apps import DiscApp, Technician, events, fresh_app, restarted, view_of, walking

MM_PER_THOU = 0.0254


def low_strings(app: DiscApp, low: tuple[int, ...] = (6, 5)) -> views.PlanView:
    """A guitar with these slots far too low and the others where they belong; its plan."""
    heights = {s: 0.05 if s in low else 0.5 for s in range(1, 7)}
    heard = {s: Buzz.SOFT if s in low else Buzz.NONE for s in heights}
    plan, _ = Technician(heights, heard).walk(app, walking(app), 80)
    assert isinstance(plan, views.PlanView)
    return plan


def ways(app: DiscApp, method: str = "") -> views.RaisingView:
    """The ways, one of them opened."""
    return view_of(app, do.SeeRaising(method), views.RaisingView)


def new_nut(app: DiscApp) -> views.NewNutView:
    """A new nut for the job at hand."""
    return view_of(app, do.SeeNewNut(), views.NewNutView)


def test_the_plan_leads_to_every_way_with_one_of_them_advised() -> None:
    """Where slots are low the plan offers the comparison; one way is advised and opened."""
    app = fresh_app()
    plan = low_strings(app)
    assert [line.string for line in plan.lines if line.call is CallKind.RAISE] == [6, 5]
    assert plan.compares and len(plan.options) == 1
    shown = ways(app)
    assert {way.method for way in shown.ways} >= {"fill", "shim", "new nut"}
    (advised,) = [way for way in shown.ways if way.recommended]
    assert advised.chosen and advised.name.lower() in plan.options[0].lower()
    assert all(len(way.facts) == len(shown.rows) for way in shown.ways)


def test_a_plan_with_nothing_low_offers_no_comparison() -> None:
    """High slots are lowered one by one: there is nothing to compare."""
    app = fresh_app()
    heights = dict.fromkeys(range(1, 7), 0.9)
    hand = Technician(heights, dict.fromkeys(heights, Buzz.NONE))
    plan, _ = hand.walk(app, walking(app), 80)
    assert isinstance(plan, views.PlanView)
    assert not plan.compares


def test_a_shim_says_which_slots_come_down_again_and_with_which_file() -> None:
    """What lifts every string names each good one that must be lowered after it."""
    app = fresh_app()
    low_strings(app, (6,))
    shown = ways(app, "shim")
    steps = dict(shown.steps)
    assert steps["Moves"] == "every string"
    again = {name for name in steps if name.startswith("String ")}
    assert again >= {f"String {s}" for s in (5, 4, 3, 2, 1)}
    assert all("down " in steps[name] and "file" in steps[name] for name in again)
    column = next(way for way in shown.ways if way.method == "shim")
    assert column.facts[0] == str(len(again))
    assert column.facts[-1] == "yes"


def test_the_way_that_is_opened_is_the_one_that_was_touched() -> None:
    """Each way opens itself and records nothing but the place."""
    app = fresh_app()
    low_strings(app)
    before = ways(app)
    kept = events(app)
    for way in before.ways:
        opened = ways(app, way.method)
        assert [each.method for each in opened.ways if each.chosen] == [way.method]
        assert opened.heading and opened.why
    assert events(app) == kept


def test_a_new_nut_shows_a_row_for_every_string() -> None:
    """Head row, then six strings bass side first, their centres rising."""
    app = fresh_app()
    low_strings(app)
    shown = new_nut(app)
    head, *rows = shown.rows
    assert [row[0] for row in rows] == ["6", "5", "4", "3", "2", "1"]
    assert all(len(row) == len(head) for row in rows)
    centres = [float(row[1]) for row in rows]
    assert centres == sorted(centres)
    assert not shown.trouble


def test_a_margin_moves_its_outer_string_by_a_tenth_a_step() -> None:
    """Five steps in from the bass edge move string 6 by half a millimetre, string 1 not at all."""
    app = fresh_app()
    low_strings(app)
    before = new_nut(app)
    after = app.do(do.TurnMargin("bass", 5))
    assert isinstance(after, views.NewNutView)
    moved = [
        float(b[1]) - float(a[1]) for a, b in zip(before.rows[1:], after.rows[1:], strict=True)
    ]
    assert moved[0] == pytest.approx(0.5, abs=0.011)
    assert moved[-1] == pytest.approx(0.0, abs=0.011)


def test_a_nut_that_cannot_hold_its_strings_is_refused_in_words() -> None:
    """Margins that leave no room are said so, with what would do, and nothing can be shared."""
    app = fresh_app()
    low_strings(app)
    new_nut(app)
    shown = app.do(do.TurnMargin("bass", 150))
    shown = app.do(do.TurnMargin("treble", 150))
    assert isinstance(shown, views.NewNutView)
    assert not shown.rows
    assert "do not fit" in shown.trouble and "wider nut" in shown.trouble


def test_a_pair_can_be_set_apart_only_where_there_are_pairs() -> None:
    """A stepper for pairs is shown for courses and not for single strings."""
    app = fresh_app()
    walking(app)
    app.do(do.SeePlan())
    assert [line.key for line in new_nut(app).margins] == ["bass", "treble"]
    walking(app, "mandolin")
    app.do(do.SeePlan())
    assert [line.key for line in new_nut(app).margins] == ["bass", "treble", "pair"]


def test_a_clamping_nut_is_not_laid_out() -> None:
    """Its slots are bought with it, and the screen says so."""
    app = fresh_app()
    walking(app)
    app.do(do.SayDifferent("nut_type", NutType.CLAMPING.value))
    assert not ways(app).lays_out
    assert "bought with its slots" in new_nut(app).trouble


def test_the_drawing_that_is_handed_out_is_the_one_on_the_screen() -> None:
    """The PDF's figures are those of the screen, spacing and margins included; so are the SVG's."""
    app = fresh_app()
    low_strings(app)
    new_nut(app)
    shown = app.do(do.SetSpacing("equal centres"))
    assert isinstance(shown, views.NewNutView)
    session = app.session
    document = nut_as_pdf(session.work, session.transient.nut_wishes, session.wording, Paper.LETTER)
    text = PdfReader(io.BytesIO(document)).pages[0].extract_text()
    drawing = nut_as_svg(session.work, session.transient.nut_wishes, session.wording)
    assert "equal centres" in text and "equal centres" in drawing
    for row in shown.rows[1:]:
        assert row[1] in text and row[1] in drawing


def test_after_a_power_cut_one_stands_before_the_new_nut_again() -> None:
    """The place is kept; the figures are laid out anew."""
    app = fresh_app()
    low_strings(app)
    shown = new_nut(app)
    again = restarted(app)
    again.resume()
    assert again.view() == shown


def test_minutes_noted_for_a_way_are_kept_and_taught_to_the_next_job() -> None:
    """Steps from the table's figure; the next job's time for that way alone is this bench's own."""
    app = fresh_app()
    low_strings(app)
    first = ways(app, "shim")
    assert first.less == first.more and first.took
    noted = app.do(do.NoteMinutes("shim", first.more))
    assert isinstance(noted, views.RaisingView) and str(first.more) in noted.took
    slow = app.do(do.NoteMinutes("shim", 2 * noted.more))
    assert isinstance(slow, views.RaisingView) and ways(restarted_at(app, slow), "shim") == slow
    app.do(do.GoHome())
    low_strings(app)
    shim, fill = ways(app, "shim"), ways(app, "fill")
    assert "1 job of this bench" in dict(shim.steps)["Time"]
    assert "this bench" not in dict(fill.steps)["Time"]
    assert minutes(shim) > minutes(first)
    taken_back = app.do(do.NoteMinutes("shim", 0))
    assert isinstance(taken_back, views.RaisingView) and taken_back.took == first.took


def restarted_at(app: DiscApp, shown: views.RaisingView) -> DiscApp:
    """The app after a power cut, standing in the same job."""
    again = restarted(app)
    again.do(do.OpenJob(shown.job))
    return again


def minutes(shown: views.RaisingView) -> int:
    """The time of the chosen way."""
    return int(dict(shown.steps)["Time"].split()[1])


@pytest.mark.parametrize("count", [-5, 601])
def test_minutes_that_nobody_takes_are_not_kept(count: int) -> None:
    """Refused with what would do, and nothing is recorded."""
    app = fresh_app()
    low_strings(app)
    ways(app, "shim")
    before = events(app)
    app.do(do.NoteMinutes("shim", count))
    assert events(app) == before

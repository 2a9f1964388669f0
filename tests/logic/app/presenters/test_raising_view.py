"""The options of raising side by side, and the new nut laid out, field by field."""

from __future__ import annotations

from itertools import pairwise

import pytest

from logic.app.commands import commands as do
from logic.app.session.pace import MOST_MINUTES
from logic.app.views import views
from logic.app.views.nut_views import MarginLine, RaisingColumn
from logic.bench.raising.nut_layout import Spacing
from logic.testing import instrument, mm
from shared.readings import Buzz
from shared.work import WorkKind
from tests.logic.app.apps import DiscApp, fresh_app, measured_at, walking
from tests.logic.app.commands.test_commands import chosen

MIXED = {6: 0.9, 5: 0.5, 4: 0.2, 3: 0.45, 2: 0.7, 1: 0.1}


def low_nut() -> DiscApp:
    """A nut with two slots that are low and buzz."""
    return measured_at(MIXED, Buzz.NORMAL)


def raising(app: DiscApp, method: str = "") -> views.RaisingView:
    """The options, one of them opened."""
    shown = app.do(do.SeeRaising(method))
    assert isinstance(shown, views.RaisingView)
    return shown


def new_nut(app: DiscApp, command: do.Command | None = None) -> views.NewNutView:
    """The new nut after a touch."""
    shown = app.do(command or do.SeeNewNut())
    assert isinstance(shown, views.NewNutView)
    return shown


# --- the options ---


def test_the_options_stand_side_by_side_with_the_recommended_one_open() -> None:
    """Every field, the advised one first: what each costs in slots, minutes and hours, and whether
    it comes out again."""
    shown = raising(low_nut())
    assert shown.rows == ("Slots to work on", "Time", "Has to set", "Comes out again")
    assert shown.ways == (
        RaisingColumn("fill", "Fill", ("2", "37 min", "1 h", "no"), True, True),
        RaisingColumn("strip", "Strip", ("2", "3 min", "–", "yes"), False, False),
        RaisingColumn("shim", "Shim", ("4", "44 min", "–", "yes"), False, False),
        RaisingColumn("new nut", "New nut", ("6", "90 min", "1 h", "no"), False, False),
    )
    assert shown.advice == "Slot by slot: fill and recut strings 4 and 1."
    assert (shown.heading, shown.method) == ("Fill and recut the low slots", "fill")
    assert shown.steps == (
        ("Time", "about 37 min, as such work usually takes"),
        ("Amount", "11 thou"),
        ("Moves", "strings 4 and 1"),
        ("Outside its window even so", "strings 6 and 2"),
    )
    assert shown.lays_out and shown.took == "Once it is done: minutes it took"


def test_a_shim_says_from_which_stock_and_what_comes_down_again() -> None:
    """All strings move; those that end above their windows are cut again, each by its own amount
    and file; the low one for which the shim is made is not."""
    shown = raising(low_nut(), "shim")
    steps = dict(shown.steps)
    assert [way.method for way in shown.ways if way.chosen] == ["shim"]
    assert steps["Moves"] == "every string" and "From the stock" in steps
    cut_again = [name for name in steps if name.startswith("String ")]
    assert cut_again == ["String 6", "String 5", "String 3", "String 2"]
    assert all(steps[name].endswith(" file") for name in cut_again)


@pytest.mark.parametrize("method", ["prayer", "wedge", "base"])
def test_a_way_that_this_nut_does_not_have_opens_the_recommended_one(method: str) -> None:
    """A place kept from before, when the nut stood otherwise, still shows something."""
    assert raising(low_nut(), method).method == "fill"


@pytest.mark.parametrize("unit", ["thou", "in", "mm"])
def test_the_price_of_a_way_does_not_hang_on_the_unit(unit: str) -> None:
    """Slots, minutes and hours are the same; amounts are in the unit that is set."""
    plain, app = raising(low_nut()), low_nut()
    app.do(do.SetSetting("unit", unit))
    shown = raising(app)
    assert [way.facts for way in shown.ways] == [way.facts for way in plain.ways]
    assert dict(shown.steps)["Amount"].endswith(unit)


def test_minutes_are_stepped_from_the_tables_figure_and_can_be_taken_back() -> None:
    """The first touch notes the table's, rounded to five; then up, down, and to nothing."""
    app = low_nut()
    first = raising(app)
    assert (first.less, first.more) == (35, 35)
    noted = raising_after(app, 35)
    assert (noted.took, noted.less, noted.more) == ("It took 35 minutes", 30, 40)
    one = raising_after(app, 1)
    assert (one.took, one.less, one.more) == ("It took 1 minute", 0, 6)
    assert raising_after(app, 0).took == first.took
    most = raising_after(app, MOST_MINUTES)
    assert (most.less, most.more) == (MOST_MINUTES - 5, MOST_MINUTES)


def raising_after(app: DiscApp, minutes: int) -> views.RaisingView:
    """The options after filling was noted to have taken so long."""
    shown = app.do(do.NoteMinutes("fill", minutes))
    assert isinstance(shown, views.RaisingView)
    return shown


def test_what_was_noted_for_one_way_is_not_said_of_another() -> None:
    """Each has its own minutes, and so has each job."""
    app = low_nut()
    raising(app)
    raising_after(app, 35)
    assert raising(app, "shim").took == "Once it is done: minutes it took"


def test_where_nothing_is_low_there_is_nothing_to_compare() -> None:
    """The page can be reached and is empty; no way is made up."""
    shown = raising(measured_at(dict.fromkeys(range(1, 7), 0.5)))
    assert (shown.ways, shown.steps, shown.heading, shown.method) == ((), (), "", "")
    assert (shown.took, shown.less, shown.more) == ("", 0, 0)


@pytest.mark.parametrize(
    ("nut", "lays_out"),
    [("slotted", True), ("compensated", True), ("clamping", False), ("roller", False)],
)
def test_only_a_nut_with_slots_is_laid_out(nut: str, lays_out: bool) -> None:
    """Clamps and rollers are bought, not cut (common practice, no source)."""
    app = low_nut()
    app.do(do.SayDifferent("nut_type", nut))
    assert raising(app).lays_out is lays_out


def test_in_german_the_options_are_german_and_cost_the_same() -> None:
    """Names, headings and rows; figures are the same."""
    app = low_nut()
    app.do(do.SetSetting("language", "de"))
    shown = raising(app)
    assert shown.rows == ("Kerben in Arbeit", "Zeit", "Muss aushärten", "Kommt wieder heraus")
    assert [way.name for way in shown.ways] == ["Füllen", "Streifen", "Unterlage", "Neuer Sattel"]
    assert shown.ways[2].facts == ("4", "44 min", "–", "ja")
    assert shown.done == "Erledigt: Kerbe gefüllt"


# --- reported done ---


def test_the_opened_option_is_reported_with_what_is_known_of_it() -> None:
    """Its strings, its amount where it has one, and the minutes that were noted for it."""
    app = low_nut()
    fill = raising(app)
    assert (fill.done, fill.amount) == ("Done: Slot filled", "")
    assert fill.work is not None
    assert (fill.work.what, sorted(fill.work.strings)) == (WorkKind.FILL, [1, 4])
    assert fill.work.minutes is None
    noted = raising_after(app, 35)
    assert noted.work is not None and noted.work.minutes == 35
    shim = raising(app, "shim")
    assert shim.work is not None and shim.work.amount is not None
    assert shim.done == f"Done: Shim put in, {shim.amount}"


def test_an_amount_is_turned_in_the_steps_that_shims_are_made_in() -> None:
    """Up and down by a twentieth of a millimetre, and never to nothing; reporting ends that."""
    app = low_nut()
    first = raising(app, "shim").work
    app.do(do.TurnAmount("shim", 2))
    more = raising(app, "shim").work
    app.do(do.TurnAmount("shim", -100))
    least = raising(app, "shim").work
    assert first and more and least and first.amount and more.amount and least.amount
    assert more.amount.mm - first.amount.mm == pytest.approx(0.1)
    assert 0 < least.amount.mm <= 0.05
    app.do(do.ReportWork(WorkKind.SHIM, amount=first.amount))
    assert app.session.transient.amount_steps == {}


def test_what_was_refused_is_said_on_the_options() -> None:
    """A line above the button, and the options as they were."""
    app = low_nut()
    raising(app, "shim")
    shown = app.do(do.ReportWork(WorkKind.SHIM, amount=mm(40.0)))
    assert isinstance(shown, views.RaisingView)
    assert shown.refused.endswith("Nothing was kept.") and shown.done


def test_a_new_nut_is_reported_where_it_is_laid_out() -> None:
    """Its own page has the button too, with the minutes that were noted for it."""
    app = low_nut()
    app.do(do.NoteMinutes("new nut", 80))
    shown = new_nut(app)
    assert shown.done == "Done: New nut fitted"
    assert shown.work is not None and shown.work.minutes == 80
    assert sorted(shown.work.strings) == [1, 2, 3, 4, 5, 6]


# --- a new nut ---


def test_a_new_nut_is_laid_out_string_by_string() -> None:
    """A row for each string under the head, from the bass edge; every width is wider than its
    string, and every centre further in than the one before."""
    shown = new_nut(low_nut())
    head, *rows = shown.rows
    assert head == ("String", "Centre", "Width", "Floor", "Depth")
    assert [row[0] for row in rows] == ["6", "5", "4", "3", "2", "1"]
    centres = [float(row[1]) for row in rows]
    assert centres == sorted(centres)
    gauges = {str(s.string): s.gauge.mm / 0.0254 for s in instrument().strings}
    assert all(float(row[2]) > gauges[row[0]] for row in rows)
    assert shown.margins == (
        MarginLine("bass", "Bass edge to string", "3.20 mm"),
        MarginLine("treble", "Treble edge to string", "3.20 mm"),
    )
    assert chosen(shown.spacings) == ["equal gaps"] and shown.trouble == ""


@pytest.mark.parametrize("spacing", list(Spacing))
def test_what_is_kept_equal_is_kept_equal(spacing: Spacing) -> None:
    """Gaps between facing sides, or distances from middle to middle, or wider toward the bass."""
    shown = new_nut(low_nut(), do.SeeNewNut())
    app = low_nut()
    new_nut(app)
    shown = new_nut(app, do.SetSpacing(spacing.value))
    rows = shown.rows[1:]
    centres = [float(row[1]) for row in rows]
    steps = [later - earlier for earlier, later in pairwise(centres)]
    assert chosen(shown.spacings) == [spacing.value]
    if spacing is Spacing.EQUAL_CENTRES:
        assert max(steps) - min(steps) < 0.02
    else:
        assert steps == sorted(steps, reverse=True)


@pytest.mark.parametrize(("edge", "at"), [("bass", 0), ("treble", 1)])
@pytest.mark.parametrize("steps", [-2, -1, 1, 5])
def test_a_margin_is_stepped_by_a_tenth_of_a_millimetre(edge: str, at: int, steps: int) -> None:
    """Its own value and no other."""
    app = low_nut()
    before = new_nut(app).margins
    after = new_nut(app, do.TurnMargin(edge, steps)).margins
    moved = float(after[at].value.split()[0]) - float(before[at].value.split()[0])
    assert moved == pytest.approx(steps / 10)
    assert after[1 - at] == before[1 - at]


def test_a_margin_ends_at_the_edge() -> None:
    """Below nothing there is nothing, and no further in than twenty millimetres."""
    app = low_nut()
    new_nut(app)
    assert new_nut(app, do.TurnMargin("bass", -100)).margins[0].value == "0.00 mm"
    far = new_nut(app, do.TurnMargin("bass", 1000))
    assert far.margins[0].value == "20.00 mm"


def test_strings_that_do_not_fit_are_refused_in_words_and_nothing_is_drawn() -> None:
    """Margins of twenty millimetres on both sides of a nut of forty-three."""
    app = low_nut()
    new_nut(app)
    new_nut(app, do.TurnMargin("bass", 1000))
    shown = new_nut(app, do.TurnMargin("treble", 1000))
    assert shown.trouble and shown.rows == () and shown.lines == ()


@pytest.mark.parametrize(
    ("unit", "across", "rest"), [("thou", "mm", "thou"), ("in", "in", "in"), ("mm", "mm", "mm")]
)
def test_across_the_nut_a_rule_is_read_and_down_in_the_slot_a_gauge(
    unit: str, across: str, rest: str
) -> None:
    """Centres in what a rule shows, widths and depths in the unit of the bench; it is said."""
    app = low_nut()
    app.do(do.SetSetting("unit", unit))
    shown = new_nut(app)
    said = f"Centres in {across} from the bass-side edge, the rest in {rest}."
    assert said in shown.lines[0]
    assert all(line.value.endswith(across) for line in shown.margins)


def test_pairs_have_a_distance_of_their_own() -> None:
    """Between the two strings of a course; where there are none it is not offered."""
    app = fresh_app()
    walking(app, "12-string guitar")
    keys = [line.key for line in new_nut(app).margins]
    assert keys == ["bass", "treble", "pair"]
    assert len(new_nut(app).rows) == 13

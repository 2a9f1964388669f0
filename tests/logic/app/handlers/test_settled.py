"""A settled string records nothing unnamed; a leaf that is not there is said so."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.app.views import views
from logic.app.views.pieces import Prompt
from logic.testing import thou
from shared.events import Kind
from shared.readings import Buzz, Contact
from tests.logic.app.apps import (
    DiscApp,
    fresh_app,
    kinds_recorded,
    leaves_shown,
    measured_at,
    open_document,
    walking,
)

TRUTH = {6: 0.85, 5: 0.5, 4: 0.45, 3: 0.45, 2: 0.42, 1: 0.4}


def walked(app: DiscApp, command: do.Command) -> views.WalkView:
    """What a command leads to, on the walk."""
    shown = app.do(command)
    assert isinstance(shown, views.WalkView)
    return shown


@pytest.mark.parametrize(
    "command", [*map(do.Feel, Contact), *map(do.Hear, (Buzz.NORMAL, Buzz.NONE))], ids=str
)
def test_an_answer_that_nobody_asked_for_is_not_recorded(command: do.Command) -> None:
    """The keys of the answers do nothing on a settled string, and the screen says so."""
    app = measured_at(TRUTH)
    shown = walked(app, do.Walk(6))
    assert shown.settled and shown.prompt is Prompt.DONE
    assert kinds_recorded(app, command) == []
    assert app.announced == "No leaf is asked for here: nothing was recorded."
    assert walked(app, do.Walk(6)) == shown


def test_read_afresh_names_a_leaf_and_takes_the_reading() -> None:
    """The leaf of the kit nearest to the estimate is asked for, large and named; what is felt is
    recorded with it, and what was read before stays."""
    app = measured_at(TRUTH)
    before = open_document(app).readings
    shown = walked(app, sdo.ReadAfresh(6))
    assert shown.prompt is Prompt.LEAF and not shown.settled
    (leaf,) = leaves_shown(shown)
    kit = open_document(app).kit.leaves
    middle = app.session.work.state(6).believed.median
    assert abs(leaf.mm - middle) == min(abs(each.mm - middle) for each in kit)
    assert leaf.mm == pytest.approx(TRUTH[6], abs=0.1)
    app.do(do.Feel(Contact.LIGHT))
    after = open_document(app).readings
    assert after[:-1] == before
    assert after[-1].reading.leaves == (leaf,)


def test_where_something_is_asked_read_afresh_is_the_walk() -> None:
    """A string that was not read yet is asked for as it would be on the walk, with its own leaf:
    the plan need not know whether it is settled."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.LIGHT))
    for string in (4, 1):
        asked = walked(app, do.Walk(string))
        assert not asked.settled and walked(app, sdo.ReadAfresh(string)) == asked
        app.do(do.Feel(Contact.NONE))
        read = walked(app, do.Walk(string))
        assert not read.settled and walked(app, sdo.ReadAfresh(string)) == read


def test_nothing_more_is_named_once_one_has_gone_elsewhere() -> None:
    """*Read afresh* is of this string and this visit to it."""
    app = measured_at(TRUTH)
    app.do(sdo.ReadAfresh(6))
    app.do(do.Walk(5))
    assert walked(app, do.Walk(6)).settled
    assert kinds_recorded(app, do.Feel(Contact.LIGHT)) == []
    app.do(sdo.ReadAfresh(6))
    assert walked(app, do.Walk(6)).settled


def test_next_leads_to_the_string_that_still_asks_and_then_to_the_plan() -> None:
    """The words of the button say where that is, and it leads there, recording no answer."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.LIGHT))
    shown = walked(app, do.Walk(6))
    assert shown.settled and shown.goes_on == "Next: string 5"
    assert kinds_recorded(app, sdo.NextString()) == []
    assert app.session.place.string == 5
    app = measured_at(TRUTH)
    assert walked(app, do.Walk(6)).goes_on == "Next: the plan"
    assert isinstance(app.do(sdo.NextString()), views.PlanView)


def test_after_a_restart_a_settled_string_asks_nothing() -> None:
    """*Read afresh* is no part of the record; without it nothing unnamed is recorded."""
    app = measured_at(TRUTH)
    app.do(sdo.ReadAfresh(6))
    app.session.transient.afresh = None
    assert kinds_recorded(app, do.Feel(Contact.LIGHT)) == []


def test_a_leaf_that_is_not_here_is_left_out_of_this_job_alone() -> None:
    """The next best is asked for and the bench's kit is untouched; one undo puts it back."""
    app = fresh_app()
    first = walking(app)
    assert leaves_shown(first) == (thou(20),)
    assert kinds_recorded(app, sdo.LackLeaf()) == [Kind.JOB_CHANGED]
    shown = walked(app, do.Walk(6))
    assert leaves_shown(shown) != (thou(20),)
    kit = open_document(app).kit
    assert leaves_shown(first)[0] not in kit.leaves and leaves_shown(first)[0] in kit.lost_leaves
    assert app.history.kits() == ()
    again = walked(app, do.Undo())
    assert app.announced == "Taken back: what is in the bag."
    assert leaves_shown(again) == leaves_shown(first)


def test_every_leaf_can_be_missing_and_a_number_is_typed_then() -> None:
    """Without a leaf nothing is asked and nothing recorded by a touch; the walk goes on."""
    app = fresh_app()
    shown = walking(app)
    for _ in range(60):
        if shown.prompt is not Prompt.LEAF:
            break
        shown = walked(app, sdo.LackLeaf())
    assert open_document(app).kit.leaves == () and shown.settled
    assert kinds_recorded(app, do.Feel(Contact.LIGHT)) == []
    assert kinds_recorded(app, sdo.LackLeaf()) == []
    assert app.announced == "No leaf is asked for here: the kit stays as it is."
    app.do(sdo.ReadAfresh(6))
    assert app.announced == "This job's kit has no leaf: type a number instead."
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("20 thou"))
    assert len(open_document(app).readings) == 1


def test_the_walk_says_once_that_the_leaves_are_assumed() -> None:
    """Before the first reading of a job whose kit nobody named, and never after; a bench that has
    said what is there does not hear it."""
    app = fresh_app()
    shown = walking(app)
    assert shown.assumed and shown.status.startswith("Leaves assumed:")
    shown = walked(app, do.Feel(Contact.NONE))
    assert not shown.assumed and not walked(app, do.Walk(5)).assumed
    announced = fresh_app()
    announced.do(do.SeeKit())
    announced.do(do.ToggleLeaf("0.033 in"))
    announced.do(do.GoHome())
    assert not walking(announced).assumed

"""A technician who knows the truth walks every kind of instrument; the plan tells it back."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.commands.string_commands import ReadAfresh
from logic.app.views import views
from logic.jobfiles.reading import kinds
from logic.testing import TRADE
from shared.job import CallKind
from shared.readings import Buzz, Contact
from shared.units import Length
from tests.logic.app.apps import Technician, fresh_app, walking

PER_STRING = 8
"""No string may take more answers than this with the usual kit."""
ON_AVERAGE = 5.0

FATES = {
    "high": (CallKind.LOWER, Buzz.NONE),
    "on target": (CallKind.LEAVE, Buzz.NONE),
    "low and clean": (CallKind.LEAVE, Buzz.NONE),
    "low and buzzing": (CallKind.RAISE, Buzz.SOFT),
}


def true_clearance_mm(fate: str, slot: views.SlotPicture) -> float:
    """A clearance that nobody would argue about."""
    match fate:
        case "high":
            return slot.high_mm + 0.25
        case "on target":
            return slot.target_mm
        case _:
            return slot.low_mm * 0.45


def walk_to_the_plan(kind: str, fates: dict[int, str]) -> tuple[views.PlanView, int]:
    """The plan after a walk of `kind` whose strings are as `fates` say, and the answers taken."""
    app = fresh_app()
    view = walking(app, kind)
    unread = app.do(do.SeePlan())
    assert isinstance(unread, views.PlanView)
    slots = {slot.string: slot for slot in unread.slots}
    assert set(slots) == set(fates)
    hand = Technician(
        {string: true_clearance_mm(fate, slots[string]) for string, fate in fates.items()},
        {string: FATES[fate][1] for string, fate in fates.items()},
    )
    view = app.do(do.Walk())  # type: ignore[assignment]
    shown, given = hand.walk(app, view, most=PER_STRING * len(fates))
    assert isinstance(shown, views.PlanView)
    return shown, given


def strings_of(kind: str) -> list[int]:
    """The strings of the usual instrument of `kind`."""
    view = walking(fresh_app(), kind)
    return [mark.string for mark in view.marks]


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_every_kind_can_be_walked_and_its_plan_tells_the_truth(kind: str) -> None:
    """Strings high, on target, low and clean, low and buzzing in turn get exactly those calls."""
    strings, names = strings_of(kind), list(FATES)
    fates = {string: names[place % len(names)] for place, string in enumerate(strings)}
    plan, given = walk_to_the_plan(kind, fates)
    assert {line.string: line.call for line in plan.lines} == {
        string: FATES[fate][0] for string, fate in fates.items()
    }
    assert given <= ON_AVERAGE * len(strings)


@settings(max_examples=15, deadline=None)
@given(st.tuples(*[st.sampled_from(list(FATES))] * 6))
def test_any_nut_is_told_as_it_is(drawn: tuple[str, ...]) -> None:
    """Whatever stands where on a six-string, each slot gets the call that its truth asks for."""
    fates = dict(zip(range(6, 0, -1), drawn, strict=True))
    plan, given = walk_to_the_plan("electric guitar", fates)
    assert {line.string: line.call for line in plan.lines} == {
        string: FATES[fate][0] for string, fate in fates.items()
    }
    assert given <= ON_AVERAGE * len(fates)


def test_a_slot_that_is_lowered_is_lowered_to_its_target() -> None:
    """The estimate of a high slot is within two hundredths of a millimetre or says how unsure."""
    plan, _ = walk_to_the_plan("electric guitar", dict.fromkeys(range(1, 7), "high"))
    for slot in plan.slots:
        assert slot.least_mm is not None and slot.most_mm is not None
        assert slot.least_mm <= slot.high_mm + 0.25 <= slot.most_mm


def test_the_walk_goes_from_the_bass_side_round_the_nut() -> None:
    """The first string asked is the lowest, and a settled string leads to its neighbour."""
    app = fresh_app()
    view = walking(app)
    assert view.string == 6
    hand = Technician(dict.fromkeys(range(1, 7), 1.2), dict.fromkeys(range(1, 7), Buzz.NONE))
    order = [view.string]
    shown: views.View = view
    while isinstance(shown, views.WalkView):
        shown = app.do(hand.answer(shown))
        if isinstance(shown, views.WalkView) and shown.string != order[-1]:
            order.append(shown.string)
    assert order == [6, 5, 4, 3, 2, 1]


def test_a_settled_string_says_so_and_keeps_its_call_in_the_row() -> None:
    """Going back to a finished string shows its call, not another leaf."""
    app = fresh_app()
    view = walking(app)
    hand = Technician(dict.fromkeys(range(1, 7), 1.2), dict.fromkeys(range(1, 7), Buzz.NONE))
    shown: views.View = view
    while isinstance(shown, views.WalkView) and shown.string == 6:
        shown = app.do(hand.answer(shown))
    settled = app.do(do.Walk(6))
    assert isinstance(settled, views.WalkView)
    assert settled.prompt is views.Prompt.DONE
    assert {mark.string: mark.call for mark in settled.marks}[6] is CallKind.LOWER


def test_answers_that_contradict_ask_for_the_same_leaf_again() -> None:
    """No contact and then heavy contact with one and the same leaf cannot both be true."""
    app = fresh_app()
    shown = app.do(do.SeeKit())
    assert isinstance(shown, views.KitView)
    only = next(choice.key for choice in shown.leaves if Length.parse(choice.key).mm > 0.49)
    for choice in shown.leaves:
        if choice.chosen != (choice.key == only):
            app.do(do.ToggleLeaf(choice.key))
    view = walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.Walk(6))
    app.do(ReadAfresh(6))
    app.do(do.Feel(Contact.HEAVY))
    again = app.do(do.Walk(6))
    assert isinstance(again, views.WalkView)
    assert (again.prompt, again.number) == (views.Prompt.LEAF, view.number)
    plan = app.do(do.SeePlan(6))
    assert isinstance(plan, views.PlanView)
    assert plan.lines[0].call is CallKind.READ_AGAIN

"""What is in the bag decides what the walk asks for."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.desk import commands as do
from logic.desk import views
from logic.desk.desk import Desk
from shared.job import Buzz, CallKind, Contact
from shared.units import Length
from tests.logic.desk.bench import (
    Technician,
    fresh_desk,
    leaves_shown,
    restarted,
    walking,
)


def kit_page(desk: Desk) -> views.KitView:
    """What the kit page shows."""
    shown = desk.do(do.SeeKit())
    assert isinstance(shown, views.KitView)
    return shown


def only_leaves(desk: Desk, wanted: set[str]) -> None:
    """Leave these leaves in the bag and no other."""
    for choice in kit_page(desk).leaves:
        if choice.chosen != (choice.key in wanted):
            desk.do(do.ToggleLeaf(choice.key))


def owned(choices: tuple[views.Choice, ...]) -> set[str]:
    """The sizes that are in the bag."""
    return {choice.key for choice in choices if choice.chosen}


def test_a_leaf_is_put_in_and_taken_out() -> None:
    """Two taps on the same leaf leave the bag as it was; one changes that leaf alone."""
    desk = fresh_desk()
    before = kit_page(desk)
    for choice in before.leaves[:6]:
        once = desk.do(do.ToggleLeaf(choice.key))
        assert isinstance(once, views.KitView)
        assert owned(before.leaves) ^ owned(once.leaves) == {choice.key}
        assert owned(once.files) == owned(before.files)
        twice = desk.do(do.ToggleLeaf(choice.key))
        assert twice == before


def test_a_file_is_put_in_and_taken_out() -> None:
    """The same for files, and leaves are not touched by it."""
    desk = fresh_desk()
    before = kit_page(desk)
    key = before.files[0].key
    once = desk.do(do.ToggleFile(key))
    assert isinstance(once, views.KitView)
    assert owned(before.files) ^ owned(once.files) == {key}
    assert owned(once.leaves) == owned(before.leaves)


def test_the_bag_survives_a_restart() -> None:
    """What was put in and taken out is found again."""
    desk = fresh_desk()
    before = kit_page(desk)
    after = desk.do(do.ToggleLeaf(before.leaves[0].key))
    assert kit_page(restarted(desk)) == after


def test_the_walk_asks_only_for_leaves_in_the_bag() -> None:
    """With three leaves in the bag, nothing else is ever asked for, alone or in a stack."""
    desk = fresh_desk()
    keys = [choice.key for choice in kit_page(desk).leaves]
    wanted = {keys[2], keys[len(keys) // 2], keys[-1]}
    only_leaves(desk, wanted)
    sizes = {Length.parse(key) for key in wanted}
    view: views.View = walking(desk, "bass guitar")
    hand = Technician(dict.fromkeys(range(1, 5), 0.9), dict.fromkeys(range(1, 5), Buzz.NONE))
    asked = 0
    for _ in range(40):
        if not isinstance(view, views.WalkView) or view.prompt is not views.Prompt.LEAF:
            break
        assert set(leaves_shown(view)) <= sizes
        asked += 1
        view = desk.do(hand.answer(view))
    assert asked > 0


def test_taking_out_the_leaf_asked_for_makes_the_next_job_ask_for_another() -> None:
    """The first leaf of a job, once out of the bag, is not what the next job starts with."""
    desk = fresh_desk()
    first = walking(desk)
    (leaf,) = leaves_shown(first)
    key = next(c.key for c in kit_page(desk).leaves if Length.parse(c.key) == leaf)
    desk.do(do.ToggleLeaf(key))
    assert leaf not in leaves_shown(walking(desk))


def test_an_empty_bag_leaves_every_other_answer_possible() -> None:
    """Without a leaf every tap of the walk still ends in a view, and nothing is invented."""
    desk = fresh_desk()
    only_leaves(desk, set())
    view = walking(desk, "bass guitar")
    assert view.prompt is not views.Prompt.LEAF
    taps: list[do.Command] = [*map(do.Feel, Contact), do.Hear(Buzz.NONE), do.Hear(Buzz.SOFT)]
    for tap in taps:
        desk.do(tap)
        desk.do(do.Walk(4))
    job = desk.history.job(view.job)
    assert job is not None
    assert [taken.reading.leaves for taken in job.readings] == [()] * len(job.readings)
    plan = desk.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    assert {line.call for line in plan.lines} <= {CallKind.READ_AGAIN, CallKind.CHECK_FIRST}


@settings(max_examples=10, deadline=None)
@given(picks=st.sets(st.integers(0, 60), max_size=4), data=st.data())
def test_any_small_bag_can_be_walked(picks: set[int], data: st.DataObject) -> None:
    """Whatever few leaves there are, and whatever is answered, the walk ends in a plan."""
    desk = fresh_desk()
    keys = [choice.key for choice in kit_page(desk).leaves]
    only_leaves(desk, {keys[pick % len(keys)] for pick in picks})
    view: views.View = walking(desk, "soprano ukulele")
    for _ in range(60):
        if not isinstance(view, views.WalkView) or view.prompt is views.Prompt.DONE:
            break
        if view.prompt is views.Prompt.LEAF:
            view = desk.do(do.Feel(data.draw(st.sampled_from(Contact))))
        else:
            view = desk.do(do.Hear(data.draw(st.sampled_from([Buzz.NONE, Buzz.SOFT]))))
    assert isinstance(desk.do(do.SeePlan()), views.PlanView)

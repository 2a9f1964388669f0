"""What is in the bag decides what the walk asks for."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.views import views
from shared.job import CallKind
from shared.readings import Buzz, Contact
from shared.units import Length
from tests.logic.app.apps import (
    Technician,
    fresh_app,
    lasting,
    leaves_shown,
    restarted,
    walking,
)


def kit_page(app: App) -> views.KitView:
    """What the kit page shows."""
    shown = app.do(do.SeeKit())
    assert isinstance(shown, views.KitView)
    return shown


def only_leaves(app: App, wanted: set[str]) -> None:
    """Leave these leaves in the bag and no other."""
    for choice in kit_page(app).leaves:
        if choice.chosen != (choice.key in wanted):
            app.do(do.ToggleLeaf(choice.key))


def owned(choices: tuple[views.Choice, ...]) -> set[str]:
    """The sizes that are in the bag."""
    return {choice.key for choice in choices if choice.chosen}


def test_a_leaf_is_put_in_and_taken_out() -> None:
    """Two taps on the same leaf leave the bag as it was; one changes that leaf alone."""
    app = fresh_app()
    before = kit_page(app)
    for choice in before.leaves[:6]:
        once = app.do(do.ToggleLeaf(choice.key))
        assert isinstance(once, views.KitView)
        assert owned(before.leaves) ^ owned(once.leaves) == {choice.key}
        assert owned(once.files) == owned(before.files)
        twice = app.do(do.ToggleLeaf(choice.key))
        assert lasting(twice) == before


def test_a_file_is_put_in_and_taken_out() -> None:
    """The same for files, and leaves are not touched by it."""
    app = fresh_app()
    before = kit_page(app)
    key = before.files[0].key
    once = app.do(do.ToggleFile(key))
    assert isinstance(once, views.KitView)
    assert owned(before.files) ^ owned(once.files) == {key}
    assert owned(once.leaves) == owned(before.leaves)


def test_the_bag_survives_a_restart() -> None:
    """What was put in and taken out is found again."""
    app = fresh_app()
    before = kit_page(app)
    after = app.do(do.ToggleLeaf(before.leaves[0].key))
    assert lasting(kit_page(restarted(app))) == lasting(after)


def test_the_walk_asks_only_for_leaves_in_the_bag() -> None:
    """With three leaves in the bag, nothing else is ever asked for, alone or in a stack."""
    app = fresh_app()
    keys = [choice.key for choice in kit_page(app).leaves]
    wanted = {keys[2], keys[len(keys) // 2], keys[-1]}
    only_leaves(app, wanted)
    sizes = {Length.parse(key) for key in wanted}
    view: views.View = walking(app, "bass guitar")
    hand = Technician(dict.fromkeys(range(1, 5), 0.9), dict.fromkeys(range(1, 5), Buzz.NONE))
    asked = 0
    for _ in range(40):
        if not isinstance(view, views.WalkView) or view.prompt is not views.Prompt.LEAF:
            break
        assert set(leaves_shown(view)) <= sizes
        asked += 1
        view = app.do(hand.answer(view))
    assert asked > 0


def test_taking_out_the_leaf_asked_for_makes_the_next_job_ask_for_another() -> None:
    """The first leaf of a job, once out of the bag, is not what the next job starts with."""
    app = fresh_app()
    first = walking(app)
    (leaf,) = leaves_shown(first)
    key = next(c.key for c in kit_page(app).leaves if Length.parse(c.key) == leaf)
    app.do(do.ToggleLeaf(key))
    assert leaf not in leaves_shown(walking(app))


def test_an_empty_bag_leaves_every_other_answer_possible() -> None:
    """Without a leaf every tap of the walk still ends in a view, and nothing is invented."""
    app = fresh_app()
    only_leaves(app, set())
    view = walking(app, "bass guitar")
    assert view.prompt is not views.Prompt.LEAF
    taps: list[do.Command] = [*map(do.Feel, Contact), do.Hear(Buzz.NONE), do.Hear(Buzz.SOFT)]
    for tap in taps:
        app.do(tap)
        app.do(do.Walk(4))
    job = app.history.job(view.job)
    assert job is not None
    assert [taken.reading.leaves for taken in job.readings] == [()] * len(job.readings)
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    assert {line.call for line in plan.lines} <= {CallKind.READ_AGAIN, CallKind.CHECK_FIRST}


@settings(max_examples=10, deadline=None)
@given(picks=st.sets(st.integers(0, 60), max_size=4), data=st.data())
def test_any_small_bag_can_be_walked(picks: set[int], data: st.DataObject) -> None:
    """Whatever few leaves there are, and whatever is answered, the walk ends in a plan."""
    app = fresh_app()
    keys = [choice.key for choice in kit_page(app).leaves]
    only_leaves(app, {keys[pick % len(keys)] for pick in picks})
    view: views.View = walking(app, "soprano ukulele")
    for _ in range(60):
        if not isinstance(view, views.WalkView) or view.prompt is views.Prompt.DONE:
            break
        if view.prompt is views.Prompt.LEAF:
            view = app.do(do.Feel(data.draw(st.sampled_from(Contact))))
        else:
            view = app.do(do.Hear(data.draw(st.sampled_from([Buzz.NONE, Buzz.SOFT]))))
    assert isinstance(app.do(do.SeePlan()), views.PlanView)


# --- marks, several bags, what to buy next ---


def detail_of(choices: tuple[views.Choice, ...], key: str) -> str:
    """The word at one tool."""
    return next(choice.detail for choice in choices if choice.key == key)


def test_a_lost_leaf_is_not_asked_for_even_in_a_job_that_is_open() -> None:
    """The leaf that the walk asks for is marked lost: the same job then asks for another."""
    app = fresh_app()
    shown = walking(app)
    (leaf,) = leaves_shown(shown)
    key = next(c.key for c in kit_page(app).leaves if Length.parse(c.key) == leaf)
    marked = app.do(do.MarkTool("leaf", key, "lost"))
    assert isinstance(marked, views.KitView)
    assert detail_of(marked.leaves, key) == "lost"
    assert key not in owned(marked.leaves)
    again = app.do(do.OpenJob(shown.job))
    assert isinstance(again, views.WalkView)
    assert leaf not in leaves_shown(again)


def test_a_mark_is_taken_away_by_the_same_touch() -> None:
    """Lost and found, worn and replaced: the bag is then as it was."""
    app = fresh_app()
    before = kit_page(app)
    file = next(choice.key for choice in before.files if choice.chosen)
    for marking in ("lost", "worn"):
        once = app.do(do.MarkTool("file", file, marking))
        assert isinstance(once, views.KitView)
        assert detail_of(once.files, file) == marking
        assert lasting(app.do(do.MarkTool("file", file, marking))) == lasting(before)


def test_a_leaf_that_was_lost_and_is_put_in_again_is_lost_no_more() -> None:
    """Nothing is in the bag and lost at once."""
    app = fresh_app()
    before = kit_page(app)
    leaf = next(choice.key for choice in before.leaves if choice.chosen)
    app.do(do.MarkTool("leaf", leaf, "lost"))
    assert lasting(app.do(do.ToggleLeaf(leaf))) == before


def test_what_cannot_be_marked_is_said_and_nothing_is_kept() -> None:
    """A leaf that is not in the bag cannot be lost, and no leaf wears out like a file."""
    app = fresh_app()
    before = kit_page(app)
    missing = next(choice.key for choice in before.leaves if not choice.chosen)
    here = next(choice.key for choice in before.leaves if choice.chosen)
    for leaf, marking, said in ((missing, "lost", "no leaf"), (here, "worn", "only files wear")):
        shown = app.do(do.MarkTool("leaf", leaf, marking))
        assert isinstance(shown, views.KitView)
        assert said in shown.trouble
        assert (shown.leaves, shown.files) == (before.leaves, before.files)


def test_a_worn_file_is_named_as_such_before_its_strokes() -> None:
    """The cut still offers it, with the word."""
    app = fresh_app()
    walking(app)
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.9 mm"))
    shown = app.do(do.CutSlot(6))
    while not isinstance(shown, views.CutView):
        shown = app.do(do.Feel(Contact.LIGHT))
    for choice in kit_page(app).files:
        if choice.chosen:
            app.do(do.MarkTool("file", choice.key, "worn"))
    again = app.do(do.OpenJob(shown.job))
    assert isinstance(again, views.CutView)
    assert "worn" in again.spoken and "worn" not in shown.spoken


def test_each_bag_keeps_its_own_and_the_one_in_hand_goes_into_new_jobs() -> None:
    """A leaf taken out of the tour case stays on the bench; a job opened on tour lacks it."""
    app = fresh_app()
    bench = kit_page(app)
    leaf = next(choice.key for choice in bench.leaves if choice.chosen)
    app.do(do.UseKit("tour"))
    tour = app.do(do.ToggleLeaf(leaf))
    assert isinstance(tour, views.KitView)
    assert [bag.key for bag in tour.bags if bag.chosen] == ["tour"]
    assert leaf not in owned(tour.leaves)
    job = app.history.job(walking(app).job)
    assert job is not None and Length.parse(leaf) not in job.kit.leaves
    again = restarted(app)
    assert kit_page(again).bags == tour.bags
    home = again.do(do.UseKit("bench"))
    assert isinstance(home, views.KitView)
    assert owned(home.leaves) == owned(bench.leaves)


def test_shims_fills_and_blanks_are_kept() -> None:
    """Each is put in and taken out by a touch."""
    app = fresh_app()
    before = kit_page(app)
    for sort in ("shims", "fills", "blanks"):
        choice = getattr(before, sort)[-1]
        once = app.do(do.ToggleStock(sort, choice.key))
        assert owned(getattr(before, sort)) ^ owned(getattr(once, sort)) == {choice.key}
        assert lasting(app.do(do.ToggleStock(sort, choice.key))) == before


def test_what_to_buy_next_comes_from_this_bench_s_jobs() -> None:
    """With no job nothing was missed; a wide string and one thin file make a file the advice."""
    app = fresh_app()
    app.do(do.SeeKit())
    nothing = app.do(do.AdviseKit())
    assert isinstance(nothing, views.KitView)
    assert nothing.advice == ("Nothing to go by yet: no job has been measured.",)
    for choice in kit_page(app).files[1:]:
        if choice.chosen:
            app.do(do.ToggleFile(choice.key))
    walking(app)
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.9 mm"))
    assert kit_page(app).advice == ()
    advised = app.do(do.AdviseKit())
    assert isinstance(advised, views.KitView)
    assert any(line.startswith("File of") and "1 job" in line for line in advised.advice)

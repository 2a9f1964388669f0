"""A kit is said in a few taps, taken back by one, and never taken for granted."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.commands.string_commands import LackLeaf
from logic.app.presenters.kit import kit_of
from logic.app.views import views
from logic.bench.kit.assumed import kit_is_assumed
from logic.testing import TRADE, mm, thou, usual_kit
from shared.events import Kind
from shared.kit import Kit
from shared.readings import Buzz
from shared.units import Length
from tests.logic.app.apps import (
    Technician,
    fresh_app,
    leaves_shown,
    open_document,
    recording,
    restarted,
    start,
    walking,
)
from tests.logic.app.test_kit import kit_page, owned

MOST_TAPS, MOST_FOR_A_SET = 17, 5
"""From home, for any eight leaves and six files, and for a set of each (the client's figures)."""
OFFERED = TRADE.kit_sizes


class Thumb:
    """Taps what the kit's screen offers, and counts."""

    def __init__(self, app: App) -> None:
        self.app, self.taps = app, 0
        app.do(do.GoHome())
        self.view = self.tap(do.SeeKit())

    def tap(self, command: do.Command) -> views.View:
        """One tap, and what it leads to."""
        self.taps += 1
        self.view = self.app.do(command)
        return self.view

    @property
    def page(self) -> views.KitView:
        """The kit's screen, which must be what is shown."""
        assert isinstance(self.view, views.KitView)
        return self.view

    def take(self, wanted: set[tuple[str, Length]]) -> None:
        """Tick what is wanted on the list that is shown."""
        for sort, toggle in (("leaves", do.ToggleLeaf), ("files", do.ToggleFile)):
            for choice in getattr(self.page, sort):
                if (sort, Length.parse(choice.key)) in wanted and not choice.chosen:
                    self.tap(toggle(choice.key))


def bench(unit: str) -> App:
    """An app that reads this unit."""
    app = fresh_app()
    app.do(do.SetSetting("unit", unit))
    return app


@settings(max_examples=12, deadline=None)
@given(
    leaves=st.sets(st.sampled_from(OFFERED.leaves), min_size=8, max_size=8),
    files=st.sets(st.sampled_from(OFFERED.files), min_size=6, max_size=6),
    unit=st.sampled_from(["thou", "in", "mm"]),
)
def test_any_eight_leaves_and_six_files_are_said_in_seventeen_taps(
    leaves: set[Length], files: set[Length], unit: str
) -> None:
    """Thousandths and millimetres mixed as they like: nothing more and nothing less is in it."""
    thumb = Thumb(bench(unit))
    thumb.tap(do.EmptyKit())
    wanted = {("leaves", size) for size in leaves} | {("files", size) for size in files}
    thumb.take(wanted)
    kit = kit_of(thumb.app.history, TRADE)
    if (set(kit.leaves), set(kit.files)) != (leaves, files):
        (other,) = (choice.key for choice in thumb.page.scales if not choice.chosen)
        thumb.tap(do.ShowSizes(other))
        thumb.take(wanted)
        kit = kit_of(thumb.app.history, TRADE)
    assert (set(kit.leaves), set(kit.files)) == (leaves, files)
    assert thumb.taps <= MOST_TAPS
    assert not thumb.page.assumed


@pytest.mark.parametrize("unit", ["thou", "mm"])
def test_a_common_set_is_said_in_five_taps(unit: str) -> None:
    """Any set of leaves with any set of files of the same system, on a bench of either."""
    sets = OFFERED.sets
    leaves = [name for name, row in sets.items() if row.tool == "leaf"]
    files = [name for name, row in sets.items() if row.tool == "file"]
    pairs = [(a, b) for a, b in product(leaves, files) if a.split()[-1] == b.split()[-1]]
    assert len(pairs) >= 12
    for leaf_set, file_set in pairs:
        thumb = Thumb(bench(unit))
        if leaf_set not in {choice.key for choice in thumb.page.sets}:
            thumb.tap(do.ShowSizes(leaf_set.split()[-1]))
        thumb.tap(do.TakeSet(leaf_set))
        thumb.tap(do.TakeSet(file_set))
        assert owned(thumb.page.sets) >= {leaf_set, file_set}
        assert isinstance(thumb.tap(do.Back()), views.HomeView)
        kit = kit_of(thumb.app.history, TRADE)
        assert kit.leaves == tuple(sorted(sets[leaf_set].sizes))
        assert kit.files == tuple(sorted(sets[file_set].sizes))
        assert thumb.taps <= MOST_FOR_A_SET


def test_a_set_is_added_to_what_was_said_and_taken_out_again() -> None:
    """Of what nobody named nothing stays; of what somebody named everything does."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.EmptyKit())
    app.do(do.ToggleLeaf("0.036 in"))
    with_set = app.do(do.TakeSet("leaves 13 thou"))
    assert isinstance(with_set, views.KitView)
    assert len(owned(with_set.leaves)) == 14 and "0.036 in" in owned(with_set.leaves)
    without = app.do(do.TakeSet("leaves 13 thou"))
    assert isinstance(without, views.KitView)
    assert owned(without.leaves) == {"0.036 in"}
    shown, recorded = recording(app, do.TakeSet("a set of pans"))
    assert recorded == [] and isinstance(shown, views.KitView)


# --- sizes of one's own ---


@pytest.mark.parametrize(
    ("pad", "typed", "size"),
    [
        ("kit leaf", "0.22 mm", mm(0.22)),
        ("kit leaf", "18.5 thou", thou(18.5)),
        ("kit file", "0.0155 in", thou(15.5)),
        ("kit shim", "0.12 mm", mm(0.12)),
    ],
)
def test_a_size_of_one_s_own_is_typed_with_its_unit(pad: str, typed: str, size: Length) -> None:
    """It stands on the list of its system, reads as it was typed, and outlives a restart."""
    app = fresh_app()
    app.do(do.SeeKit())
    assert isinstance(app.do(do.TypeNumber(pad)), views.TypeView)
    shown = app.do(do.NumberTyped(typed))
    assert isinstance(shown, views.KitView)
    sort = {"leaf": "leaves", "file": "files", "shim": "shims"}[pad.split()[1]]
    assert size in getattr(kit_of(app.history, TRADE), sort)
    assert shown.changed == f"{Wordings[size]} {pad.split()[1]} put in."
    again = restarted(app)
    again.do(do.SeeKit())
    listed = again.do(do.ShowSizes("mm" if typed.endswith("mm") else "thou"))
    assert size in {Length.parse(key) for key in owned(getattr(listed, sort))}


Wordings = {mm(0.22): "0.22 mm", thou(18.5): "18.5 thou", thou(15.5): "15.5 thou"}
Wordings[mm(0.12)] = "0.12 mm"


@pytest.mark.parametrize(
    ("pad", "typed", "said"),
    [
        ("kit leaf", "12 mm", "leaf"),
        ("kit leaf", "0.001 mm", "leaf"),
        ("kit leaf", "18 mm", "18 thou"),
        ("kit leaf", "0 mm", "leaf"),
        ("kit leaf", " mm", "Write a number"),
        ("kit file", "46 mm", "46 thou"),
        ("kit shim", "9 mm", "shim"),
    ],
)
def test_a_size_that_cannot_be_is_refused_in_one_line(pad: str, typed: str, said: str) -> None:
    """The pad stays, says what is odd, and the kit is as it was."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.TypeNumber(pad))
    shown, recorded = recording(app, do.NumberTyped(typed))
    assert recorded == []
    assert isinstance(shown, views.TypeView)
    assert said in shown.trouble and "\n" not in shown.trouble
    assert isinstance(app.do(do.Back()), views.KitView)


def test_a_size_that_is_here_is_not_put_in_twice() -> None:
    """Typed in another unit it is the same leaf, and that is said."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.TypeNumber("kit leaf"))
    shown, recorded = recording(app, do.NumberTyped("0.020 in"))
    assert recorded == []
    assert isinstance(shown, views.KitView) and shown.changed == "20 thou is here already."


# --- nobody's kit is assumed without a word ---


def test_what_nobody_said_is_said_to_be_assumed_until_it_is_said() -> None:
    """The job carries it: before a word, after *all of it is here*, and after a set of leaves."""
    app = fresh_app()
    start(app)
    assert kit_is_assumed(open_document(app).kit, TRADE)
    assert "Nobody has said yet" in kit_page(app).assumed
    shown = app.do(do.ConfirmKit())
    assert isinstance(shown, views.KitView) and not shown.assumed
    assert "It holds in 1 open job too." in shown.changed
    start(app)
    assert not kit_is_assumed(open_document(app).kit, TRADE)
    assert open_document(app).kit.leaves == usual_kit().leaves


def test_leaves_that_were_named_leave_the_files_assumed() -> None:
    """One sort of tool says nothing of another."""
    app = fresh_app()
    app.do(do.SeeKit())
    shown = app.do(do.TakeSet("leaves 26 thou"))
    assert isinstance(shown, views.KitView)
    assert "files are assumed" in shown.assumed and "leaves" not in shown.assumed


def test_a_metric_bench_is_assumed_a_metric_drawer() -> None:
    """Its leaves read in twentieths of a millimetre, on the kit's screen and on the walk."""
    app = bench("mm")
    shown = kit_page(app)
    assert shown.unit == "mm" and "0.45" in {c.label for c in shown.leaves if c.chosen}
    walk = walking(app)
    assert walk.unit == "mm" and len(walk.number) == 4


def test_a_job_on_record_since_before_tells_that_its_kit_was_assumed() -> None:
    """Older versions kept the usual drawer in the job and no word of it; a kit that they kept as
    the bench's own, under that drawer's name, has the leaves that were changed as named."""
    app = fresh_app()
    kit = usual_kit()
    changed = kit.model_copy(update={"leaves": kit.leaves[3:]})
    app.history.record(Kind.KIT_SAVED, {"kit": "bench", "value": changed.model_dump(mode="json")})
    assert not kit_is_assumed(kit_of(app.history, TRADE), TRADE)
    shown = kit_page(app)
    assert len(owned(shown.leaves)) == len(kit.leaves) - 3
    assert "files are assumed" in shown.assumed and shown.can_undo


# --- undo ---

TOUCHES: tuple[do.Command, ...] = (
    *(do.ToggleLeaf("0.020 in"), do.ToggleFile("0.046 in"), do.ToggleLeaf("0.25 mm")),
    *(do.ToggleStock("shims", "0.2 mm"), do.ToggleStock("fills", "bone dust")),
    *(do.TakeSet("leaves 20 mm"), do.TakeSet("files bass thou"), do.EmptyKit()),
    *(do.MarkTool("leaf", "0.010 in", "lost"), do.MarkTool("file", "0.026 in", "worn")),
    do.ConfirmKit(),
)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.sampled_from(TOUCHES), min_size=1, max_size=6))
def test_undo_goes_back_step_by_step_and_says_each(touches: list[do.Command]) -> None:
    """Whatever was touched: each undo brings the kit before it, in the open job too, and names what
    it took back; with nothing left it says so."""
    app = fresh_app()
    start(app)
    job = app.session.place.job
    app.do(do.SeeKit())
    kits = []
    for touch in touches:
        before = kit_of(app.history, TRADE)
        _, recorded = recording(app, touch)
        kits += [before] if recorded else []
    for before in reversed(kits):
        assert kit_page_shown(app).can_undo
        app.do(do.Undo())
        assert app.session.transient.announced.startswith("Taken back: ")
        assert kit_of(app.history, TRADE) == before
        document = app.history.job(job)
        assert document is not None and document.kit == before
    app.do(do.Undo())
    assert "Nothing" in app.session.transient.announced
    assert not kit_page_shown(app).can_undo


def kit_page_shown(app: App) -> views.KitView:
    """The kit's screen as it stands."""
    shown = app.view()
    assert isinstance(shown, views.KitView)
    return shown


def test_what_was_taken_back_is_named_by_its_size() -> None:
    """One leaf by its thickness, a whole kit by how many it held."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.ToggleLeaf("0.25 mm"))
    app.do(do.Undo())
    assert app.session.transient.announced == "Taken back: 0.25 mm leaf put in."
    app.do(do.EmptyKit())
    app.do(do.Undo())
    assert "27 leaves taken out, 22 files taken out" in app.session.transient.announced


# --- jobs and kits ---


def test_a_job_that_works_out_of_another_kit_takes_this_one_when_told() -> None:
    """A job opened with the bench's kit keeps it on tour until the technician says otherwise."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.ConfirmKit())
    start(app)
    kept = open_document(app).kit
    app.do(do.SeeKit())
    app.do(do.UseKit("tour"))
    shown = app.do(do.TakeSet("leaves 13 mm"))
    assert isinstance(shown, views.KitView)
    (line,) = app.history.open_jobs()
    document = app.history.job(line.id)
    assert document is not None and document.kit != kept  # it had been the same kit till now
    app.do(do.UseKit("bench"))
    offered = kit_page(app)
    assert "open job" in offered.elsewhere
    taken = app.do(do.KitIntoJobs())
    assert isinstance(taken, views.KitView) and not taken.elsewhere
    document = app.history.job(line.id)
    assert document is not None and document.kit == kit_of(app.history, TRADE)


def test_a_leaf_that_is_gone_for_good_is_gone_from_the_kit_and_is_to_be_bought() -> None:
    """Not at hand on the walk: this job alone does without it. Marked lost: so does the kit, and
    what to buy next names it."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.EmptyKit())
    for size in ("0.014 in", "0.018 in", "0.022 in"):
        app.do(do.ToggleLeaf(size))
    (leaf,) = leaves_shown(walking(app))
    app.do(LackLeaf())
    assert leaf not in open_document(app).kit.leaves
    assert leaf in kit_of(app.history, TRADE).leaves
    (listed,) = (c for c in kit_page(app).leaves if Length.parse(c.key) == leaf)
    app.do(do.MarkTool("leaf", listed.key, "lost"))
    kit = kit_of(app.history, TRADE)
    assert leaf not in kit.leaves and leaf in kit.lost_leaves
    (lost,) = (choice for choice in kit_page(app).leaves if choice.detail == "lost")
    assert Length.parse(lost.key) == leaf
    advised = app.do(do.AdviseKit())
    assert isinstance(advised, views.KitView)
    assert f"Leaf of {lost.label} thou: marked lost." in advised.advice


@settings(max_examples=12, deadline=None)
@given(
    sizes=st.sets(st.sampled_from([s for s in OFFERED.leaves if str(s).endswith("mm")]), min_size=1)
)
def test_with_metric_leaves_the_walk_asks_only_for_what_is_there(sizes: set[Length]) -> None:
    """Whatever metric leaves there are, on a bench that reads thousandths: it is asked for no
    other, alone or two together, each in millimetres."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.EmptyKit())
    for size in sorted(sizes):
        app.do(do.ToggleLeaf(str(size)))
    view: views.View = walking(app, "soprano ukulele")
    hand = Technician(dict.fromkeys(range(1, 5), 0.55), dict.fromkeys(range(1, 5), Buzz.NONE))
    for _ in range(40):
        if not isinstance(view, views.WalkView) or view.prompt is views.Prompt.DONE:
            break
        if view.prompt is views.Prompt.LEAF:
            assert view.unit == "mm" and set(leaves_shown(view)) <= sizes
        view = app.do(hand.answer(view))


def test_kits_of_two_devices_are_two_kits() -> None:
    """What is put into one is not in the other, nor is it taken back there."""
    app = fresh_app()
    app.do(do.SeeKit())
    app.do(do.TakeSet("leaves 8 mm"))
    app.do(do.UseKit("tour"))
    app.do(do.EmptyKit())
    tour = app.do(do.Undo())
    assert isinstance(tour, views.KitView) and not tour.can_undo
    assert kit_of(app.history, TRADE).leaves == OFFERED.sets["leaves 8 mm"].sizes
    app.do(do.UseKit("bench"))
    app.do(do.Undo())
    assert kit_of(app.history, TRADE) == usual_kit()
    assert isinstance(kit_of(app.history, TRADE), Kit)

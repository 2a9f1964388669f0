"""The kit as a view: every size of the trade, what is here, what is lost or worn, and in words."""

from __future__ import annotations

from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.presenters.kit import BENCH_KIT, KitTouches, kit_in_hand, kit_of, kit_view
from logic.app.views import views
from logic.app.wording.wording import Wording
from logic.bench.kit.advice import Tool
from logic.bench.kit.contents import toggled
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from logic.testing import TRADE, mm, thou, usual_kit
from shared.events import Kind
from shared.kit import Kit
from shared.units import Length, Unit
from tests.logic.app.apps import DiscApp, fresh_app
from tests.logic.app.commands.test_commands import chosen

SMALL = Kit(
    leaves=(thou(10), thou(20)), files=(thou(10), thou(46)), shims=(mm(0.1),), fills=("bone dust",)
)


def history_with(kit: Kit, name: str = BENCH_KIT) -> History:
    """A history in which this kit is kept under this name."""
    history = History.open(MemoryDirectory())
    history.record(Kind.KIT_SAVED, {"kit": name, "value": kit})
    return history


def shown_kit(kit: Kit, bench: Unit = Unit.THOU, **fields: Any) -> views.KitView:
    """The view of this kit, on this bench."""
    history = history_with(kit)
    history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": bench.value})
    return kit_view(history, TRADE, Wording(bench), KitTouches(**fields))


def touched(app: DiscApp, command: do.Command) -> views.KitView:
    """What a touch on the kit leads to."""
    shown = app.do(command)
    assert isinstance(shown, views.KitView)
    return shown


def test_a_bench_that_said_nothing_has_the_usual_kit() -> None:
    """Everything usual is ticked, nothing is lost or worn, and the first of two kits is in hand."""
    history = History.open(MemoryDirectory())
    shown = kit_view(history, TRADE, Wording())
    usual = usual_kit()
    assert chosen(shown.leaves) == [str(size) for size in usual.leaves]
    assert "Nobody has said yet" in shown.assumed
    assert chosen(shown.files) == [str(size) for size in usual.files]
    assert chosen(shown.shims) == [str(size) for size in usual.shims]
    details = {each.detail for each in (*shown.leaves, *shown.files, *shown.shims)}
    assert details == {""}
    assert [(each.key, each.label, each.chosen) for each in shown.bags] == [
        ("bench", "Bench", True),
        ("tour", "Tour case", False),
    ]
    assert (shown.advice, shown.trouble, shown.marking) == ((), "", "in")


def test_a_kit_that_was_filled_is_the_one_that_is_ticked() -> None:
    """Its own sizes and no others, in order of size, beside all that can be put in."""
    shown = shown_kit(SMALL)
    assert [each.label for each in shown.leaves if each.chosen] == ["10", "20"]
    assert len(shown.leaves) > 20 and len(shown.files) > 20
    sizes = [Length.parse(each.key).mm for each in shown.leaves]
    assert sizes == sorted(sizes)
    assert chosen(shown.fills) == ["bone dust"] and chosen(shown.blanks) == []
    assert shown.summary == "In this kit: 2 leaves and 2 files."


@pytest.mark.parametrize(
    ("unit", "label", "read"),
    [
        (Unit.THOU, "20", "thou"),
        (Unit.INCH, "0.020", "in"),
        (Unit.MM, "20", "thou"),
    ],
)
def test_sizes_read_as_they_are_marked_and_keep_their_keys(
    unit: Unit, label: str, read: str
) -> None:
    """What a touch gives is the size as it is kept, whatever it reads like; thousandths stay
    thousandths on a bench that reads millimetres."""
    shown, plain = shown_kit(SMALL, unit), shown_kit(SMALL)
    assert label in {each.label for each in shown.leaves if each.chosen}
    assert [each.key for each in shown.leaves] == [each.key for each in plain.leaves]
    assert shown.unit == read


@pytest.mark.parametrize("bench", [Unit.THOU, Unit.INCH, Unit.MM])
def test_metric_leaves_read_in_millimetres_on_every_bench(bench: Unit) -> None:
    """A leaf of 0.25 mm is one of 0.25 mm, never of 9.8 thou; so is a shim."""
    kit = SMALL.model_copy(update={"leaves": (mm(0.25), mm(0.5)), "files": (mm(0.3),)})
    shown = shown_kit(kit, bench)
    assert [each.label for each in shown.leaves if each.chosen] == ["0.25", "0.50"]
    assert [each.label for each in shown.shims if each.chosen] == ["0.10"]
    assert (shown.unit, chosen(shown.scales)) == ("mm", ["mm"])
    assert [each.detail for each in shown.scales] == ["none in it", "3 in it"]


def test_sizes_of_the_other_system_are_one_touch_away() -> None:
    """Both lists together hold every size of the trade and every one that is here."""
    kit = SMALL.model_copy(update={"leaves": (mm(0.25), thou(20))})
    thousandths, metric = (shown_kit(kit, unit=unit) for unit in ("thou", "mm"))
    both = [Length.parse(each.key) for view in (thousandths, metric) for each in view.leaves]
    assert set(both) == {*TRADE.kit_sizes.leaves, *kit.leaves} and len(both) == len(set(both))
    for view, here in ((thousandths, "20"), (metric, "0.25")):
        assert [each.label for each in view.leaves if each.chosen] == [here]
    sets = [each.key for view in (thousandths, metric) for each in view.sets]
    assert sorted(sets) == sorted(TRADE.kit_sizes.sets)


def test_a_size_that_the_trade_does_not_list_is_shown_where_it_is_owned() -> None:
    """A leaf that somebody ground to 31 thou stands among the others."""
    shown = shown_kit(SMALL.model_copy(update={"leaves": (thou(31),)}))
    assert [each.label for each in shown.leaves if each.chosen] == ["31"]


@pytest.mark.parametrize(
    ("marks", "detail", "summary"),
    [
        ({"lost_leaves": (thou(10),)}, "lost", "1 lost"),
        ({"worn_files": (thou(46),)}, "worn", "1 worn"),
        (
            {"lost_leaves": (thou(10),), "lost_files": (thou(10),), "worn_files": (thou(46),)},
            "lost",
            "2 lost, 1 worn",
        ),
    ],
)
def test_what_is_lost_or_worn_says_so_and_is_counted(
    marks: dict[str, Any], detail: str, summary: str
) -> None:
    """On the tool itself and in the one line over all."""
    shown = shown_kit(SMALL.model_copy(update=marks))
    tools = (*shown.leaves, *shown.files, *shown.shims)
    assert detail in {each.detail for each in tools}
    assert summary in shown.summary


@pytest.mark.parametrize(
    ("sizes", "text", "after"),
    [
        ((), "10 thou", ("10 thou",)),
        (("10 thou",), "10 thou", ()),
        (("20 thou",), "10 thou", ("10 thou", "20 thou")),
        (("10 thou",), "0.010 in", ()),
        (("10 thou",), "0.254 mm", ()),
    ],
)
def test_a_touch_puts_in_or_takes_out(
    sizes: tuple[str, ...], text: str, after: tuple[str, ...]
) -> None:
    """The same length in another unit is the same tool; the rest stays in order of size."""
    kit = Kit(leaves=tuple(map(Length.parse, sizes)))
    found = toggled(kit, Tool.LEAF, Length.parse(text))
    assert found.leaves == tuple(map(Length.parse, after))


def test_what_each_touch_does_is_one_of_three_and_is_said() -> None:
    """In or out, lost, worn: the one that is set is chosen."""
    shown = shown_kit(SMALL, marking="worn")
    assert [each.key for each in shown.markings] == ["in", "lost", "worn"]
    assert shown.marking == "worn"


def test_advice_and_trouble_are_handed_through() -> None:
    """Sentences that were made elsewhere stand as they are."""
    shown = shown_kit(SMALL, advice=("Buy a leaf.",), trouble="That cannot be.")
    assert (shown.advice, shown.trouble) == (("Buy a leaf.",), "That cannot be.")


def test_the_kit_in_hand_is_one_that_is_there() -> None:
    """A name that a newer version kept, or that is not a text, means the bench's own."""
    history = history_with(SMALL)
    for value in ("tour", "bench", "no such kit", 4, None):
        history.record(Kind.SETTING_CHANGED, {"name": "bag", "value": value})
        assert kit_in_hand(history) == (value if value in ("tour", "bench") else BENCH_KIT)


def test_a_kit_that_nobody_filled_holds_what_the_bench_has() -> None:
    """The tour case begins as a copy of the bench's, until something is taken out of it."""
    history = history_with(SMALL)
    history.record(Kind.SETTING_CHANGED, {"name": "bag", "value": "tour"})
    assert kit_of(history, TRADE) == SMALL
    other = SMALL.model_copy(update={"leaves": ()})
    history.record(Kind.KIT_SAVED, {"kit": "tour", "value": other})
    assert kit_of(history, TRADE) == other


def test_a_kit_of_another_bench_comes_in_under_its_own_name() -> None:
    """Taken in with a history, it can be worked out of, and reads as it was called there."""
    history = history_with(SMALL.model_copy(update={"name": "Van"}), "van-1")
    shown = kit_view(history, TRADE, Wording())
    assert ("van-1", "Van") in {(each.key, each.label) for each in shown.bags}


def test_in_german_the_kit_is_in_german() -> None:
    """Kits, marks and stock; sizes keep their keys."""
    app = fresh_app()
    app.do(do.SetSetting("language", "de"))
    shown = touched(app, do.SeeKit())
    assert shown.fills[0].label == "Knochenstaub" and shown.fills[0].key == "bone dust"
    assert [each.label for each in shown.markings] != ["In or out", "Lost", "Worn"]


@pytest.mark.parametrize("sort", ["shims", "fills", "blanks"])
def test_stock_is_put_in_and_taken_out_again(sort: str) -> None:
    """Two touches on the same thing leave the kit as it was."""
    app = fresh_app()
    before = touched(app, do.SeeKit())
    (first, *_) = getattr(before, sort)
    once = touched(app, do.ToggleStock(sort, first.key))
    assert (first.key in chosen(getattr(once, sort))) is not first.chosen
    twice = touched(app, do.ToggleStock(sort, first.key))
    assert chosen(getattr(twice, sort)) == chosen(getattr(before, sort))


@pytest.mark.parametrize(
    ("tool", "size", "marking", "again"),
    [
        ("leaf", "0.02 in", "lost", ""),
        ("file", "0.046 in", "lost", ""),
        ("shim", "0.2 mm", "lost", ""),
        ("file", "0.046 in", "worn", ""),
    ],
)
def test_the_same_touch_takes_a_mark_away(tool: str, size: str, marking: str, again: str) -> None:
    """Lost and found, worn and replaced: afterwards the kit says nothing of it."""
    app = fresh_app()
    app.do(do.SeeKit())
    rows = {"leaf": "leaves", "file": "files", "shim": "shims"}[tool]

    def detail(shown: views.KitView) -> str:
        return next(each.detail for each in getattr(shown, rows) if each.key == size)

    assert detail(touched(app, do.MarkTool(tool, size, marking))) == marking
    assert detail(touched(app, do.MarkTool(tool, size, marking))) == again

"""Whether anybody has said what is in a kit."""

from __future__ import annotations

import pytest

from logic.bench.instrument.presets import preset_kit
from logic.bench.kit.advice import Tool
from logic.bench.kit.assumed import (
    assumed_tools,
    assumption_in_words,
    emptied,
    kit_is_assumed,
    said_to_be_here,
)
from logic.bench.kit.wear import lose
from logic.testing import TRADE, thou
from shared.kit import Kit


@pytest.mark.parametrize("metric", [False, True])
def test_a_usual_drawer_is_assumed_until_somebody_confirms_it(metric: bool) -> None:
    """The same sizes, confirmed, are nobody's assumption any more."""
    usual = preset_kit(TRADE, metric=metric)
    assert assumed_tools(usual, TRADE) == tuple(Tool)
    assert assumed_tools(said_to_be_here(usual, TRADE), TRADE) == ()
    assert said_to_be_here(usual, TRADE).leaves == usual.leaves


def test_each_sort_of_tool_is_assumed_by_itself() -> None:
    """Whoever names the leaves has said nothing about the files."""
    named = preset_kit(TRADE).model_copy(update={"leaves": (thou(10), thou(20))})
    assert not kit_is_assumed(named, TRADE)
    assert kit_is_assumed(named, TRADE, Tool.FILE)
    assert assumption_in_words(named, TRADE) == ""
    assert "files are assumed" in assumption_in_words(named, TRADE, Tool.FILE)


def test_a_leaf_that_is_lost_says_nothing_of_the_others() -> None:
    """Of a drawer that was assumed one leaf is gone: the rest is assumed as before."""
    usual = preset_kit(TRADE)
    assert kit_is_assumed(lose(usual, Tool.LEAF, usual.leaves[3]), TRADE)


def test_an_empty_kit_and_one_of_one_s_own_are_not_assumed() -> None:
    """*None of these* is something said; so is a kit that was written down anywhere."""
    lost = lose(preset_kit(TRADE), Tool.LEAF, thou(18))
    none = emptied(lost, TRADE)
    assert (none.leaves, none.files, none.shims, none.worn_files) == ((), (), (), ())
    assert none.lost_leaves == (thou(18),)
    assert not assumed_tools(none, TRADE) and not assumed_tools(Kit(), TRADE)
    assert not assumed_tools(Kit(leaves=preset_kit(TRADE).leaves), TRADE)

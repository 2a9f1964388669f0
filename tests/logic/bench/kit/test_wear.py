"""Lost, found, worn, replaced: marks move tools about and forget none."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.cutting.slot_cut import cut_lines, slot_cut
from logic.bench.instrument.presets import preset_kit
from logic.bench.kit.advice import Tool
from logic.bench.kit.wear import found_again, lose, replaced, wear
from logic.testing import TRADE
from shared.errors import InputError
from shared.kit import Kit
from shared.units import Length
from tests.logic.bench.bench_day import lowered_job

KIT = preset_kit(TRADE)
WIDE = Length.parse("46 thou")


def _all(kit: Kit) -> list[Length]:
    held = (kit.leaves, kit.files, kit.shims, kit.lost_leaves, kit.lost_files, kit.lost_shims)
    return sorted(each for sizes in held for each in sizes)


@settings(deadline=None, max_examples=40)
@given(st.lists(st.tuples(st.sampled_from(Tool), st.integers(0, 30)), max_size=12))
def test_nothing_is_forgotten(losses: list[tuple[Tool, int]]) -> None:
    """However tools are lost and found again, the kit and its losses make the same whole."""
    kit = KIT
    for tool, place in losses:
        held = {Tool.LEAF: kit.leaves, Tool.FILE: kit.files, Tool.SHIM: kit.shims}[tool]
        if held:
            size = held[place % len(held)]
            kit = lose(kit, tool, size)
            kit = found_again(kit, tool, size) if place % 3 == 0 else kit
    assert _all(kit) == _all(KIT)


def test_a_lost_file_is_not_offered() -> None:
    """Without its file, the slot is offered another or told which to fetch."""
    made = lowered_job(passes=(), proofs=())
    poorer = made.model_copy(update={"kit": lose(made.kit, Tool.FILE, WIDE)})
    assert slot_cut(made, 6, TRADE).file.file == WIDE
    assert slot_cut(poorer, 6, TRADE).file.file != WIDE


def test_a_worn_file_is_offered_with_a_word() -> None:
    """A worn file is still named, and said to be worn, until it is replaced."""
    made = lowered_job(passes=(), proofs=(), readings=lowered_job().readings[:12])
    worn = made.model_copy(update={"kit": wear(made.kit, WIDE)})
    assert cut_lines(slot_cut(worn, 6, TRADE), TRADE)[-1].endswith("It is marked worn.")
    fresh = worn.model_copy(update={"kit": replaced(worn.kit, WIDE)})
    assert "worn" not in cut_lines(slot_cut(fresh, 6, TRADE), TRADE)[-1]


def test_what_is_not_there_cannot_be_marked() -> None:
    """Losing, finding, wearing or replacing a tool that is not there is refused with the choice."""
    nowhere = Length.parse("99 thou")
    for mark in (lose, found_again):
        with pytest.raises(InputError):
            mark(KIT, Tool.FILE, nowhere)
    for change in (wear, replaced):
        with pytest.raises(InputError) as refused:
            change(KIT, nowhere)
        assert "choose one of" in refused.value.ask

"""What to buy next, from what this bench's jobs lacked."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.presets import preset_kit
from logic.bench.kit.advice import Tool, kit_advice
from logic.bench.kit.wear import lose
from logic.testing import LOOKED_AT, TRADE, job, touches
from shared.job import Job
from shared.kit import Kit
from shared.units import Length, Unit

FULL = preset_kit(TRADE)


def _high(*strings: int) -> Job:
    """A job whose strings stand far too high."""
    return job(
        checks=LOOKED_AT,
        readings=[
            *touches("0.030 in", "none", strings=strings),
            *touches("0.032 in", "light", strings=strings),
        ],
    )


def _without(field: str, *thou: int) -> Kit:
    lost = {Length.parse(f"{t} thou") for t in thou}
    kept = tuple(each for each in getattr(FULL, field) if each not in lost)
    return FULL.model_copy(update={field: kept})


def test_a_full_kit_lacks_nothing() -> None:
    """With a file for every string and a leaf in every thou there is nothing to buy."""
    assert kit_advice([_high(6, 5)], FULL, TRADE) == ()


def test_the_file_that_is_missed_most_comes_first() -> None:
    """Three jobs lacked a file for .046, one for .026: that is their order, with the counts."""
    kit = _without("files", 46, 26, 28)
    found = kit_advice([_high(6), _high(6), _high(6, 4)], kit, TRADE)
    files = [each for each in found if each.tool is Tool.FILE]
    assert [(each.strings, each.jobs) for each in files] == [(3, 3), (1, 1)]
    assert 46 <= files[0].size.mm / 0.0254 <= 49.01
    assert "would have served 3 strings in 3 jobs" in files[0].words


def test_one_file_serves_neighbouring_gauges() -> None:
    """A .012 file serves .010 up to 0.003 in over (common practice) and .012: one, not two."""
    instrument = {
        "kind": "electric guitar",
        "strings": [
            {"string": 2, "pitch": "B3", "gauge": "0.012 in", "make": "plain steel"},
            {"string": 1, "pitch": "E4", "gauge": "0.010 in", "make": "plain steel"},
        ],
    }
    made = job(
        instrument,
        checks=LOOKED_AT,
        readings=touches("0.030 in", "none", strings=(2, 1))
        + touches("0.032 in", "light", strings=(2, 1)),
    )
    found = kit_advice([made], _without("files", 10, 13), TRADE)
    assert [(each.tool, each.strings) for each in found] == [(Tool.FILE, 2)]
    assert found[0].size == Length.parse("12 thou")


def test_a_leaf_that_would_have_said_more_is_named() -> None:
    """With two leaves far apart, the one between them is what the bench lacks."""
    kit = FULL.model_copy(update={"leaves": (Length.parse("10 thou"), Length.parse("40 thou"))})
    made = job(
        checks=LOOKED_AT,
        readings=[
            *touches("0.010 in", "none", strings=(6,)),
            *touches("0.040 in", "heavy", strings=(6,)),
        ],
    )
    leaves = [each for each in kit_advice([made], kit, TRADE) if each.tool is Tool.LEAF]
    assert leaves and 10 < leaves[0].size.mm / 0.0254 < 40


def test_a_recommended_shim_that_is_not_in_stock_is_named() -> None:
    """One side low and no shims: the wedge's stock is on the list, at least as thick as needed."""
    made = job(
        checks=LOOKED_AT,
        readings=touches("0.014 in", "heavy", "soft", (6, 5))
        + touches("0.018 in", "light", strings=(4, 3))
        + touches("0.016 in", "light", strings=(2, 1)),
    )
    found = kit_advice([made], FULL.model_copy(update={"shims": ()}), TRADE)
    assert [each.tool for each in found] == [Tool.SHIM]
    assert "mm" in found[0].words


@settings(deadline=None, max_examples=15)
@given(st.sets(st.sampled_from([10, 13, 17, 26, 36, 46]), max_size=6))
def test_buying_what_is_named_ends_the_want(lost: set[int]) -> None:
    """Once the files that were named are in the kit, none is named again."""
    kit, jobs = _without("files", *lost), [_high(6, 5, 4, 3, 2, 1)]
    for _ in range(3):
        files = [each.size for each in kit_advice(jobs, kit, TRADE) if each.tool is Tool.FILE]
        kit = kit.model_copy(update={"files": (*kit.files, *files)})
    assert not [each for each in kit_advice(jobs, kit, TRADE) if each.tool is Tool.FILE]


# --- what is there is never named ---

OFFERED = TRADE.kit_sizes
JOBS = [
    _high(6, 5, 4, 3, 2, 1),
    job(
        checks=LOOKED_AT,
        readings=[
            *touches("0.010 in", "none", strings=(6, 5)),
            *touches("0.040 in", "heavy", strings=(6, 5)),
            *touches("0.014 in", "heavy", "soft", (4, 3)),
        ],
    ),
]


@settings(deadline=None, max_examples=12)
@given(
    leaves=st.sets(st.sampled_from(OFFERED.leaves), max_size=12),
    files=st.sets(st.sampled_from(OFFERED.files), max_size=12),
    gone=st.sets(st.sampled_from(OFFERED.leaves), max_size=3),
    data=st.data(),
)
def test_nothing_that_is_there_is_named(
    leaves: set[Length], files: set[Length], gone: set[Length], data: st.DataObject
) -> None:
    """Whatever the kit, in thousandths, millimetres or both: what to buy is in it neither alone nor
    as two leaves together, but for a file that is worn; and no tool is named twice."""
    worn = data.draw(st.sets(st.sampled_from(sorted(files)), max_size=2)) if files else set()
    here = leaves - gone
    kit = Kit(
        leaves=tuple(sorted(here)),
        files=tuple(sorted(files)),
        worn_files=tuple(sorted(worn)),
        lost_leaves=tuple(sorted(gone)),
    )
    found = kit_advice(JOBS, kit, TRADE)
    assert len({(each.tool, each.size) for each in found}) == len(found)
    pairs = {one.exact_mm + other.exact_mm for one, other in combinations(here, 2)}
    there = {leaf.exact_mm for leaf in here} | pairs
    for each in found:
        if each.tool is Tool.LEAF:
            assert each.size.exact_mm not in there
            assert each.size in gone or each.strings
        if each.tool is Tool.FILE:
            assert each.size not in files - worn


def test_a_metric_kit_is_added_to_in_millimetres() -> None:
    """Whoever works in twentieths of a millimetre is not told to buy thousandths; of an empty kit
    the bench's own unit decides."""
    metric = preset_kit(TRADE, metric=True)
    files = tuple(file for file in metric.files if not 1.1 < file.mm < 1.3)
    found = kit_advice([_high(6)], metric.model_copy(update={"files": files}), TRADE)
    assert [(str(each.size), each.strings) for each in found] == [("1.2 mm", 1)]
    empty = Kit()
    for bench, unit in ((Unit.MM, Unit.MM), (Unit.THOU, Unit.INCH)):
        named = kit_advice([_high(6, 5)], empty, TRADE, bench)
        assert {each.size.unit for each in named if each.tool is not Tool.SHIM} == {unit}


def test_what_is_worn_or_lost_is_missing() -> None:
    """A worn file is named where its string needs it, and by itself where none does; two leaves
    that make a lost one do for it."""
    worn = FULL.model_copy(update={"worn_files": (Length.parse("46 thou"),)})
    (needed,) = kit_advice([_high(6)], worn, TRADE)
    assert (needed.tool, needed.size, needed.strings) == (Tool.FILE, Length.parse("46 thou"), 1)
    (alone,) = kit_advice([], worn, TRADE)
    assert alone.words == "file of 46 thou: marked worn"
    lost = lose(FULL, Tool.LEAF, Length.parse("9 thou"))
    assert kit_advice([], lost, TRADE) == ()
    few = Kit(leaves=(Length.parse("9 thou"), Length.parse("30 thou")))
    (missing,) = kit_advice([], lose(few, Tool.LEAF, Length.parse("9 thou")), TRADE)
    assert missing.words == "leaf of 9 thou: marked lost"

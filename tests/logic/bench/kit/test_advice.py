"""What to buy next, from what this bench's jobs lacked."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.presets import preset_kit
from logic.bench.kit.advice import Tool, kit_advice
from logic.testing import LOOKED_AT, TRADE, job, touches
from shared.job import Job
from shared.kit import Kit
from shared.units import Length

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

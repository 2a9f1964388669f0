"""A slot's cut from the job's own records, in words for the bench."""

from __future__ import annotations

import pytest

from logic.bench.cutting.cutting import CutStep
from logic.bench.cutting.slot_cut import (
    after_last_pass,
    cut_lines,
    entries,
    material_of,
    seen_in,
    slot_cut,
)
from logic.bench.instrument.presets import preset_instrument, preset_kit
from logic.bench.measuring.posterior import kind_prior
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE
from shared.job import Job, Pass
from shared.kit import Kit
from shared.readings import Contact, LeafReading, Reading
from shared.units import WORKED_PLACES, Length, Unit
from shared.words import FigureStyle, speaking


def _job(*records: Reading | Pass) -> Job:
    readings: list[Reading] = []
    passes: list[Pass] = []
    for record in records:
        if isinstance(record, Reading):
            readings.append(record)
        else:
            before = sum(reading.string == record.string for reading in readings)
            passes.append(record.model_copy(update={"after": before}))
    return Job(
        instrument=preset_instrument("electric guitar", TRADE),
        kit=preset_kit(TRADE),
        readings=tuple(readings),
        passes=tuple(passes),
    )


def _read(thou: int, contact: Contact, string: int = 6) -> Reading:
    return LeafReading(string=string, leaf=Length.parse(f"{thou} thou"), contact=contact)


HIGH = (_read(30, Contact.NONE), _read(32, Contact.LIGHT))
THREE = Pass(string=6, strokes=3, file=Length.parse("46 thou"), material="bone", technician="Ada")


def test_records_come_back_in_their_order() -> None:
    """Readings and passes of one string come in the order in which they were made."""
    after = _read(30, Contact.LIGHT)
    other = _read(20, Contact.LIGHT, string=1)
    job = _job(HIGH[0], other, HIGH[1], THREE, after, THREE)
    second = THREE.model_copy(update={"after": 3})
    assert entries(job, 6) == (*HIGH, THREE.model_copy(update={"after": 2}), after, second)


def test_a_pass_is_said_in_short_lines() -> None:
    """When it is time to file, the lines name the strokes, the file and the stop line."""
    slot = slot_cut(_job(*HIGH), 6, TRADE)
    assert slot.move.step is CutStep.FILE
    with speaking(style=FigureStyle("thou", WORKED_PLACES[Unit.THOU])):
        lines = cut_lines(slot, TRADE)
    assert "3 light strokes with the 46 thou file" in lines[-1]
    assert "never below 19.3 thou" in lines[-1]
    assert any("Slacken" in line for line in lines)


def test_after_a_pass_a_leaf_is_named() -> None:
    """After filing, the lines say to clear, retune and slide in one leaf."""
    slot = slot_cut(_job(*HIGH, THREE), 6, TRADE)
    with speaking(style=FigureStyle("in")):
        lines = cut_lines(slot, TRADE)
    assert slot.move.step is CutStep.READ
    assert any("pitch" in line for line in lines)
    assert lines[-1].startswith("Slide in 0.0")


def test_a_slot_teaches_the_next_job() -> None:
    """What one job's passes took makes the pair known to the next, and its spread smaller."""
    job = _job(*HIGH, THREE, _read(29, Contact.HEAVY), _read(28, Contact.LIGHT))
    seen = seen_in(job, TRADE)
    assert [slot.pair.technician for slot in seen] == ["Ada"]
    new, known = (slot_cut(_job(*HIGH), 6, TRADE, seen_before, "Ada") for seen_before in ((), seen))
    assert not new.setting.pair_known
    assert known.setting.pair_known
    assert known.setting.rate.sd_log < new.setting.rate.sd_log


def test_another_hand_is_another_pair() -> None:
    """A second technician starts with the careful first pass, helped by the bench's experience."""
    job = _job(*HIGH, THREE, _read(29, Contact.HEAVY), _read(28, Contact.LIGHT))
    other = slot_cut(_job(*HIGH), 6, TRADE, seen_in(job, TRADE), "Bo")
    assert not other.setting.pair_known
    assert other.setting.rate.sd_log < slot_cut(_job(*HIGH), 6, TRADE).setting.rate.sd_log


def test_a_hand_that_takes_a_slot_over_begins_carefully_and_teaches_under_no_name() -> None:
    """Whoever goes on in another's slot makes the careful pass first, and what the slot has taught
    is then neither hand's own."""
    ada = THREE.model_copy(update={"technician": "Ada"})
    job = _job(*HIGH, ada, _read(29, Contact.HEAVY), _read(28, Contact.LIGHT))
    hers, his = (slot_cut(job, 6, TRADE, seen_in(job, TRADE), who) for who in ("Ada", "Bo"))
    assert his.move.strokes <= 3 and his.move.strokes <= hers.move.strokes
    assert (hers.pair.technician, his.pair.technician) == ("Ada", "")
    both = _job(*HIGH, ada, _read(29, Contact.HEAVY), THREE.model_copy(update={"technician": "Bo"}))
    assert [seen.pair.technician for seen in seen_in(both, TRADE)] == [""]


def test_an_unknown_string_is_refused() -> None:
    """A string that the instrument does not have is no slot."""
    with pytest.raises(KeyError):
        slot_cut(_job(), 9, TRADE)


@pytest.mark.parametrize(
    ("written", "kept"), [("  Bone ", "bone"), ("Soft  plastic", "soft plastic"), ("", "other")]
)
def test_materials_are_kept_alike(written: str, kept: str) -> None:
    """However a material is written, learning keeps it under one name."""
    assert material_of(written) == kept


def test_done_and_stopped_are_said() -> None:
    """On target it says done; without leaves it says that it cannot be read."""
    on_target = _job(_read(20, Contact.LIGHT), _read(21, Contact.LIGHT), _read(19, Contact.LIGHT))
    slot = slot_cut(on_target, 6, TRADE)
    assert slot.move.step in (CutStep.DONE, CutStep.STOP)
    bare = _job().model_copy(update={"kit": Kit()})
    assert "no leaf" in cut_lines(slot_cut(bare, 6, TRADE), TRADE)[-1]


def test_the_plan_agrees_with_a_finished_cut() -> None:
    """One leaf without contact after a pass is no reason to call a slot high again: what its
    readings and strokes led to expect still counts."""
    five = Pass(string=6, strokes=5, file=Length.parse("46 thou"), technician="Ada")
    known = (_read(26, Contact.LIGHT), _read(27, Contact.HEAVY), _read(25, Contact.NONE))
    call = make_plan(_job(*known, five, _read(20, Contact.NONE)), TRADE).strings[0]
    assert call.clearance_mm is not None
    assert call.clearance_mm.estimate / 0.0254 == pytest.approx(23, abs=2)
    assert call.clearance_mm.high / 0.0254 < 27.5


def test_a_string_never_filed_has_no_cut_behind_it() -> None:
    """Without a pass the plan starts from what its kind is usually like."""
    start = kind_prior("electric guitar", TRADE)
    assert after_last_pass(_job(*HIGH), 6, TRADE, start) is None


def test_after_a_pass_a_little_of_everything_is_allowed() -> None:
    """The belief after a pass is whole, lower than before it, and rules no height out."""
    start = kind_prior("electric guitar", TRADE)
    believed = after_last_pass(_job(*HIGH, THREE), 6, TRADE, start)
    assert believed is not None
    assert sum(believed.mass) == pytest.approx(1.0)
    assert believed.median < slot_cut(_job(*HIGH), 6, TRADE).clearance_mm.estimate
    assert believed.probability_below(0.3) > 1e-6
    assert believed.probability_below(1.2) < 1 - 1e-6

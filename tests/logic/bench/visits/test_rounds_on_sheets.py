"""Sheets of a visit in rounds: before and after of every string through each piece of work."""

from __future__ import annotations

import re

import pytest

from logic.bench.cutting.slot_cut import seen_in
from logic.bench.plan.string_belief import string_belief
from logic.bench.visits.handover import HandOver, hand_over
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import as_text, bench_sheet, owner_sheet
from logic.bench.visits.stages import as_it_came_in, came_in_mm, stages_of
from logic.testing import TRADE
from shared.job import Job, Proof, Round
from shared.readings import Buzz, ClearanceReading, Contact, Reading
from shared.units import Length, Unit
from shared.work import Work, WorkKind
from tests.logic.bench.bench_day import filed, lowered_job, read

THOU = Numbers(Unit.THOU)
EVERY = (6, 5, 4, 3, 2, 1)


def stood(string: int, thou: int) -> tuple[Reading, ...]:
    """Two leaves that find a string here: this one drags, one thinner does not."""
    return read(string, thou), read(string, thou - 2, Contact.NONE)


def in_rounds() -> Job:
    """String 3 came in at 9 thou, was filled, read at 30 and filed to 18; then the relief was set,
    after which all six were read once more."""
    came = lowered_job()
    others = tuple(one for one in came.readings if one.string != 3)
    fill = Round(
        work=Work(what=WorkKind.FILL, strings=(3,), minutes=20, technician="Ada"),
        readings=stood(3, 9),
        checks={"relief": "0.016 in"},
    )
    neck = Round(
        work=Work(what=WorkKind.RELIEF_SET, strings=EVERY, minutes=5),
        readings=(*others, *stood(3, 30), *stood(3, 18)),
        passes=(*came.passes, filed(3, 9, 2)),
    )
    now = {6: 20, 5: 30, 4: 29, 3: 15, 2: 28, 1: 27}
    update = {
        "rounds": (fill, neck),
        "readings": tuple(one for string, thou in now.items() for one in stood(string, thou)),
        "passes": (),
        "proofs": (),
        "checks": came.checks | {"relief": "0.010 in"},
        "ticket": "2041",
        "note": "Fret 9 is worn.\nNew strings in May.",
    }
    return came.model_copy(update=update)


def sheets(job: Job) -> tuple[str, str]:
    """The owner's and the bench's, as text."""
    work = hand_over(job, TRADE, date="1 December 2026", bench="Alder Row Strings")
    return as_text(owner_sheet(work, TRADE, THOU)), as_text(bench_sheet(work, TRADE, THOU))


def thou(work: HandOver, string: int) -> tuple[float | None, float | None]:
    """Before and after of one string."""
    each = next(one for one in work.strings if one.string == string)
    before, after = (
        found.estimate / 0.0254 if found else None for found in (each.before, each.after)
    )
    return before, after


def approx(thou: tuple[float, float]) -> object:
    """Within what two leaves leave open."""
    return pytest.approx(thou, abs=0.6)


def moves(row: str) -> dict[int, tuple[float, float]]:
    """By string, the two figures of a row of work."""
    found = re.findall(r"(\d): ([\d.]+) → ([\d.]+)", row)
    return {int(string): (float(before), float(after)) for string, before, after in found}


def test_before_is_how_it_came_in_however_many_rounds_it_took() -> None:
    """The first readings of each string, before any file or other work, and the last."""
    work = hand_over(in_rounds(), TRADE)
    assert thou(work, 3) == (pytest.approx(9, abs=0.6), pytest.approx(15, abs=0.6))
    assert thou(work, 6) == (pytest.approx(32, abs=0.6), pytest.approx(20, abs=0.6))
    came = as_it_came_in(in_rounds())
    assert [one.string for one in came.readings].count(3) == 2
    assert (came.passes, came.proofs, came.rounds) == ((), (), ())


def test_each_piece_of_work_stands_between() -> None:
    """What, which strings, minutes, by whom, and what it did to each string."""
    _, bench = sheets(in_rounds())
    lines = bench.splitlines()
    fill = next(line for line in lines if line.startswith("slot filled ·"))
    assert fill.startswith("slot filled · 3 · – · 20 · Ada · ")
    assert moves(fill) == {3: approx((9, 30))}
    neck = next(line for line in lines if line.startswith("relief set ·"))
    assert neck.startswith("relief set · 6, 5, 4, 3, 2 and 1 · – · 5 · – · ")
    assert moves(neck)[3] == approx((18, 15)) and moves(neck)[6] == approx((21, 20))
    passes = lines[lines.index("PASSES") + 2 :]
    assert [line.split(" · ")[0] for line in passes[:3]] == ["6", "6", "3"]


def test_what_was_filed_before_other_work_still_teaches_the_files() -> None:
    """Every filed slot of every round is learned from, and stands under *learned*: with the passes
    of both rounds gone, nothing is."""
    job = in_rounds()
    seen = seen_in(job, TRADE)
    assert len(seen) == 2 and seen == seen_in(job.model_copy(update={"readings": ()}), TRADE)
    assert "46.0 thou file on bone: " in sheets(job)[1]
    unfiled = tuple(each.model_copy(update={"passes": ()}) for each in job.rounds)
    job = job.model_copy(update={"rounds": unfiled})
    assert seen_in(job, TRADE) == () and "LEARNED" not in sheets(job)[1]


def test_the_owner_reads_it_in_plain_words() -> None:
    """What raised or lowered a string, from what to what."""
    owner, _ = sheets(in_rounds())
    assert "String 3 was raised by a filled slot, another relief and the file: 9." in owner
    assert "String 5 was lowered by another relief: 32." in owner and "; still high" in owner
    assert "- Slot filled: string 3" in owner and "- Relief set\n" in owner


def test_both_sheets_say_whose_it_is_and_how_it_stands() -> None:
    """Ticket, strings with gauges, scale, relief before and after, note line by line, workshop."""
    for sheet in sheets(in_rounds()):
        assert "Alder Row Strings · 1 December 2026" in sheet
        assert "- Ticket: 2041" in sheet
        assert "- Strings: E2 .046, A2 .036, D3 .026, G3 .017, B3 .013, E4 .010" in sheet
        assert "- Scale: 25.5 in" in sheet and "- Relief: 16 → 10 thou" in sheet
        assert "NOTE\n- Fret 9 is worn.\n- New strings in May." in sheet


def test_what_was_not_read_since_is_not_known() -> None:
    """A filled slot that nobody read again has a before and no after, on both sheets."""
    job = in_rounds()
    left = tuple(one for one in job.readings if one.string != 3)
    owner, bench = sheets(job.model_copy(update={"readings": left}))
    assert "slot filled, relief set, slot filed; 9." in owner
    assert " → – thou; not read since; not proven yet" in owner
    assert "String 3: read it again first" in bench


def test_the_last_stage_is_the_plan_s() -> None:
    """Stages end in the clearance that the plan has, and begin with how it came in."""
    job = in_rounds()
    work = hand_over(job, TRADE)
    for each in work.strings:
        stages = stages_of(job, each.string, TRADE)
        assert stages[-1].left_mm == each.after
        assert stages[0].came_mm == came_in_mm(job, TRADE)[each.string] == each.before


def test_a_proof_s_clearance_is_the_last_reading() -> None:
    """A number typed at the proof counts as one read after the last pass: together with the leaves
    that found it at 21 thou it lies between the two."""
    proof = Proof(string=6, buzz=Buzz.NONE, clearance=Length.parse("20 thou"))
    job = lowered_job(proofs=(proof,))
    number = ClearanceReading(string=6, clearance=Length.parse("20 thou"))
    instead = lowered_job(readings=(*job.readings, number), proofs=())
    believed = [string_belief(each, 6, TRADE).clearance_mm for each in (job, instead)]
    assert believed[0] == believed[1]
    assert thou(hand_over(job, TRADE), 6)[1] == pytest.approx(20.7, abs=0.5)


@pytest.mark.parametrize("kind", WorkKind)
def test_every_kind_of_work_can_be_said(kind: WorkKind) -> None:
    """Whatever was done, both sheets are written, and say it."""
    one = Round(work=Work(what=kind, strings=(3,), amount=Length.parse("0.2 mm")))
    job = lowered_job(rounds=(one,))
    owner, bench = sheets(job)
    assert "String 3: " in owner and "7.9 thou" in owner + bench
    assert "None" not in owner + bench

"""The record that goes with the instrument, in text."""

from __future__ import annotations

import pytest

from logic.bench.plan.plan import make_plan
from logic.bench.visits.handover import hand_over
from logic.bench.visits.heard_before import heard_in
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import as_text, bench_sheet, owner_sheet
from logic.bench.visits.stages import as_it_came_in
from logic.bench.window.own_targets import with_own_targets
from logic.testing import TRADE
from shared.job import Proof
from shared.readings import Buzz, Reading
from shared.units import Length, Unit
from tests.logic.bench.bench_day import filed, lowered_job


def _texts(unit: Unit = Unit.THOU, parts: dict[str, object] | None = None) -> tuple[str, str]:
    work = hand_over(
        lowered_job(**(parts or {})),
        TRADE,
        date="25 November",
        bench="Alder Row Strings",
        technician="Ada",
        minutes=35,
    )
    numbers = Numbers(unit)
    return tuple(  # type: ignore[return-value]
        as_text(sheet(work, TRADE, numbers)) for sheet in (owner_sheet, bench_sheet)
    )


def test_before_is_what_it_came_in_with() -> None:
    """Readings after the first pass, passes and proofs are not part of how it came in."""
    before = as_it_came_in(lowered_job())
    assert len(before.readings) == 12
    assert (before.passes, before.proofs) == ((), ())


def test_the_owner_reads_before_and_after() -> None:
    """The filed string shows both heights near 32 and 21 thou, and that it rings clean."""
    work = hand_over(lowered_job(), TRADE)
    sixth = work.strings[0]
    assert sixth.before and sixth.after
    assert sixth.before.estimate / 0.0254 == pytest.approx(32, abs=0.5)
    assert sixth.after.estimate / 0.0254 == pytest.approx(21, abs=0.7)
    owner, _ = _texts()
    assert "String 6: lowered, now in its window; clean soft, normal and hard; +4 cents" in owner


def test_an_own_target_is_marked_on_both_sheets() -> None:
    """The player's own 22 thou for string 6 stand apart from the table's for the others."""
    player = with_own_targets(lowered_job().player, Length.parse("22 thou"), (6,))
    for sheet in _texts(parts={"player": player}):
        lines = [line for line in sheet.splitlines() if " · own " in line]
        assert len(lines) == 1 and lines[0].startswith("6 · ") and "own 22.0" in lines[0]
    assert not any(" own " in sheet for sheet in _texts())


def test_what_was_not_done_is_said_with_its_reason() -> None:
    """Every other string is listed as left, and why, each thing once."""
    owner, _ = _texts()
    for string in (5, 4, 3, 2, 1):
        assert f"String {string}: not lowered. It stands higher than its target." in owner


def test_the_bench_reads_files_strokes_rates_and_time() -> None:
    """The bench's sheet has each pass, the learned removal, the time and what was skipped."""
    _, bench = _texts()
    assert "6 · 46.0 thou · 6 · Ada" in bench
    assert "a stroke" in bench
    assert "35 minutes" in bench
    assert "SKIPPED" in bench and "capo" in bench


@pytest.mark.parametrize(
    ("unit", "shown"), [(Unit.THOU, "20.0"), (Unit.MM, "0.51"), (Unit.INCH, "0.0200")]
)
def test_numbers_are_in_the_chosen_unit(unit: Unit, shown: str) -> None:
    """The target of 20 thou is 0.51 mm and 0.0200 in (25.4 mm to the inch, exactly)."""
    for text in _texts(unit):
        assert shown in text


def test_a_comma_stays_a_comma() -> None:
    """Where the bench writes decimals with a comma, so does the sheet."""
    work = hand_over(lowered_job(), TRADE)
    assert "0,51" in as_text(owner_sheet(work, TRADE, Numbers(Unit.MM, ",")))


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ({"proofs": ()}, "not proven yet"),
        ({"proofs": (Proof(string=6, unproven="string broke"),)}, "without proof: string broke"),
        ({"proofs": (Proof(string=6, buzz=Buzz.HARD),)}, "buzzes from hard playing"),
        ({"passes": (filed(6, 3, 2), filed(6, 6, 5))}, "still to be read again"),
    ],
)
def test_what_is_not_finished_is_not_hidden(parts: dict[str, object], said: str) -> None:
    """Unproven, excused, buzzing or unread strings are named to the owner as such."""
    owner, _ = _texts(parts=parts)
    assert said in owner


def test_sheets_end_with_what_the_figures_are_worth() -> None:
    """Both sheets call the figures guidance, and the owner's says when to come again."""
    owner, bench = _texts()
    assert "guidance" in owner and "guidance" in bench
    assert "NEXT CHECK" in owner


def test_the_sheet_s_windows_are_those_that_were_worked_to() -> None:
    """What earlier jobs heard of the player moves the windows on the sheet as on the plan."""
    job = lowered_job()
    hard = tuple(
        Reading.model_validate(row)
        for spec in job.instrument.strings
        for row in (
            {"string": spec.string, "clearance": "0.45 mm"},
            {"string": spec.string, "buzz": "normal"},
        )
    )
    heard = heard_in(job.model_copy(update={"readings": hard, "passes": (), "proofs": ()}), TRADE)
    assert heard
    plan = make_plan(job, TRADE, heard_before=heard)
    windows = {call.string: call.window_mm for call in plan.strings}
    work = hand_over(job, TRADE, heard_before=heard)
    assert {each.string: each.window for each in work.strings} == windows
    usual = hand_over(job, TRADE)
    assert [each.window.low for each in work.strings] != [w.window.low for w in usual.strings]

"""Proof, hand-over and closing: nothing that was cut leaves the bench unproven without a word."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.desk import commands as do
from logic.desk import views
from logic.desk.handing_over import EXCUSES, sheet_as_pdf, sheet_as_text
from logic.drawing.page import Paper
from shared.job import Buzz, Contact
from tests.logic.desk.bench import DiscDesk, fresh_desk, walking
from tests.logic.desk.test_cutting import STRING, Filer, measured


def cut_once() -> tuple[DiscDesk, str]:
    """A desk where string 6 stands high, was filed once and read again."""
    desk = fresh_desk()
    job = walking(desk).job
    desk.do(do.Walk(6))
    desk.do(do.TypeNumber())
    desk.do(do.Typed("0.9 mm"))
    desk.do(do.Cut(6))
    desk.do(do.Filed(3))
    desk.do(do.Feel(Contact.LIGHT))
    return desk, job


def is_open(desk: DiscDesk, job: str) -> bool:
    """Whether the job is still on the bench."""
    return any(line.id == job for line in desk.history.open_jobs())


def test_a_job_with_an_unproven_slot_does_not_close_silently() -> None:
    """Closing without a reason leads to the sheet, which names the string and what it waits for."""
    desk, job = cut_once()
    view = desk.do(do.CloseJob())
    assert isinstance(view, views.HandOverView)
    assert [each.key for each in view.to_prove] == ["6"]
    assert view.excuses == EXCUSES
    assert is_open(desk, job)


def test_a_proven_slot_lets_the_job_close() -> None:
    """Played open and clean, nothing waits any more."""
    desk, job = cut_once()
    desk.do(do.Prove(6))
    desk.do(do.Hear(Buzz.NONE))
    view = desk.do(do.SeeSheet())
    assert isinstance(view, views.HandOverView)
    assert view.to_prove == ()
    assert isinstance(desk.do(do.CloseJob()), views.HomeView)
    assert not is_open(desk, job)


def test_a_reason_closes_it_and_stays_on_the_record() -> None:
    """The excuse is kept as the string's proof and as the reason of closing."""
    desk, job = cut_once()
    desk.do(do.CloseJob(EXCUSES[0]))
    document = desk.history.job(job)
    assert document is not None
    assert document.closed_reason == EXCUSES[0]
    assert [(p.proof.string, p.proof.unproven) for p in document.proofs] == [(6, EXCUSES[0])]


def test_an_untouched_job_closes_at_once() -> None:
    """Where nothing was cut there is nothing to prove."""
    desk = fresh_desk()
    job = walking(desk).job
    assert isinstance(desk.do(do.CloseJob()), views.HomeView)
    assert not is_open(desk, job)


@pytest.mark.parametrize("for_bench", [False, True])
def test_page_text_and_pdf_are_one_sheet(for_bench: bool) -> None:
    """What is shown is what is handed on."""
    desk, _ = cut_once()
    view = desk.do(do.SeeSheet(for_bench))
    assert isinstance(view, views.HandOverView)
    text = sheet_as_text(desk.floor)
    assert text.startswith(view.heading)
    assert all(line in text for section in view.sections for line in section.lines)
    assert sheet_as_pdf(desk.floor, Paper.A4).startswith(b"%PDF-")


def test_back_from_the_sheet_is_the_plan() -> None:
    """The sheet is opened from the plan and goes back to it."""
    desk, _ = cut_once()
    desk.do(do.SeeSheet())
    assert isinstance(desk.do(do.Back()), views.PlanView)


@settings(max_examples=8, deadline=None)
@given(st.floats(0.1, 0.4), st.floats(0.008, 0.025))
def test_what_the_cut_called_finished_the_sheet_calls_finished(above: float, stroke: float) -> None:
    """Filed until the screen says to file no more, the slot is in its window on the sheet too."""
    desk = fresh_desk()
    measured(desk, 0.45 + above)
    Filer(0.45 + above, stroke).work(desk, desk.do(do.Cut(STRING)))
    desk.do(do.SeeSheet())
    assert "lowered, now in its window" in sheet_as_text(desk.floor)


def test_cents_at_fret_one_go_into_the_proof() -> None:
    """Typed while proving, they wait for what is heard and stand with it on the sheet."""
    desk, job = cut_once()
    desk.do(do.Prove(6))
    desk.do(do.TypeNumber("cents 1"))
    noted = desk.do(do.Typed("7 cents"))
    assert isinstance(noted, views.WalkView)
    assert "+7 cents" in noted.status
    assert isinstance(desk.do(do.Hear(Buzz.NONE)), views.PlanView)
    document = desk.history.job(job)
    assert document is not None
    last = document.proofs[-1].proof
    assert (last.string, last.buzz, last.cents) == (6, Buzz.NONE, 7.0)
    desk.do(do.SeeSheet())
    assert "clean soft, normal and hard; +7 cents at fret 1" in sheet_as_text(desk.floor)


def test_cents_alone_prove_nothing() -> None:
    """With only a tuner's reading the slot still waits to be played."""
    desk, _ = cut_once()
    desk.do(do.Prove(6))
    desk.do(do.TypeNumber("cents 1"))
    desk.do(do.Typed("7 cents"))
    view = desk.do(do.SeeSheet())
    assert isinstance(view, views.HandOverView)
    assert [each.key for each in view.to_prove] == ["6"]


def test_reading_higher_than_before_the_cut_is_asked_back_on_the_screen() -> None:
    """A reading that no file can explain is questioned in words, and the cut goes on from it."""
    desk = fresh_desk()
    walking(desk)
    desk.do(do.Walk(6))
    desk.do(do.TypeNumber())
    desk.do(do.Typed("0.7 mm"))
    desk.do(do.Cut(6))
    desk.do(do.Filed(3))
    desk.do(do.TypeNumber())
    shown = desk.do(do.Typed("0.85 mm"))
    assert isinstance(shown, views.WalkView)
    assert "higher than before" in shown.status


def test_the_bench_s_sheet_tells_how_long_it_took() -> None:
    """Answers that follow each other within a minute make less than a minute, and it is said."""
    desk, _ = cut_once()
    desk.do(do.SeeSheet(True))
    assert "Time: under a minute" in sheet_as_text(desk.floor)

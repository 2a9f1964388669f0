"""Proof, hand-over and closing: nothing that was cut leaves the bench unproven without a word."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.presenters.handover import EXCUSES, sheet_as_pdf, sheet_as_text
from logic.app.views import views
from logic.drawing.page import Paper
from shared.readings import Buzz, Contact
from tests.logic.app.apps import DiscApp, fresh_app, walking
from tests.logic.app.presenters.test_cutting import STRING, Filer, measured


def cut_once() -> tuple[DiscApp, str]:
    """An app where string 6 stands high, was filed once and read again."""
    app = fresh_app()
    job = walking(app).job
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.9 mm"))
    app.do(do.CutSlot(6))
    app.do(do.Filed(3))
    app.do(do.Feel(Contact.LIGHT))
    return app, job


def is_open(app: DiscApp, job: str) -> bool:
    """Whether the job is still on the bench."""
    return any(line.id == job for line in app.history.open_jobs())


def test_a_job_with_an_unproven_slot_does_not_close_silently() -> None:
    """Closing without a reason leads to the sheet, which names the string and what it waits for."""
    app, job = cut_once()
    view = app.do(do.CloseJob())
    assert isinstance(view, views.HandOverView)
    assert [each.key for each in view.to_prove] == ["6"]
    assert view.excuses == EXCUSES
    assert is_open(app, job)


def test_a_proven_slot_lets_the_job_close() -> None:
    """Played open and clean, nothing waits any more."""
    app, job = cut_once()
    app.do(do.Prove(6))
    app.do(do.Hear(Buzz.NONE))
    view = app.do(do.SeeSheet())
    assert isinstance(view, views.HandOverView)
    assert view.to_prove == ()
    assert isinstance(app.do(do.CloseJob()), views.HomeView)
    assert not is_open(app, job)


def test_a_slot_that_was_filed_after_its_proof_is_proved_again() -> None:
    """What rang clean before the last pass says nothing of the slot as it now is; with the pass
    taken back, the proof holds again."""
    app, _ = cut_once()
    app.do(do.Prove(6))
    app.do(do.Hear(Buzz.NONE))
    app.do(do.CutSlot(6))
    app.do(do.Filed(1))
    app.do(do.Feel(Contact.LIGHT))
    view = app.do(do.SeeSheet())
    assert isinstance(view, views.HandOverView)
    assert [each.key for each in view.to_prove] == ["6"]
    for _ in range(2):
        app.do(do.SeePlan())
        app.do(do.Undo())
    assert [proof.string for proof in app.session.work.job.proofs] == [6]


def test_a_reason_closes_it_and_stays_on_the_record() -> None:
    """The excuse is kept as the string's proof and as the reason of closing."""
    app, job = cut_once()
    app.do(do.CloseJob(EXCUSES[0]))
    document = app.history.job(job)
    assert document is not None
    assert document.closed_reason == EXCUSES[0]
    assert [(p.proof.string, p.proof.unproven) for p in document.proofs] == [(6, EXCUSES[0])]


def test_an_untouched_job_closes_at_once() -> None:
    """Where nothing was cut there is nothing to prove."""
    app = fresh_app()
    job = walking(app).job
    assert isinstance(app.do(do.CloseJob()), views.HomeView)
    assert not is_open(app, job)


@pytest.mark.parametrize("for_bench", [False, True])
def test_page_text_and_pdf_are_one_sheet(for_bench: bool) -> None:
    """What is shown is what is handed on."""
    app, _ = cut_once()
    view = app.do(do.SeeSheet(for_bench))
    assert isinstance(view, views.HandOverView)
    text = sheet_as_text(app.session)
    assert text.startswith(view.heading)
    assert all(line in text for section in view.sections for line in section.lines)
    assert sheet_as_pdf(app.session, Paper.A4).startswith(b"%PDF-")


def test_back_from_the_sheet_is_the_plan() -> None:
    """The sheet is opened from the plan and goes back to it."""
    app, _ = cut_once()
    app.do(do.SeeSheet())
    assert isinstance(app.do(do.Back()), views.PlanView)


@settings(max_examples=8, deadline=None)
@given(st.floats(0.1, 0.4), st.floats(0.008, 0.025))
def test_what_the_cut_called_finished_the_sheet_calls_finished(above: float, stroke: float) -> None:
    """Filed until the screen says to file no more, the slot is in its window on the sheet too."""
    app = fresh_app()
    measured(app, 0.45 + above)
    Filer(0.45 + above, stroke).work(app, app.do(do.CutSlot(STRING)))
    app.do(do.SeeSheet())
    assert "lowered, now in its window" in sheet_as_text(app.session)


def test_cents_at_fret_one_go_into_the_proof() -> None:
    """Typed while proving, they wait for what is heard and stand with it on the sheet."""
    app, job = cut_once()
    app.do(do.Prove(6))
    app.do(do.TypeNumber("cents 1"))
    noted = app.do(do.NumberTyped("7 cents"))
    assert isinstance(noted, views.WalkView)
    assert "+7 cents" in noted.status
    assert isinstance(app.do(do.Hear(Buzz.NONE)), views.PlanView)
    document = app.history.job(job)
    assert document is not None
    last = document.proofs[-1].proof
    assert (last.string, last.buzz, last.cents) == (6, Buzz.NONE, 7.0)
    app.do(do.SeeSheet())
    assert "clean soft, normal and hard; +7 cents at fret 1" in sheet_as_text(app.session)


def test_cents_alone_prove_nothing() -> None:
    """With only a tuner's reading the slot still waits to be played."""
    app, _ = cut_once()
    app.do(do.Prove(6))
    app.do(do.TypeNumber("cents 1"))
    app.do(do.NumberTyped("7 cents"))
    view = app.do(do.SeeSheet())
    assert isinstance(view, views.HandOverView)
    assert [each.key for each in view.to_prove] == ["6"]


def test_reading_higher_than_before_the_cut_is_asked_back_on_the_screen() -> None:
    """A reading that no file can explain is questioned in words, and the cut goes on from it."""
    app = fresh_app()
    walking(app)
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.7 mm"))
    app.do(do.CutSlot(6))
    app.do(do.Filed(3))
    app.do(do.TypeNumber())
    shown = app.do(do.NumberTyped("0.85 mm"))
    assert isinstance(shown, views.WalkView)
    assert "higher than before" in shown.status


def test_the_bench_s_sheet_tells_how_long_it_took() -> None:
    """Answers that follow each other within a minute make less than a minute, and it is said."""
    app, _ = cut_once()
    app.do(do.SeeSheet(True))
    assert "Time: under a minute" in sheet_as_text(app.session)

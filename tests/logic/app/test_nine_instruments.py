"""Nine instruments from intake to a closed record, with what goes wrong on a bench, and a power cut
in the middle of each: whatever was found, done and mistaken is said, and the record agrees with
itself."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.presenters.handover import sheet_as_text
from logic.app.presenters.number_pad import BY_QUESTION
from logic.app.views import views
from logic.bench.plan.walk import walk_order
from logic.testing import TRADE
from shared.job import Job
from shared.work import WorkKind
from tests.logic.app.apps import DiscApp, fresh_app, open_document, restarted, start
from tests.logic.app.apps import said as words_of
from tests.logic.app.test_one_truth import everywhere

NINE = (
    *("electric guitar", "steel-string guitar", "nylon-string guitar", "12-string guitar"),
    *("bass guitar", "concert ukulele", "5-string banjo", "mandolin", "other"),
)
TOO_LOW_MM, MISTAKEN_MM, RELIEF_MM = 0.06, 1.4, 0.2


@dataclass
class Visit:
    """One instrument on the bench, whose power may fail."""

    app: DiscApp
    kind: str

    @property
    def job(self) -> Job:
        """The job at hand, as it stands."""
        return self.app.session.work.job

    def loses_power(self) -> None:
        """The app comes up again with what was flushed, and the job is opened where it was left."""
        name = self.app.session.place.job
        before = self.job
        self.app = restarted(self.app)
        self.app.do(do.OpenJob(name))
        assert self.job == before

    def reads(self, string: int, height_mm: float) -> None:
        """Type what a gauge shows of one string."""
        self.app.do(do.Walk(string))
        self.app.do(do.TypeNumber())
        self.app.do(do.NumberTyped(f"{height_mm:.2f} mm"))
        self.app.do(do.Back())

    def target_mm(self, string: int) -> float:
        """Where the plan wants it."""
        calls = {call.string: call for call in self.app.session.work.plan.strings}
        return calls[string].window_mm.target

    def reads_all(self, low: int = 0) -> None:
        """Every string at its target, but one that is too low."""
        for string in walk_order(self.job.instrument):
            self.reads(string, TOO_LOW_MM if string == low else self.target_mm(string))

    def finds_too_much_relief(self) -> float:
        """Up to the card that asks for relief, and a figure that is far too much."""
        self.app.do(do.SetComplaint("check"))
        shown = self.app.do(do.Ask())
        shown = self.app.do(do.AnswerAllYes())
        for _ in range(30):
            if isinstance(shown, views.QuestionView) and shown.question.gate == "relief":
                break
            assert isinstance(shown, views.QuestionView)
            shown = self.app.do(do.AnswerGate(shown.question.gate, "skipped"))
        found_mm = TRADE.relief.of(self.kind, fretted=True).high.mm + 0.4
        self.app.do(do.TypeNumber(BY_QUESTION + "relief"))
        failed = self.app.do(do.NumberTyped(f"{found_mm:.2f} mm"))
        assert isinstance(failed, views.QuestionView) and failed.failed
        assert failed.question.finding
        return found_mm

    def sets_relief_right(self) -> None:
        """From the plan: set, and measured again."""
        self.app.do(do.SeePlan())
        self.app.do(do.AskFirst("relief"))
        self.app.do(do.MeasureAgain("relief"))
        self.app.do(do.NumberTyped(f"{RELIEF_MM} mm"))


@pytest.mark.parametrize("kind", NINE)
def test_an_instrument_is_walked_from_intake_to_a_record_that_agrees_with_itself(kind: str) -> None:
    """A failed relief is set right and all strings are read again; an old mistap is struck out; a
    low slot is filled and read again; a new nut is fitted and all are read again; after each the
    power fails and nothing is lost. In the end plan, sheet, page, trend and quick check say one
    clearance for every string, the page and the sheet the relief that was measured last, and every
    piece of work stands in the record with what was known before it."""
    app = fresh_app()
    app.do(do.SetSetting("unit", "mm"))
    start(app, kind)
    visit = Visit(app, kind)
    strings = walk_order(visit.job.instrument)
    visit.finds_too_much_relief()
    visit.loses_power()
    visit.reads_all()
    visit.sets_relief_right()
    assert visit.job.rounds[0].work.what is WorkKind.RELIEF_SET
    assert {one.string for one in visit.job.rounds[0].readings} == set(strings)
    assert visit.job.readings == ()
    visit.loses_power()
    low = strings[0]
    visit.reads_all(low)
    visit.reads(strings[1], MISTAKEN_MM)
    mistaken = open_document(visit.app).readings[-1].event
    visit.app.session.take_back(mistaken)
    visit.loses_power()
    assert all(one.event != mistaken for one in open_document(visit.app).readings)
    visit.app.do(do.ReportWork(WorkKind.FILL, (low,)))
    assert {one.string for one in visit.job.rounds[1].readings} == {low}
    visit.loses_power()
    visit.reads(low, visit.target_mm(low))
    visit.app.do(do.ReportWork(WorkKind.NEW_NUT))
    common = {spec.string for spec in visit.job.instrument.strings if not spec.from_fret}
    assert set(visit.job.rounds[2].work.strings) == common
    visit.loses_power()
    visit.reads_all()
    _agrees_with_itself(visit, len(strings))


def _agrees_with_itself(visit: Visit, strings: int) -> None:
    app = visit.app
    app.do(do.SeeSheet(True))
    sheet = sheet_as_text(app.session)
    job = app.session.place.job
    assert f"{RELIEF_MM:.2f} mm" in sheet
    said = everywhere(app, job, strings)
    assert said.plan == said.sheet == said.page == said.check
    assert None not in said.plan.values()
    assert said.trend.items() <= {s: known[0] for s, known in said.plan.items() if known}.items()
    document = app.history.job(job)
    assert document is not None and not document.open
    done = [each.work.what for each in document.as_job().rounds]
    assert done == [WorkKind.RELIEF_SET, WorkKind.FILL, WorkKind.NEW_NUT]
    page = app.do(ido.SeeInstrument(app.history.instruments()[0].id))
    assert any(f"{RELIEF_MM:.2f} mm" in words for words in words_of(page))

"""One truth: what a visit leaves of a string is one figure, wherever it is read."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.presenters.handover import sheet_as_text
from logic.app.views import plan_views, views
from shared.events import Kind
from shared.job import Proof
from shared.readings import Buzz
from shared.units import Length
from shared.work import Work, WorkKind
from tests.logic.app.apps import DiscApp, fresh_app, in_plan, open_document, walking

KINDS = {
    "electric guitar": 6,
    "bass guitar": 4,
    "soprano ukulele": 4,
    "mandolin": 8,
    "12-string guitar": 12,
    "5-string banjo": 5,
}
RANGE = re.compile(r"(\d+\.\d+)(?: mm)? \((\d+\.\d+) to (\d+\.\d+)\)")
FILED, RAISED, UNREAD, PROVED = 1, 2, 3, 4
"""What is done at the second visit to the strings of these numbers."""

Figures = tuple[str, str, str]


def figures(text: str) -> Figures | None:
    """An estimate and its range as they are written; None where nothing is known."""
    found = RANGE.search(text)
    return (found[1], found[2], found[3]) if found else None


@dataclass
class Everywhere:
    """What each place says of every string after the visit."""

    plan: dict[int, Figures | None]
    sheet: dict[int, Figures | None]
    page: dict[int, Figures | None]
    trend: dict[int, str]
    check: dict[int, Figures | None]


def read(app: DiscApp, string: int, *numbers: str) -> None:
    """Type what a gauge shows of one string."""
    for number in numbers:
        app.do(do.Walk(string))
        app.do(do.TypeNumber())
        app.do(do.NumberTyped(number))
        app.do(do.Back())


def first_visit(kind: str) -> DiscApp:
    """An app that reads millimetres, with one visit of one instrument closed."""
    app = fresh_app()
    app.do(do.SetSetting("unit", "mm"))
    walking(app, kind)
    for string in range(1, KINDS[kind] + 1):
        read(app, string, "0.9 mm")
    app.do(do.CloseJob())
    return app


def second_visit(app: DiscApp, strings: int) -> str:
    """Everything that can happen to a string: its slot filed, filled, filed and left unread, proved
    with a number; a reading struck out. Its job, which is closed then."""
    (line,) = app.history.instruments()
    app.do(ido.NewJobOn(line.id))
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    job = app.session.place.job
    read(app, FILED, "0.85 mm")
    app.do(do.CutSlot(FILED))
    app.do(do.Filed(4))
    read(app, FILED, "0.70 mm")
    read(app, RAISED, "0.20 mm")
    filled = Work(what=WorkKind.FILL, strings=(RAISED,), minutes=20)
    app.session.keep((Kind.WORK_DONE, {"job": job, "work": filled}))
    read(app, RAISED, "0.62 mm")
    read(app, UNREAD, "0.81 mm")
    app.do(do.CutSlot(UNREAD))
    app.do(do.Filed(3))
    read(app, PROVED, "0.77 mm")
    app.do(do.CutSlot(PROVED))
    app.do(do.Filed(4))
    proof = Proof(string=PROVED, buzz=Buzz.NONE, clearance=Length.parse("0.58 mm"))
    app.session.keep((Kind.PROOF_TAKEN, {"job": job, "proof": proof}))
    for string in range(5, strings + 1):
        read(app, string, "0.50 mm")
    read(app, FILED, "0.66 mm")
    mistaken = open_document(app).readings[-1].event
    app.session.take_back(mistaken)
    assert all(one.event != mistaken for one in open_document(app).readings)
    return job


def everywhere(app: DiscApp, job: str, strings: int) -> Everywhere:
    """What is said of every string, in the plan, on the sheet and, once the job is closed, on the
    instrument's page, in its trend and in a quick check."""
    numbers = range(1, strings + 1)
    instrument = open_document(app).instrument
    plan = {}
    for string in numbers:
        line = next(each for each in in_plan(app, string).lines if each.string == string)
        assert isinstance(line, plan_views.PlanLine)
        plan[string] = figures(dict(line.numbers).get("Stands at (95 % range)", ""))
    app.do(do.SeeSheet())
    rows = [row.split(" · ") for row in sheet_as_text(app.session).splitlines() if " · " in row]
    by_name = {row[0].split(",")[0]: row for row in rows if len(row) == 6}
    sheet = {s: figures(by_name[instrument.name_of(s)][3]) for s in numbers}
    app.do(do.CloseJob("No time to prove it now"))
    (line,) = app.history.instruments()
    page = app.do(ido.SeeInstrument(line.id))
    assert isinstance(page, views.InstrumentView)
    trend = {one.string: one.said.rpartition(" → ")[2] for one in page.trends}
    app.do(ido.QuickCheck(line.id))
    check = {}
    for string in numbers:
        view = app.do(ido.CheckString(string))
        assert isinstance(view, views.CheckView)
        known = app.session.work.known.get(string)
        check[string] = figures(app.session.wording.interval(known.interval_mm)) if known else None
    shown = {one.string: figures(one.known) for one in page.strings}
    return Everywhere(plan, sheet, shown, trend, check)


@pytest.mark.parametrize("kind", KINDS)
def test_a_visit_leaves_one_figure_of_a_string(kind: str) -> None:
    """Plan, sheet, page, trend and quick check say the same clearance and range, of a slot that was
    filed, filled, proved with a number, or only read; one that was filed and not read again is
    known nowhere; a reading that was struck out counts nowhere."""
    app, strings = first_visit(kind), KINDS[kind]
    job = second_visit(app, strings)
    said = everywhere(app, job, strings)
    assert said.plan == said.sheet == said.page == said.check
    assert [s for s, known in said.plan.items() if known is None] == [UNREAD]
    assert said.trend == {s: known[0] for s, known in said.plan.items() if known is not None}


def test_the_figure_is_near_what_was_read_last() -> None:
    """What the places agree on is what the gauge showed last, within what one hand's number is off
    (a hundredth and a half; the struck-out 0.66 and the readings before work are not in it)."""
    app = first_visit("electric guitar")
    said = everywhere(app, second_visit(app, 6), 6)
    last = {FILED: 0.70, RAISED: 0.62, PROVED: 0.58, 5: 0.50, 6: 0.50}
    for string, mm in last.items():
        known = said.plan[string]
        assert known is not None and float(known[0]) == pytest.approx(mm, abs=0.03)

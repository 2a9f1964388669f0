"""Both sheets, read back from their PDF, number by number beside what the journal holds."""

from __future__ import annotations

import io
import re
from collections import defaultdict
from itertools import takewhile

import pytest
from pypdf import PdfReader

from logic.app.commands import commands as do
from logic.app.presenters.handover import sheet_as_pdf
from logic.drawing.page import Paper
from shared.events import Event, Kind
from shared.units import Length, Unit
from tests.logic.app.apps import DiscApp, events
from tests.logic.app.test_one_truth import FILED, KINDS, RAISED, UNREAD, first_visit, second_visit

NOTE = "Fret 9 is worn"


def visited(kind: str = "electric guitar") -> tuple[DiscApp, str]:
    """An app at the hand-over of a second visit with a note, a ticket, a workshop and a hand."""
    app = first_visit(kind)
    job = second_visit(app, KINDS[kind])
    for field, value in (("ticket", "2041"), ("note", NOTE)):
        app.session.keep((Kind.JOB_CHANGED, {"job": job, "field": field, "value": value}))
    app.do(do.SetSetting("workshop", "Alder Row Strings"))
    app.do(do.SetSetting("technician", "Ada Kern"))
    return app, job


def lines_of(app: DiscApp, *, for_bench: bool) -> list[str]:
    """The sheet's lines as a reader of the PDF sees them: what stands at one height, left to
    right."""
    app.do(do.SeeSheet(for_bench))
    found = []
    for page in PdfReader(io.BytesIO(sheet_as_pdf(app.session, Paper.A4))).pages:
        at: dict[float, list[tuple[float, str]]] = defaultdict(list)

        def seen(text: str, _cm: object, tm: list[float], *_: object, at=at) -> None:  # type: ignore[no-untyped-def]
            if text.strip():
                at[round(tm[5], 1)].append((tm[4], text.strip()))

        page.extract_text(visitor_text=seen)
        for height in sorted(at, reverse=True):
            found.append(" | ".join(text for _, text in sorted(at[height])))
    return found


def of_kind(app: DiscApp, job: str, kind: Kind) -> list[Event]:
    """What the journal holds of this kind about a job, but what was taken back."""
    undone = {each.body["event"] for each in events(app) if each.kind == Kind.UNDONE}
    return [
        each
        for each in events(app)
        if each.kind == kind and each.body.get("job") == job and each.id not in undone
    ]


def table(lines: list[str], heading: str) -> list[list[str]]:
    """The rows of the table under a heading, without its head."""
    start = next(n for n, line in enumerate(lines) if line == heading)
    columns = lines[start + 1].count(" | ")
    rows = takewhile(lambda line: line.count(" | ") == columns, lines[start + 2 :])
    cells = [row.split(" | ") for row in rows]
    return [row for row in cells if not all(map(str.isdigit, row))]  # the picture names strings


def numbers_read(app: DiscApp, job: str, string: int) -> list[float]:
    """Every number that was typed for a string in this job and stands, oldest first, mm."""
    readings = (each.body["reading"] for each in of_kind(app, job, Kind.READING_TAKEN))
    proofs = (each.body["proof"] for each in of_kind(app, job, Kind.PROOF_TAKEN))
    typed = [each["clearance"] for each in (*readings, *proofs) if each["string"] == string]
    return [Length.parse(one).mm for one in typed if one]


@pytest.mark.parametrize("for_bench", [False, True])
@pytest.mark.parametrize("kind", ["electric guitar", "bass guitar", "mandolin"])
def test_before_and_after_are_what_was_read_first_and_last(kind: str, for_bench: bool) -> None:
    """Within what one hand's number is off (three standard uncertainties of a typed number), the
    first number of the visit stands under *before* and the last under *after*."""
    app, job = visited(kind)
    instrument = app.session.work.job.instrument
    heading = "Slots, mm" if for_bench else "First-fret clearance, mm"
    rows = {row[0].split(",")[0]: row for row in table(lines_of(app, for_bench=for_bench), heading)}
    for spec in instrument.strings:
        row, typed = rows[instrument.name_of(spec.string)], numbers_read(app, job, spec.string)
        assert row[1] == spec.pitch.show()
        assert float(row[2].split(" ")[0]) == pytest.approx(typed[0], abs=0.04)
        if spec.string == UNREAD:
            assert row[3] == "–"
        else:
            assert float(row[3].split(" ")[0]) == pytest.approx(typed[-1], abs=0.04)


def test_every_pass_and_every_work_of_the_journal_stands_on_the_bench_s_sheet() -> None:
    """Strings, strokes, files, minutes: as many rows as there are entries, with their figures."""
    app, job = visited()
    lines = lines_of(app, for_bench=True)
    passes = [each.body["pass"] for each in of_kind(app, job, Kind.PASS_FILED)]
    rows = table(lines, "Passes")
    assert sorted((int(row[0]), int(row[2])) for row in rows) == sorted(
        (each["string"], each["strokes"]) for each in passes
    )
    files = {Length.parse(each["file"]).number(Unit.MM) for each in passes}
    assert {row[1].removesuffix(" mm") for row in rows} == files
    (work,) = (each.body["work"] for each in of_kind(app, job, Kind.WORK_DONE))
    (row,) = table(lines, "Work")
    minutes = str(work["minutes"]).removesuffix(".0")
    assert row[:4] == ["slot filled", str(work["strings"][0]), "–", minutes]
    moved = re.search(rf"{RAISED}: ([\d.]+) -> ([\d.]+)", row[-1])
    typed = numbers_read(app, job, RAISED)
    assert moved and float(moved[1]) == pytest.approx(typed[0], abs=0.04)
    assert float(moved[2]) == pytest.approx(typed[-1], abs=0.04)


@pytest.mark.parametrize("for_bench", [False, True])
def test_whose_it_is_stands_on_both_sheets(for_bench: bool) -> None:
    """Workshop, technician, ticket, note, strings as they were opened with, and today's date."""
    app, job = visited()
    lines = lines_of(app, for_bench=for_bench)
    text = "\n".join(lines)
    opened = of_kind(app, job, Kind.JOB_OPENED)[0].body["value"]
    assert lines[1].startswith("Alder Row Strings · Ada Kern · ")
    assert "Ticket: 2041" in text and NOTE in text
    strung = next(line for line in lines if line.startswith("Strings: "))
    assert all(each["pitch"] in strung for each in opened["strings"])
    assert f"Scale: {Length.parse(opened['scale']).mm:.0f} mm" in text


def test_the_owner_s_lines_say_what_became_of_each_string() -> None:
    """Raised from its first number to its last; lowered; left as it was."""
    app, job = visited()
    text = " ".join(lines_of(app, for_bench=False))
    raised = re.search(
        rf"String {RAISED} was raised by a filled slot: ([\d.]+) -> ([\d.]+) mm", text
    )
    typed = numbers_read(app, job, RAISED)
    assert raised and float(raised[1]) == pytest.approx(typed[0], abs=0.04)
    assert float(raised[2]) == pytest.approx(typed[-1], abs=0.04)
    assert f"String {FILED}: lowered" in text
    assert text.index("Left as it was") < text.index("String 5: ")

"""Relief and action on the sheets: what they were, what they are, what was done to them."""

from __future__ import annotations

import json
from typing import Any

import pytest

from logic.bench.setup.state import setup_state
from logic.bench.visits.handover import HandOver, hand_over
from logic.bench.visits.setup_record import ACTION, RELIEF, KnownHeight, setup_record
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import as_text, bench_sheet, owner_sheet
from logic.drawing.neck import neck_height_mm, neck_picture, times_larger
from logic.drawing.page import TextRun, Trace
from logic.jobfiles.reading import read_job
from logic.languages import load_language
from logic.testing import TRADE
from logic.trade_loader import ASSETS
from shared.job import Job
from shared.measurements import Posture, Side
from shared.units import Unit
from shared.words import speaking

SAMPLES = ASSETS.parent / "sample_jobs"
ELECTRIC = "electric_whole_visit"


def sample(name: str) -> Job:
    """The job of a sample."""
    return read_job((SAMPLES / f"{name}.json").read_bytes(), TRADE)[0]


def with_setup(*readings: dict[str, Any], steps: tuple[Any, ...] = (), **more: Any) -> Job:
    """An electric guitar of which this was measured."""
    setup = {"scope": "check", "readings": readings, "steps": steps}
    job = {"instrument": {"kind": "electric guitar", "frets": 22}, "setup": setup, **more}
    return read_job(json.dumps(job), TRADE)[0]


def relief(text: str, posture: str = "as played") -> dict[str, Any]:
    """A relief of the bass side."""
    return {"quantity": "relief", "side": "bass", "value": text, "posture": posture}


def heights(job: Job) -> dict[tuple[str, Side | None, int | None, Posture], KnownHeight]:
    """What the record holds, by what and posture."""
    record = setup_record(job, TRADE)
    assert record is not None
    return {(h.quantity, h.side, h.string, h.posture): h for h in record.heights}


def lines_of(work: HandOver, unit: Unit, mark: str = ".") -> list[str]:
    """Both sheets, line by line."""
    sheets = (write(work, TRADE, Numbers(unit, mark)) for write in (owner_sheet, bench_sheet))
    return "".join(map(as_text, sheets)).splitlines()


def test_before_is_what_came_and_after_what_is_believed_now() -> None:
    """Before the rod was turned, by the first measurements alone; after, what the visit's own state
    says, to the last digit."""
    job = sample(ELECTRIC)
    found, state = heights(job), setup_state(job, TRADE)
    for side, came in ((Side.BASS, 0.56), (Side.TREBLE, 0.51)):
        one, stands = found[(RELIEF, side, None, Posture.PLAYED)], state.relief_of(side)
        assert one.before and one.after and stands and stands.believed
        assert one.before.estimate == pytest.approx(came, abs=0.03)
        assert one.after.estimate == stands.believed.mean
        assert one.before.low > one.after.high
    for string, came in ((6, 2.95), (1, 2.5)):
        one, stands = found[(ACTION, None, string, Posture.PLAYED)], state.action_of(string)
        assert one.before and one.after and stands and stands.believed
        assert one.before.low < came < one.before.high
        assert one.after.estimate == stands.believed.mean


def test_what_was_moved_and_not_measured_since_has_no_after() -> None:
    """A turn after the only reading leaves a dash, and the sheet says why."""
    turn = {"step": "turn", "eighths": -2, "after": 1}
    job = with_setup(relief("0.5 mm"), steps=(turn,))
    (one,) = heights(job).values()
    assert one.before is not None and one.after is None
    said = lines_of(hand_over(job, TRADE), Unit.MM)
    assert any(line.startswith("relief, bass side · 0.5") and " · – · " in line for line in said)
    assert "- –: not measured since it was moved." in said


def test_two_postures_are_two_lines() -> None:
    """What was measured on its back before and as played after is never one change."""
    turn = {"step": "turn", "eighths": -2, "after": 1}
    job = with_setup(relief("0.5 mm", "on its back"), relief("0.2 mm"), steps=(turn,))
    back, played = (heights(job)[(RELIEF, Side.BASS, None, p)] for p in _POSTURES)
    assert back.before is not None and back.after is None
    assert played.before is None and played.after is not None


_POSTURES = (Posture.BACK, Posture.PLAYED)


def test_a_job_without_measurements_has_no_such_section() -> None:
    """Sheets of a nut alone say nothing of it, in text and on pages."""
    job = sample("electric_after_restring")
    assert setup_record(job, TRADE) is None
    work = hand_over(job, TRADE)
    assert not any("RELIEF AND ACTION" in line for line in lines_of(work, Unit.MM))
    assert neck_height_mm(work) == 0.0


@pytest.mark.parametrize(
    ("unit", "figures"), [(Unit.MM, "0.56 (0.50 to 0.62)"), (Unit.THOU, "22.")]
)
def test_both_sheets_tell_it(unit: Unit, figures: str) -> None:
    """The table, what the relief is meant between, the room, and every step; the bench's also how
    long a turn was left to settle."""
    said = lines_of(hand_over(sample(ELECTRIC), TRADE), unit)
    rows = [line for line in said if line.startswith("relief, bass side · ")]
    assert len(rows) == 2 and all(figures in row for row in rows)
    assert said[0] == "Set-up: Alder Row Strings, bench 2, ticket 131"
    turned = "Rod turned by 2 eighths of a turn, towards less relief"
    assert f"- {turned}" in said and f"- {turned}; left for 20 min" in said
    assert said.count("- Humidity of the room: 47 %") == 2
    assert not any(line.startswith("- Action at fret 12") for line in said)


def test_it_is_told_in_german() -> None:
    """The same sheet in another language, with its decimal mark."""
    with speaking(load_language("de")):
        said = lines_of(hand_over(sample(ELECTRIC), TRADE), Unit.MM, ",")
    assert any(line.startswith("Halskrümmung, Bassseite · 0,56 ") for line in said)


def test_the_neck_is_drawn_as_large_as_it_says() -> None:
    """The deepest point of the crowns before lies its relief under the level line, heights drawn
    by the stated factor larger than lengths; the legend says so."""
    work, width = hand_over(sample(ELECTRIC), TRADE), 170.0
    elements = neck_picture(work, 20.0, 10.0, width)
    traces = [each for each in elements if isinstance(each, Trace)]
    level = traces[0].points[0][1]
    curves = [each for each in traces if len(each.points) > 2]
    assert [bool(each.dash_mm) for each in curves] == [True, False, True, False]
    before = heights(work.job)[(RELIEF, Side.BASS, None, Posture.PLAYED)].before
    assert before is not None
    board_mm = work.job.instrument.scale.mm * (1.0 - 2.0 ** (-22 / 12))
    drawn = max(y for _, y in curves[0].points) - level
    times = times_larger(work, width)
    assert drawn == pytest.approx(before.estimate * times * width / board_mm, rel=0.01)
    (legend,) = (e.text for e in elements if isinstance(e, TextRun) and "Heights" in e.text)
    assert f"Heights ×{round(times)} against lengths" in legend
    bottom = 10.0 + neck_height_mm(work)
    assert all(10.0 <= y <= bottom for each in traces for _, y in each.points)


def test_a_back_bow_is_drawn_over_the_level_line() -> None:
    """Below zero the crowns rise between the holds; what did not change is drawn once."""
    work = hand_over(sample("nylon_checked_in_winter"), TRADE)
    elements = neck_picture(work, 20.0, 10.0, 170.0)
    traces = [each for each in elements if isinstance(each, Trace)]
    curves = [each for each in traces if len(each.points) > 2]
    assert len(curves) == 2 and not any(each.dash_mm for each in curves)
    assert min(y for _, y in curves[0].points) < traces[0].points[0][1]

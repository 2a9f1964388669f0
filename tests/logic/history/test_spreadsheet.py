"""The spreadsheet of readings: RFC 4180 as the csv module reads it, and no formula in any cell."""

from __future__ import annotations

import csv
import io
import re
from datetime import UTC, datetime
from typing import Any
from unicodedata import normalize

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from logic.history import History
from logic.history.exchange.spreadsheet import reading_columns, readings_csv
from shared.events import Event, Kind
from tests.logic.history.factory import (
    INSTRUMENT,
    measured,
    open_history,
    opened,
    reading,
    stepped,
)

LABELS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=40)


def rows_of(history: History) -> list[dict[str, str]]:
    """Every row by column, read strictly."""
    return list(csv.DictReader(io.StringIO(readings_csv(history.queries)), strict=True))


def labelled(label: str) -> History:
    """One reading of an instrument with this label."""
    history = open_history()
    kind, body = opened()
    history.record(kind, body | {"value": INSTRUMENT | {"label": label}})
    history.record(*reading(6))
    return history


SIGNS = {chr(n) for n in range(0x110000) if normalize("NFKC", chr(n)) in ("=", "+", "-", "@")}
"""Signs that begin a formula, and every sign that Unicode has as a form of one of them."""
RISKY = st.text(st.sampled_from([*sorted(SIGNS), *",;|\t\r\n\" '1a\ufeff\u2028"]), max_size=12)


def without_marks(text: str) -> str:
    """The text without apostrophes before a sign, a tab or a line's end."""
    return re.sub(rf"'+(?=[{re.escape(''.join(SIGNS))}\t\r\n])", "", text)


def works_out(cell: str) -> bool:
    """Whether a spreadsheet would work this cell out: by its first sign, read generously."""
    seen = cell.lstrip().lstrip("\ufeff\u200b").lstrip()
    number = re.fullmatch(r"[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?", seen)
    return seen[:1] in SIGNS and not number and len(seen) > 1


@settings(deadline=None)
@given(LABELS)
def test_any_label_comes_back(label: str) -> None:
    """Commas, quotes and signs of every script survive; apostrophes stand before what would be
    worked out, and nothing else is added."""
    (row,) = rows_of(labelled(label))
    kept = labelled(label).instruments()[0].label
    assert without_marks(row["instrument"]) == without_marks(kept)


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_begins_a_formula(sign: str) -> None:
    """Text that a spreadsheet would work out is shown instead (OWASP, "CSV injection", from
    memory)."""
    history = open_history()
    kind, body = opened()
    history.record(kind, body | {"value": INSTRUMENT | {"label": f"{sign}1+1"}})
    history.record(*reading(6))
    (row,) = rows_of(history)
    assert row["instrument"][0] not in "=+-@\t\r"


@pytest.mark.parametrize("separator", [",", ";", "\t", "|", " "])
@settings(deadline=None, max_examples=150)
@given(label=RISKY)
@example(label="oak;=1+1")
@example(label='oak";=1+1')
@example(label=" ＝1+1")
@example(label="oak\r\n@SUM(1)")
def test_no_cell_is_worked_out_whatever_parts_them(separator: str, label: str) -> None:
    """A program that takes another sign for the separator finds no formula either, be it that it
    knows quotes or that it cuts at every separator (OWASP, "CSV Injection": the field separator and
    quotes need care too, wide forms included; from memory)."""
    text = readings_csv(labelled(label).queries)
    read = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    cells = [cell for row in read for cell in row]
    cut = [cell.strip('"') for line in text.splitlines() for cell in line.split(separator)]
    assert not [cell for cell in (*cells, *cut) if works_out(cell)]


def test_numbers_stay_numbers() -> None:
    """Cents below none are a number in their cell, with their sign."""
    history = open_history()
    history.record(*opened())
    flat = {"string": 6, "fret": 3, "cents": -12.5}
    history.record(Kind.READING_TAKEN, {"job": "j1", "reading": flat})
    (row,) = rows_of(history)
    assert (row["fret"], row["cents"]) == ("3", "-12.5")


def test_a_dash_between_words_stays_a_dash() -> None:
    """Nobody reads apostrophes in a plain name."""
    (row,) = rows_of(labelled("Parlour - 12-fret, no. 3"))
    assert row["instrument"] == "Parlour - 12-fret, no. 3"


@settings(deadline=None)
@given(LABELS)
def test_the_file_keeps_rfc_4180(label: str) -> None:
    """Lines end with CR LF, every record has as many fields as the header, quotes are doubled."""
    text = readings_csv(labelled(label).queries)
    assert text.endswith("\r\n")
    records = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert {len(record) for record in records} == {len(reading_columns())}
    out = io.StringIO()
    csv.writer(out).writerows(records)
    assert out.getvalue() == text


def test_the_header_names_each_column_once() -> None:
    """Whatever kinds of readings there are, no two write into one column."""
    assert len(set(reading_columns())) == len(reading_columns())
    assert (
        tuple(next(csv.reader(io.StringIO(readings_csv(open_history().queries)))))
        == reading_columns()
    )


@settings(deadline=None, max_examples=30)
@given(st.lists(st.tuples(st.sampled_from(["j1", "j2"]), st.sampled_from([1, 6])), max_size=12))
def test_one_row_for_each_reading_that_stands(taken: list[tuple[str, int]]) -> None:
    """Jobs oldest first, readings in their order, none twice, none left out."""
    history = open_history()
    for job in ("j1", "j2"):
        history.record(*opened(job))
    for job, string in taken:
        history.record(*reading(string, job=job))
    rows = [(row["job"], int(row["string"])) for row in rows_of(history)]
    assert rows == [each for job in ("j1", "j2") for each in taken if each[0] == job]


def test_what_is_taken_back_is_in_no_row() -> None:
    """An undone reading goes, and comes again with a redo."""
    history = open_history()
    history.record(*opened())
    event = history.record(*reading(6))
    history.record(*reading(1))
    history.undo(event.id)
    assert [row["string"] for row in rows_of(history)] == ["1"]
    history.redo(event.id)
    assert [row["string"] for row in rows_of(history)] == ["6", "1"]


def test_times_are_utc_to_the_second() -> None:
    """As a spreadsheet reads them, with the device that recorded."""
    history = labelled("x")
    (row,) = rows_of(history)
    assert re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d", row["taken (UTC)"])
    taken = datetime.strptime(row["taken (UTC)"], "%Y-%m-%d %H:%M:%S").replace(tzinfo=UTC)
    job = history.job("j1")
    assert job is not None
    assert int(taken.timestamp()) == job.readings[0].stamp.wall_ms // 1000
    assert row["device"] == history.device


def test_a_time_beyond_the_calendar_is_shown_as_its_end() -> None:
    """A stamp may be odd and still has a row."""
    history = open_history()
    history.record(*opened())
    late: dict[str, Any] = {"job": "j1", "reading": reading(6)[1]["reading"]}
    event = Event(history.bench, "z1", 1, "99999999999999.0", Kind.READING_TAKEN, late)
    history.merge_events([event])
    assert [row["taken (UTC)"][:4] for row in rows_of(history)] == ["5138"]


def test_lengths_stand_as_they_were_written() -> None:
    """With their unit, and the pitch of the string beside them."""
    (row,) = rows_of(labelled("x"))
    assert (row["pitch"], row["leaf"]) == ("E2", "0.018 in")


def test_steps_and_postures_stand_in_columns_of_their_own() -> None:
    """How it lay and what was done come after every older column, and only where they are needed;
    a step has its fields as they were written."""
    history = open_history()
    history.record(*opened())
    relief = {"quantity": "relief", "side": "bass", "holds": [1, 14], "value": "-0.05 mm"}
    history.record(*measured(relief))
    (plain,) = rows_of(history)
    history.record(*measured(relief | {"posture": "on its back"}))
    history.record(*stepped({"step": "turn", "eighths": -2, "settled": "10 min"}))
    history.record(*stepped({"step": "saddle", "string": 6, "height": "-0.32 mm"}))
    history.record(*stepped({"step": "skip", "stage": "frets", "why": "=new"}))
    _, lying, turn, saddle, skip = rows_of(history)
    columns = list(turn)
    assert columns[: len(plain)] == list(plain)
    assert columns[len(plain) :] == [
        *("posture", "step", "eighths", "settled", "height", "stage", "why"),
    ]
    assert (lying["posture"], lying["held at frets"]) == ("on its back", "1–14")
    assert lying["value"] == "'-0.05 mm"
    assert (turn["step"], turn["eighths"], turn["settled"]) == ("turn", "-2", "10 min")
    assert (saddle["string"], saddle["pitch"], saddle["height"]) == ("6", "E2", "'-0.32 mm")
    assert (skip["stage"], skip["why"]) == ("frets", "'=new")

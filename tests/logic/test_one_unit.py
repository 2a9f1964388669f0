"""With `--unit`, no sentence of any command says a length in another unit."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from logic.__main__ import main

ROOT = Path(__file__).resolve().parents[2]
JOBS = sorted([*(ROOT / "sample_jobs").glob("*.json"), *(ROOT / "tests" / "cases").glob("*.json")])
UNITS = ("mm", "thou", "in")
LENGTH = re.compile(r"(?<![\w.])-?\d*\.?\d+ (mm|thou|in)\b(?! (that order|its usual|file|leaf)\b)")
"""A length in a sentence; a file or a leaf is called by what is marked on it, whatever the unit."""
ALONG_THE_NECK = ("the nut stands too", "of the nut to fret 1", "a nut about", "about a nut")
"""Sentences about a place along the neck: in millimetres on a bench that reads thousandths."""

SCALE = re.compile(r"- Scale: ")
"""Laid off with a rule, in inches on a bench that reads thousandths."""

HOW_TO_WRITE = "write what it reads: 0.56 mm or 0.022 in"
"""An example of how a length is written, in both systems on purpose."""


def sentences(plan: dict[str, object]) -> Iterator[str]:
    """Every text of a plan that a person reads, but what was assumed: that is said as a job file
    would have it."""
    for key, value in plan.items():
        if key != "assumed":
            yield from _texts(value)


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)


def _printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(list(words)) == 0
    return capsys.readouterr().out


def _other_units(text: str, unit: str) -> list[str]:
    text = text.replace(HOW_TO_WRITE, "")
    along = unit == "thou" and any(place in text.lower() for place in ALONG_THE_NECK)
    allowed = (unit, "mm") if along else (unit, "in") if SCALE.match(text) else (unit,)
    return [found[0] for found in LENGTH.finditer(text) if found[1] not in allowed]


@pytest.mark.parametrize("unit", UNITS)
def test_a_plan_says_every_length_in_the_unit_asked_for(
    unit: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Calls, gates, notes, options, advice and cautions of every sample and case."""
    said = 0
    for job in JOBS:
        plan = json.loads(_printed(capsys, "plan", str(job), "--json", "--unit", unit))
        for text in sentences(plan):
            said += len(LENGTH.findall(text))
            assert _other_units(text, unit) == [], (job.name, text)
    assert said > 100


@pytest.mark.parametrize("unit", UNITS)
def test_what_is_printed_for_people_keeps_to_one_unit_too(
    unit: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The cut and both sheets of every sample and case; what a sheet assumed is left out."""
    for job in JOBS:
        printed = _printed(capsys, "cut", str(job), "--unit", unit)
        for sheet in ((), ("--bench",)):
            sheet_text = _printed(capsys, "handover", str(job), "--unit", unit, *sheet)
            blocks = sheet_text.split("\n\n")
            printed += "".join(b for b in blocks if not b.startswith(("ASSUMED", "ASKED FOR")))
        for line in printed.splitlines():
            assert _other_units(line, unit) == [], (job.name, line)


def test_a_figure_in_a_sentence_is_the_figure_of_the_table_beside_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """What an option says its slots come down by is, to the last digit, what the option publishes,
    as the table would print it."""
    places, per_mm = {"mm": 2, "thou": 1, "in": 4}, {"mm": 1.0, "thou": 1 / 0.0254, "in": 1 / 25.4}
    compared = 0
    for job in JOBS:
        for unit in UNITS:
            plan = json.loads(_printed(capsys, "plan", str(job), "--json", "--unit", unit))
            for option in plan["nut"]["options"]:
                cuts = sorted(cut["slot_cut_mm"] for cut in option["lower_after"])
                for cut in (*cuts[:1], *cuts[-1:]):
                    figure = f"{cut * per_mm[unit]:.{places[unit]}f}"
                    figure = figure.removeprefix("0") if unit == "in" else figure
                    assert f"{figure} {unit}" in option["why"], (job.name, option)
                    compared += 1
    assert compared >= 12


def test_without_a_unit_programs_read_lengths_as_they_were_stated(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A program that asks for none gets the sentences it always got: sizes as they are written,
    amounts in millimetres, clearances in both."""
    job = ROOT / "tests" / "cases" / "c02_worn_original_nut.json"
    plan = json.loads(_printed(capsys, "plan", str(job), "--json"))
    texts = " ".join(sentences(plan))
    assert re.search(r"\d mm \(\d+ thou\)|\d\.\d\d mm", texts)


@pytest.mark.parametrize("unit", UNITS)
def test_the_unit_changes_words_and_no_decision(
    unit: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Calls, amounts, gates and which strings they speak of are the same in every unit."""
    for job in JOBS:
        plain, plan = (
            json.loads(_printed(capsys, "plan", str(job), "--json", *asked))
            for asked in ((), ("--unit", unit))
        )
        assert _without_words(plan) == _without_words(plain), job.name


def _without_words(value: object) -> object:
    if isinstance(value, dict):
        said = ("why", "next_step", "file_note", "note", "advice", "ask", "cautions")
        return {k: _without_words(v) for k, v in value.items() if k not in said}
    return [_without_words(v) for v in value] if isinstance(value, list) else value


def test_a_refusal_is_said_in_the_unit_that_was_asked_for(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """What can be is said in that unit, and what was found stays as it was written; where no unit
    was asked for, the table's own."""
    job = tmp_path / "job.json"
    job.write_text('{"instrument": {"kind": "electric guitar", "scale": "9000 mm"}}')
    for words, said in ((), "540 mm and 730 mm"), (("--unit", "in"), "21.260 in and 28.740 in"):
        assert main(["plan", str(job), *words]) == 2
        refused = capsys.readouterr().err
        assert "9000 mm" in refused
        assert said in refused

"""`python -m logic cut` and `handover`: the next step of every slot, and the record."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tests.logic.test_command_line import run_main

READINGS = [
    {"string": 6, "leaf": "0.030 in", "contact": "none"},
    {"string": 6, "leaf": "0.032 in", "contact": "light"},
]


def _job(**parts: Any) -> bytes:
    instrument = {"kind": "electric guitar", "label": "Alder Row 3"}
    looked_at = {"relief": "ok", "frets": "ok"}
    job = {"instrument": instrument, "checks": looked_at, "readings": READINGS}
    return json.dumps(job | parts).encode()


def test_a_high_slot_gets_its_first_pass() -> None:
    """A string that stands twelve thou over its target gets three light strokes and a stop line."""
    done = run_main(["cut", "-"], _job())
    assert done.code == 0
    assert "String 6:" in done.out and "3 light strokes with the 46 thou file" in done.out


def test_after_a_pass_the_next_step_is_a_reading() -> None:
    """With a pass on record the step is to read, as JSON with the leaf in millimetres."""
    passes = [{"string": 6, "strokes": 3, "file": "0.046 in", "after": 2}]
    step = json.loads(run_main(["cut", "-", "--json"], _job(passes=passes)).out)[0]
    assert (step["string"], step["step"], step["strokes"]) == (6, "read", 0)
    assert step["leaf_mm"] and step["stop_line_mm"] < 0.508


def test_what_must_be_checked_first_is_not_cut() -> None:
    """With relief out, a string that reads high gets the check, and no stroke."""
    done = run_main(["cut", "-", "--string", "6"], _job(checks={"relief": "too much"}))
    assert done.code == 0
    assert "check first" in done.out and "stroke" not in done.out


def test_a_string_on_target_is_left() -> None:
    """Asked about a string that was never read, it says so instead of naming strokes."""
    step = json.loads(run_main(["cut", "-", "--string", "1", "--json"], _job()).out)[0]
    assert (step["string"], step["step"]) == (1, "read again")
    assert "strokes" not in step


def test_nothing_to_lower_is_said() -> None:
    """A job without a high string needs no file."""
    done = run_main(["cut", "-"], json.dumps({"instrument": {"kind": "bass guitar"}}).encode())
    assert (done.code, done.out) == (0, "No slot is to be lowered.\n")


@pytest.mark.parametrize(
    ("words", "parts", "said"),
    [
        (["--string", "9"], {}, "--string"),
        ([], {"passes": [{"string": 6, "strokes": 200, "after": 2}]}, "strokes"),
        ([], {"passes": [{"string": 6, "strokes": -3}]}, "strokes"),
    ],
)
def test_what_nobody_has_or_does_is_refused(words: list[str], parts: Any, said: str) -> None:
    """A string that is not there, and strokes that nobody makes, exit 2 in one line."""
    done = run_main(["cut", "-", *words], _job(**parts))
    assert done.code == 2
    assert said in done.err and done.err.count("\n") == 1


def test_the_record_is_written_as_text_and_pdf(tmp_path: Path) -> None:
    """Both sheets name the instrument and the workshop; the PDF says the same."""
    name = str(tmp_path / "sheet.pdf")
    words = ["handover", "-", "--workshop", "Alder Row Strings", "--pdf", name]
    owner, bench = run_main(words, _job()), run_main([*words, "--bench"], _job())
    assert owner.out.startswith("Set-up of the nut: Alder Row 3\nAlder Row Strings")
    assert bench.out.startswith("Bench record: Alder Row 3")
    assert "Bench record: Alder Row 3" in PdfReader(name).pages[0].extract_text()

"""`python -m logic layout`: figures, drawings on disk, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.logic.test_command_line import run_main

GUITAR = json.dumps({"instrument": {"kind": "electric guitar", "label": "Alder Row 3"}}).encode()


def test_json_holds_the_slots() -> None:
    """Each slot has its string, centre, width and floor; centres rise from the bass side."""
    done = run_main(["layout", "-", "--json"], GUITAR)
    answer = json.loads(done.out)
    assert (done.code, answer["format"], answer["version"]) == (0, "nutwright.layout", 1)
    assert [slot["string"] for slot in answer["slots"]] == [6, 5, 4, 3, 2, 1]
    fields = {"string", "centre_mm", "width_mm", "depth_from_crown_plane_mm"}
    assert all(set(slot) == fields for slot in answer["slots"])
    centres = [slot["centre_mm"] for slot in answer["slots"]]
    assert centres == sorted(centres)


def test_drawings_are_written(tmp_path: Path) -> None:
    """--svg and --pdf leave files that open, on the paper asked for."""
    paths = [str(tmp_path / name) for name in ("nut.svg", "nut.pdf")]
    done = run_main(
        ["layout", "-", "--svg", paths[0], "--pdf", paths[1], "--paper", "letter"], GUITAR
    )
    assert done.code == 0
    assert "Alder Row 3" in Path(paths[0]).read_text("utf-8")
    assert float(PdfReader(paths[1]).pages[0].mediabox.width) == pytest.approx(612, abs=0.01)


def test_wishes_are_heard() -> None:
    """Spacing and margin change the figures as asked."""
    plain, wished = (
        json.loads(run_main(["layout", "-", "--json", *more], GUITAR).out)["slots"]
        for more in ([], ["--spacing", "equal-centres", "--margin", "0.16 in"])
    )
    edge = wished[0]["centre_mm"] - 0.046 * 25.4 / 2
    assert edge == pytest.approx(0.16 * 25.4, abs=1e-3)
    assert plain[0]["centre_mm"] != wished[0]["centre_mm"]


def test_the_table_is_in_the_unit_asked_for() -> None:
    """The table shows gauges in the unit of choice and says what was assumed."""
    done = run_main(["layout", "-", "--unit", "in"], GUITAR)
    assert "0.046 in" in done.out
    assert "Assumed: instrument.nut.width" in done.out


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--margin", "4"], "--margin"),
        (["--margin", "30 mm"], "do not fit"),
        (["--pdf", "/nowhere/at/all.pdf"], "--pdf"),
    ],
)
def test_what_cannot_be_used_is_one_line(more: list[str], said: str) -> None:
    """A length without a unit, margins that meet, and a file that cannot be written exit 2."""
    done = run_main(["layout", "-", *more], GUITAR)
    assert done.code == 2
    assert said in done.err and done.err.count("\n") == 1

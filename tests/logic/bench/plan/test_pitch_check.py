"""Cents along the neck at the clearance a job's readings give, and the command that prints them."""

from __future__ import annotations

import io
import json
import sys

import pytest

from logic.__main__ import main
from logic.bench.instrument.presets import kinds, preset_instrument
from logic.bench.instrument.strung_string import wire_of
from logic.bench.plan.pitch_check import string_pitches
from logic.bench.plan.plan import make_plan
from logic.physics.neck import Neck, neck_from_action, nut_height_mm
from logic.physics.sharpness import Finger, cents_sharp
from logic.testing import TRADE
from shared.job import Job
from shared.readings import Reading

ELECTRIC = preset_instrument("electric guitar", TRADE)
JOB = Job(
    instrument=ELECTRIC,
    readings=(
        Reading.model_validate({"string": 6, "clearance": "0.60 mm"}),
        Reading.model_validate({"string": 3, "clearance": "0.46 mm"}),
    ),
)


def one_reading(kind: str, string: int, clearance: str) -> str:
    """A job file with one clearance in it."""
    reading = {"string": string, "clearance": clearance}
    return json.dumps({"instrument": {"kind": kind}, "readings": [reading]})


def printed(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    job: str,
    *words: str,
) -> tuple[int, str, str]:
    """What the command prints for a job on standard input."""
    stdin = io.TextIOWrapper(io.BytesIO(job.encode()), encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", stdin)
    code = main(["pitch", "-", *words])
    out = capsys.readouterr()
    return code, out.out, out.err


def test_cents_are_the_model_s_at_the_clearance_read() -> None:
    """Read at 0.60 mm with a 2.0 mm action, string 6 has the cents of Anderson & Beausoleil's
    four-term model (2024) for that neck, finger 10 mm behind the fret."""
    sixth = next(one for one in string_pitches(JOB, TRADE) if one.string == 6)
    assert sixth.measured
    assert sixth.clearance_mm == pytest.approx(0.60, abs=0.01)
    neck = neck_from_action(Neck(647.7, 0.0), sixth.clearance_mm, 2.0)
    nut = nut_height_mm(neck, sixth.clearance_mm)
    spring = wire_of(ELECTRIC.spec(6), ELECTRIC, TRADE).spring
    assert sixth.cents[1] == pytest.approx(cents_sharp(neck, nut, 1, spring, Finger(10)).total)


def test_plan_and_pitch_say_the_same() -> None:
    """The cents at fret 1 of a plan's call are those of the pitch table."""
    called = {call.string: call.cents_at_fret_1 for call in make_plan(JOB, TRADE).strings}
    found = {one.string: one.cents[1] for one in string_pitches(JOB, TRADE) if one.measured}
    assert set(found) == {6, 3}
    for string, cents in found.items():
        assert called[string] == pytest.approx(cents, abs=0.06)


def test_an_unread_string_stands_at_its_target() -> None:
    """Where nothing was read the target is taken, and marked so."""
    first = next(one for one in string_pitches(JOB, TRADE) if one.string == 1)
    assert not first.measured
    assert first.clearance_mm == pytest.approx(0.4064)


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_every_usual_instrument(kind: str) -> None:
    """On every usual instrument at its targets fret 1 is sharp by less than ten cents, more height
    is sharper, and a saddle set at the octave, or at the fret nearest to it, leaves that in
    tune."""
    instrument = preset_instrument(kind, TRADE)
    for one in string_pitches(Job(instrument=instrument), TRADE):
        assert 0.0 < one.cents[1] < 10.0
        assert one.cents_per_thou > 0.0
        assert one.cents_saddle_set[1] <= one.cents[1] + 0.05
        if instrument.spec(one.string).from_fret == 0:
            assert one.cents_saddle_set[instrument.octave_fret] == pytest.approx(0.0, abs=1e-6)


def test_json_has_every_promised_field(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """One object: format, version, and for each string its clearance, tension, κ and cents."""
    job = one_reading("bass guitar", 4, "0.5 mm")
    code, out, _ = printed(capsys, monkeypatch, job, "--json")
    found = json.loads(out)
    assert (code, found["format"], found["version"]) == (0, "nutwright.pitch", 1)
    fourth = next(one for one in found["strings"] if one["string"] == 4)
    assert fourth["clearance_mm"] == pytest.approx(0.5, abs=0.01)
    assert 150 < fourth["tension_n"] < 220
    assert fourth["kappa"] > 100
    assert set(fourth["cents"]) == {str(fret) for fret in (1, 2, 3, 5, 12)}
    assert "-0.0" not in out


def test_table_fits_a_page_and_marks_what_was_not_read(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """At most a hundred columns, a row a string, a star where the target was taken."""
    job = one_reading("12-string guitar", 1, "0.4 mm")
    code, out, _ = printed(capsys, monkeypatch, job, "--unit", "mm")
    assert code == 0
    assert max(len(line) for line in out.splitlines()) <= 100
    rows = [line for line in out.splitlines() if line[:1].isdigit()]
    assert len(rows) == 12
    assert sum("*" in row for row in rows) == 11


def test_what_if_moves_the_cents(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Slackened to D2 the sixth is sharper at fret 1, by the same clearance."""
    job = one_reading("electric guitar", 6, "0.5 mm")
    cents = []
    for words in ((), ("--tune", "6=D2")):
        _, out, _ = printed(capsys, monkeypatch, job, "--json", *words)
        cents.append(json.loads(out)["strings"][0]["cents"]["1"])
    assert cents[1] > cents[0]


def test_unusable_input_is_one_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A job that cannot be read exits with 2 and one clear line."""
    code, out, err = printed(capsys, monkeypatch, '{"instrument": {"kind": "theremin"}}')
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "instrument.kind" in err

"""The command line: the sample jobs' calls, the table, and one line for whatever goes wrong."""

import io
import json
import os
import subprocess
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.__main__ import main
from logic.cli import COMMANDS
from logic.cli.plan_table import WIDTH
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from logic.trade_loader import ASSETS

SAMPLES = ASSETS.parent / "sample_jobs"
MM_PER = {"thou": 0.0254, "mm": 1.0, "in": 25.4}
Run = Callable[..., SimpleNamespace]


def run_main(words: list[str], stdin: bytes = b"") -> SimpleNamespace:
    """Runs the command line in this process, with streams of its own."""
    kept = sys.stdin, sys.stdout, sys.stderr
    streams = [io.TextIOWrapper(io.BytesIO(stdin)), *(_text_stream() for _ in range(2))]
    sys.stdin, sys.stdout, sys.stderr = streams
    try:
        code: object = main(words)
    except SystemExit as leaving:
        code = leaving.code
    finally:
        sys.stdin, sys.stdout, sys.stderr = kept
    out, err = (stream.buffer.getvalue().decode() for stream in _flushed(streams[1:]))
    return SimpleNamespace(code=code, out=out, err=err)


def _text_stream() -> io.TextIOWrapper:
    return io.TextIOWrapper(io.BytesIO(), encoding="utf-8")


def _flushed(streams: list[Any]) -> list[Any]:
    for stream in streams:
        stream.flush()
    return streams


def plan_of(name: str) -> dict[str, Any]:
    """The JSON plan of one sample job."""
    done = run_main(["plan", str(SAMPLES / f"{name}.json"), "--json"])
    assert (done.code, done.err) == (0, "")
    plan: dict[str, Any] = json.loads(done.out)
    return plan


def calls(plan: dict[str, Any]) -> dict[int, tuple[str, str]]:
    """Call and reason by string."""
    return {one["string"]: (one["call"], one["reason"]) for one in plan["strings"]}


def test_the_electric_has_two_wound_strings_to_lower() -> None:
    """High sixth and fifth come down, the third is low but clean and stays, the rest is right."""
    plan = plan_of("electric_after_restring")
    found = calls(plan)
    assert [found[string][0] for string in (6, 5)] == ["lower", "lower"]
    assert found[4] == found[2] == found[1] == ("leave", "on target")
    assert found[3] == ("leave", "low but clean")
    low_e = plan["strings"][0]
    high = low_e["clearance_mm"]["estimate"] - low_e["window_mm"]["target"]
    assert 0 < low_e["slot_cut_mm"] <= high / 0.9439, "1 − x₁/L = 2^(−1/12) by similar triangles"
    assert low_e["file_mm"] == pytest.approx(1.1684)


def test_the_nylon_string_is_high_all_over() -> None:
    """Every string comes down, by held gap or by number, and so the nut's base goes first."""
    plan = plan_of("nylon_with_sour_chords")
    assert {call for call, _ in calls(plan).values()} == {"lower"}
    assert [option["method"] for option in plan["nut"]["options"] if option["recommended"]] == [
        "base"
    ]


def test_the_bass_has_one_string_to_raise() -> None:
    """The low string buzzes open and goes up; the other three are left alone."""
    plan = plan_of("bass_with_an_open_buzz")
    found = calls(plan)
    assert found[4][0] == "raise"
    assert {found[string] for string in (3, 2, 1)} == {("leave", "on target")}
    assert plan["strings"][0]["raise_mm"] > 0
    assert plan["nut"]["options"]


@pytest.mark.parametrize(
    ("sample", "lowered"),
    [("dulcimer_with_a_one_and_a_half_fret", {1, 2}), ("lute_with_tied_frets", {6, 7})],
)
def test_of_an_instrument_with_frets_of_its_own_one_course_comes_down(
    sample: str, lowered: set[int]
) -> None:
    """What the complaint names is high; every other string stands where such instruments have it,
    whatever frets the board lists."""
    found = calls(plan_of(sample))
    assert {string for string, (call, _) in found.items() if call == "lower"} == lowered
    left = {call for string, call in found.items() if string not in lowered}
    assert left == {("leave", "on target")}


def test_a_dulcimer_s_frets_are_printed_by_their_usual_names() -> None:
    """The ninth fret of a board with 1½ and 6½ is the octave, and players call it 7 (common
    practice, no source); what is data counts every fret."""
    sample = str(SAMPLES / "dulcimer_with_a_one_and_a_half_fret.json")
    plan, pitch = (run_main([command, sample]).out for command in ("plan", "pitch"))
    assert "over fret 7?" in plan and "fret 9" not in plan
    head = pitch.splitlines()[1].split()[5:]
    assert "saddle set at fret 7" in pitch and head == ["1", "1½", "2", "3", "7"] * 2
    data = json.loads(run_main(["pitch", sample, "--json"]).out)
    assert list(data["strings"][0]["cents"]) == ["1", "2", "3", "4", "9"]


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_every_sample_is_a_whole_plan(sample: Path) -> None:
    """The JSON of each sample names its format and gives every string its figures in order."""
    plan = plan_of(sample.stem)
    assert (plan["format"], plan["version"]) == ("nutwright.plan", 1)
    assert {"assumed", "gates", "strings", "nut", "cautions"} <= set(plan)
    for one in plan["strings"]:
        window, found = one["window_mm"], one["clearance_mm"]
        assert window["low"] < window["target"] < window["high"]
        assert found["low"] <= found["estimate"] <= found["high"]
        assert 0 < one["confidence"] <= 1
        assert one["why"]


@pytest.mark.parametrize("unit", list(MM_PER))
@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_the_table_fits_and_agrees_with_the_json(sample: Path, unit: str) -> None:
    """One row a string in 100 columns, and its clearance is the JSON's in the unit asked for."""
    done = run_main(["plan", str(sample), "--unit", unit])
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert max(len(line) for line in lines) <= WIDTH
    rows = lines[lines.index(next(line for line in lines if line.startswith("─"))) + 1 :]
    step = {"thou": 0.1, "mm": 0.01, "in": 0.0001}[unit] * MM_PER[unit]
    job, _assumed = read_job(sample.read_bytes(), TRADE)
    for row, one in zip(rows, plan_of(sample.stem)["strings"], strict=False):
        name = job.instrument.name_of(one["string"])
        assert row.startswith(f"{name} ")
        _pitch, _gauge, estimate, interval, *_ = row.removeprefix(name).split()
        assert float(estimate) * MM_PER[unit] == pytest.approx(
            one["clearance_mm"]["estimate"], abs=step / 2 + 1e-9
        )
        low, high = interval.strip("()").split("–")
        assert float(low) <= float(estimate) <= float(high)
        assert one["call"] in row


def test_the_table_says_what_was_assumed() -> None:
    """A job of one line still gets a table, and the table owns up to the presets."""
    job = b'{"instrument": {"kind": "mandolin"}, "readings": []}'
    done = run_main(["plan", "-"], job)
    assert done.code == 0
    assert "Assumed, because the job does not say" in done.out
    assert "taken from a usual mandolin" in done.out
    assert "4 treble" in done.out


def test_what_is_true_of_several_strings_is_said_once() -> None:
    """Three bass strings on target share one line of why; the low one has its own."""
    done = run_main(["plan", str(SAMPLES / "bass_with_an_open_buzz.json")])
    why = done.out.partition("Why\n")[2].partition("\n\n")[0]
    assert "  3, 2, 1 · on target: " in why
    assert why.count("on target") == 1
    assert "  4 · " in why


def test_the_strings_of_a_pair_are_named_as_everywhere_else() -> None:
    """Two strings of a 12-string stand too high, read by name: the advice for the whole nut names
    them so, not by their place, and what was checked of these two alone says so."""
    tall = [{"string": name, "clearance": "0.8 mm"} for name in ("5 octave", "2 first")]
    checks = {"at_pitch": {"5 octave": "yes"}, "relief": "ok", "frets": "ok"}
    job = {"instrument": {"kind": "12-string guitar"}, "readings": tall, "checks": checks}
    told = " ".join(run_main(["plan", "-"], json.dumps(job).encode()).out.split())
    assert "lower strings 5 octave and 2 treble" in told
    assert "at pitch (string 5 octave)" in told


def test_the_base_comes_before_the_slots() -> None:
    """Where the plan takes the nut's base down first, the steps slot by slot begin with that."""
    told = run_main(["cut", str(SAMPLES / "nylon_with_sour_chords.json")]).out
    assert told.startswith("All are high alike: take the nut's base down first")
    other = run_main(["cut", str(SAMPLES / "electric_after_restring.json")]).out
    assert other.startswith("String 6:")


def test_standard_input_is_a_job() -> None:
    """A dash reads the job from standard input, with the same result as the file."""
    sample = SAMPLES / "bass_with_an_open_buzz.json"
    assert run_main(["plan", "-"], sample.read_bytes()).out == run_main(["plan", str(sample)]).out


@pytest.mark.parametrize(
    ("job", "field"),
    [
        (b"", "job file"),
        (b"\xff\x00", "job file"),
        (b"[" * 100_000, "job file"),
        (b'{"instrument": {"kind": "harp"}}', "instrument.kind"),
        (b'{"version": 9, "instrument": {"kind": "other"}}', "version"),
        (b'{"instrument": {"kind": "other", "scale": "0 mm"}}', "instrument.scale"),
        (b'{"instrument": {"kind": "other", "a4_hz": NaN}}', "instrument.a4_hz"),
        (b'{"instrument": {"kind": "other"}, "readings": [{"string": 6, "leaf": "18 mm"}]}',
         "readings[0].leaf"),
    ],
)  # fmt: skip
def test_bad_input_is_two_and_one_line(job: bytes, field: str) -> None:
    """Exit code 2, nothing on standard output, one line that begins with the field."""
    done = run_main(["plan", "-"], job)
    assert (done.code, done.out) == (2, "")
    assert done.err.count("\n") == 1
    assert done.err.startswith(f"nutwright: {field}: ")


@pytest.mark.parametrize(
    "words",
    [
        ["plan", "no such file.json"],
        ["plan", str(SAMPLES)],
        ["plan"],
        ["plan", "-", "--unit", "furlong"],
        ["plan", "-", "--jso"],
        ["sand"],
        [],
    ],
)
def test_a_wrong_word_is_two_and_one_line(words: list[str]) -> None:
    """A file that is not there or an option that is none costs one line, never a traceback."""
    done = run_main(words)
    assert (done.code, done.out) == (2, "")
    assert done.err.count("\n") == 1


def test_help_lists_every_command() -> None:
    """Help names each command and what it prints, and the exit codes."""
    done = run_main(["--help"])
    assert done.code == 0
    for name, about in COMMANDS.items():
        assert name in done.out
        assert about.split()[0] in done.out
    assert "exit codes" in done.out


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_explains_itself(name: str) -> None:
    """Each command has help of its own that says more than its one line."""
    command = import_module(f"logic.cli.{name}")
    assert callable(command.run)
    done = run_main([name, "--help"])
    assert done.code == 0
    assert (command.__doc__ or "").split("\n")[0] in done.out


def test_a_fault_of_ours_is_said_and_not_thrown(monkeypatch: pytest.MonkeyPatch) -> None:
    """An unforeseen error is one line and exit code 1, and the whole story when it is asked for."""
    import logic.cli.plan as plan

    def broken(*_: object) -> None:
        raise RuntimeError("a screw is loose")

    monkeypatch.setattr(plan, "job_of", broken)
    sample = str(SAMPLES / "bass_with_an_open_buzz.json")
    done = run_main(["plan", sample])
    assert (done.code, done.err.count("\n")) == (1, 1)
    assert "a fault of ours" in done.err
    monkeypatch.setenv("NUTWRIGHT_TRACE", "1")
    with pytest.raises(RuntimeError, match="a screw is loose"):
        run_main(["plan", sample])


def test_the_module_runs_in_a_bare_terminal() -> None:
    """Started as a program where the terminal knows only ASCII, it still prints its plan."""
    command = [sys.executable, "-m", "logic", "plan", "sample_jobs/bass_with_an_open_buzz.json"]
    bare = os.environ | {"PYTHONIOENCODING": "ascii"}
    done = subprocess.run(command, cwd=SAMPLES.parent, env=bare, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert "raise" in done.stdout


def test_a_reader_that_has_seen_enough_is_no_error() -> None:
    """When the pipe is closed early there is no complaint."""
    command = [sys.executable, "-m", "logic", "plan", "sample_jobs/bass_with_an_open_buzz.json"]
    with subprocess.Popen(
        command, cwd=SAMPLES.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout
        assert process.stderr
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0


strings = st.integers(1, 6)
buzzes = st.sampled_from(["none", "soft", "normal", "hard", "unknown"])
thou = st.integers(1, 60).map(lambda n: f"{n} thou")
by_leaf = {"leaf": thou, "contact": st.sampled_from(["none", "light", "heavy"]), "buzz": buzzes}
readings = st.one_of(
    st.fixed_dictionaries({"string": strings, **by_leaf}),
    st.fixed_dictionaries({"string": strings, "clearance": thou, "buzz": buzzes}),
    st.fixed_dictionaries({"string": strings, "held_at": st.integers(2, 4), "gap": thou}),
    st.fixed_dictionaries(
        {"string": strings, "fret": st.integers(1, 12), "cents": st.integers(-60, 90)}
    ),
    st.fixed_dictionaries({"string": strings, "buzz": buzzes}),
)
odd = st.sampled_from([None, True, 0, -1, "18 mm", "46", "", [], {}, "heavy", "no", 1e308])
jobs = st.fixed_dictionaries(
    {
        "instrument": st.fixed_dictionaries(
            {
                "kind": st.sampled_from(
                    [
                        "electric guitar",
                        "nylon-string guitar",
                        "7-string guitar",
                        "12-string guitar",
                    ]
                )
            },
            optional={
                "relief": st.one_of(thou, odd),
                "scale": st.one_of(st.sampled_from(["25 in", "648 mm"]), odd),
                "fretted": st.booleans(),
                "nut": st.fixed_dictionaries(
                    {"type": st.sampled_from(["slotted", "zero fret", "clamping", "tall slide"])}
                ),
            },
        ),
        "readings": st.lists(readings, max_size=8),
    },
    optional={
        "player": st.fixed_dictionaries({"attack": st.sampled_from(["light", "heavy", "wild"])}),
        "kit": st.fixed_dictionaries({}, optional={"leaves": st.lists(thou, max_size=4)}),
        "checks": st.dictionaries(
            st.sampled_from(["relief", "seated", "capo", "slot_width", "ping", "frets"]),
            st.one_of(odd, thou, st.dictionaries(strings.map(str), odd, max_size=2)),
            max_size=3,
        ),
    },
)


@given(job=jobs)
@settings(deadline=None, max_examples=60)
def test_any_job_ends_in_a_plan_or_in_one_line(job: dict[str, Any]) -> None:
    """Whatever a bench can write down is planned, or refused in one line; never a traceback."""
    done = run_main(["plan", "-"], json.dumps(job).encode())
    assert done.code in (0, 2), done.err
    assert done.err.count("\n") == (done.code == 2)
    assert bool(done.out) == (done.code == 0)
    assert all(len(line) <= WIDTH for line in done.out.splitlines())


@given(
    sample=st.sampled_from(sorted(SAMPLES.glob("*.json"))),
    place=st.floats(0, 1, exclude_max=True),
    cut=st.integers(0, 30),
    junk=st.one_of(st.binary(max_size=6), st.sampled_from([b"NaN", b"null", b"{", b'"', b"1e9"])),
)
@settings(deadline=None, max_examples=80)
def test_a_damaged_sample_ends_in_a_plan_or_in_one_line(
    sample: Path, place: float, cut: int, junk: bytes
) -> None:
    """A real job with a piece torn out or written over is never a traceback either."""
    whole = sample.read_bytes()
    start = int(place * len(whole))
    done = run_main(["plan", "-"], whole[:start] + junk + whole[start + cut :])
    assert done.code in (0, 2), done.err
    assert done.err.count("\n") == (done.code == 2)

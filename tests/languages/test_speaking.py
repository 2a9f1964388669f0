"""Rules and command line say everything through the catalogue, one language at a time."""

import io
import json
import re
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from logic import __main__ as command_line
from logic.bench.checks.reasons import reason_said
from logic.bench.plan.plan import make_plan
from logic.bench.raising.nut_layout import Wishes, lay_out
from logic.bench.visits.handover import hand_over
from logic.bench.visits.quick_check import KnownClearance, Moved, StringCheck
from logic.bench.visits.quick_tonight import tonight_for
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import bench_sheet, owner_sheet
from logic.bench.window.string_window import windows
from logic.drawing.nut import nut_page
from logic.drawing.page import PaperPage, TextRun, text_width_mm
from logic.drawing.sheet import sheet_pages
from logic.jobfiles.reading import read_job
from logic.languages import load_language
from logic.testing import TRADE
from shared.bootstrap import ROOT
from shared.errors import InputError
from shared.job import CallKind, StringCall, Window
from shared.reasons import Lack, OpenCheck
from shared.units import Length
from shared.words import FigureStyle, chosen_of, inside, listed, say, speaking
from tests.languages.extract import everything_said
from tests.languages.pseudo import Pseudo, unsaid

JOBS = (*sorted((ROOT / "sample_jobs").glob("*.json")), ROOT / "assets" / "sample.json")
COMMANDS = (
    ("plan",),
    ("plan", "--unit", "mm", "--attack", "heavy"),
    ("cut",),
    ("handover",),
    ("handover", "--bench"),
    ("layout",),
    ("pitch",),
)
SAME_IN_ALL = frozenset({"thou", "min", "Alder", "Row", "Strings"})
"""Units, and the invented workshop."""
FIELD = re.compile(
    r"\b(?:instrument|player|kit|readings|checks)(?:\.[a-z_0-9]+|\[\d+\])*(?:(?:\s+=|:)\s+\w+)?"
)
"""A field of a job file, and the word it holds: the same in every language."""
READING = {"string": 6, "clearance": "0.5 mm"}
AS_IT_WAS = StringCheck(
    6, KnownClearance(0.4, 0.02), Moved.AS_IT_WAS, 0.9, KnownClearance(0.4, 0.02), False
)
ODD = (
    {"instrument": {"kind": "12-string guitar"}, "checks": {"relief": "blah", "foo": "bar"}},
    {
        "instrument": {"kind": "electric guitar", "nut": {"type": "clamping"}},
        "readings": [{"string": 6, "clearance": "0.1 mm"}],
    },
    {
        "instrument": {"kind": "electric guitar"},
        "kit": {"leaves": ["0.02 in"], "shims": ["0.2 mm"], "files": []},
        "checks": {"time": "minutes", "seated": {"6": "no"}},
        "readings": [
            {"string": 6, "clearance": "0.2 mm"},
            {"string": 5, "clearance": "0.2 mm", "buzz": "hard"},
            {"string": 4, "fret": 1, "cents": 22},
            {"string": 3, "leaf": "0.02 in", "contact": "heavy"},
            {"string": 3, "leaf": "0.03 in", "contact": "none"},
        ],
    },
)


@pytest.fixture
def pseudo(monkeypatch: pytest.MonkeyPatch) -> Pseudo:
    """The bracketed language, for whatever language a command asks for."""
    language = Pseudo()
    monkeypatch.setattr(command_line, "load_language", lambda _: language)
    return language


def run(words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, job: object = None) -> str:
    """What one command prints, complaints included."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8") for _ in range(2))
    with monkeypatch.context() as patch:
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        given = io.BytesIO(json.dumps(job).encode())
        patch.setattr(sys, "stdin", io.TextIOWrapper(given, encoding="utf-8"))
        command_line.main(list(words))
        out.flush()
        err.flush()
    return (out.buffer.getvalue() + err.buffer.getvalue()).decode()  # type: ignore[attr-defined]


def _own_words(path: Path) -> frozenset[str]:
    return frozenset(re.findall(r"\w+", path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_word_of_a_job_is_said(
    path: Path, pseudo: Pseudo, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Plans, cuts, sheets, layouts and pitches hold no word of ours outside the catalogue."""
    known = _own_words(path) | SAME_IN_ALL
    for command, *options in COMMANDS:
        printed = run((command, str(path), *options), monkeypatch)
        assert unsaid(FIELD.sub("", printed), *known) == (), command


@pytest.mark.parametrize("job", ODD, ids=("answers", "clamps", "faults"))
@pytest.mark.parametrize("command", ["plan", "cut", "handover"])
def test_every_word_about_an_odd_job_is_said(
    command: str, job: object, pseudo: Pseudo, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Contradictions, unknown answers, clamps and hurry are all said."""
    printed = run((command, "-"), monkeypatch, job)
    words = SAME_IN_ALL | {"blah", "foo", "bar", "bone"}
    assert unsaid(FIELD.sub("", printed), *words) == ()


def _texts(pages: Iterable[PaperPage]) -> str:
    return "\n".join(
        one.text for page in pages for one in page.elements if isinstance(one, TextRun)
    )


def test_drawings_and_sheets_are_said() -> None:
    """The drawing of a new nut, the printed sheets, and what to do tonight hold no word unsaid."""
    trade = TRADE
    fanned = {"kind": "electric guitar", "scale_bass": "27 in"}
    job, _ = read_job(json.dumps({"instrument": fanned, "readings": [READING]}), trade)
    with speaking(Pseudo()):
        work = hand_over(job, trade, minutes=35)
        sheets = (owner_sheet(work, trade, Numbers()), bench_sheet(work, trade, Numbers()))
        layout = lay_out(job.instrument, job.player, trade, Wishes())
        drawn = [
            nut_page(layout, label="Alder"),
            *(p for s in sheets for p in sheet_pages(s, work)),
        ]
        moved = replace(AS_IT_WAS, moved=Moved.HIGHER, buzzes=True)
        tonight = tonight_for((moved, replace(moved, moved=Moved.LOWER)), trade)
    # printed lines break anywhere, so brackets are counted over the whole page
    assert unsaid(" ".join(_texts(drawn).split("\n")), "Alder", "bone") == ()
    assert tonight and all(text[0] == "⟦" for text in tonight)


def test_printed_lines_stay_on_the_page() -> None:
    """In either language no line of the nut's drawing runs over the paper's edge."""
    trade = TRADE
    fanned = {"kind": "electric guitar", "scale_bass": "27 in"}
    job, _ = read_job(json.dumps({"instrument": fanned, "readings": [READING]}), trade)
    layout = lay_out(job.instrument, job.player, trade, Wishes())
    for code in ("en", "de"):
        with speaking(load_language(code)):
            page = nut_page(layout)
        for one in (mark for mark in page.elements if isinstance(mark, TextRun)):
            wide = text_width_mm(one.text, one.size_pt, bold=one.bold)
            assert one.at[0] + wide < page.width_mm - 5, one.text


def test_what_is_said_is_in_the_catalogue(pseudo: Pseudo, monkeypatch: pytest.MonkeyPatch) -> None:
    """No sentence is put together at run time and then looked up in vain."""
    for path in JOBS:
        for command, *options in COMMANDS:
            run((command, str(path), *options), monkeypatch)
    for job in ODD:
        run(("plan", "-"), monkeypatch, job)
    run(("checks",), monkeypatch)
    own = {"synthetic", "ebony", "foo"}  # a nut's material and a check's name, as the job has them
    listed_ones = {said.key for said in everything_said()}
    assert {key for key in pseudo.said - listed_ones if key[0] not in own} == set()


@pytest.mark.parametrize(
    ("job", "word"),
    [
        ({}, "instrument"),
        ([], "object"),
        ({"instrument": {"kind": "bass guitar", "relief": "5"}}, "unit"),
        ({"instrument": {"kind": "electric guitar"}, "readings": [{"string": 6}]}, "clear thing"),
        (
            {
                "instrument": {"kind": "electric guitar"},
                "readings": [{"string": 9, "clearance": "0.5 mm"}],
            },
            "string 9",
        ),
    ],
)
def test_refusals_are_said(
    job: object, word: str, pseudo: Pseudo, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What cannot be used is refused through the catalogue, but for the field's own name."""
    printed = run(("plan", "-"), monkeypatch, job)
    assert word in printed
    assert unsaid(FIELD.sub("", printed), "nutwright") == ()


def test_the_command_line_speaks_german(monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan in German: its words, decimal commas throughout, and English untouched afterwards."""
    path = str(JOBS[0])
    german = run(("plan", path, "--language", "de"), monkeypatch)
    assert "Bevor gefeilt wird" in german
    assert re.search(r"\d,\d", german)
    assert not re.search(r"\d\.\d", german)
    english = run(("plan", path), monkeypatch)
    assert "Before anything is cut" in english
    assert not re.search(r"\d,\d", english)


def test_an_answer_for_programs_keeps_its_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """In JSON only sentences change with the language: calls, reasons, gates and figures stay."""
    path = str(JOBS[0])
    one, other = (
        json.loads(run(("plan", path, "--json", "--language", code), monkeypatch))
        for code in ("en", "de")
    )
    for fixed in ("call", "reason", "clearance_mm", "window_mm.target", "confidence"):
        for here, there in zip(one["strings"], other["strings"], strict=True):
            for name in fixed.split("."):
                here, there = here[name], there[name]
            assert here == there
    assert [gate["gate"] for gate in one["gates"]] == [gate["gate"] for gate in other["gates"]]
    assert one["strings"][0]["why"] != other["strings"][0]["why"]


def test_a_plan_does_not_depend_on_the_language() -> None:
    """The same numbers and calls come out, and notes remembered in one language stay in it."""
    trade = TRADE
    job, _ = read_job(JOBS[1].read_bytes(), trade)
    with speaking(load_language("de")):
        german, seen = make_plan(job, trade), windows(job.instrument, job.player, trade)
    english = make_plan(job, trade)
    assert [call.call for call in german.strings] == [call.call for call in english.strings]
    assert [call.window_mm.target for call in german.strings] == [
        call.window_mm.target for call in english.strings
    ]
    again = windows(job.instrument, job.player, trade)
    assert all(not note.note or note.note != seen[s].note for s, note in again.items())


def test_names_of_strings_are_read_in_every_language() -> None:
    """A job file names a pair's strings in English, whatever the bench speaks."""
    trade = TRADE
    job = {
        "instrument": {"kind": "12-string guitar"},
        "readings": [{"string": "6 octave", "clearance": "0.5 mm"}],
    }
    with speaking(load_language("de")):
        read, _ = read_job(json.dumps(job), trade)
        name = read.instrument.name_of(read.readings[0].string)
    assert name == "6 Oktave"


def test_lists_and_starts_of_sentences() -> None:
    """Names are listed with the language's own words; only English starts a part small."""
    assert (listed([6]), listed([6, 5]), listed([6, 5, 4])) == ("6", "6 and 5", "6, 5 and 4")
    assert chosen_of(["a", "b"]) == "a or b"
    assert inside("The string") == "the string"
    with speaking(load_language("de")):
        assert listed([6, 5, 4]) == "6, 5 und 4"
        assert chosen_of(["a", "b"]) == "a oder b"
        assert inside("Die Saite") == "Die Saite"


def test_reasons_are_said_where_they_are_shown() -> None:
    """A reason kept in English has its German, also where it names a check."""
    with speaking(load_language("de")):
        assert reason_said(_call("too high")) == "zu hoch"
        waits = OpenCheck(check="nut_type", lacks=Lack.ANSWER)
        assert reason_said(_call(waits.reason, waits)) == "Sattelart: noch nicht beantwortet"


def _call(reason: str, waits: OpenCheck | None = None) -> StringCall:
    window = Window(low=0.3, target=0.4, high=0.5)
    return StringCall(
        string=1,
        call=CallKind.CHECK_FIRST,
        reason=reason,
        open_check=waits,
        why="",
        confidence=1,
        window_mm=window,
    )


def test_lengths_in_german_sentences_follow_the_bench() -> None:
    """A length in a German sentence is in the bench's unit and has its decimal mark."""
    width = Length.parse("0.018 in")
    wanted = {"mm": "0,46 mm", "thou": "18 thou", "in": "0,018 in"}
    for unit, said in wanted.items():
        with speaking(load_language("de"), FigureStyle(unit, decimal_mark=",")):
            assert said in say("take one of at least {width}", width=width)


def test_errors_are_said_when_they_happen() -> None:
    """A refusal speaks the language of its moment."""
    with speaking(load_language("de")), pytest.raises(InputError, match="keine Einheit in 46"):
        Length.parse("46")
    with pytest.raises(InputError, match="no unit in 47"):
        Length.parse("47")

"""The words that stand in plans, job files and histories for kinds of things."""

from __future__ import annotations

import json
from enum import StrEnum

import pytest

from logic.bench.cutting.cutting import CutStep, Oddity
from logic.bench.instrument.presets import kinds
from logic.bench.measuring.verdict import VERDICTS
from logic.bench.raising.nut_layout import Spacing
from logic.bench.tables.vocabulary import RaiseMethod
from logic.bench.visits.quick_check import QUICK_CHECK
from logic.testing import TRADE
from shared.instrument import Attack, Make, NutType
from shared.job import CallKind, GateState
from shared.readings import Buzz, Contact
from shared.reasons import CallReason, GateReason, Lack, OpenCheck
from tests.logic.test_command_line import SAMPLES, run_main

WORDS: dict[type[StrEnum], set[str]] = {
    CallKind: {"leave", "lower", "raise", "widen", "ease", "check first", "read again"},
    GateState: {"open", "passed", "failed", "skipped"},
    Contact: {"none", "light", "heavy"},
    Buzz: {"none", "soft", "normal", "hard", "unknown"},
    Attack: {"light", "medium", "heavy"},
    Make: {
        *("plain steel", "wound steel", "wound nickel", "wound bronze", "flatwound", "nylon"),
        *("fluorocarbon", "gut", "overwound nylon"),
    },
    NutType: {
        *("slotted", "zero fret", "clamping", "roller", "tall slide", "compensated", "own nut"),
    },
    CutStep: {"read", "file", "done", "stop"},
    Oddity: {"nothing removed", "far too much removed", "reads higher than before the cut"},
    Spacing: {"equal gaps", "graduated", "equal centres"},
}
REASONS = {
    *("on target", "low but clean", "too high", "low and buzzes", "low for hard playing"),
    *("rests on the crown", "buzz is not height", "play it open"),
}
GATE_REASONS = {
    *("answer not understood", "answers disagree", "skipped", "not asked", "plays tonight"),
    *("not a question known here", "never cut in a hurry", "V-shaped slot", "slot too narrow"),
    *("slot too wide", "relief first", "frets 1 to 3 first", "slot floor first"),
    "nut position first",
}
PASSED = {
    "at_pitch": "yes",
    "tuning": "yes",
    "capo": "off",
    "anchored": "yes",
    "frets": "ok",
    "behind_nut": "clear",
    "playing_position": "yes",
    "relief": "ok",
    "seated": "yes",
}
KINDS = {
    *("electric guitar", "steel-string guitar", "nylon-string guitar", "12-string guitar"),
    *("7-string guitar", "8-string guitar", "baritone guitar", "bass guitar", "5-string bass"),
    *("6-string bass", "soprano ukulele", "concert ukulele", "tenor ukulele"),
    *("baritone ukulele", "mandolin", "tenor banjo", "5-string banjo", "other"),
    *("resonator guitar", "cigar-box guitar", "double bass", "charango", "Venezuelan cuatro"),
    *("Puerto Rican cuatro", "mandola", "mandocello", "Irish bouzouki", "Greek bouzouki"),
    *("mountain dulcimer", "lute"),
}


@pytest.mark.parametrize("kind", WORDS, ids=lambda kind: str(kind.__name__))
def test_words_of_a_kind_stand(kind: type[StrEnum]) -> None:
    """Calls, states, contacts, buzzes, attacks, makes, nuts and steps are spelled as ever."""
    assert {each.value for each in kind} >= WORDS[kind]


def test_reasons_of_a_call_stand() -> None:
    """What programs and pages read as the reason of a call that no check imposed."""
    assert {one.reason for row in VERDICTS.values() for one in row.values()} >= REASONS
    made = {
        "not read yet",
        "not sure yet",
        "no such clearance",
        "readings contradict",
        "tight and low",
    }
    assert {reason.value for reason in CallReason} >= REASONS | made


def test_reasons_of_checks_stand() -> None:
    """What programs and pages read as the reason of a check that code decides by."""
    assert {reason.value for reason in GateReason} >= GATE_REASONS
    assert [lack.value for lack in Lack] == ["not answered yet", "not known yet", "left out"]
    open_check = OpenCheck(check="nut_type", lacks=Lack.ANSWER)
    assert open_check.reason == "nut type not answered yet"


def test_kinds_of_instrument_stand() -> None:
    """A job file names its instrument by one of these."""
    assert set(kinds(TRADE)) >= KINDS


def test_a_quick_check_is_known_by_its_complaint() -> None:
    """The job of a quick check is told from others by this word."""
    assert QUICK_CHECK == "quick check"


def methods_for(clearances_mm: list[float]) -> set[str]:
    """The ways that a plan offers where the six strings stand so, string 1 first; the low buzz."""
    readings = [
        {
            "string": string,
            "clearance": f"{height_mm} mm",
            "buzz": "normal" if height_mm < 0.3 else "none",
        }
        for string, height_mm in enumerate(clearances_mm, start=1)
    ]
    job = {"instrument": {"kind": "electric guitar"}, "checks": PASSED, "readings": readings}
    return methods(run_main(["plan", "-", "--json"], json.dumps(job).encode()).out)


def methods(printed: str) -> set[str]:
    """The ways that the JSON of a plan offers."""
    return {option["method"] for option in json.loads(printed)["nut"]["options"]}


def test_ways_of_raising_and_lowering_stand() -> None:
    """`took <job> <method>` and plans name the ways of a whole nut by these words."""
    every = {"strip", "fill", "shim", "shim out", "wedge", "base", "new nut"}
    assert {way.value for way in RaiseMethod} >= every
    assert methods_for([0.12] * 6) >= {"fill", "shim", "new nut"}
    assert methods_for([0.5, 0.5, 0.5, 0.14, 0.12, 0.1]) >= {"wedge"}
    high = run_main(["plan", str(SAMPLES / "nylon_with_sour_chords.json"), "--json"])
    assert methods(high.out) >= {"base"}

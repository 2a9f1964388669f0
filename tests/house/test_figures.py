"""Figures that somebody could dispute have one home: a table in `assets/`, or a reason here."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from shared.bootstrap import ROOT

FOLDERS = ("logic/bench", "logic/physics")
NUMERICAL = "how finely a sum or search is made; the result does not hang on it"
DEFINITION = "true by definition or by mathematics"
HABIT = "a plain habit that the benchmark is compared with"
SCREEN = "how far one tap goes on a screen; no decision stands on it"
OUR_OWN = "how this program counts or shows, not a figure of the trade"
WITH_REASON = {
    "logic/bench/cutting/cutting.py": {"_CHAIN_LENGTH": OUR_OWN},
    "logic/bench/cutting/next_touch.py": dict.fromkeys(("_FAINT", "_WEIGHED"), NUMERICAL),
    "logic/bench/simulation/cut_bound.py": dict.fromkeys(
        (
            *("_CELLS", "_REACH_SDS", "_APART", "_LESS", "_HARDLY_HEARD", "_HARDLY_MET"),
            *("MOST_TOUCHES", "_ALIKE", "PRICES"),
        ),
        NUMERICAL,
    ),
    "logic/bench/cutting/removal.py": {
        **dict.fromkeys(("_LOG_SD_SPAN", "_NODES", "_EVERY"), NUMERICAL)
    },
    "logic/bench/simulation/slot_cutting.py": {
        **dict.fromkeys(("_STRING", "_PAIR", "_MOST_STEPS"), OUR_OWN),
        "PLAIN": HABIT,
    },
    "logic/bench/simulation/tally.py": {
        **dict.fromkeys(("BANDS", "_SURE", "_SHOWN", "_PLAIN_EVERY"), OUR_OWN)
    },
    "logic/bench/cutting/slot_belief.py": {
        **dict.fromkeys(("_NODES", "_REACH", "_FAINT"), NUMERICAL)
    },
    "logic/bench/kit/advice.py": {"_HAIR_MM": NUMERICAL},
    "logic/bench/cutting/good_enough.py": {"ONE_SPREAD": DEFINITION},
    "logic/bench/instrument/boards.py": {
        "HALF_FRETS": DEFINITION,
        "UNCOUNTED_REACH": SCREEN,
    },
    "logic/bench/instrument/fret_names.py": {"DIATONIC": DEFINITION, "NEAR": DEFINITION},
    "logic/bench/instrument/string_places.py": {"OCTAVE": DEFINITION},
    "logic/bench/instrument/frets.py": {"_FOURTH": DEFINITION},
    "logic/bench/instrument/strung_string.py": {"SEMITONES_TO_OCTAVE": DEFINITION},
    "logic/bench/measuring/grid.py": dict.fromkeys(("FAINTEST", "CLEARANCE", "_TAIL"), NUMERICAL),
    "logic/bench/measuring/kinds/cents.py": {
        "_KNOTS_EVERY": NUMERICAL,
        "_ROOT_TWO_PI": DEFINITION,
    },
    "logic/bench/measuring/information_gain.py": dict.fromkeys(("FAINT", "_AROUND"), NUMERICAL),
    "logic/bench/measuring/next_leaf.py": {"_WEIGHED": NUMERICAL},
    "logic/bench/setup/counted.py": {"_TAIL": NUMERICAL},
    "logic/bench/setup/held_line.py": {"LEAST_APART": DEFINITION},
    "logic/bench/setup/next_touch.py": {"_WEIGHED": NUMERICAL},
    "logic/bench/measuring/quantities/action.py": {"ACTION": NUMERICAL},
    "logic/bench/measuring/quantities/humidity.py": {"HUMIDITY": NUMERICAL},
    "logic/bench/measuring/quantities/relief.py": {
        "RELIEF": NUMERICAL,
        "HELD_AT_SEMITONES": DEFINITION,
    },
    "logic/bench/measuring/quantities/temperature.py": {"TEMPERATURE": NUMERICAL},
    "logic/bench/measuring/quantities/touch.py": {"_OVER_FRET_1": DEFINITION},
    "logic/bench/setup/sensitivity.py": {"STANDARD_HOLDS": DEFINITION},
    "logic/bench/plan/one_reading.py": {"_ROUNDING_MM": NUMERICAL},
    "logic/bench/plan/plan.py": {"_ROUNDING_MM": NUMERICAL},
    "logic/bench/raising/positions.py": {"ROUNDING_MM": NUMERICAL, "PUBLISHED_MM": NUMERICAL},
    "logic/bench/raising/shim_stack.py": {"_HAIR": NUMERICAL},
    "logic/bench/checks/complaints.py": {"LONGEST_TELLING": OUR_OWN},
    "logic/bench/telling/called.py": {"LONGEST_NAME": OUR_OWN},
    "logic/bench/telling/statements.py": {"NEAR": OUR_OWN, "TRAILING": OUR_OWN},
    "logic/bench/telling/unheard.py": {"MOST_UNHEARD": OUR_OWN},
    "logic/bench/telling/vocabulary.py": {
        **dict.fromkeys(("LONGEST_PHRASE", "LONGEST_GAP"), OUR_OWN)
    },
    "logic/bench/visits/quick_check.py": {"TWO_THIRDS": DEFINITION, "NORMAL_95": DEFINITION},
    "logic/bench/visits/time_spent.py": {"MS_PER_MINUTE": DEFINITION},
    "logic/bench/what_if/dials.py": {
        **dict.fromkeys(("RELIEF_STEP", "GAUGE_STEP", "TARGET_STEP"), SCREEN)
    },
    "logic/bench/what_if/lifted_readings.py": {
        "_THINNEST_MM": NUMERICAL,
        "_MOST_CENTS": "what a reading of cents can hold",
    },
    "logic/bench/window/attack.py": {"_REACH": NUMERICAL, "_NEVER": NUMERICAL},
    "logic/bench/window/own_targets.py": {"_THOU": SCREEN, "_STEPS": SCREEN},
    "logic/bench/window/remedies.py": {"HIGHEST_MIDI": DEFINITION},
    "logic/physics/sharpness.py": {
        **dict.fromkeys(("CENTS_PER_NEPER", "_SECOND_ORDER"), DEFINITION),
        **dict.fromkeys(("HIGHEST_NUT_MM", "CLOSE_CENTS"), NUMERICAL),
    },
    "logic/physics/strings.py": {"MM": DEFINITION},
    "logic/physics/vibration.py": {"_AHEAD_NEAR": NUMERICAL, "_ROUNDED": NUMERICAL},
    "logic/physics/wires.py": {"MPA_PER_KSI": DEFINITION, "WHOLE_TONE_CENTS": DEFINITION},
}
"""Constants of modules that hold figures and have no home in a table, and why."""


def constants_with_figures(source: str) -> Iterator[str]:
    """The names of a module's constants in which a number is written, or a length as text. Of
    several that are set at once, the first."""
    for node in ast.parse(source).body:
        match node:
            case ast.Assign(targets=[target, *_], value=value):
                pass
            case ast.AnnAssign(target=target, value=ast.expr() as value):
                pass
            case _:
                continue
        first = target.elts[0] if isinstance(target, ast.Tuple) else target
        if isinstance(first, ast.Name) and any(map(_is_figure, ast.walk(value))):
            yield first.id


def _is_figure(node: ast.AST) -> bool:
    match node:
        case ast.Constant(value=bool()):
            return False
        case ast.Constant(value=int() | float()):
            return True
        case ast.Call(func=ast.Attribute(value=ast.Name(id="Length"), attr="parse")):
            return True
    return False


def modules() -> list[Path]:
    """Every module of the bench and the physics but the models of the tables."""
    found = (path for folder in FOLDERS for path in (ROOT / folder).rglob("*.py"))
    return sorted(path for path in found if path.parent != ROOT / "logic/bench/tables")


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.relative_to(ROOT).as_posix())
def test_a_figure_in_code_has_its_reason(path: Path) -> None:
    """A number that stands in a module's constant is listed with why it is no row of a table; what
    is listed is there."""
    listed = WITH_REASON.get(path.relative_to(ROOT).as_posix(), {})
    found = set(constants_with_figures(path.read_text(encoding="utf-8")))
    assert found == set(listed)
    assert all(listed.values())


def test_every_list_of_reasons_is_of_a_module() -> None:
    """No reason outlives its module."""
    assert all((ROOT / path).is_file() for path in WITH_REASON)


def test_figures_are_found_however_they_are_written() -> None:
    """Numbers alone, in pairs, in calls and as lengths are seen; words and flags are not."""
    source = """
A = 0.5
B: tuple[int, ...] = (1, 2)
C, D = 1.0, 2
E = Length.parse("0.1 mm")
F = "0.5"
G = True
H = {Unit.MM: 2}

def f():
    inside = 3
"""
    assert list(constants_with_figures(source)) == ["A", "B", "C", "E", "H"]

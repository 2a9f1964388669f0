"""Which strings people name, and which they leave out, in their own words and in lists."""

from __future__ import annotations

import json

import pytest

from logic.bench.instrument.presets import preset_instrument
from logic.bench.telling.called import strings_called
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.errors import JobFileError
from tests.logic.bench.checks.test_tellings import ELECTRIC, heard


@pytest.mark.parametrize(
    ("kind", "said", "strings"),
    [
        ("12-string guitar", "the low E buzzes", (11, 12)),
        ("12-string guitar", "the G strings buzz", (5, 6)),
        ("bass guitar", "die E-Saite schnarrt", (4,)),
        ("5-string banjo", "the fifth string rattles", (5,)),
        ("soprano ukulele", "A string buzzes", (1,)),
        (ELECTRIC, "A string buzzes when I play an E chord", (5,)),
        (ELECTRIC, "a string buzzes", ()),
        (ELECTRIC, "string 3 and string number 5 buzz", (3, 5)),
        (ELECTRIC, "the first and second strings buzz", (1, 2)),
        (ELECTRIC, "the treble strings buzz", (1, 2, 3)),
        (ELECTRIC, "die dickste Saite schnarrt", (6,)),
        (ELECTRIC, "the F# buzzes", ()),
        (ELECTRIC, "H3 schnarrt", (2,)),
        (ELECTRIC, "B3 buzzes", (2,)),
        (ELECTRIC, "Bb3 buzzes", ()),
        (ELECTRIC, "tuned to D it buzzes", ()),
    ],
)
def test_strings_are_named_as_people_name_them(
    kind: str, said: str, strings: tuple[int, ...]
) -> None:
    """By letter, end, ordinal or kind, whole courses at once; a chord, a key and an article name
    none."""
    assert next(iter(heard(said, kind).values())) == strings


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("all buzz, not the G", {"buzz": (1, 2, 4, 5, 6)}),
        ("neither the G nor the B buzz", {}),
        ("The G does not buzz, only the D does", {"buzz": (4,)}),
    ],
)
def test_strings_that_are_left_out_are_left_out(said: str, meant: dict[str, object]) -> None:
    """A denial of strings is one of the fault on them, and of no other."""
    assert heard(said) == meant


@pytest.mark.parametrize(
    ("kind", "name", "strings"),
    [
        (ELECTRIC, "A", (5,)),
        (ELECTRIC, "a", (5,)),
        (ELECTRIC, "the A", (5,)),
        (ELECTRIC, "a string", (5,)),
        (ELECTRIC, "a-Saite", (5,)),
        (ELECTRIC, "E", (1, 6)),
        (ELECTRIC, "e", (1,)),
        (ELECTRIC, "hohe e", (1,)),
        (ELECTRIC, "first", (1,)),
        (ELECTRIC, "5th", (5,)),
        (ELECTRIC, "3.", (3,)),
        (ELECTRIC, "dritte", (3,)),
        (ELECTRIC, "first and second", (1, 2)),
        (ELECTRIC, "thinnest", (1,)),
        (ELECTRIC, "die dickste", (6,)),
        (ELECTRIC, "wound", (4, 5, 6)),
        ("12-string guitar", "A", (9, 10)),
        ("5-string banjo", "g", (5,)),
        ("bass guitar", "A", (3,)),
        ("soprano ukulele", "a", (1,)),
    ],
)
def test_a_list_of_strings_takes_the_names_that_people_use(
    kind: str, name: str, strings: tuple[int, ...]
) -> None:
    """Where the whole of it is a name, a lone A is the string, and the word string may be missing;
    a job file takes what is a name."""
    instrument = preset_instrument(kind, TRADE)
    assert strings_called(name, instrument, TRADE) == strings
    told = {"is": "stiff", "strings": [name]}
    text = json.dumps({"instrument": {"kind": kind}, "complaints": [told], "readings": []})
    assert read_job(text, TRADE)[0].complaints[0].strings == strings


@pytest.mark.parametrize("name", ["all", "second fret", "H#", "fifth of May", "-1", "1.5", "x", ""])
def test_what_names_no_string_is_refused(name: str) -> None:
    """The line says which entry it is, and nothing is guessed."""
    assert strings_called(name, preset_instrument(ELECTRIC, TRADE), TRADE) == ()
    text = json.dumps(
        {"instrument": {"kind": ELECTRIC}, "complaints": [{"is": "stiff", "strings": [name]}]}
    )
    with pytest.raises(JobFileError, match=r"complaints\[0\]"):
        read_job(text, TRADE)

"""Words that stand in a table of tellings and are said of something else."""

from __future__ import annotations

import pytest

from tests.logic.bench.checks.test_tellings import heard


@pytest.mark.parametrize(
    ("said", "never"),
    [
        ("it fell onto the garage floor", {"after travel or weather"}),
        (
            "bin auf der Kellertreppe gestolpert, sie ist runtergefallen",
            {"after travel or weather"},
        ),
        ("a dry sound from the open strings", {"after travel or weather"}),
        ("hot pickups, cold solder joint", {"after travel or weather"}),
        ("needs to be right before the summer", {"after travel or weather"}),
        ("Seit drinnen geheizt wird, schnarrt sie", {"rattle inside"}),
        ("the inside strings buzz", {"rattle inside"}),
        ("buzzes inside the house, not outdoors", {"rattle inside"}),
        ("am Rand vom Griffbrett bleib ich mit der Hand hängen", {"pings"}),
        ("my fingers catch on the fret ends", {"pings"}),
        ("hangs on the wall at home", {"pings"}),
        ("frets worn flat", {"flat notes"}),
        ("it lies flat on the first fret", {"flat notes"}),
        ("I use a flat pick and a flatpick style", {"flat notes"}),
        ("weighs a ton on the shoulder and it buzzes", {"buzz fretted", "dead note"}),
        ("the buzz is gone", {"dead note"}),
        ("the note is not gone, it rings", {"dead note"}),
        ("too fat for my hands", {"sits on the slot"}),
        ("the neck is too thick for me", {"sits on the slot", "changed strings"}),
        ("on top of that it buzzes", {"sits on the slot"}),
        ("open strings come out choked", {"buzz fretted"}),
        ("rattles when I hit it too hard", {"stiff in first position"}),
        ("die Heizung läuft, alles gut", {"buzz"}),
        ("fret ends stick out like thorns", {"pings", "worn frets"}),
    ],
    ids=lambda each: (each if isinstance(each, str) else ", ".join(sorted(each)))[:40],
)
def test_words_that_are_like_a_complaint_are_not_heard_as_one(said: str, never: set[str]) -> None:
    """A place, a picture or another part that a word of the table stands in."""
    assert not never & set(heard(said))


@pytest.mark.parametrize(
    ("text", "complaints"),
    [
        ("winter came and frets stick out", {"after travel or weather": ()}),
        ("the fret ends are sticking out since the heating is on", {"after travel or weather": ()}),
        ("the fret ends stick out", {}),
        ("rough fret ends catch my hand", {}),
        ("der Winter kam und die Bünde stehen vor", {"after travel or weather": ()}),
        ("die Bundenden ragen heraus", {}),
        ("die Bünde hängen an der Hand", {}),
        ("the string sticks in its slot", {"pings": ()}),
        ("the D catches on the nut when I tune", {"pings": (4,)}),
        ("the frets stick out and the G string pings", {"pings": (3,)}),
        ("die Saite hängt in der Kerbe", {"pings": ()}),
        ("die Bünde stehen vor und die G-Saite knackt beim Stimmen", {"pings": (3,)}),
    ],
)
def test_frets_that_stand_out_do_not_bind(text: str, complaints: dict[str, object]) -> None:
    """What sticks out or catches a hand is no string that sticks in its slot; what is said of such
    a string beside it is still heard."""
    assert heard(text) == complaints

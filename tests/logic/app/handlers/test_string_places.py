"""Strings come and go at either side, in pairs, on a nut or a scale of their own; whatever is on
record of a string by its number keeps it from becoming another."""

from __future__ import annotations

import pytest

from logic.app.commands import board_commands as bdo
from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.views import views
from shared.instrument import Instrument
from shared.measurements import Side
from tests.logic.app.apps import DiscApp, fresh_app, kinds_recorded, open_document, start, walking

TREBLE = ido.MoreStrings(Side.TREBLE)


def at_strings(kind: str = "electric guitar", string: int | None = None) -> DiscApp:
    """A job on this kind, its strings shown."""
    app = fresh_app()
    start(app, kind)
    app.do(ido.SeeStrings(string))
    return app


def shown(app: DiscApp) -> views.StringsView:
    """The strings as the screen has them."""
    view = app.view()
    assert isinstance(view, views.StringsView)
    return view


def of_job(app: DiscApp) -> Instrument:
    """The instrument as the visit has it."""
    return open_document(app).instrument


def pitches(app: DiscApp) -> str:
    """From the bass side."""
    ordered = sorted(of_job(app).strings, key=lambda spec: -spec.string)
    return " ".join(spec.pitch.show() for spec in ordered)


def chosen(choices: tuple[views.Choice, ...]) -> list[str]:
    """The keys of those that are chosen."""
    return [choice.key for choice in choices if choice.chosen]


def test_a_string_comes_and_goes_at_the_treble_side() -> None:
    """A fourth above the highest (common practice, no source), its number 1; the action that was
    measured stays with the strings it was measured on."""
    app = at_strings()
    before = of_job(app)
    app.do(TREBLE)
    assert pitches(app) == "E2 A2 D3 G3 B3 E4 A4"
    assert set(of_job(app).action_12) == {7, 2}
    app.do(ido.FewerStrings(Side.TREBLE))
    assert of_job(app) == before


@pytest.mark.parametrize("side", list(Side))
def test_the_spacing_stays_and_it_is_said_how_wide_the_nut_is_then(side: Side) -> None:
    """Between margins of 3.2 mm five gaps share 36.6 mm; six take 43.92 mm, a nut of 50.32
    mm, and with the string gone it is as wide as before."""
    app = at_strings()
    app.do(do.SetSetting("unit", "mm"))
    app.do(ido.MoreStrings(side))
    assert str(of_job(app).nut.width) == "50.32 mm"
    assert "50.32 mm wide" in shown(app).said
    app.do(ido.FewerStrings(side))
    assert str(of_job(app).nut.width) == "43 mm"


def test_more_strings_than_can_have_a_number_are_refused_in_one_line() -> None:
    """At the twenty-fourth it ends, at either side and in pairs."""
    app = at_strings()
    for _ in range(30):
        app.do(ido.MoreStrings(Side.BASS))
    bass = len(of_job(app).strings)
    assert bass < 24 and shown(app).said.startswith("A string below the lowest")
    app = at_strings("12-string guitar")
    for _ in range(30):
        app.do(bdo.PairString("octave pair"))
        app.do(ido.MoreStrings())
        app.do(TREBLE)
    assert len(of_job(app).strings) <= 24 and shown(app).said


def test_one_course_becomes_a_pair_and_single_again() -> None:
    """Its partner lies beside it at the bass side, in unison or an octave higher, and names say
    which is which; the other strings keep their pitches."""
    app = at_strings(string=5)
    before = of_job(app)
    app.do(bdo.PairString("octave pair"))
    assert pitches(app) == "E2 A3 A2 D3 G3 B3 E4"
    assert chosen(shown(app).pairings) == ["octave pair"]
    assert of_job(app).name_of(6) == "5 octave" and of_job(app).name_of(5) == "5 main"
    app.do(bdo.PairString("unison pair"))
    assert pitches(app) == "E2 A2 A2 D3 G3 B3 E4"
    app.do(bdo.PairString("single"))
    assert of_job(app) == before


def test_all_courses_become_pairs_with_one_touch() -> None:
    """Four strings are eight in four courses, as a mandolin's are; single again they are four."""
    app = at_strings("tenor banjo")
    before = of_job(app)
    app.do(bdo.PairString("unison pair"))
    assert pitches(app) == "C3 C3 G3 G3 D4 D4 A4 A4"
    assert [spec.course for spec in sorted(of_job(app).strings, key=lambda s: s.string)] == [
        *(1, 1, 2, 2, 3, 3, 4, 4)
    ]
    app.do(bdo.PairString("single"))
    assert of_job(app).strings == before.strings


def test_a_nut_of_its_own_and_back() -> None:
    """Step by step up the board; below the common nut and past the last fret it does not go."""
    app = at_strings(string=6)
    for _ in range(5):
        app.do(bdo.StepOwnNut(1))
    assert of_job(app).spec(6).from_fret == 5 and shown(app).own_nut == "at fret 5"
    for _ in range(7):
        app.do(bdo.StepOwnNut(-1))
    assert of_job(app).spec(6).from_fret == 0 and "common nut" in shown(app).own_nut
    app.do(do.TypeNumber("frets"))
    app.do(do.NumberTyped("2 frets"))
    app.do(bdo.StepOwnNut(2))
    assert of_job(app).spec(6).from_fret == 0 and "no fret" in shown(app).said


def test_a_scale_of_its_own_is_typed_and_taken_away() -> None:
    """Of one string; what no scale is, is asked back on the pad."""
    app = at_strings(string=1)
    app.do(do.TypeNumber("own scale"))
    pad = app.do(do.NumberTyped("3000 mm"))
    assert isinstance(pad, views.TypeView) and pad.trouble and pad.title == "String 1"
    app.do(do.NumberTyped("640 mm"))
    assert str(of_job(app).spec(1).scale) == "640 mm" and shown(app).has_own_scale
    assert open_document(app).said_to_apps_without_boards == "yes"
    app.do(bdo.CommonScale())
    assert of_job(app).spec(1).scale is None
    assert open_document(app).said_to_apps_without_boards == "no"


def test_a_scale_that_would_cross_its_neighbour_is_asked_back() -> None:
    """Across a fan scales only grow or only shrink: a longer one in the middle is refused in one
    line, and nothing is recorded; from an outer string on, a fan is entered string by string."""
    app = at_strings(string=3)
    app.do(do.TypeNumber("own scale"))
    before = dict(app.history.vector)
    pad = app.do(do.NumberTyped("660 mm"))
    assert isinstance(pad, views.TypeView) and "cross the string beside it" in pad.trouble
    assert dict(app.history.vector) == before
    app.do(do.Back())
    for string, scale in ((6, "690 mm"), (5, "680 mm"), (4, "670 mm"), (3, "660 mm")):
        app.do(ido.SeeStrings(string))
        app.do(do.TypeNumber("own scale"))
        assert isinstance(app.do(do.NumberTyped(scale)), views.StringsView)
    assert str(of_job(app).spec(3).scale) == "660 mm"


def test_what_is_on_record_by_number_keeps_strings_their_numbers() -> None:
    """Once a string was read, none comes or goes at the treble side or in a pair; at the bass side
    they still do."""
    app = fresh_app()
    walking(app)
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.5 mm"))
    app.do(ido.SeeStrings())
    for command in (TREBLE, ido.FewerStrings(Side.TREBLE), bdo.PairString("octave pair")):
        assert kinds_recorded(app, command) == []
        assert shown(app).said.startswith("Strings are numbered from the treble side")
    assert len(of_job(app).strings) == 6
    app.do(ido.MoreStrings())
    assert len(of_job(app).strings) == 7


def test_what_was_said_or_aimed_at_keeps_them_too() -> None:
    """A complaint of one string, and an own target of one."""
    for spoil in (do.TellComplaint("string 3 buzzes"), do.SetTarget(1)):
        app = at_strings()
        if isinstance(spoil, do.SetTarget):
            app.do(do.SeeTargets(3))
        app.do(spoil)
        app.do(ido.SeeStrings())
        assert kinds_recorded(app, TREBLE) == []


def test_which_way_it_is_strung_is_touched_beside_the_strings() -> None:
    """Left-handed and right-handed again, and the board turns with it."""
    app = at_strings()
    app.do(bdo.SetHand(left=True))
    assert of_job(app).left_handed and chosen(shown(app).hands) == ["left"]
    board = app.do(bdo.SeeBoard())
    assert isinstance(board, views.BoardView) and board.left_handed
    app.do(bdo.SetHand(left=False))
    assert not of_job(app).left_handed

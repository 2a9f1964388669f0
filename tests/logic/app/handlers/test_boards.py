"""Where the frets are can be entered with a few touches, at the intake and on an instrument's page;
apps that do not know boards are barred from cutting."""

from __future__ import annotations

import pytest

from logic.app.commands import board_commands as bdo
from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.session.older_apps import GATE
from logic.app.views import views
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE
from shared.events import Kind
from shared.instrument import Instrument
from shared.job import CallKind
from tests.logic.app.apps import (
    DiscApp,
    events,
    fresh_app,
    kinds_recorded,
    measured_at,
    open_document,
    start,
)

INSTRUMENT = "name-2"
READ = {6: 0.9, 5: 0.5, 4: 0.2, 3: 0.45, 2: 0.7, 1: 0.1}


def at_board(kind: str = "electric guitar") -> DiscApp:
    """A job on this kind, its board shown."""
    app = fresh_app()
    start(app, kind)
    assert isinstance(app.do(bdo.SeeBoard()), views.BoardView)
    return app


def shown(app: DiscApp) -> views.BoardView:
    """The board as the screen has it."""
    view = app.view()
    assert isinstance(view, views.BoardView)
    return view


def of_job(app: DiscApp) -> Instrument:
    """The instrument as the visit has it."""
    return open_document(app).instrument


def chosen(choices: tuple[views.Choice, ...]) -> list[str]:
    """The keys of those that are chosen."""
    return [choice.key for choice in choices if choice.chosen]


def barred(app: DiscApp) -> list[str]:
    """What apps that do not know boards were told, in order."""
    said = [each for each in events(app) if each.body.get("for_apps_without_boards")]
    assert all((each.body["gate"], each.body["string"]) == (GATE, None) for each in said)
    return [each.body["answer"] for each in said]


def test_a_dulcimer_with_a_half_fret_takes_three_touches() -> None:
    """Diatonic, with 1½, so many frets: pitches as such boards are fretted for a drone (common
    practice, no source); visit, page and intake agree, and each undo takes one touch back."""
    app = at_board()
    app.do(bdo.SpaceFrets("diatonic"))
    app.do(bdo.ToggleHalfFret("1½"))
    app.do(do.TypeNumber("frets"))
    app.do(do.NumberTyped("9 frets"))
    board = of_job(app).board
    assert board is not None and board.semitones == (2, 3, 4, 5, 7, 9, 10, 12, 14)
    found = app.history.instrument(INSTRUMENT)
    assert found is not None and found.value.board == board
    assert chosen(shown(app).spacings) == ["diatonic"] and chosen(shown(app).halves) == ["1½"]
    assert (shown(app).count, shown(app).octave) == ("9 frets", 8)
    intake = app.do(do.Back())
    assert isinstance(intake, views.IntakeView)
    (row,) = [row for row in intake.facts if row.key == "board"]
    assert row.value == "diatonic with 1½, 9 frets"
    app.do(bdo.SeeBoard())
    app.do(do.Undo())
    app.do(do.Undo())
    app.do(do.Undo())
    assert of_job(app).board is None and chosen(shown(app).spacings) == ["every semitone"]


def test_the_first_fret_s_distance_is_said_for_a_rule_to_confirm() -> None:
    """25.5 in: a semitone is 36.4 mm, a whole tone 70.7 mm from the nut, L·(1 - 2^(-n/12))."""
    app = at_board()
    app.do(do.SetSetting("unit", "mm"))
    assert shown(app).first == "First fret 36.4 mm from the nut"
    app.do(bdo.SpaceFrets("diatonic"))
    assert shown(app).first == "First fret 70.7 mm from the nut"
    app.do(do.SetSetting("unit", "thou"))
    assert shown(app).first == "First fret 2.782 in from the nut"


def test_a_fret_is_touched_out_and_in_again() -> None:
    """The place stays on the board as an empty one, is said as such, and takes a fret again."""
    app = at_board()
    app.do(bdo.ToggleFret(1.0))
    assert chosen(shown(app).spacings) == ["own list"]
    assert [place.number for place in shown(app).places[:3]] == [0, 1, 2]
    assert "None at 1 semitone." in shown(app).picture
    app.do(bdo.ToggleFret(1.0))
    assert chosen(shown(app).spacings) == ["every semitone"] and shown(app).places[0].there


def test_an_own_list_is_typed_fret_after_fret() -> None:
    """The pad asks for one after the other and names each; what falls is refused in one line, the
    pad stays, and nothing of it is kept; begun again, the list begins anew."""
    app = at_board()
    pad = app.do(bdo.SpaceFrets("own list"))
    assert isinstance(pad, views.TypeView) and pad.ask.startswith("Fret 1:") and pad.fractions
    for text in ("2 semitones", "3.5 semitones", "5 semitones"):
        pad = app.do(do.NumberTyped(text))
    assert isinstance(pad, views.TypeView) and pad.ask.startswith("Fret 4:")
    for wrong in ("4 semitones", "5 semitones", "0 semitones", " semitones", "99 semitones"):
        pad = app.do(do.NumberTyped(wrong))
        assert isinstance(pad, views.TypeView) and pad.trouble and "\n" not in pad.trouble
    board = of_job(app).board
    assert board is not None and board.semitones == (2, 3.5, 5)
    app.do(do.Back())
    app.do(bdo.SpaceFrets("own list"))
    app.do(do.NumberTyped("1.5 semitones"))
    board = of_job(app).board
    assert board is not None and board.semitones == (1.5,)


@pytest.mark.parametrize("text", ["0 frets", "60 frets", "12.5 frets", " frets"])
def test_a_count_that_no_board_has_is_asked_back(text: str) -> None:
    """One line on the pad, which stays; nothing is recorded."""
    app = at_board()
    app.do(do.TypeNumber("frets"))
    before = dict(app.history.vector)
    pad = app.do(do.NumberTyped(text))
    assert isinstance(pad, views.TypeView) and "from 1 to 48" in pad.trouble
    assert dict(app.history.vector) == before


def test_no_frets_and_tied_frets() -> None:
    """A bare board answers what is asked of it and has nothing to touch; with frets again, they are
    tied or fixed as was said."""
    app = at_board()
    app.do(bdo.TieFrets(True))
    app.do(bdo.SpaceFrets("no frets"))
    assert not of_job(app).fretted and open_document(app).checks["board"] == "bare board"
    assert (shown(app).places, shown(app).first, shown(app).tied) == ((), "", None)
    app.do(bdo.SpaceFrets("every semitone"))
    tied = shown(app).tied
    assert of_job(app).fretted and tied is not None and tied.chosen
    app.do(do.Undo())
    app.do(do.Undo())
    assert of_job(app).fretted and "board" not in open_document(app).checks


def test_the_last_fret_and_a_nut_of_its_own_stay() -> None:
    """A board keeps one fret, and those beyond a string's own nut: one line says so."""
    app = at_board("5-string banjo")
    app.do(do.TypeNumber("frets"))
    pad = app.do(do.NumberTyped("5 frets"))
    assert isinstance(pad, views.TypeView) and "own nut at fret 5" in pad.trouble
    app = at_board()
    app.do(do.TypeNumber("frets"))
    app.do(do.NumberTyped("1 frets"))
    app.do(bdo.ToggleFret(1.0))
    assert "only fret" in shown(app).said and len(shown(app).places) == 1


def test_what_was_read_before_is_spoken_of() -> None:
    """On an open job it is said what a change of the board makes of the readings."""
    app = measured_at(READ)
    app.do(bdo.SeeBoard())
    app.do(bdo.SpaceFrets("diatonic"))
    assert shown(app).said.startswith("What was read over the first fret stands if")


def test_the_same_touches_on_the_instrument_s_page() -> None:
    """From its page to its board and back; what is changed there is the instrument's."""
    app = measured_at(READ)
    app.do(do.CloseJob())
    app.do(ido.SeeInstrument(INSTRUMENT))
    assert isinstance(app.do(bdo.SeeBoard()), views.BoardView)
    app.do(bdo.SpaceFrets("diatonic"))
    page = app.do(do.Back())
    assert isinstance(page, views.InstrumentView)
    assert dict(page.facts)["Frets"] == "diatonic, 14 frets"
    app.do(bdo.SeeBoard())
    app.do(bdo.SpaceFrets("no frets"))
    found = app.history.instrument(INSTRUMENT)
    assert found is not None and not found.value.fretted


# --- apps that do not know boards ---


def test_an_app_that_does_not_know_boards_is_barred_from_cutting() -> None:
    """With the change it is answered for it that readings are stale, here that answers nothing;
    with the undo that goes too, and with a board that it knows it is told so."""
    app = at_board()
    app.do(bdo.SpaceFrets("diatonic"))
    assert barred(app) == ["yes"] and GATE not in open_document(app).checks
    assert open_document(app).said_to_apps_without_boards == "yes"
    app.do(bdo.ToggleHalfFret("6½"))
    assert barred(app) == ["yes"]
    app.do(bdo.SpaceFrets("every semitone"))
    assert barred(app) == ["yes", "no"]
    for _ in range(3):
        app.do(do.Undo())
    assert of_job(app).board is None and not open_document(app).said_to_apps_without_boards


def test_it_stays_barred_when_a_technician_says_that_nothing_moved() -> None:
    """The answer is followed by the bar for those apps, and stands here as it was given."""
    app = at_board()
    app.do(bdo.SpaceFrets("diatonic"))
    app.do(do.AnswerGate(GATE, "no"))
    assert barred(app) == ["yes", "yes"] and open_document(app).checks[GATE] == "no"
    app.do(do.AnswerGate(GATE, "yes"))
    app.do(bdo.SpaceFrets("every semitone"))
    assert barred(app)[-1] == "yes"


def test_the_next_visit_of_such_an_instrument_is_barred_from_its_opening_on() -> None:
    """A job that opens on a board of its own says so at once; one on a semitone board does not."""
    app = at_board()
    app.do(bdo.SpaceFrets("diatonic"))
    app.do(ido.NewJobOn(INSTRUMENT))
    assert barred(app) == ["yes", "yes"]
    assert open_document(app).said_to_apps_without_boards == "yes"
    fresh = at_board()
    fresh.do(bdo.TieFrets(True))
    assert barred(fresh) == []


def test_one_undo_takes_a_board_back_with_what_was_said_of_it() -> None:
    """An undo takes the board back with what was said of it in one touch."""
    app = at_board()
    kinds = kinds_recorded(app, bdo.SpaceFrets("diatonic"))
    assert kinds == [Kind.JOB_CHANGED, Kind.CHECK_ANSWERED, Kind.INSTRUMENT_SAVED]
    app.do(do.Undo())
    assert of_job(app).board is None


def test_what_such_an_app_reads_bars_every_cut() -> None:
    """It does not know the flag and takes the answer for one: of slots that all stand high it
    lowers none, where this app does."""
    high = measured_at(dict.fromkeys(range(1, 7), 0.9))
    high.do(bdo.SeeBoard())
    high.do(bdo.SpaceFrets("diatonic"))
    job = high.session.work.job
    (said,) = [each for each in events(high) if each.body.get("for_apps_without_boards")]
    theirs = job.model_copy(
        update={"checks": {**job.checks, said.body["gate"]: said.body["answer"]}}
    )
    ours, older = (make_plan(each, TRADE).strings for each in (job, theirs))
    assert any(call.call is CallKind.LOWER for call in ours)
    assert not any(call.call is CallKind.LOWER for call in older)

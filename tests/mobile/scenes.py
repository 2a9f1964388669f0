"""Views to draw: every screen of the app, made by the app itself in one session."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from logic.app.commands import board_commands as bdo
from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import string_commands as sdo
from logic.app.views import views
from logic.app.views.pieces import Choice
from mobile.parts.theme import PALETTES, Theme
from shared.measurements import Side
from shared.readings import Buzz, Contact
from shared.words import say
from tests.logic.app.apps import DiscApp, Technician, fresh_app, start, walking
from tests.mobile.gap_scenes import gap_scenes
from tests.mobile.instrument_scenes import instrument_scenes
from tests.mobile.keeping_scenes import keeping_scenes
from tests.mobile.visit_scenes import visit_scenes

SIZES = ((320, 568), (568, 320), (390, 844), (844, 390), (768, 1024), (1024, 768))
LOOKS = tuple(
    Theme(PALETTES["sun" if place % 2 else "night"], width, height, left_handed=place % 2 == 1)
    for place, (width, height) in enumerate(SIZES)
)
"""Every size; every other one in full sun and in the left hand."""
TROUBLE = views.TroubleView(
    "Not recorded", "No room", "All is kept", "Free space", True, True, True
)


@cache
def scenes() -> dict[str, views.View]:
    """One view of every kind, and the more crowded sorts of some, by a name for test reports."""
    app = fresh_app()
    made: dict[str, views.View] = {"first visit": app.view(), "kinds": app.do(do.NewJob())}
    made["intake"] = start(app)
    made |= _before(app)
    made |= _walks(app)
    made |= _plans(app)
    made |= _waits()
    made |= _handed_over(app)
    made |= _whole_nut(app)
    made |= _entered() | _boards() | _put_away()
    home = app.do(do.GoHome())
    assert isinstance(home, views.HomeView)
    made["home"] = replace(home, notices=("The last entry was cut short.",), more=3)
    made["home that reads labels"] = replace(home, scans=True)
    made |= {"kit": app.do(do.SeeKit()), "settings": app.do(do.SeeSettings())}
    app.do(do.SeeKit())
    app.do(do.MarkTool("leaf", "0.020 in", "lost"))
    app.do(do.MarkTool("file", "0.026 in", "worn"))
    app.do(do.AdviseKit())
    made["kit with marks"] = app.do(do.SetMarking("lost"))
    made["records"] = app.do(do.SeeRecords())
    made |= gap_scenes()
    return made | instrument_scenes() | keeping_scenes() | visit_scenes() | {"trouble": TROUBLE}


def _entered() -> dict[str, views.View]:
    """What is entered of the instrument in its visit, the first string read before questions."""
    app = fresh_app()
    start(app, "12-string guitar")
    app.do(ido.SeeName())
    app.do(ido.SaveName("Twelve of the school", "School of music"))
    app.do(do.SetComplaint("check"))
    app.do(do.GoHome())
    start(app)
    app.do(do.Measure())
    app.do(do.TypeNumber())
    made = {"preconditions after a string": app.do(do.NumberTyped("0.5 mm"))}
    app.do(ido.SeeTakenIn())
    made["typing a scale"] = app.do(do.TypeNumber("scale"))
    made["a scale refused"] = app.do(do.NumberTyped("3000 mm"))
    made["intake of an open job"] = app.do(do.NumberTyped("620 mm"))
    app.do(ido.SeeStrings(6))
    made["strings of a visit"] = app.do(ido.StepGauge(2))
    made["typing a gauge"] = app.do(do.TypeNumber("gauge"))
    made["nut of a visit"] = app.do(ido.SeeNut())
    app.do(ido.SeeName())
    made["intake of an owner known"] = app.do(ido.SaveName("", "School of music", "2041"))
    made["name of a visit"] = app.do(ido.SeeName())
    return made


def _boards() -> dict[str, views.View]:
    """The board of a visit: every semitone, diatonic with a fret missing, listed, bare; what is
    refused; and its strings at either side."""
    app = fresh_app()
    start(app)
    made = {"board of a visit": app.do(bdo.SeeBoard())}
    app.do(bdo.SpaceFrets("diatonic"))
    app.do(bdo.TieFrets(True))
    made["diatonic board"] = app.do(bdo.ToggleHalfFret("1½"))
    app.do(do.TypeNumber("frets"))
    made["a count refused"] = app.do(do.NumberTyped("60 frets"))
    app.do(do.Back())
    made["a board of an own list"] = app.do(bdo.ToggleFret(9.0))
    app.do(bdo.SpaceFrets("own list"))
    app.do(do.NumberTyped("2 semitones"))
    made["a falling list"] = app.do(do.NumberTyped("1.5 semitones"))
    app.do(do.Back())
    made["a bare board"] = app.do(bdo.SpaceFrets("no frets"))
    app.do(bdo.SpaceFrets("every semitone"))
    app.do(ido.SeeStrings())
    made["a string at the treble side"] = app.do(ido.MoreStrings(Side.TREBLE))
    made["strings in pairs"] = app.do(bdo.PairString("octave pair"))
    app.do(ido.SeeStrings(6))
    made["a string with its own nut"] = app.do(bdo.StepOwnNut(5))
    made["typing an own scale"] = app.do(do.TypeNumber("own scale"))
    return made


def _put_away() -> dict[str, views.View]:
    """Home once a job was put away that nobody had begun."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("stiff"))
    app.do(do.GoHome())
    return {"home with a job put away": app.do(do.PutAway("name-1"))}


def _handed_over(app: DiscApp) -> dict[str, views.View]:
    """The owner's sheet with a slot unproven, and the bench's."""
    app.do(do.CutSlot(5))
    app.do(do.Filed(3))
    return {"sheet": app.do(do.SeeSheet()), "bench sheet": app.do(do.SeeSheet(True))}


def _whole_nut(app: DiscApp) -> dict[str, views.View]:
    """Ways to raise, and a new nut: one that fits, one that does not, one with pairs."""
    made = {"ways": app.do(do.SeeRaising()), "a shim": app.do(do.SeeRaising("shim"))}
    made["new nut"] = app.do(do.SeeNewNut())
    made["new nut in trouble"] = app.do(do.TurnMargin("bass", 400))
    start(app, "mandolin")
    made["new nut for pairs"] = app.do(do.SeeNewNut())
    return made


def _before(app: DiscApp) -> dict[str, views.View]:
    made = {"intake with a complaint": app.do(do.SetComplaint("buzz open"))}
    page = made["preconditions"] = app.do(do.Ask())
    assert isinstance(page, views.PreconditionsView)
    asked = page.questions[0]
    made["one precondition"] = app.do(do.AnswerGate(asked.gate, asked.choices[0].key))
    card = made["card"] = app.do(do.AnswerAllYes())
    while isinstance(card, views.QuestionView):
        made["card by string" if card.strings else "card"] = card
        if card.typed:
            made["card to type"] = card
        card = app.do(do.AnswerGate(card.question.gate, "skipped"))
    made["preconditions done"] = app.do(do.Ask())
    return made


def _walks(app: DiscApp) -> dict[str, views.View]:
    made: dict[str, views.View] = {"walk": app.do(do.Walk())}
    made["walk with a trail"] = app.do(do.Feel(Contact.NONE))
    made["number pad"] = app.do(do.TypeNumber())
    made["number pad in trouble"] = app.do(do.NumberTyped("900 thou"))
    made["number pad for cents"] = app.do(do.TypeNumber("cents 1"))
    made["number pad for relief"] = app.do(do.TypeNumber("question relief"))
    low = Technician(dict.fromkeys(range(1, 7), 0.12), dict.fromkeys(range(1, 7), Buzz.SOFT))
    shown = app.do(do.Walk(1))
    while isinstance(shown, views.WalkView) and shown.prompt is views.Prompt.LEAF:
        shown = app.do(low.answer(shown))
    made["walk by ear"] = shown
    while isinstance(shown, views.WalkView) and not shown.settled:
        app.do(low.answer(shown))
        shown = app.do(do.Walk(1))
    made["settled"] = shown
    made |= _cards(app)
    made["twelve strings"] = walking(app, "12-string guitar")
    walk = made["walk"]
    assert isinstance(walk, views.WalkView)
    made["stack"] = replace(walk, number="20 + 10", spoken="String 6: 20 + 10 thou")
    return made


def _cards(app: DiscApp) -> dict[str, views.View]:
    """The card of a string, with something struck out; and while an entry is put right."""
    app.do(do.Walk(1))
    card = app.do(sdo.SeeString(1))
    assert isinstance(card, views.StringCardView)
    made: dict[str, views.View] = {"card of a string": card}
    made["struck out"] = app.do(sdo.StrikeOut(card.entries[0].event))
    made["putting right"] = app.do(sdo.Correct(card.entries[1].event))
    app.do(do.Back())
    app.do(sdo.Reinstate(card.entries[0].event))
    made["closed card"] = replace(
        card, closed=say("This job is closed. Whatever is changed here opens it again.")
    )
    made["card of nothing"] = app.do(sdo.SeeString(3))
    made["read afresh"] = app.do(sdo.ReadAfresh(1))
    return made


def _plans(app: DiscApp) -> dict[str, views.View]:
    shown: views.View = walking(app)
    made = {"plan of nothing": app.do(do.SeePlan())}
    app.do(do.Walk())
    heights = {6: 0.2, 5: 0.3, 4: 0.4, 3: 0.6, 2: 0.9, 1: 0.05}
    hand = Technician(heights, dict.fromkeys(range(1, 7), Buzz.NORMAL))
    shown, _ = hand.walk(app, shown, 60)
    made["plan"] = shown
    made["plan opened"] = app.do(do.SeePlan(3))
    return made | _cuts(app, hand)


def _waits() -> dict[str, views.View]:
    """A plan whose calls wait for an answer, a line of it, and the question asked from there."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("stiff in first position"))
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    hand = Technician(dict.fromkeys(range(1, 7), 0.72), dict.fromkeys(range(1, 7), Buzz.NONE))
    hand.walk(app, app.do(do.Walk()), 60)
    made = {"plan that waits": app.do(do.SeePlan()), "waiting line": app.do(do.SeePlan(6))}
    made["asked from the plan"] = app.do(do.AskFirst("relief", 6))
    app.do(do.TypeNumber("question relief"))
    made["failed check"] = app.do(do.NumberTyped("0.9 mm"))
    app.do(do.MeasureAgain("relief"))
    app.do(do.Back())
    made["failed answer"] = app.do(do.AnswerGate("relief", "high"))
    app.do(do.LeaveFinding())
    made["asked again"] = app.do(do.AskFirst("relief"))
    return made


def _cuts(app: DiscApp, hand: Technician) -> dict[str, views.View]:
    made = {"on target": app.do(do.CutSlot(5))}
    shown = app.do(do.CutSlot(2))
    for _ in range(12):
        if isinstance(shown, views.CutView):
            break
        assert isinstance(shown, views.WalkView)
        shown = app.do(hand.answer(shown))
    made["cut"] = shown
    if isinstance(shown, views.CutView):
        hands = (Choice("A", "A", chosen=True), Choice("B", "B"))
        made["cut at a bench of two"] = replace(shown, hands=hands)
    made["between passes"] = app.do(do.Filed(3))
    made["prove"] = app.do(do.Prove(2))
    made["what if"] = app.do(do.WhatIf())
    made["what if of one string"] = app.do(do.WhatIf(2))
    return made

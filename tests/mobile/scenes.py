"""Views to draw: every screen of the app, made by the desk itself in one session."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from logic.desk import commands as do
from logic.desk import views
from logic.desk.pieces import Choice
from mobile.look import PALETTES, Look
from shared.job import Buzz, Contact
from tests.logic.desk.bench import DiscDesk, Technician, fresh_desk, start, walking
from tests.mobile.instrument_scenes import instrument_scenes
from tests.mobile.keeping_scenes import keeping_scenes

SIZES = ((320, 568), (568, 320), (390, 844), (844, 390), (768, 1024), (1024, 768))
LOOKS = tuple(
    Look(PALETTES["sun" if place % 2 else "night"], width, height, left_handed=place % 2 == 1)
    for place, (width, height) in enumerate(SIZES)
)
"""Every size; every other one in full sun and in the left hand."""
TROUBLE = views.TroubleView(
    "Not recorded", "No room", "All is kept", "Free space", True, True, True
)


@cache
def scenes() -> dict[str, views.View]:
    """One view of every kind, and the more crowded sorts of some, by a name for test reports."""
    desk = fresh_desk()
    made: dict[str, views.View] = {"first visit": desk.view(), "kinds": desk.do(do.NewJob())}
    made["intake"] = start(desk)
    made |= _before(desk)
    made |= _walks(desk)
    made |= _plans(desk)
    made |= _handed_over(desk)
    made |= _whole_nut(desk)
    home = desk.do(do.GoHome())
    assert isinstance(home, views.HomeView)
    made["home"] = replace(home, notices=("The last entry was cut short.",), more=3)
    made |= {"kit": desk.do(do.SeeKit()), "settings": desk.do(do.SeeSettings())}
    desk.do(do.SeeKit())
    desk.do(do.MarkTool("leaf", "0.020 in", "lost"))
    desk.do(do.MarkTool("file", "0.026 in", "worn"))
    desk.do(do.AdviseKit())
    made["kit with marks"] = desk.do(do.SetMarking("lost"))
    made["records"] = desk.do(do.SeeRecords())
    return made | instrument_scenes() | keeping_scenes() | {"trouble": TROUBLE}


def _handed_over(desk: DiscDesk) -> dict[str, views.View]:
    """The owner's sheet with a slot unproven, and the bench's."""
    desk.do(do.Cut(5))
    desk.do(do.Filed(3))
    return {"sheet": desk.do(do.SeeSheet()), "bench sheet": desk.do(do.SeeSheet(True))}


def _whole_nut(desk: DiscDesk) -> dict[str, views.View]:
    """Ways to raise, and a new nut: one that fits, one that does not, one with pairs."""
    made = {"ways": desk.do(do.SeeWays()), "a shim": desk.do(do.SeeWays("shim"))}
    made["new nut"] = desk.do(do.SeeNewNut())
    made["new nut in trouble"] = desk.do(do.TurnMargin("bass", 400))
    start(desk, "mandolin")
    made["new nut for pairs"] = desk.do(do.SeeNewNut())
    return made


def _before(desk: DiscDesk) -> dict[str, views.View]:
    made = {"intake with a complaint": desk.do(do.SetComplaint("buzz open"))}
    page = made["preconditions"] = desk.do(do.Ask())
    assert isinstance(page, views.PreconditionsView)
    asked = page.questions[0]
    made["one precondition"] = desk.do(do.AnswerGate(asked.gate, asked.choices[0].key))
    card = made["card"] = desk.do(do.AnswerAllYes())
    while isinstance(card, views.QuestionView):
        made["card by string" if card.strings else "card"] = card
        if card.typed:
            made["card to type"] = card
        card = desk.do(do.AnswerGate(card.question.gate, "skipped"))
    made["preconditions done"] = desk.do(do.Ask())
    return made


def _walks(desk: DiscDesk) -> dict[str, views.View]:
    made: dict[str, views.View] = {"walk": desk.do(do.Walk())}
    made["walk with a trail"] = desk.do(do.Feel(Contact.NONE))
    made["number pad"] = desk.do(do.TypeNumber())
    made["number pad in trouble"] = desk.do(do.Typed("900 thou"))
    made["number pad for cents"] = desk.do(do.TypeNumber("cents 1"))
    low = Technician(dict.fromkeys(range(1, 7), 0.12), dict.fromkeys(range(1, 7), Buzz.SOFT))
    shown = desk.do(do.Walk(1))
    while isinstance(shown, views.WalkView) and shown.prompt is views.Prompt.LEAF:
        shown = desk.do(low.answer(shown))
    made["walk by ear"] = shown
    made["settled"] = desk.do(do.Walk(6))
    made["twelve strings"] = walking(desk, "12-string guitar")
    walk = made["walk"]
    assert isinstance(walk, views.WalkView)
    made["stack"] = replace(walk, number="20 + 10", spoken="String 6: 20 + 10 thou")
    return made


def _plans(desk: DiscDesk) -> dict[str, views.View]:
    shown: views.View = walking(desk)
    made = {"plan of nothing": desk.do(do.SeePlan())}
    desk.do(do.Walk())
    heights = {6: 0.2, 5: 0.3, 4: 0.4, 3: 0.6, 2: 0.9, 1: 0.05}
    hand = Technician(heights, dict.fromkeys(range(1, 7), Buzz.NORMAL))
    shown, _ = hand.walk(desk, shown, 60)
    made["plan"] = shown
    made["plan opened"] = desk.do(do.SeePlan(3))
    return made | _cuts(desk, hand)


def _cuts(desk: DiscDesk, hand: Technician) -> dict[str, views.View]:
    made = {"on target": desk.do(do.Cut(5))}
    shown = desk.do(do.Cut(2))
    for _ in range(12):
        if isinstance(shown, views.CutView):
            break
        assert isinstance(shown, views.WalkView)
        shown = desk.do(hand.answer(shown))
    made["cut"] = shown
    if isinstance(shown, views.CutView):
        hands = (Choice("A", "A", chosen=True), Choice("B", "B"))
        made["cut at a bench of two"] = replace(shown, hands=hands)
    made["between passes"] = desk.do(do.Filed(3))
    made["prove"] = desk.do(do.Prove(2))
    made["what if"] = desk.do(do.WhatIf())
    made["what if of one string"] = desk.do(do.WhatIf(2))
    return made

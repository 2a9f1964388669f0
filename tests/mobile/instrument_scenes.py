"""Views of the instruments and of the quick check, made by an app with a history behind it."""

from __future__ import annotations

from functools import cache

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.presenters.targets import TARGET
from logic.app.views import views
from shared.readings import Buzz, Contact
from tests.logic.app.apps import DiscApp, Technician, fresh_app, walking
from tests.mobile.label_scenes import label_scenes

AS_IT_WAS = {6: 0.55, 5: 0.5, 4: 0.48, 3: 0.45, 2: 0.42, 1: 0.4}
ONE_DROPPED = {**AS_IT_WAS, 3: 0.28}
CLEAN = dict.fromkeys(range(1, 7), Buzz.NONE)


def measured_app() -> tuple[DiscApp, str]:
    """An app that has measured one electric guitar, and the name of that instrument."""
    app = fresh_app()
    Technician(AS_IT_WAS, CLEAN).walk(app, walking(app), 60)
    app.do(do.CloseJob())
    (only,) = app.history.instruments()
    return app, only.id


def check_all(app: DiscApp, shown: views.View, truth: dict[int, float]) -> views.View:
    """Answer every string of a quick check as it truly stands; what the last answer leads to."""
    hand = Technician(truth, CLEAN)
    while isinstance(shown, views.CheckView):
        shown = app.do(hand.answer(shown))
    return shown


@cache
def instrument_scenes() -> dict[str, views.View]:
    """Every screen of the instruments, full and empty."""
    made: dict[str, views.View] = {"no instruments": fresh_app().do(ido.SeeInstruments())}
    made["none to check"] = fresh_app().do(ido.CheckOne())
    app, name = measured_app()
    made["one to check"] = app.do(ido.CheckOne())
    made["instrument after one job"] = app.do(ido.SeeInstrument(name))
    made |= _checks(app, name)
    made["instrument"] = app.do(ido.SeeInstrument(name))
    made["strings of all"] = app.do(ido.SeeStrings())
    made["strings of one"] = app.do(ido.SeeStrings(3))
    app.do(ido.SeeStrings())
    made["strings in doubt"] = app.do(ido.StepPitch(24))
    app.do(ido.StepPitch(-24))
    made |= _targets(app, name)
    made |= {"nut": app.do(ido.SeeNut()), "name": app.do(ido.SeeName())}
    app.do(ido.SaveName("Blue hollow body, the one with the long neck and a patched top", "A. R."))
    return made | _shelves(app, name)


def _targets(app: DiscApp, name: str) -> dict[str, views.View]:
    """Own targets on the instrument's page: the table's, an own one, all of them; typed."""
    app.do(ido.SeeInstrument(name))
    made = {"targets of one": app.do(do.SeeTargets(3))}
    made["own target"] = app.do(do.SetTarget(2))
    made["typing a target"] = app.do(do.TypeNumber(TARGET))
    app.do(do.Back())
    made["targets of all"] = app.do(do.SeeTargets())
    made["instrument with an own target"] = app.do(do.Back())
    return made


def _checks(app: DiscApp, name: str) -> dict[str, views.View]:
    made = {"check": app.do(ido.QuickCheck(name))}
    made["check going on"] = app.do(do.Feel(Contact.NONE))
    made["check ended early"] = app.do(ido.EndCheck())
    made["checked, nothing moved"] = check_all(app, app.do(ido.QuickCheck(name)), AS_IT_WAS)
    dropped = {string: height - 0.25 for string, height in AS_IT_WAS.items()}
    made["checked, all moved"] = check_all(app, app.do(ido.QuickCheck(name)), dropped)
    app.do(ido.CheckString(6))  # the record stays as it was measured for what follows
    for _ in AS_IT_WAS:
        app.do(do.Undo())
    made["checked, one moved"] = check_all(app, app.do(ido.QuickCheck(name)), ONE_DROPPED)
    return made


def _shelves(app: DiscApp, name: str) -> dict[str, views.View]:
    for _ in range(40):
        app.do(ido.SeeInstrument(name))
        app.do(ido.Duplicate())
    made = {"instruments": app.do(ido.SeeInstruments())}
    made["instruments found"] = app.do(ido.FindInstruments("blue long"))
    made["instruments not found"] = app.do(ido.FindInstruments("zither"))
    app.do(ido.SeeInstruments())
    app.do(ido.ChooseSeveral(True))
    made["choosing"] = app.do(ido.ChooseInstrument(name))
    another = next(one.id for one in app.history.instruments() if one.id != name)
    app.do(ido.ChooseInstrument(another))
    made["check in a rack"] = app.do(ido.CheckRack())
    made["checked in a rack"] = app.do(ido.EndCheck())
    made["rack begun"] = app.do(ido.SeeInstruments())
    made["rack"] = app.do(ido.NextInRack())
    return made | label_scenes(app, name)

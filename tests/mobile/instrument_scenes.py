"""Views of the instruments and of the quick check, made by a desk with a history behind it."""

from __future__ import annotations

from functools import cache

from logic.desk import commands as do
from logic.desk import instrument_commands as ido
from logic.desk import views
from logic.desk.targets import TARGET
from shared.job import Buzz, Contact
from tests.logic.desk.bench import DiscDesk, Technician, fresh_desk, walking

AS_IT_WAS = {6: 0.55, 5: 0.5, 4: 0.48, 3: 0.45, 2: 0.42, 1: 0.4}
ONE_DROPPED = {**AS_IT_WAS, 3: 0.28}
CLEAN = dict.fromkeys(range(1, 7), Buzz.NONE)


def measured_desk() -> tuple[DiscDesk, str]:
    """A desk that has measured one electric guitar, and the name of that instrument."""
    desk = fresh_desk()
    Technician(AS_IT_WAS, CLEAN).walk(desk, walking(desk), 60)
    desk.do(do.CloseJob())
    (only,) = desk.history.instruments()
    return desk, only.id


def check_all(desk: DiscDesk, shown: views.View, truth: dict[int, float]) -> views.View:
    """Answer every string of a quick check as it truly stands; what the last answer leads to."""
    hand = Technician(truth, CLEAN)
    while isinstance(shown, views.CheckView):
        shown = desk.do(hand.answer(shown))
    return shown


@cache
def instrument_scenes() -> dict[str, views.View]:
    """Every screen of the instruments, full and empty."""
    made: dict[str, views.View] = {"no instruments": fresh_desk().do(ido.SeeInstruments())}
    made["none to check"] = fresh_desk().do(ido.CheckOne())
    desk, name = measured_desk()
    made["one to check"] = desk.do(ido.CheckOne())
    made["instrument after one job"] = desk.do(ido.SeeInstrument(name))
    made |= _checks(desk, name)
    made["instrument"] = desk.do(ido.SeeInstrument(name))
    made["strings of all"] = desk.do(ido.SeeStrings())
    made["strings of one"] = desk.do(ido.SeeStrings(3))
    made |= _targets(desk, name)
    made |= {"nut": desk.do(ido.SeeNut()), "name": desk.do(ido.SeeName())}
    desk.do(ido.SaveName("Blue hollow body, the one with the long neck and a patched top", "A. R."))
    return made | _shelves(desk, name)


def _targets(desk: DiscDesk, name: str) -> dict[str, views.View]:
    """Own targets on the instrument's page: the table's, an own one, all of them; typed."""
    desk.do(ido.SeeInstrument(name))
    made = {"targets of one": desk.do(do.SeeTargets(3))}
    made["own target"] = desk.do(do.SetTarget(2))
    made["typing a target"] = desk.do(do.TypeNumber(TARGET))
    desk.do(do.Back())
    made["targets of all"] = desk.do(do.SeeTargets())
    made["instrument with an own target"] = desk.do(do.Back())
    return made


def _checks(desk: DiscDesk, name: str) -> dict[str, views.View]:
    made = {"check": desk.do(ido.QuickCheck(name))}
    made["check going on"] = desk.do(do.Feel(Contact.NONE))
    made["check ended early"] = desk.do(ido.EndCheck())
    made["checked, nothing moved"] = check_all(desk, desk.do(ido.QuickCheck(name)), AS_IT_WAS)
    dropped = {string: height - 0.25 for string, height in AS_IT_WAS.items()}
    made["checked, all moved"] = check_all(desk, desk.do(ido.QuickCheck(name)), dropped)
    desk.do(ido.CheckString(6))  # the record stays as it was measured for what follows
    for _ in AS_IT_WAS:
        desk.do(do.Undo())
    made["checked, one moved"] = check_all(desk, desk.do(ido.QuickCheck(name)), ONE_DROPPED)
    return made


def _shelves(desk: DiscDesk, name: str) -> dict[str, views.View]:
    for _ in range(40):
        desk.do(ido.SeeInstrument(name))
        desk.do(ido.Duplicate())
    made = {"instruments": desk.do(ido.SeeInstruments())}
    made["instruments found"] = desk.do(ido.FindInstruments("blue long"))
    made["instruments not found"] = desk.do(ido.FindInstruments("zither"))
    desk.do(ido.SeeInstruments())
    desk.do(ido.ChooseSeveral(True))
    made["choosing"] = desk.do(ido.ChooseInstrument(name))
    another = next(one.id for one in desk.history.instruments() if one.id != name)
    desk.do(ido.ChooseInstrument(another))
    made["check in a rack"] = desk.do(ido.CheckRack())
    made["checked in a rack"] = desk.do(ido.EndCheck())
    made["rack begun"] = desk.do(ido.SeeInstruments())
    made["rack"] = desk.do(ido.NextInRack())
    return made

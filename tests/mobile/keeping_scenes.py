"""Views of the pages where the record is looked after, made by desks with a hub behind them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from logic.desk import commands as do
from logic.desk import instrument_commands as ido
from logic.desk import keeping_commands as kdo
from logic.desk import views
from logic.sync.wire import Role
from shared.words import say_many
from tests.logic.desk.bench import fresh_desk, walking
from tests.logic.desk.two_devices import AtHub, run, two_desks


@cache
def keeping_scenes() -> dict[str, views.View]:
    """Every page of the record, without a hub, with one, and shut out."""
    desk = fresh_desk()
    made: dict[str, views.View] = {}
    desk.cleared = True
    made["cleared"] = replace(desk.view(), note="No file was chosen.")  # type: ignore[arg-type]
    desk.cleared = False
    hub = AtHub()
    hub.agent(desk)
    desk.do(do.SeeRecords())
    desk.scans = True
    made["no hub"] = desk.do(kdo.SeeHub())
    made["code"] = desk.do(kdo.SeeCode())
    made["join"] = desk.do(kdo.GiveCode("k7qf2mxa"))
    desk.device_facts = (("Records are in", "private files"), ("Room granted", "1200 MB"))
    made["health"] = desk.do(kdo.SeeHealth())
    made["install"] = desk.do(kdo.SeeInstall())
    working = fresh_desk()
    walking(working)
    working.standing.by_share_menu = True
    made["records before installing"] = working.do(do.SeeRecords())
    made["install with records"] = working.do(kdo.SeeInstall())
    working.standing.refused = "app.zip"
    made["records after a refusal"] = working.do(do.SeeRecords())
    return made | _met() | _two_values()


def _met() -> dict[str, views.View]:
    """Read only, so that what was recorded is refused; then shut out; then leaving."""
    desk, hub = fresh_desk(), AtHub()
    walking(desk)
    agent = hub.joined(desk, "Bench phone", Role.READ_ONLY)
    run(agent.meet())
    desk.do(do.GoHome())
    desk.do(do.SeeRecords())
    made: dict[str, views.View] = {"hub": desk.do(kdo.SeeHub())}
    made["join another"] = desk.do(kdo.GiveCode("k7qf2mxa"))
    (bench,) = hub.hub.doors.benches()
    (device,) = hub.hub.doors.devices(bench.bench)
    hub.hub.doors.revoke(bench.bench, device.key_id, hub.hub.now_ms())
    run(agent.meet())
    made["shut out"] = desk.do(kdo.SeeHub())
    made["leave"] = desk.do(kdo.AskLeave())
    desk.do(do.Back())
    made["records with a hub"] = desk.do(do.Back())
    return made


def _two_values() -> dict[str, views.View]:
    """One field by two devices, and what can be erased of that instrument."""
    desk, _, name = two_desks()
    desk.do(ido.SeeName())
    desk.do(ido.SaveName("Blue hollow body", "A. R."))
    made: dict[str, views.View] = {"instrument of two": desk.do(ido.SeeInstrument(name))}
    made["two values"] = desk.do(kdo.SeeChanges())
    desk.do(do.Back())
    made["erasure"] = desk.do(kdo.SeeErasure())
    made["sure"] = desk.do(kdo.AskErase("owner", "A. R."))
    made["erasure promised"] = desk.do(kdo.Erase())
    desk.nudge = lambda: say_many(
        "The last copy of these records is {count} day old. Hand one out in Records.",
        "The last copy of these records is {count} days old. Hand one out in Records.",
        16,
    )
    made["home with a nudge"] = desk.do(do.GoHome())
    return made

"""Views of the pages where the record is looked after, made by apps with a hub behind them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.views import views
from logic.sync.wire import Role
from shared.words import say_many
from tests.logic.app.apps import fresh_app, walking
from tests.logic.app.test_promised import file_that_erases
from tests.logic.app.two_devices import AtHub, run, two_apps


@cache
def keeping_scenes() -> dict[str, views.View]:
    """Every page of the record, without a hub, with one, and shut out."""
    app = fresh_app()
    made: dict[str, views.View] = {}
    app.device.records_cleared = True
    made["cleared"] = replace(app.view(), note="No file was chosen.")  # type: ignore[arg-type]
    app.device.records_cleared = False
    hub = AtHub()
    hub.agent(app)
    app.do(do.SeeRecords())
    app.device.scans = True
    made["no hub"] = app.do(kdo.SeeHub())
    made["code"] = app.do(kdo.SeeCode())
    made["join"] = app.do(kdo.GiveCode("k7qf2mxa"))
    app.device.storage_facts = (("Records are in", "private files"), ("Room granted", "1200 MB"))
    made["health"] = app.do(kdo.SeeHealth())
    made["install"] = app.do(kdo.SeeInstall())
    working = fresh_app()
    walking(working)
    working.device.install.by_share_menu = True
    made["records before installing"] = working.do(do.SeeRecords())
    made["install with records"] = working.do(kdo.SeeInstall())
    working.device.install.refused = "app.zip"
    made["records after a refusal"] = working.do(do.SeeRecords())
    return made | _met() | _two_values()


def _met() -> dict[str, views.View]:
    """Read only, so that what was recorded is refused; then shut out; then leaving."""
    app, hub = fresh_app(), AtHub()
    walking(app)
    agent = hub.joined(app, "Bench phone", Role.READ_ONLY)
    run(agent.sync_now())
    app.do(do.GoHome())
    app.do(do.SeeRecords())
    made: dict[str, views.View] = {"hub": app.do(kdo.SeeHub())}
    made["join another"] = app.do(kdo.GiveCode("k7qf2mxa"))
    (bench,) = hub.hub.accounts.benches()
    (device,) = hub.hub.accounts.devices(bench.bench)
    hub.hub.accounts.revoke(bench.bench, device.key_id, hub.hub.now_ms())
    run(agent.sync_now())
    made["shut out"] = app.do(kdo.SeeHub())
    made["leave"] = app.do(kdo.AskLeave())
    app.do(do.Back())
    made["records with a hub"] = app.do(do.Back())
    return made


def _two_values() -> dict[str, views.View]:
    """One field by two devices, and what can be erased of that instrument."""
    app, _, name = two_apps()
    app.do(ido.SeeName())
    app.do(ido.SaveName("Blue hollow body", "A. R."))
    made: dict[str, views.View] = {"instrument of two": app.do(ido.SeeInstrument(name))}
    made["two values"] = app.do(kdo.SeeChanges())
    app.do(do.Back())
    made["erasure"] = app.do(kdo.SeeErasure())
    made["sure"] = app.do(kdo.AskErase("owner", "A. R."))
    made["erasure promised"] = app.do(kdo.Erase())
    app.history.merge(file_that_erases(app))
    app.do(do.SeeRecords())
    made["promised"] = app.do(kdo.SeePromised())
    made["records with a promise"] = app.do(do.Back())
    app.remind(
        lambda: say_many(
            "The last copy of these records is {count} day old. Hand one out in Records.",
            "The last copy of these records is {count} days old. Hand one out in Records.",
            16,
        )
    )
    made["home with a nudge"] = app.do(do.GoHome())
    return made

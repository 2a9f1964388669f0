"""The tab and its hub: joining, what wakes a meeting, what is shown of it, and when it ends."""

from __future__ import annotations

import asyncio
import json
from dataclasses import dataclass, field

import pytest

from logic.app.commands import commands as do
from logic.app.commands import record_commands as kdo
from logic.app.session.settings import settings_of
from logic.app.views import views
from mobile.device.page import DevicePage
from mobile.start.tab import Tab
from shared.events import Kind
from shared.readings import Contact
from tests.logic.app.two_devices import BENCH
from tests.logic.history.factory import documents, seen_long_ago
from tests.mobile.device.test_device_actions import Answering
from tests.mobile.meeting_bench import ADDRESS, Bench, at_hub, hub_view, jobs_shown, total
from tests.mobile.tabs import Device, TestClock, walk_to


async def test_without_a_hub_nobody_is_asked(bench: Bench) -> None:
    """Answers are recorded, nothing goes out, and the hub's page offers to join."""
    tab = await bench.tab()
    walk_to(tab.shell, 2)
    await bench.device.quiet()
    assert bench.road.came == 0
    assert hub_view(tab).can_join


async def test_joining_meets_at_once_and_says_where_this_device_belongs(bench: Bench) -> None:
    """What was recorded before is at the hub, and the page says in step."""
    tab = await bench.tab()
    walk_to(tab.shell, 2)
    await bench.join(tab, bench.at.code())
    assert BENCH in hub_view(tab).note
    await bench.until(lambda: "In step" in hub_view(tab).state)
    assert at_hub(bench) == total(tab)


async def test_a_code_that_does_not_work_leaves_things_as_they_were(bench: Bench) -> None:
    """The page stays, says why in plain words, and nothing is joined."""
    tab = await bench.tab()
    await bench.join(tab, "AAAA-AAAA")
    view = tab.shell.view
    assert isinstance(view, views.JoinView) and "does not work" in view.note
    assert not hub_view(tab).joined


async def test_a_hub_that_does_not_answer_is_said_so(bench: Bench) -> None:
    """Without a network joining fails in words, and the code is still at hand."""
    tab = await bench.tab()
    bench.road.open = False
    await bench.join(tab, bench.at.code())
    view = tab.shell.view
    assert isinstance(view, views.JoinView) and "cannot be reached" in view.note
    bench.road.open = True
    tab.shell.act(kdo.JoinHub("Bench phone"))
    await bench.until(lambda: "In step" in hub_view(tab).state)


async def test_an_answer_goes_to_the_hub_by_itself(bench: Bench) -> None:
    """Whatever is recorded after joining arrives without anybody asking for it."""
    tab = await bench.joined()
    before = at_hub(bench)
    walk_to(tab.shell, 1)
    await bench.until(lambda: at_hub(bench) == total(tab) > before)


async def test_what_another_phone_recorded_appears_where_it_belongs(bench: Bench) -> None:
    """Its job is on home after the network returns, without a touch."""
    tab = await bench.joined()
    tab.shell.act(do.GoHome())
    history, agent = bench.other_phone()
    await agent.load()
    await agent.join(ADDRESS, bench.at.code(), "Touring phone")
    other = Device().tab("elsewhere")
    await other.open()
    walk_to(other.shell, 1)
    assert other.app
    history.merge_events(other.app.history.events_after({}))
    await agent.sync_now()
    tab.page._tell("online", True)
    await bench.until(lambda: jobs_shown(tab) == 1)
    await other.close()


@pytest.mark.parametrize("event", ["visible", "online"])
async def test_coming_back_and_the_network_wake_a_meeting(bench: Bench, event: str) -> None:
    """True wakes at once, False does not."""
    tab = await bench.joined()
    came = bench.road.came
    tab.page._tell(event, False)
    await asyncio.sleep(0.02)
    assert bench.road.came == came
    tab.page._tell(event, True)
    await bench.until(lambda: bench.road.came > came)


async def test_a_hand_meets_now_and_hears_how_it_went(bench: Bench) -> None:
    """Out of reach is said, then in step once the hub is there again."""
    tab = await bench.joined()
    bench.road.open = False
    hub_view(tab)
    tab.shell.act(kdo.MeetNow())
    await bench.until(lambda: "out of reach" in hub_view(tab).state)
    bench.road.open = True
    tab.shell.act(kdo.MeetNow())
    await bench.until(lambda: "In step" in hub_view(tab).state)


async def test_a_device_that_is_revoked_says_so_and_goes_on_recording(bench: Bench) -> None:
    """Nothing comes to it any more; its own answers are kept."""
    tab = await bench.joined()
    accounts = bench.at.hub.accounts
    (found,) = accounts.benches()
    (device,) = accounts.devices(found.bench)
    accounts.revoke(found.bench, device.key_id, bench.at.hub.now_ms())
    hub_view(tab)
    tab.shell.act(kdo.MeetNow())
    await bench.until(lambda: "does not let" in hub_view(tab).state)
    before = total(tab)
    walk_to(tab.shell, 1)
    assert total(tab) > before


async def test_leaving_asks_first_and_then_sends_nothing(bench: Bench) -> None:
    """After yes the device has no hub, and what it records stays here."""
    tab = await bench.joined()
    tab.shell.act(kdo.AskLeave())
    assert isinstance(tab.shell.view, views.SureView)
    tab.shell.act(kdo.LeaveHub())
    await bench.device.quiet()
    assert not hub_view(tab).joined
    came = bench.road.came
    walk_to(tab.shell, 1)
    await asyncio.sleep(0.05)
    assert bench.road.came == came


async def test_a_tab_that_gave_the_lock_away_meets_no_more_and_the_other_does(bench: Bench) -> None:
    """The second tab finds the pairing and goes on; the first is silent whatever happens."""
    first = await bench.joined()
    second = await bench.tab("two")
    assert isinstance(second.shell.view, views.TroubleView)
    second.shell.act(do.TakeOver())
    await bench.until(lambda: second._sync is not None)
    assert first._sync is None
    await bench.until(lambda: hub_view(second).joined)
    came = bench.road.came
    first.page._tell("online", True)
    await asyncio.sleep(0.03)
    assert bench.road.came == came
    walk_to(second.shell, 1)
    await bench.until(lambda: at_hub(bench) == total(second))


async def test_the_pairing_outlives_the_tab(bench: Bench) -> None:
    """After a reload the device knows its hub and meets it by itself."""
    first = await bench.joined()
    walk_to(first.shell, 1)
    await first.close()
    again = await bench.tab("again")
    await bench.until(lambda: "In step" in hub_view(again).state)
    await bench.until(lambda: at_hub(bench) == total(again))  # going home was noted on the way


async def test_a_link_is_asked_about_once(bench: Bench) -> None:
    """The code of the address is on the page; nothing is joined before somebody says so."""
    bench.answers["link"] = {"state": "ok", "value": bench.at.code()}
    tab = await bench.tab()
    view = tab.shell.view
    assert isinstance(view, views.JoinView) and view.joins
    assert bench.road.came == 0
    bench.answers["link"] = {"state": "ok", "value": ""}
    tab.shell.act(do.GoHome())
    tab.page._tell("link", True)
    await bench.device.quiet()
    assert isinstance(tab.shell.view, views.HomeView)


async def test_what_is_due_to_be_gone_goes_at_a_quiet_start(bench: Bench) -> None:
    """Without any hub the content of a due promise is gone once home is up."""
    tab = await bench.tab()
    walk_to(tab.shell, 1)
    tab.shell.act(do.CloseJob("enough"))
    assert tab.app
    history = tab.app.history
    (line,) = history.instruments()
    history.erase(("instrument", line.id), 0)
    seen_long_ago(history)
    await tab.close()
    again = await bench.tab("again")
    assert again.app and again.app.history.instruments() == ()
    kinds = {event.kind for event in again.app.history.events_after({})}
    assert Kind.READING_TAKEN not in kinds and Kind.REDACTED in kinds


async def test_trouble_stays_on_the_page_until_somebody_goes_on(bench: Bench) -> None:
    """A copy can be handed out from it, what came of that stands there, and no meeting hides it."""
    bench.answers["download"] = {"state": "ok", "value": True}
    tab = await bench.joined()
    walk_to(tab.shell, 1)
    assert tab.app
    tab.app.history.journal.poison("the disc does not answer")
    assert isinstance(tab.shell.now_s, TestClock)
    tab.shell.now_s.seconds += 10
    tab.shell.act(do.Feel(Contact.LIGHT))
    trouble = tab.shell.view
    assert isinstance(trouble, views.TroubleView) and trouble.can_export
    tab.shell.act(do.ShareHistory())
    await bench.device.quiet()
    view = tab.shell.view
    assert isinstance(view, views.TroubleView) and "downloads" in view.note
    assert "could not be noted" in view.note
    tab.page._tell("online", True)
    await bench.device.quiet()
    assert tab.shell.view == view


async def test_a_nudge_goes_once_a_copy_was_handed_out(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The word on home is gone as soon as the copy is out."""
    bench.answers["download"] = {"state": "ok", "value": True}
    tab = await bench.tab()
    walk_to(tab.shell, 1)
    tab.shell.act(do.GoHome())
    assert tab.app
    later = tab.app.history.now_ms() + 30 * 86_400_000
    monkeypatch.setattr(tab.app.history, "now_ms", lambda: later)
    tab.page._tell("visible", True)
    await bench.device.quiet()
    view = tab.shell.view
    assert isinstance(view, views.HomeView) and "30 days old" in view.nudge
    tab.shell.act(do.ShareHistory())
    await bench.device.quiet()
    view = tab.shell.view
    assert isinstance(view, views.HomeView) and view.nudge == ""


async def test_the_storage_page_holds_what_the_device_says_and_goes_to_the_clipboard(
    bench: Bench,
) -> None:
    """Quota, use and promise are the browser's own; the copy is the page, line by line."""
    bench.answers |= {
        "storage": {"state": "ok", "value": {"quota": 5e9, "usage": 64e6, "persisted": True}},
        "about": {"state": "ok", "value": {"build": "abc123", "installed": True}},
        "copy": {"state": "ok", "value": True},
    }
    tab = await bench.tab()
    tab.shell.act(do.SeeRecords())
    tab.shell.act(kdo.SeeHealth())
    await bench.device.quiet()
    view = tab.shell.view
    assert isinstance(view, views.HealthView)
    facts = dict(view.lines)
    assert facts["Room granted"] == "5000 MB" and facts["Room in use"] == "64 MB"
    assert facts["The browser may clear them"] == "no" and facts["Build"] == "abc123"
    tab.shell.act(kdo.CopyHealth())
    await bench.device.quiet()
    wire = tab.page.channel
    assert isinstance(wire, Answering)
    (copied,) = [each["with"]["text"] for each in wire.asked if each["ask"] == "copy"]
    assert copied.splitlines() == [f"{name}: {value}" for name, value in view.lines]


async def test_a_device_keeps_its_tongue_when_it_joins(bench: Bench) -> None:
    """It gets another name among the bench's devices; what it has for itself goes with it, and
    the other devices of the bench learn nothing of it."""
    tab = await bench.tab()
    tab.shell.act(do.SetSetting("language", "de"))
    await bench.join(tab, bench.at.code())
    assert tab.app is not None and tab.app.settings["language"] == "de"
    history, agent = bench.other_phone()
    await agent.join(ADDRESS, bench.at.code(), "Other phone")
    await bench.until(lambda: at_hub(bench) == total(tab))
    await agent.sync_now()
    assert settings_of(history)["language"] == "device"
    assert len(documents(history)["setting"]) > 0
    tab.shell.act(do.SetSetting("language", "device"))


async def test_a_code_read_off_a_picture_asks_whether_to_join(bench: Bench) -> None:
    """Bare or in a link to this hub; anything else is refused in words and changes nothing."""
    bench.answers["comforts"] = {"state": "ok", "value": {"scan": True}, "why": ""}
    tab = await bench.tab()
    assert hub_view(tab).can_scan

    async def scan(said: str | None) -> views.View:
        bench.answers["scan"] = {"state": "ok", "value": said, "why": ""}
        tab.shell.act(kdo.ScanCode())
        await bench.device.quiet()
        return tab.shell.view

    for said, answer in (
        (None, "No photo was taken"),
        ("https://elsewhere.example/#join=AAAABBBB", "for the hub at https://elsewhere.example/"),
        ("https://bench.example:8443/manual", "no joining code"),
        ("", "no joining code"),
    ):
        await scan(said)
        assert answer in hub_view(tab).note
    code = bench.at.code()
    for said in (code, f"{ADDRESS}/#join={code}"):
        view = await scan(said)
        assert isinstance(view, views.JoinView) and view.code == code
        hub_view(tab)
    bench.answers["scan"] = {"state": "refused", "value": None, "why": "no square picture"}
    tab.shell.act(kdo.ScanCode())
    await bench.device.quiet()
    assert "no square picture" in hub_view(tab).note


async def test_a_device_that_reads_no_pictures_offers_none(bench: Bench) -> None:
    """The button is not there."""
    assert not hub_view(await bench.tab()).can_scan


@dataclass
class SlowToTell(Answering):
    """A page that tells what its device has only once it is let."""

    held: list[str] = field(default_factory=list)

    def post(self, text: str) -> None:
        """Answer at once, but for that one question."""
        if json.loads(text)["ask"] == "comforts":
            self.held.append(text)
        else:
            super().post(text)

    def tell(self) -> None:
        """Answer what was held back."""
        for text in self.held:
            super().post(text)


async def test_a_reader_that_becomes_known_late_is_offered_where_somebody_waits(
    bench: Bench,
) -> None:
    """The hub's page is open before the browser said that it reads pictures: nothing waits for
    that, and the button comes by itself."""
    scans = {"state": "ok", "value": {"scan": True}, "why": ""}
    page = SlowToTell({"comforts": scans})
    tab = bench.device.tab("slow", DevicePage(page))
    bench.tabs.append(tab)
    await tab.open()
    await asyncio.wait_for(tab.meet_hub(), 5)
    before = hub_view(tab)
    await asyncio.sleep(0)
    assert before.can_join and not before.can_scan and page.held
    page.tell()
    await bench.device.quiet()
    shown = tab.shell.view
    assert isinstance(shown, views.HubView) and shown.can_scan
    tab.shell.act(do.NewJob())
    tab.shell.act(do.StartJob("mandolin"))
    tab.shell.act(do.SetComplaint("check"))
    tab.shell.act(do.GoHome())
    home = tab.shell.view
    assert isinstance(home, views.HomeView) and home.scans


def marks_left(tab: Tab) -> int:
    """How often this tab marked that there are records."""
    wire = tab.page.channel
    assert isinstance(wire, Answering)
    asked = [each["with"] for each in wire.asked if each["ask"] == "mark"]
    return sum(each["key"] == "records" and bool(each.get("value")) for each in asked)


async def test_the_first_answer_leaves_a_mark_that_there_are_records(bench: Bench) -> None:
    """So that the next start misses them, should the browser clear them before."""
    tab = await bench.tab()
    assert marks_left(tab) == 0
    walk_to(tab.shell, 2)
    await bench.device.quiet()
    assert marks_left(tab) == 1


async def test_what_was_recorded_while_the_app_still_opened_is_marked_too(bench: Bench) -> None:
    """A tap that came before anything met the hub is missed as well when the browser clears it."""
    tab = await bench.tab(meets=False)
    walk_to(tab.shell, 2)
    await bench.device.quiet()
    await tab.meet_hub()
    await bench.device.quiet()
    assert marks_left(tab) == 1

"""The hub in words: each state of the pairing, what was refused, and two values of one field."""

from __future__ import annotations

from dataclasses import replace

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.presenters.hub import (
    clock_in_words,
    job_state,
    joining_failed,
    short_state,
    state_in_words,
)
from logic.app.views import views
from logic.app.views.record_views import ChangeLine
from logic.sync.agent import Phase, Status
from logic.sync.hub.accounts import Accounts
from logic.sync.wire import Code, Role
from shared.events import Kind
from shared.instrument import Attack
from shared.readings import Contact
from tests.logic.app.apps import DiscApp, fresh_app, walking
from tests.logic.app.two_devices import ADDRESS, BENCH, AtHub, run, two_apps


def hub_view(app: DiscApp) -> views.HubView:
    """The hub's page."""
    app.do(do.SeeRecords())
    shown = app.do(kdo.SeeHub())
    assert isinstance(shown, views.HubView)
    return shown


def facts(view: views.HubView) -> dict[str, str]:
    """Its facts by name."""
    return dict(view.lines)


def test_without_a_hub_the_page_says_what_one_is_and_offers_to_join() -> None:
    """Nothing is joined, no state is made up, and the way in is there once the app knows."""
    app = fresh_app()
    assert not hub_view(app).can_join
    AtHub().agent(app)
    shown = hub_view(app)
    assert (shown.joined, shown.can_join, shown.state, shown.lines) == (False, True, "", ())


def test_before_and_after_a_meeting_the_page_counts_what_is_where() -> None:
    """Waiting entries are told, then none; the total never changes."""
    app, hub = fresh_app(), AtHub()
    walking(app)
    count = sum(app.history.vector.values())
    agent = hub.joined(app, "Bench phone")
    before = hub_view(app)
    assert before.bench == BENCH
    assert facts(before)["Only here"] == f"{count} entries"
    assert facts(before)["Last met"] == "never"
    assert before.state == f"Waiting to send {count} entries."
    run(agent.sync_now())
    after = hub_view(app)
    assert facts(after)["On the hub"] == f"{count} entries"
    assert facts(after)["Only here"] == "0 entries"
    assert after.state.startswith("In step")
    assert facts(after)["This device"] == "Bench phone"


def test_what_came_by_file_is_shown_and_what_waits_for_its_device_is_no_trouble() -> None:
    """Entries of a device that never joined stand with whoever brought them, on the hub's page and
    on that of the records. Those of one that did wait for it: in step, named with the reason."""
    hub = AtHub()
    app, member, outsider = fresh_app(), fresh_app(), fresh_app()
    agents = hub.joined(app, "Bench phone"), hub.joined(member, "Desk")
    for other in (app, member, outsider):
        walking(other)
    run(agents[1].sync_now())
    member.history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})
    for other in (member, outsider):
        app.history.merge(other.history.export())
    run(agents[0].sync_now())
    name, brought = outsider.history.device, "came by file via Bench phone"
    shown = hub_view(app)
    assert shown.state.startswith("In step") and not shown.wants_help
    assert [why for _, why in shown.refused] == [
        "it waits for the device that wrote it, which brings it there itself"
    ]
    assert [value for value in facts(shown).values() if brought in value] == [
        f"{outsider.history.vector[name]} entries, {brought}"
    ]
    app.do(do.SeeRecords())
    records = app.view()
    assert isinstance(records, views.RecordsView)
    assert dict(records.lines)[f"Device …{name[-4:]}"] == brought


def test_each_phase_has_its_own_words() -> None:
    """No two states of the pairing read the same, in full and on the button."""
    phases = [phase for phase in Phase if phase is not Phase.WAITING]
    assert len({state_in_words(Status(phase)) for phase in phases}) == len(phases)
    told = (Phase.SHUT_OUT, Phase.AWAY, Phase.APART, Phase.IN_STEP, Phase.WAITING)
    assert len({short_state(Status(phase)) for phase in told}) == len(told)
    assert state_in_words(Status(Phase.WAITING, to_send=3), refused=3).startswith("Nothing waits")
    assert state_in_words(Status(Phase.WAITING, to_send=4), refused=3).endswith("send 1 entry.")


def test_a_device_that_may_only_read_says_so_and_lists_what_was_refused() -> None:
    """Each refused entry is named by what it is, with the reason; per job they are counted."""
    app, hub = fresh_app(), AtHub()
    walking(app)
    app.do(do.Feel(Contact.LIGHT))
    (line,) = app.history.jobs()
    agent = hub.joined(app, "Tablet", Role.READ_ONLY)
    assert "only here" in job_state(agent, app.history, line.id)
    run(agent.sync_now())
    shown = hub_view(app)
    assert shown.state.startswith("In step") and not shown.wants_help
    assert any("may read" in text for text in shown.about)
    ((matter, why),) = shown.refused
    count = sum(app.history.vector.values())
    assert matter.startswith("Electric guitar, job of") and matter.endswith(f", {count} entries")
    assert why == "this device may read and not write there"
    assert "refused" in job_state(agent, app.history, line.id)


def test_where_a_jobs_entries_are_is_on_its_instruments_page() -> None:
    """Only here before the meeting, on the hub after it; nothing without a hub."""
    app, hub = fresh_app(), AtHub()
    walking(app)
    (line,) = app.history.jobs()
    assert job_state(None, app.history, line.id) == ""
    agent = hub.joined(app, "Bench phone")
    run(agent.sync_now())
    (found,) = app.history.instruments()
    shown = app.do(ido.SeeInstrument(found.id))
    assert isinstance(shown, views.InstrumentView)
    assert [job.state for job in shown.past] == ["on the hub"]


def test_a_device_that_was_shut_out_says_what_is_safe_and_may_join_again() -> None:
    """The words tell that nothing is lost; a new code brings it back in step."""
    app, hub = fresh_app(), AtHub()
    walking(app)
    agent = hub.joined(app, "Touring phone")
    accounts: Accounts = hub.hub.accounts
    (bench,) = accounts.benches()
    (device,) = accounts.devices(bench.bench)
    accounts.revoke(bench.bench, device.key_id, hub.hub.now_ms())
    run(agent.sync_now())
    shown = hub_view(app)
    assert shown.wants_help and shown.can_join
    assert any("stays here" in text for text in shown.about)
    again = app.do(kdo.GiveCode(hub.code()))
    assert isinstance(again, views.JoinView) and again.joins
    run(agent.join(ADDRESS, hub.code(), again.label))
    run(agent.sync_now())
    assert hub_view(app).state.startswith("In step")


def test_a_code_is_asked_about_before_anything_is_sent() -> None:
    """The page says how many entries go to the bench; in a bench already, it says to leave."""
    app, hub = fresh_app(), AtHub()
    walking(app)
    hub.agent(app)
    count = sum(app.history.vector.values())
    shown = app.do(kdo.GiveCode("k7qf 2mxa"))
    assert isinstance(shown, views.JoinView)
    assert (shown.code, shown.joins) == ("K7QF-2MXA", True)
    assert any(f"{count} entries" in text for text in shown.about)
    hub.joined(app, "Bench phone")
    other = app.do(kdo.GiveCode("k7qf2mxa"))
    assert isinstance(other, views.JoinView) and not other.joins
    assert BENCH in other.about[0]


def test_why_joining_failed_is_said_in_plain_words() -> None:
    """A code that does not work and two versions that do not fit have words of their own."""
    assert "once" in joining_failed(Code.CODE_UNKNOWN)
    assert "update" in joining_failed(Code.PROTOCOL)
    assert joining_failed(Code.FAULT) == ""


@pytest.mark.parametrize(
    ("skew_ms", "said"),
    [
        (-26 * 3_600_000, "26 hours ahead"),
        (3_600_000, "60 minutes behind"),
        (-120_000, "2 minutes ahead"),
        (20_000, "1 minute behind"),
    ],
)
def test_a_clock_that_is_off_is_told_which_way(skew_ms: int, said: str) -> None:
    """The hub's clock ahead means that this one is behind."""
    assert said in clock_in_words(skew_ms)


# --- two values of one field ---


def changes(app: DiscApp) -> tuple[views.ChangesView, ChangeLine]:
    """The page of two values, with its one line."""
    shown = app.do(kdo.SeeChanges())
    assert isinstance(shown, views.ChangesView)
    (line,) = shown.changes
    return shown, line


def test_two_values_of_one_field_are_both_shown_and_one_touch_turns_them() -> None:
    """The later one stands; choosing the other records it, and can be turned back."""
    app, second, _ = two_apps()
    page = app.view()
    assert isinstance(page, views.InstrumentView) and page.changes == 1
    _, line = changes(app)
    assert (line.now, line.other) == ("Heavy", "Light")
    assert "this device" in line.other_by and second.history.device[-4:] in line.now_by
    app.do(kdo.ChooseOther(line.document, line.field))
    document = app.history.job(line.document)
    assert document is not None and document.player.attack is Attack.LIGHT
    _, turned = changes(app)
    assert (turned.now, turned.other) == ("Light", "Heavy")
    second.history.merge(app.history.export())
    there = second.history.job(line.document)
    assert there is not None and there.player.attack is Attack.LIGHT


def test_two_answers_to_one_question_read_as_the_question_does() -> None:
    """A question answered differently is shown with its text and the words of its answers."""
    app, second, _ = two_apps()
    (job,) = app.history.jobs()
    body = {"job": job.id, "gate": "capo", "string": None}
    for each, answer in ((app, "off"), (second, "on")):
        each.history.record(Kind.CHECK_ANSWERED, body | {"answer": answer})
    app.history.merge(second.history.export())
    app.history_changed()
    shown = app.do(kdo.SeeChanges())
    assert isinstance(shown, views.ChangesView)
    (line,) = (each for each in shown.changes if each.field == "checks.capo")
    assert line.now != line.other
    app.do(kdo.ChooseOther(line.document, line.field))
    document = app.history.job(job.id)
    assert document is not None and document.checks["capo"] == "off"


def test_two_descriptions_of_an_instrument_differ_in_what_is_told() -> None:
    """Only the rows that differ are read; the other one can be chosen."""
    app, second, name = two_apps()
    for each, label in ((app, "Old blue"), (second, "Blue one")):
        each.do(ido.SeeInstrument(name))
        each.do(ido.SeeName())
        each.do(ido.SaveName(label, ""))
    app.history.merge(second.history.export())
    app.history_changed()
    app.do(ido.SeeInstrument(name))
    shown = app.do(kdo.SeeChanges())
    assert isinstance(shown, views.ChangesView)
    (line,) = (each for each in shown.changes if each.document == "")
    assert (line.now, line.other) == ("Name Blue one", "Name Old blue")
    app.do(kdo.ChooseOther("", line.field))
    found = app.history.instrument(name)
    assert found is not None and found.value.label == "Old blue"


def test_what_one_device_wrote_twice_is_no_pair_of_values() -> None:
    """Changing one's own mind is shown nowhere as two values."""
    app = fresh_app()
    walking(app)
    (line,) = app.history.jobs()
    app.do(do.OpenJob(line.id))
    for attack in (Attack.LIGHT, Attack.HEAVY):
        app.do(do.SetAttack(attack))
    (found,) = app.history.instruments()
    shown = app.do(ido.SeeInstrument(found.id))
    assert isinstance(shown, views.InstrumentView) and shown.changes == 0
    assert replace(shown, changes=0) == shown

"""Where the record is looked after: each page of it, field by field, in every state it can have."""

from __future__ import annotations

from dataclasses import replace

import pytest

from logic.app.commands import commands as do
from logic.app.commands import record_commands as kdo
from logic.app.presenters.hub import (
    as_reader,
    code_in,
    code_view,
    hub_view,
    join_view,
    short_state,
    state_in_words,
)
from logic.app.presenters.install import install_view
from logic.app.presenters.records import records_view
from logic.app.presenters.storage_health import as_text, cleared_view, health_view, size_in_words
from logic.app.session.copies import note_copy
from logic.app.session.device import InstallState
from logic.app.views import views
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from logic.languages import load_language
from logic.sync.agent import Phase, Status
from logic.sync.pairing import Pairing
from logic.sync.wire import CODE_LENGTH, CODE_LETTERS, Code, Refused, Role
from shared.events import Kind
from shared.words import speaking, use
from tests.logic.app.apps import DiscApp, fresh_app, start, walking
from tests.logic.app.two_devices import ADDRESS, BENCH, AtHub, run


def empty() -> History:
    """A history without an entry."""
    return History.open(MemoryDirectory())


def facts(lines: tuple[tuple[str, str], ...]) -> dict[str, str]:
    """Facts by their names."""
    return dict(lines)


# --- the records ---


def test_an_empty_bench_says_that_nothing_is_there() -> None:
    """Every field of the page of records on a device that recorded nothing."""
    history = empty()
    shown = records_view(history, (), note="", standing=InstallState())
    assert shown == views.RecordsView(
        lines=(
            ("Entries on this device", "0"),
            ("Written here", "0"),
            ("Devices in this history", "0"),
            ("Jobs", "0, 0 open"),
            ("Last copy", "none yet"),
            ("Bench", history.bench),
            ("This device", history.device),
        ),
        warnings=(),
        hub="This bench's hub",
    )


def test_the_page_counts_what_was_recorded_here_and_elsewhere() -> None:
    """Entries of both devices, own ones apart, jobs and those that are open."""
    app, other = fresh_app(), fresh_app()
    walking(app)
    other.history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})
    app.history.merge(other.history.export())
    shown = records_view(app.history, (), note="", standing=InstallState())
    own = app.history.vector[app.history.device]
    assert facts(shown.lines) | {
        "Entries on this device": f"{own + 1}",
        "Written here": f"{own}",
        "Devices in this history": "2",
        "Jobs": "1, 1 open",
    } == facts(shown.lines)
    note_copy(app.history)
    again = records_view(app.history, (), note="", standing=InstallState())
    assert facts(again.lines)["Last copy"] == "today"


@pytest.mark.parametrize(
    ("state", "shown"),
    [
        (InstallState(), {}),
        (InstallState(can_install=True), {"can_install": True}),
        (InstallState(by_share_menu=True), {"shows_install": True}),
        (InstallState(update_ready=True), {"update_ready": True}),
        (InstallState(refused="It does not fit."), {"refused": "It does not fit."}),
    ],
)
def test_how_the_app_stands_on_the_device_is_handed_through(
    state: InstallState, shown: dict[str, object]
) -> None:
    """Each state by itself changes its own field of the page and no other."""
    plain = records_view(empty(), (), note="", standing=InstallState())
    found = records_view(empty(), (), note="", standing=state)
    assert replace(found, lines=plain.lines) == replace(plain, **shown)  # type: ignore[arg-type]


def test_what_cannot_be_kept_and_what_came_of_the_device_stand_on_the_page() -> None:
    """Warnings of the device, and the note of what was asked of it last."""
    shown = records_view(
        empty(), ("Kept until the tab closes.",), note="Sent.", standing=InstallState()
    )
    assert (shown.warnings, shown.note) == (("Kept until the tab closes.",), "Sent.")


# --- installing by hand ---


def test_installing_is_shown_step_by_step() -> None:
    """Four pictures, each said with its place among them."""
    shown = install_view(empty(), "")
    assert [step.picture for step in shown.steps] == ["share", "list", "add", "open"]
    for number, step in enumerate(shown.steps, start=1):
        assert step.spoken == f"Step {number} of 4: {step.text}"
    assert (shown.before, shown.note) == ("", "")


def test_a_bench_with_records_is_told_to_hand_out_a_copy_first() -> None:
    """An installed app may begin empty: only who has something to lose is told so."""
    app = fresh_app()
    start(app)
    assert "Hand out a copy" in install_view(app.history, "").before


# --- the storage ---


def test_the_page_of_the_storage_says_every_fact_of_an_empty_bench() -> None:
    """In its order, the device's own facts among them, and as text a line for each."""
    history = empty()
    shown = health_view(history, (("Room", "12 MB"),), "", "Copied.")
    names = [name for name, _ in shown.lines]
    assert names == [
        *("Writing", "Room", "Room kept for the last answer", "Entries", "Devices"),
        *("Files of the journal", "Set aside", "Digest of all", "Last copy", "Hub"),
        *("Bench", "This device", "Version"),
    ]
    found = facts(shown.lines)
    assert (found["Writing"], found["Set aside"], found["Hub"]) == ("works", "nothing", "none")
    assert (found["Entries"], found["Devices"], shown.note) == ("0", "0", "Copied.")
    assert as_text(shown).splitlines() == [f"{name}: {value}" for name, value in shown.lines]


def test_the_digest_is_four_groups_that_can_be_read_out() -> None:
    """Sixteen figures in fours: two people compare them by voice."""
    digest = facts(health_view(empty(), (), "", "").lines)["Digest of all"]
    assert [len(group) for group in digest.split()] == [4, 4, 4, 4]


@pytest.mark.parametrize(
    ("size", "words"),
    [(0, "0 kB"), (999, "1 kB"), (12_345, "12 kB"), (999_000, "999 kB"), (1.5e6, "2 MB")],
)
def test_sizes_are_read_in_thousands_or_millions(size: float, words: str) -> None:
    """Decimal multiples, as devices sell them (SI prefixes)."""
    assert size_in_words(size) == words


def test_cleared_records_are_said_with_the_two_ways_back() -> None:
    """What happened, and a copy or the hub; nothing cheerful."""
    shown = cleared_view("The file was not one of ours.")
    assert shown.title == "The records are gone" and len(shown.lines) == 2
    assert shown.note == "The file was not one of ours."


# --- the hub ---


def pairing(role: Role = Role.FULL, *refused: Code) -> Pairing:
    """A device of the bench, of whose entries these were refused."""
    app, hub = fresh_app(), AtHub()
    agent = hub.joined(app, "Tablet", role)
    assert agent.pairing is not None
    entries = tuple(Refused(event=f"d:{n}", code=code, why="") for n, code in enumerate(refused, 1))
    return agent.pairing.model_copy(update={"refused": entries})


@pytest.mark.parametrize(
    ("status", "refused", "reads", "said"),
    [
        (Status(Phase.ALONE), 0, False, "No hub."),
        (Status(Phase.SYNCING), 0, False, "Meeting the hub…"),
        (Status(Phase.IN_STEP), 0, False, "In step: this device and the hub hold the same."),
        (Status(Phase.IN_STEP), 0, True, "In step: everything that the hub holds is here."),
        (Status(Phase.IN_STEP, to_send=2), 0, False, "Waiting to send 2 entries."),
        (Status(Phase.IN_STEP, to_send=2), 2, False, "In step: this device and the hub"),
        (Status(Phase.IN_STEP, to_send=1, unasked=1), 0, False, "In step: this device and the hub"),
        (Status(Phase.WAITING, to_send=1), 0, False, "Waiting to send 1 entry."),
        (Status(Phase.WAITING), 0, False, "Nothing waits to be sent"),
        (Status(Phase.AWAY), 0, False, "The hub is out of reach. Work goes on"),
        (Status(Phase.APART), 0, False, "This device and the hub do not hold the same."),
        (Status(Phase.SHUT_OUT), 0, False, "The hub does not let this device in any more."),
    ],
)
def test_every_state_of_the_pairing_is_one_sentence(
    status: Status, refused: int, reads: bool, said: str
) -> None:
    """Each phase, with and without something waiting; what was refused does not wait."""
    assert state_in_words(status, refused, reads).startswith(said)


@pytest.mark.parametrize(
    ("status", "refused", "said"),
    [
        (Status(Phase.IN_STEP), 0, "in step"),
        (Status(Phase.IN_STEP, to_send=3), 3, "in step"),
        (Status(Phase.IN_STEP, to_send=3), 0, "3 to send"),
        (Status(Phase.WAITING), 0, "meeting"),
        (Status(Phase.WAITING, to_send=4), 1, "3 to send"),
        (Status(Phase.SYNCING), 0, "meeting"),
        (Status(Phase.AWAY, to_send=4), 0, "out of reach"),
        (Status(Phase.APART), 0, "not in step"),
        (Status(Phase.SHUT_OUT), 0, "shut out"),
    ],
)
def test_on_a_button_it_is_a_word_or_two(status: Status, refused: int, said: str) -> None:
    """The same states, short."""
    assert short_state(status, refused) == said


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("phase", list(Phase))
def test_every_phase_has_words_in_every_language(language: str, phase: Phase) -> None:
    """In full and on the button; in German none of them is the English one."""
    plain = state_in_words(Status(phase)), short_state(Status(phase))
    use(load_language(language))
    found = state_in_words(Status(phase)), short_state(Status(phase))
    assert all(found) and (found == plain) is (language == "en")


def test_a_reader_is_in_step_while_only_its_own_entries_are_missing_there() -> None:
    """Everything refused because it may only read: that is as it should be. One entry refused for
    another reason, or one that is not accounted for, is not."""
    kept_out = pairing(Role.READ_ONLY, Code.READ_ONLY, Code.READ_ONLY)
    apart = Status(Phase.APART, to_send=2)
    assert as_reader(apart, kept_out).phase is Phase.IN_STEP
    assert as_reader(replace(apart, to_send=3), kept_out).phase is Phase.APART
    forked = pairing(Role.FULL, Code.READ_ONLY, Code.FORK)
    assert as_reader(apart, forked).phase is Phase.APART
    assert as_reader(Status(Phase.AWAY, to_send=2), kept_out).phase is Phase.AWAY
    assert as_reader(Status(Phase.APART), pairing()).phase is Phase.APART


def test_without_an_agent_yet_the_page_waits_and_offers_nothing() -> None:
    """The app still loads what meets hubs: no button that would do nothing."""
    shown = hub_view(None, empty(), "", scans=True)
    assert (shown.joined, shown.can_join, shown.can_scan) == (False, False, False)
    assert shown.state == "The app is still opening this page: wait a moment."
    assert len(shown.about) == 2 and shown.lines == shown.refused == ()


@pytest.mark.parametrize("scans", [True, False])
def test_a_device_that_reads_pictures_may_scan_a_code(scans: bool) -> None:
    """Only such a device is offered it, and only where it may join."""
    app, hub = fresh_app(), AtHub()
    agent = hub.agent(app)
    assert hub_view(agent, app.history, "", scans=scans).can_scan is scans
    run(agent.load())
    run(agent.join(ADDRESS, hub.code(), "Bench phone"))
    joined = hub_view(agent, app.history, "Joined.", scans=scans)
    assert (joined.can_scan, joined.can_join, joined.joined) == (False, False, True)
    assert (joined.bench, joined.note) == (BENCH, "Joined.")
    assert facts(joined.lines)["Hub"] == ADDRESS
    assert facts(joined.lines)["This device"] == "Bench phone"


def test_the_page_lists_who_wrote_this_device_first() -> None:
    """Own entries, then the others by how much they wrote, under a number and the end of a name."""
    app, other = fresh_app(), fresh_app()
    agent = AtHub().joined(app, "Bench phone")
    start(app)
    other.history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})
    app.history.merge(other.history.export())
    lines = hub_view(agent, app.history, "").lines
    assert lines[-2] == ("Written here", f"{app.history.vector[app.history.device]} entries")
    assert lines[-1] == (f"Device 2 (…{other.history.device[-4:]})", "1 entry")


def test_a_code_is_typed_in_letters_that_are_not_mistaken() -> None:
    """No 0 and O, no 1 and I among them."""
    shown = code_view()
    assert (shown.letters, shown.length) == (CODE_LETTERS, CODE_LENGTH)
    assert not set("01IO") & set(shown.letters)


@pytest.mark.parametrize(
    ("text", "code", "wrong"),
    [
        (f"{ADDRESS}/#join=K7QF2MXA", "K7QF2MXA", ""),
        (f"  {ADDRESS}#join=k7qf-2mxa \n", "k7qf-2mxa", ""),
        ("#join=K7QF2MXA", "K7QF2MXA", ""),
        ("https://other.example#join=K7QF2MXA", "", "https://other.example"),
        (f"{ADDRESS}#join=K7QF", "", "no joining code"),
        ("WIFI:S:workshop;;", "", "no joining code"),
        ("", "", "no joining code"),
    ],
)
def test_a_picture_is_a_code_of_this_hub_or_says_what_is_wrong(
    text: str, code: str, wrong: str
) -> None:
    """A code of another hub, a picture of something else, half a code: each in words."""
    found, said = code_in(text, ADDRESS)
    assert found == code and (wrong in said if wrong else said == "")


@pytest.mark.parametrize(
    ("code", "shown"),
    [("k7qf2mxa", "K7QF-2MXA"), ("K7QF 2MXA", "K7QF-2MXA"), (" k7 ", "K7"), ("", "")],
)
def test_a_code_is_shown_in_two_halves_as_it_is_read_out(code: str, shown: str) -> None:
    """However it was typed; one that is not whole stands as it is."""
    assert join_view(None, empty(), code, ADDRESS, "").code == shown


def test_before_joining_it_is_said_what_goes_to_the_bench() -> None:
    """Nothing recorded: what will be; one entry: that one; and no join without an agent."""
    app = fresh_app()
    nothing = join_view(None, app.history, "", ADDRESS, "")
    assert nothing.about[1] == "What is recorded here from now on goes to the bench."
    assert not nothing.joins and nothing.label == "Bench phone"
    app.history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})
    agent = AtHub().agent(app)
    one = join_view(agent, app.history, "", ADDRESS, "A note.")
    assert one.about[1].startswith("The 1 entry of this device goes to the bench")
    assert one.joins and one.note == "A note."


def test_leaving_is_asked_about_first() -> None:
    """What is lost and what stays, before anything is done; nothing is recorded by asking."""
    app: DiscApp = fresh_app()
    shown = app.do(kdo.AskLeave())
    assert isinstance(shown, views.SureView)
    assert (shown.does, shown.title, shown.yes) == ("leave", "Leave this hub?", "Leave")
    assert any("stays here" in line for line in shown.lines)
    assert list(app.history.events_after({})) == []
    back = app.do(do.Back())
    assert isinstance(back, views.HubView)


def test_no_hub_is_said_in_german_as_german_says_it() -> None:
    """The hub is feminine there: keine, not keins."""
    with speaking(load_language("de")):
        lines = dict(health_view(empty(), (), "", "").lines)
    assert lines["Zentrale"] == "keine"

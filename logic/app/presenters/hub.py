"""How this device stands with its hub, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from logic.app.presenters.home import when
from logic.app.presenters.instruments import title_of
from logic.app.views.record_views import CodeView, HubView, JoinView
from logic.history.history import History
from logic.sync.agent import EntryState, Phase, Status, SyncAgent
from logic.sync.pairing import Pairing
from logic.sync.refusals import why_in_words
from logic.sync.wire import CODE_LENGTH, CODE_LETTERS, Code, Role
from shared.events import Event, Kind, Stamp
from shared.words import mark, say, say_many

MOST_REFUSED = 12
"""Jobs and instruments with refused entries that are listed; the rest is counted."""
MOST_DEVICES = 8

WHAT_IT_IS = mark(
    "A hub is a machine of your own that brings the devices of one bench to one history. "
    "Work goes on without it."
)
HOW_TO_JOIN = mark(
    "Whoever runs the hub has a joining code for you, as letters and as a square picture. Point "
    "this device's camera at the picture, or type the letters."
)
_WHAT = {
    Kind.INSTRUMENT_SAVED: mark("A change of an instrument"),
    Kind.PLAYER_SAVED: mark("A change of a player"),
    Kind.KIT_SAVED: mark("A change of a bag"),
    Kind.JOB_OPENED: mark("The beginning of a job"),
    Kind.JOB_CHANGED: mark("A change of a job"),
    Kind.CHECK_ANSWERED: mark("An answer"),
    Kind.CHECK_LOOKED_AGAIN: mark("A second look"),
    Kind.READING_TAKEN: mark("A reading"),
    Kind.SETUP_READ: mark("A measurement of the instrument"),
    Kind.SETUP_CHOSEN: mark("What the visit is for"),
    Kind.SETUP_STEP: mark("A step of the set-up"),
    Kind.PASS_FILED: mark("A pass of the file"),
    Kind.PROOF_TAKEN: mark("A proof"),
    Kind.JOB_CLOSED: mark("The end of a job"),
    Kind.SETTING_CHANGED: mark("A setting"),
    Kind.CONTENT_ERASED: mark("A promise to erase"),
    Kind.UNDONE: mark("Something taken back"),
}


def hub_view(
    agent: SyncAgent | None, history: History, note: str, *, scans: bool = False
) -> HubView:
    """The state of the pairing; what a hub is where there is none.

    `scans`: this device reads a code off a photo of its picture.
    """
    pairing = agent.pairing if agent else None
    if agent is None or pairing is None:
        about = (say(WHAT_IT_IS), say(HOW_TO_JOIN))
        unready = "" if agent else say("The app is still opening this page: wait a moment.")
        return HubView(
            False,
            "",
            unready,
            False,
            about,
            can_join=agent is not None,
            can_scan=scans and agent is not None,
            note=note,
        )
    status, reads = as_reader(agent.status, pairing), pairing.role == Role.READ_ONLY
    return HubView(
        joined=True,
        bench=pairing.bench_name,
        state=state_in_words(status, len(pairing.refused), reads),
        wants_help=status.phase in (Phase.SHUT_OUT, Phase.APART),
        about=tuple(_remarks(status, reads)),
        lines=(
            (say("Last met"), _time_in_words(status.last_ok_ms) or say("never")),
            (say("On the hub"), _entries_in_words(_count_of_entries(history) - status.to_send)),
            (say("Only here"), _entries_in_words(status.to_send)),
            (say("Hub"), pairing.address),
            (say("This device"), pairing.label),
            *_device_lines(history, pairing.via),
        ),
        refused=tuple(_refused_by_subject(agent, history)),
        can_join=status.phase is Phase.SHUT_OUT,
        can_scan=scans and status.phase is Phase.SHUT_OUT,
        note=note,
    )


def as_reader(status: Status, pairing: Pairing) -> Status:
    """A device that may only read is in step while all that is missing there is what it wrote."""
    kept_out = all(each.code == Code.READ_ONLY for each in pairing.refused)
    if (
        status.phase is Phase.APART
        and kept_out
        and status.to_send - status.unasked == len(pairing.refused) > 0
    ):
        return replace(status, phase=Phase.IN_STEP)
    return status


def state_in_words(status: Status, refused: int = 0, reads: bool = False) -> str:
    """One sentence on how things stand; `reads`: the device may read and not write."""
    waiting = _waiting(status, refused)
    match status.phase:
        case Phase.SYNCING:
            return say("Meeting the hub…")
        case Phase.IN_STEP if reads:
            return say("In step: everything that the hub holds is here.")
        case Phase.IN_STEP if not waiting:
            return say("In step: this device and the hub hold the same.")
        case Phase.AWAY:
            return say("The hub is out of reach. Work goes on; it is tried again by itself.")
        case Phase.APART:
            return say("This device and the hub do not hold the same.")
        case Phase.SHUT_OUT:
            return say("The hub does not let this device in any more.")
        case Phase.ALONE:
            return say("No hub.")
    if waiting:
        return say_many(
            "Waiting to send {count} entry.", "Waiting to send {count} entries.", waiting
        )
    return say("Nothing waits to be sent; the hub is met again in a moment.")


def _waiting(status: Status, refused: int) -> int:
    """How many entries go to the hub when it is met next."""
    return max(0, status.to_send - refused - status.unasked)


def short_state(status: Status, refused: int = 0) -> str:
    """The same in a word or two, for a button."""
    waiting = _waiting(status, refused)
    match status.phase:
        case Phase.SHUT_OUT:
            return say("shut out")
        case Phase.AWAY:
            return say("out of reach")
        case Phase.APART:
            return say("not in step")
        case Phase.IN_STEP if not waiting:
            return say("in step")
    if waiting:
        return say("{count} to send", count=waiting)
    return say("meeting")


def _remarks(status: Status, reads: bool) -> Iterable[str]:
    """What somebody should know beside the state."""
    if status.phase is Phase.SHUT_OUT:
        yield say(
            "Everything recorded here stays here and goes on. What others record no longer comes "
            "to this device. Ask for a new code to join again."
        )
    elif status.phase is Phase.APART:
        yield say("Both are kept, nothing is lost. Hand out a copy of everything now, in Records.")
    elif status.message and status.phase is Phase.AWAY:
        yield status.message
    if reads and status.phase is not Phase.SHUT_OUT:
        yield say("This device may read at the hub and not write: what it records stays here.")
    if status.outcome and (skew := status.outcome.skew_ms):
        yield clock_in_words(skew)
    if status.outcome and (count := len(status.outcome.rebased)):
        yield say_many(
            "{count} entry had the number of another: set aside and told again under a new name.",
            "{count} entries had the numbers of others: set aside and told again under new names.",
            count,
        )


def clock_in_words(skew_ms: int) -> str:
    """That this device's clock and the hub's differ; nothing is lost by it."""
    minutes = max(1, round(abs(skew_ms) / 60_000))
    if minutes >= 120:
        return _hours_in_words(skew_ms > 0, round(minutes / 60))
    if skew_ms > 0:
        return say_many(
            "This device's clock is {count} minute behind the hub's: set it.",
            "This device's clock is {count} minutes behind the hub's: set it.",
            minutes,
        )
    return say_many(
        "This device's clock is {count} minute ahead of the hub's: set it.",
        "This device's clock is {count} minutes ahead of the hub's: set it.",
        minutes,
    )


def _hours_in_words(behind: bool, hours: int) -> str:
    if behind:
        return say("This device's clock is {hours} hours behind the hub's: set it.", hours=hours)
    return say("This device's clock is {hours} hours ahead of the hub's: set it.", hours=hours)


def _refused_by_subject(agent: SyncAgent, history: History) -> Iterable[tuple[str, str]]:
    """What was refused and why, the entries of one job or instrument together."""
    matters: dict[tuple[str, str], list[Event | None]] = {}
    for each in agent.pairing.refused if agent.pairing else ():
        event = history.event(each.event)
        why = why_in_words(each)
        matters.setdefault((_subject_of(event, history), why), []).append(event)
    for (matter, why), events in list(matters.items())[:MOST_REFUSED]:
        if len(events) == 1 and (event := events[0]):
            yield say("{what}, {time}", what=_event_in_words(event), time=when(event.time)), why
        else:
            yield say("{matter}, {count}", matter=matter, count=_entries_in_words(len(events))), why
    if len(matters) > MOST_REFUSED:
        more = len(matters) - MOST_REFUSED
        yield say_many("and {count} more", "and {count} more", more), ""


def _subject_of(event: Event | None, history: History) -> str:
    """The job or the instrument that an entry is about, as it is called here."""
    body = event.body if event else {}
    job = history.job(str(body.get("job")))
    instrument = history.instrument(str(body.get("instrument")))
    if job:
        title = title_of(job.instrument)
        return say("{title}, job of {day}", title=title, day=when(job.opened))
    return title_of(instrument.value) if instrument else say("Settings and bags")


def _event_in_words(event: Event) -> str:
    return say(_WHAT[Kind(event.kind)]) if event.kind in _WHAT else say("An entry")


def job_state(agent: SyncAgent | None, history: History, job: str) -> str:
    """Where the entries of a job are; empty where there is no hub."""
    if agent is None or agent.pairing is None:
        return ""
    events = history.projection.events_of(("job", job))
    states = [agent.entry_state(event.id)[0] for event in events]
    if refused := states.count(EntryState.REFUSED):
        return say_many("{count} entry refused by the hub", "{count} refused by the hub", refused)
    if here := states.count(EntryState.HERE):
        return say_many("{count} entry only here yet", "{count} entries only here yet", here)
    return say("on the hub")


def _device_lines(history: History, via: Mapping[str, str]) -> Iterable[tuple[str, str]]:
    """Who wrote in this history, this device first, then whoever wrote most."""
    counts = sorted(history.vector.items(), key=lambda each: (each[0] != history.device, -each[1]))
    for number, (device, count) in enumerate(counts[:MOST_DEVICES], 1):
        own = device == history.device
        named = {"number": number, "name": device[-4:]}
        name = say("Written here") if own else say("Device {number} (…{name})", **named)
        entries = _entries_in_words(count)
        if brought_by := via.get(device):
            entries = say(
                "{entries}, came by file via {device}", entries=entries, device=brought_by
            )
        yield name, entries


def _entries_in_words(count: int) -> str:
    return say_many("{count} entry", "{count} entries", count)


def _count_of_entries(history: History) -> int:
    return sum(history.vector.values())


def _time_in_words(time_ms: int) -> str:
    return when(str(Stamp(time_ms, 0))) if time_ms else ""


def code_view() -> CodeView:
    """Where a code is typed."""
    return CodeView(
        CODE_LETTERS,
        CODE_LENGTH,
        say("A code works once and for a quarter of an hour. Type it, or paste it."),
    )


def code_in(text: str, address: str) -> tuple[str, str]:
    """The joining code that a square picture says, for the hub at `address`; else what is wrong."""
    hub, _, code = text.strip().rpartition("#join=")
    if hub and hub.rstrip("/") != address.rstrip("/"):
        elsewhere = say("That code is for the hub at {address}. Open the app there.", address=hub)
        return "", elsewhere
    if sum(letter.isalnum() for letter in code) != CODE_LENGTH:
        return "", say("That picture holds no joining code.")
    return code, ""


def join_view(
    agent: SyncAgent | None, history: History, code: str, address: str, note: str
) -> JoinView:
    """Whether to join, and what follows from it."""
    pairing = agent.pairing if agent else None
    again = bool(agent and agent.status.phase is Phase.SHUT_OUT)
    label = pairing.label if pairing else say("Bench phone")
    if pairing and not again:
        about = (
            say("This device belongs to the bench {bench} already.", bench=pairing.bench_name),
            say("To join another bench, leave that hub first."),
        )
        return JoinView(_code_in_halves(code), address, about, label, joins=False, note=note)
    count = _count_of_entries(history)
    about = (
        say("Everything that the bench holds there comes to this device."),
        say_many(
            "The {count} entry of this device goes to the bench, for all its devices to read.",
            "The {count} entries of this device go to the bench, for all its devices to read.",
            count,
        )
        if count
        else say("What is recorded here from now on goes to the bench."),
    )
    return JoinView(
        _code_in_halves(code), address, about, label, joins=agent is not None, note=note
    )


def _code_in_halves(code: str) -> str:
    """A code as it is read out: in two halves."""
    bare = "".join(letter for letter in code.upper() if letter.isalnum())
    return f"{bare[:4]}-{bare[4:]}" if len(bare) == CODE_LENGTH else code.strip().upper()


def joining_failed(code: str) -> str:
    """Why a hub did not let this device join, in plain words; empty where only it knows."""
    if code == Code.CODE_UNKNOWN:
        return say(
            "This code does not work. A code works once and for a quarter of an hour: "
            "check its letters, or ask for a new one."
        )
    if code == Code.PROTOCOL:
        return say("The hub and this app speak different versions: update the older of the two.")
    return ""

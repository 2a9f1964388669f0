"""The card of one string: all that is on record of it, each with when and by whom."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from logic.app.presenters.gap_pads import gap_pad_of
from logic.app.presenters.home import when
from logic.app.presenters.taken_back import SKIPPED, measurement_of, step_in_words
from logic.app.presenters.visit import stale_in_words
from logic.app.presenters.walk import place_of
from logic.app.presenters.work_offers import done_of_string, other_work_of_string
from logic.app.session.older_apps import speaks_to_older_apps
from logic.app.session.open_job import OpenedJob
from logic.app.views.card_views import CardEntry, PuttingRight, StringCardView
from logic.app.views.pieces import Choice
from logic.app.wording.calls import begun, call_in_words
from logic.app.wording.strokes import strokes_in_words
from logic.app.wording.wording import Wording
from logic.app.wording.work import work_called
from logic.bench.instrument.fret_names import fret_names
from logic.bench.instrument.naming import cents_at
from logic.bench.measuring.kinds.leaf import CONTACTS
from logic.bench.measuring.kinds.open_string import BUZZES
from logic.bench.plan.plan import StringState
from logic.history.documents.models import Authorship, JobDocument
from logic.history.documents.rounds import round_of
from logic.history.history import History
from shared.events import Event, Kind
from shared.job import Interval, Pass, Proof
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement
from shared.readings import (
    Buzz,
    BuzzReading,
    CentsReading,
    ClearanceReading,
    Contact,
    HeldGapReading,
    LeafReading,
    Reading,
)
from shared.reasons import CallReason
from shared.words import say

SHOWN = (
    *(Kind.READING_TAKEN, Kind.PASS_FILED, Kind.PROOF_TAKEN, Kind.CHECK_ANSWERED),
    *(Kind.CHECK_LOOKED_AGAIN, Kind.WORK_DONE),
)
"""What can stand on the card of a string."""
_ANSWERED = ("checks.", "looked_again.")
"""How the names begin of what a job was answered, among who wrote what holds."""
COUNTS = 5
"""So many counts of strokes are offered where a pass is put right."""


Recorded = Reading | Pass | Proof | Measurement
"""What an entry can hold that is put right."""


class OnCard(NamedTuple):
    """One entry of the record about one string."""

    event: Event
    struck: bool


def string_card_view(
    work: OpenedJob, history: History, string: int, wording: Wording, correcting: str
) -> StringCardView:
    """One string, where it stands, and its entries, newest first."""
    spec, state = work.job.instrument.spec(string), work.state(string)
    found = on_card(work.document, history, string)
    return StringCardView(
        job=work.id,
        title=place_of(work.job.instrument, string),
        string=string,
        facts=f"{spec.pitch.show()} · {wording.gauge(spec.gauge)}",
        headline=_headline(state, wording),
        stands=_stands_in_words(work, string, wording),
        entries=tuple(card_entry(each, work, history) for each in found),
        of_instrument=tuple(
            card_entry(each, work, history) for each in _of_instrument(work, history)
        ),
        lacks=_lacking_in_words(state, wording),
        works=done_of_string(state.call, work),
        other_works=other_work_of_string(state.call, work),
        putting_right=putting_right(correcting, history, work),
        closed=""
        if work.document.open
        else say("This job is closed. Whatever is changed here opens it again."),
    )


def _headline(state: StringState, wording: Wording) -> str:
    if state.call.reason == CallReason.NOT_READ:
        return ""  # where it stands says so
    return call_in_words(state.call, wording)


def _lacking_in_words(state: StringState, wording: Wording) -> str:
    """The button that says a leaf missing, while the walk asks for one here."""
    leaves = state.advice.leaves
    return say("I haven't {leaf}", leaf=" + ".join(map(wording.length, leaves))) if leaves else ""


def on_card(document: JobDocument, history: History, string: int) -> Iterator[OnCard]:
    """What was recorded of `string` in this job, newest first; what was struck out among it."""
    standing = (each.event for each in _standing(document, string))
    yield from newest_first(document, history, standing, lambda event: is_of(event, string))


def _of_instrument(work: OpenedJob, history: History) -> Iterator[OnCard]:
    """What was answered of the whole instrument in this job, newest first; what was struck out
    among it, and nothing that was passed over: that is asked again on the plan."""
    document, asked = work.document, {rule.id for rule in work.trade.rules.rules}
    standing = (mark.event for name, mark in document.marks.items() if name.startswith(_ANSWERED))
    found = newest_first(document, history, standing, is_of_instrument)
    for each in found:
        body = each.event.body
        if body["gate"] in asked and body["answer"] != SKIPPED:
            yield each


def newest_first(
    document: JobDocument,
    history: History,
    standing: Iterable[str],
    belongs: Callable[[Event], bool],
) -> Iterator[OnCard]:
    """Of what stands and what was struck out, what `belongs`."""
    held = dict.fromkeys(standing, False) | dict.fromkeys(document.undone, True)
    events = [(history.event(name), struck) for name, struck in held.items()]
    own = [OnCard(e, struck) for e, struck in events if e is not None and belongs(e)]
    yield from sorted(own, key=lambda each: each.event.order, reverse=True)


def _standing(document: JobDocument, string: int) -> Iterator[Authorship]:
    """Who wrote what holds, of the entries that can be of this string."""
    yield from document.readings
    yield from document.passes
    yield from document.proofs
    yield from document.work
    yield from (
        mark
        for name, mark in document.marks.items()
        if name.startswith(_ANSWERED) and name.endswith(f".{string}")
    )


def is_of(event: Event, string: int) -> bool:
    """Whether an entry is about this string and belongs on its card."""
    body = event.body
    if event.kind not in SHOWN or speaks_to_older_apps(body):
        return False
    if event.kind == Kind.WORK_DONE:
        return string in body["work"].get("strings", [])
    for part in ("reading", "pass", "proof"):
        if part in body:
            return bool(body[part].get("string") == string)
    return bool(body.get("string") == string)


def is_of_instrument(event: Event) -> bool:
    """Whether an entry is an answer about the whole instrument, which belongs on every card."""
    asked = event.kind in (Kind.CHECK_ANSWERED, Kind.CHECK_LOOKED_AGAIN)
    return asked and event.body.get("string") is None and not speaks_to_older_apps(event.body)


def is_of_neck(event: Event) -> bool:
    """Whether an entry is a measurement of relief or action."""
    measured = (ReliefMeasurement.named(), ActionMeasurement.named())
    return event.kind == Kind.SETUP_READ and event.body["measurement"]["quantity"] in measured


def string_of(event: Event, otherwise: int) -> int:
    """The string that an entry is about; `otherwise` where it names none, or several."""
    parts = (event.body.get(part) for part in ("reading", "pass", "proof"))
    named = next((part["string"] for part in parts if part), event.body.get("string"))
    return int(named) if named is not None else otherwise


def card_entry(one: OnCard, work: OpenedJob, history: History) -> CardEntry:
    """One entry in words, with what can be done about it."""
    return CardEntry(
        event=one.event.id,
        text=begun(_entry_in_words(one.event, work)),
        detail=_when_and_who(one.event, history),
        struck=one.struck,
        before="" if one.struck else _ended_by(one.event, work),
        corrects=not one.struck and can_be_put_right(one.event),
    )


def _entry_in_words(event: Event, work: OpenedJob) -> str:
    """The same as an undo says of it, without the string, which the card names."""
    if event.kind == Kind.PROOF_TAKEN:
        proof = Proof.model_validate(event.body["proof"])
        return _proof_in_words(proof, fret_names(work.job.instrument, proof.string).first)
    said = step_in_words((event,), work, names_string=False)
    again = say("{said}, put right", said=said)
    return again if event.body.get("instead") else said


def _proof_in_words(proof: Proof, fret: str) -> str:
    """What was heard and measured at a proof, cents at the first fret of its string."""
    heard = []
    if proof.buzz in BUZZES:
        heard.append(say(BUZZES[proof.buzz]))
    if proof.clearance is not None:
        heard.append(say("a clearance of {length}", length=proof.clearance))
    if proof.cents is not None:
        heard.append(cents_at(proof.cents, fret))
    if proof.unproven:
        heard.append(say(proof.unproven))
    return say("proof: {heard}", heard=", ".join(heard) or say("not played open"))


def _when_and_who(event: Event, history: History) -> str:
    """The time of day, with the date where that is not today, and whose hand or which device."""
    moment = datetime.fromtimestamp(event.stamp.wall_ms / 1000)
    today = datetime.fromtimestamp(history.now_ms() / 1000).date() == moment.date()
    time = f"{moment:%H:%M}" if today else when(event.time)
    return f"{time} · {_who(event, history)}"


def _who(event: Event, history: History) -> str:
    if event.kind == Kind.PASS_FILED:
        hand = Pass.model_validate(event.body["pass"]).technician
        if hand:
            return hand
    if event.kind == Kind.WORK_DONE and event.body["work"].get("technician"):
        return str(event.body["work"]["technician"])
    if event.device == history.device:
        return say("this device")
    return say("device …{name}", name=event.device[-4:])


def _ended_by(event: Event, work: OpenedJob) -> str:
    """The work before which it was, if any came after it."""
    works = work.document.work
    at = next((e.order for e in work.document.readings if e.event == event.id), event.order)
    ended = round_of(at, works, string_of(event, 0) or None)
    if event.kind == Kind.WORK_DONE or ended == len(works):
        return ""
    return say("before: {work}", work=work_called(works[ended].work.what, work.trade))


def can_be_put_right(event: Event) -> bool:
    """Whether the right value can be asked for in its place."""
    if event.kind == Kind.CHECK_ANSWERED:
        return True
    if event.kind in (Kind.READING_TAKEN, Kind.SETUP_READ) and pad_of(event):
        return True
    return bool(answers_instead(event))


def answers_instead(event: Event) -> dict[str, str]:
    """What a touch, something heard or a pass can have been instead, by the word that is kept."""
    heard = {buzz.value: say(said) for buzz, said in BUZZES.items()}
    if event.kind == Kind.PASS_FILED:
        return _counts_around(Pass.model_validate(event.body["pass"]))
    if event.kind == Kind.PROOF_TAKEN:
        return heard if Proof.model_validate(event.body["proof"]).buzz in BUZZES else {}
    contacts = {contact.value: say(said) for contact, said in CONTACTS.items()}
    if event.kind == Kind.SETUP_READ:
        return contacts if event.body["measurement"].get("contact") else {}
    if event.kind != Kind.READING_TAKEN:
        return {}
    match Reading.model_validate(event.body["reading"]):
        case LeafReading():
            return contacts
        case BuzzReading():
            return heard
        case _:
            return {}


def _counts_around(made: Pass) -> dict[str, str]:
    """The counts of strokes next to the one that was recorded, which stands among them; a count
    that was further off is reached by putting right once more."""
    first = max(1, made.made - COUNTS // 2)
    return {
        str(count): strokes_in_words(count, half=made.half)
        for count in range(first, first + COUNTS)
    }


def pad_of(event: Event) -> str:
    """The number pad that asks for what was read there; empty where it was no number."""
    if event.kind == Kind.SETUP_READ:
        return gap_pad_of(event.body["measurement"])
    match Reading.model_validate(event.body["reading"]):
        case ClearanceReading():
            return "clearance"
        case HeldGapReading(held_at=fret):
            return f"held {fret}"
        case CentsReading(fret=fret):
            return f"cents {fret}"
        case _:
            return ""


def right_reading(event: Event, answer: str) -> Recorded:
    """What an entry should have been: the same with another contact, heard otherwise, or with
    another count of strokes."""
    if event.kind == Kind.PASS_FILED:
        made = Pass.model_validate(event.body["pass"])
        return made.counted(int(answer), half=made.half)
    if event.kind == Kind.PROOF_TAKEN:
        proof = Proof.model_validate(event.body["proof"])
        return proof.model_copy(update={"buzz": Buzz(answer)})
    if event.kind == Kind.SETUP_READ:
        measured = measurement_of(event)
        return measured.model_copy(update={"contact": Contact(answer)})
    reading = Reading.model_validate(event.body["reading"])
    if isinstance(reading, LeafReading):
        return reading.model_copy(update={"contact": Contact(answer)})
    return reading.model_copy(update={"buzz": Buzz(answer)})


def putting_right(correcting: str, history: History, work: OpenedJob) -> PuttingRight | None:
    """What the entry that is put right can have been, where that is chosen; else None."""
    event = history.event(correcting) if correcting else None
    answers = answers_instead(event) if event is not None else {}
    if event is None or not answers:
        return None
    stood = _stood(event.body)
    choices = tuple(Choice(k, begun(said), chosen=k == stood) for k, said in answers.items())
    ask = say("Recorded: {entry}. What was it?", entry=_entry_in_words(event, work))
    return PuttingRight(event.id, ask, choices)


def _stood(body: Mapping[str, Any]) -> str:
    """The word of `answers_instead` that was recorded."""
    if "pass" in body:
        return str(Pass.model_validate(body["pass"]).made)
    now = body.get("proof") or body.get("measurement") or body["reading"]
    return str(now.get("contact") or now.get("buzz"))


def _stands_in_words(work: OpenedJob, string: int, wording: Wording) -> str:
    state = work.state(string)
    if not state.measured:
        return stale_in_words(work, string) or say("Not read")
    low, high = state.believed.interval()
    return wording.interval(Interval(estimate=state.believed.median, low=low, high=high))

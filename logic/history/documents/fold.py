"""Documents folded from events: a pure function of the set of events, whatever their order.

Each document is folded from the events that touch it, in the one order of `Event.order`. An event
that comes last is added on; one that comes late makes its own document be folded again, never all.
Within a document the later event wins a field, and what it replaced stays in `timeline`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from logic.history.clock import BEGINNING
from logic.history.documents.bodies import JOB_FIELDS, LATER_JOB_FIELDS, DocumentKey
from logic.history.documents.rounds import Order, answers_since, order_of
from shared.events import COUNTS_AS, Event, Kind, Stamp, canonical, place_of

FOLD_VERSION = 12
"""Counts the changes of these rules: a snapshot folded by other rules is not used."""
Document = dict[str, Any]


def fold(key: DocumentKey, events: Sequence[Event]) -> Document:
    """The document that `events`, sorted and without doubles, come to."""
    document = empty(key)
    events, kept_as = _without_repeats(events)
    undone = _places_of_undos(events, kept_as)
    for at, event in enumerate(events):
        if undone and undone.get(event.id, -1) > at:  # none takes back what comes after it
            _note_undone(document, event)
        else:
            apply(document, event)
        _note_latest(document, event)
    return document


def latest_in(document: Document) -> Stamp:
    """The place in the order of the last event that the document holds; the beginning of all
    stamps where it holds none."""
    return place_of(document["changed"] or str(BEGINNING), document.get(COUNTS_AS))


def _note_latest(document: Document, event: Event) -> None:
    document["changed"] = event.time
    document.pop(COUNTS_AS, None)
    if event.counts_as:
        document[COUNTS_AS] = event.counts_as


def replayed_from(event: Event) -> dict[str, Any] | None:
    """Id and digest of the event that this one repeats under another device name, as a rebase
    wrote them; None for all other events."""
    was = event.unknown_fields and event.unknown_fields.get("was")
    return was if isinstance(was, dict) else None


def _without_repeats(events: Sequence[Event]) -> tuple[Sequence[Event], dict[str, str]]:
    """`events`, but of those that say the same one, told again after a rebase or as it was, only
    the first; and by id of each that is left out, the id of the one that stays."""
    if not any(map(replayed_from, events)):
        return events, {}
    first: dict[object, Event] = {}
    kept = [(event, first.setdefault(_what_it_says(event), event)) for event in events]
    kept_as = {event.id: one.id for event, one in kept if event.id != one.id}
    return list(first.values()), kept_as


def _what_it_says(event: Event) -> object:
    """Alike for an entry and for what tells it again, and for nothing else: whoever only claims to
    tell an entry again puts none out of the way. What is taken back is named anew in the telling.
    """
    was = replayed_from(event)
    digest = str(was.get("digest")) if was else event.digest
    body = b"" if event.kind == Kind.UNDONE else canonical(event.body)
    return digest, event.time, event.kind, body


def undone_ids(events: Sequence[Event]) -> set[str]:
    """Which of the sorted `events` are taken back by one that itself stands.

    Latest first: an undo that was undone takes nothing back, and none reaches into its future.
    """
    return set(_places_of_undos(events))


def _places_of_undos(
    events: Sequence[Event], kept_as: Mapping[str, str] | None = None
) -> dict[str, int]:
    """Per id that an undo names which itself stands, the place of the last such undo in the sorted
    `events`. `kept_as`: under which id one is known that was left out."""
    places: dict[str, int] = {}
    for at in range(len(events) - 1, -1, -1):
        event = events[at]
        if event.kind == Kind.UNDONE and event.id not in places:
            named = event.body["event"]
            places.setdefault((kept_as or {}).get(named, named), at)
    return places


def empty(key: DocumentKey) -> Document:
    """A document that nothing has happened to."""
    table, name = key
    common: Document = {"id": name, "changed": "", "marks": {}, "timeline": [], "undone": []}
    return common | _EMPTY[table]()


def apply(document: Document, event: Event) -> None:
    """Add an event later than all that the document holds, and no undo."""
    if event.kind == Kind.UNDONE:
        return
    _APPLY[event.kind](document, event)
    _note_latest(document, event)


def _note_undone(document: Document, event: Event) -> None:
    if event.kind != Kind.UNDONE:
        document["undone"].append(event.id)
    if event.kind == Kind.WORK_DONE:
        document.setdefault("work", [])  # what was said of it to older apps still answers nothing


def _empty_job() -> Document:
    return {
        "instrument_id": None,
        "opened": "",
        "open": False,
        "closed_reason": "",
        "instrument": None,
        "player": {},
        "kit": {},
        "complaint": "",
        "checks": {},
        "readings": [],
        "passes": [],
        "proofs": [],
        "place": "",
        "places": {},
        "steps": [],
    }


_EMPTY: dict[str, Callable[[], Document]] = {
    "job": _empty_job,
    "instrument": lambda: {"value": None, "jobs": []},
    "kit": lambda: {"value": None},
    "setting": lambda: {"value": None},
}


def _set_field(document: Document, field: str, value: Any, event: Event) -> None:
    """Give a field of the document a value."""
    _note_author(document, field, document[field], value, event)
    document[field] = value


def _note_author(document: Document, field: str, old: Any, value: Any, event: Event) -> None:
    """Note who gave `field` its value, and keep the value that somebody gave it before."""
    before = document["marks"].get(field)
    if before and old != value:
        document["timeline"].append(
            before | {"field": field, "value": old, "replaced_by": event.id}
        )
    document["marks"][field] = _author(event)


def _author(event: Event) -> dict[str, str]:
    author = {"event": event.id, "device": event.device, "time": event.time}
    return author | {COUNTS_AS: event.counts_as} if event.counts_as else author


def _job_opened(document: Document, event: Event) -> None:
    body = event.body
    if "open" not in document:
        _set_field(document, "value", body["value"], event)
        _add_job(document, body["job"])
        return
    document["opened"] = document["opened"] or event.time
    document["instrument_id"] = body.get("instrument")
    given = body | {"instrument": body["value"]}
    for field in JOB_FIELDS:
        _set_field(document, field, given.get(field, _empty_job()[field]), event)
    for field in LATER_JOB_FIELDS:
        if field in body:
            _set_later_field(document, field, body[field], event)
    _set_field(document, "open", True, event)


def _set_later_field(document: Document, field: str, value: Any, event: Event) -> None:
    document.setdefault(field, LATER_JOB_FIELDS[field])  # as documents were before it was said
    _set_field(document, field, value, event)


class _EachOnce(list[str]):
    """Names, each once, that know without a search which they are: there may be thousands."""

    def __init__(self, names: Iterable[str]) -> None:
        super().__init__(names)
        self._names = set(self)

    def add(self, name: str) -> None:
        """Append a name that is not there yet."""
        if name not in self._names:
            self._names.add(name)
            self.append(name)


def _add_job(document: Document, job: str) -> None:
    if not isinstance(document["jobs"], _EachOnce):
        document["jobs"] = _EachOnce(document["jobs"])
    document["jobs"].add(job)


def _job_changed(document: Document, event: Event) -> None:
    field = event.body["field"]
    put = _set_later_field if field in LATER_JOB_FIELDS else _set_field
    put(document, field, event.body["value"], event)
    if field == "complaint" and ("complaints" in event.body or "complaints" in document):
        document["complaints"] = event.body.get("complaints", [])
    _add_step(document, event)


def _check_answered(document: Document, event: Event) -> None:
    gate, answer, string = event.body["gate"], event.body["answer"], event.body.get("string")
    if event.body.get("for_older_apps") and "work" in document:
        document["said_to_older_apps"] = answer
        return
    if event.body.get("for_apps_without_boards"):
        document["said_to_apps_without_boards"] = answer
        return
    if event.body.get("for_apps_without_visits"):
        document["said_to_apps_without_visits"] = answer
        return
    checks = document["checks"]
    if string is None:
        _note_author(document, f"checks.{gate}", checks.get(gate), answer, event)
        checks[gate] = answer
    else:
        given = checks.get(gate)
        by_string = given if isinstance(given, dict) else {}
        _note_author(document, f"checks.{gate}.{string}", by_string.get(str(string)), answer, event)
        checks[gate] = by_string | {str(string): answer}
    document.get("looked_again", {}).pop(gate, None)  # it spoke of the answer before
    _add_step(document, event)


def _check_looked_again(document: Document, event: Event) -> None:
    gate, answer, string = event.body["gate"], event.body["answer"], event.body.get("string")
    again = document.setdefault("looked_again", {})  # as documents were before anybody did
    given = again.get(gate)
    by_string = given if isinstance(given, dict) else {}
    again[gate] = answer if string is None else by_string | {str(string): answer}
    where = gate if string is None else f"{gate}.{string}"
    document["marks"][f"looked_again.{where}"] = _author(event)
    _add_step(document, event)


def _reading_taken(document: Document, event: Event) -> None:
    _put_in_order(document["readings"], {"reading": event.body["reading"]}, event)
    _add_step(document, event)


def _put_in_order(taken: list[Document], what: Document, event: Event) -> None:
    """Add what an event recorded; what stands in place of something that was struck out goes where
    that stood, before whatever was read since."""
    instead = event.body.get("instead")
    if instead is None:
        taken.append(_author(event) | what)
        return
    before = bisect_left(taken, order_of(instead), key=_place_of)
    taken.insert(before, _author(event) | what | {"instead": instead})


def _place_of(taken: Document) -> Order:
    return order_of(taken.get("instead") or taken)


def _setup_read(document: Document, event: Event) -> None:
    measurements = document.setdefault("measurements", [])  # as documents were before any was taken
    _put_in_order(measurements, {"measurement": event.body["measurement"]}, event)
    _add_step(document, event)


def _setup_chosen(document: Document, event: Event) -> None:
    """The visit's own fields stand beside those of the job, under names of their own."""
    field = f"setup_{event.body['field']}"
    document.setdefault(field, None)  # as documents were before anybody chose
    _set_field(document, field, event.body.get("value"), event)
    _add_step(document, event)


def _setup_step(document: Document, event: Event) -> None:
    steps = document.setdefault("setup_steps", [])  # as documents were before any was taken
    _put_in_order(steps, {"step": event.body["step"]}, event)
    _add_step(document, event)


def _pass_filed(document: Document, event: Event) -> None:
    _put_in_order(document["passes"], {"pass": event.body["pass"]}, event)
    _add_step(document, event)


def _proof_taken(document: Document, event: Event) -> None:
    _put_in_order(document["proofs"], {"proof": event.body["proof"]}, event)
    _add_step(document, event)


def _work_done(document: Document, event: Event) -> None:
    """What was answered since the work before is kept with it; what has a time of its own, the
    readings and all that was measured, is sorted by that when a job is made of the document."""
    done = document.setdefault("work", [])  # as documents were before any was reported
    since = order_of(done[-1]) if done else None
    marks = document["marks"]
    before = {
        name: answers_since(name, document.get(name, {}), marks, since)
        for name in ("checks", "looked_again")
    }
    listed = {"instrument": document["instrument"]}
    done.append(_author(event) | {"work": event.body["work"]} | before | listed)
    _add_step(document, event)


def _place_moved(document: Document, event: Event) -> None:
    document["place"] = event.body["place"]
    document["places"][event.device] = event.body["place"]


def _job_closed(document: Document, event: Event) -> None:
    _set_field(document, "open", False, event)
    _set_field(document, "closed_reason", event.body.get("reason", ""), event)


def _job_reopened(document: Document, event: Event) -> None:
    _set_field(document, "open", True, event)


def _saved(document: Document, event: Event) -> None:
    _set_field(document, "value", event.body["value"], event)


def _player_saved(document: Document, event: Event) -> None:
    document.setdefault("player", None)  # nobody was named until somebody is
    _set_field(document, "player", event.body["value"], event)


def _add_step(document: Document, event: Event) -> None:
    document["steps"].append(event.id)


def _content_erased(document: Document, event: Event) -> None:
    document["value"] = document["value"] or {}
    document["value"][event.id] = event.body
    document["marks"]["value"] = _author(event)


_APPLY: dict[str, Callable[[Document, Event], None]] = {
    Kind.INSTRUMENT_SAVED: _saved,
    Kind.PLAYER_SAVED: _player_saved,
    Kind.KIT_SAVED: _saved,
    Kind.SETTING_CHANGED: _saved,
    Kind.JOB_OPENED: _job_opened,
    Kind.JOB_CHANGED: _job_changed,
    Kind.CHECK_ANSWERED: _check_answered,
    Kind.CHECK_LOOKED_AGAIN: _check_looked_again,
    Kind.READING_TAKEN: _reading_taken,
    Kind.SETUP_READ: _setup_read,
    Kind.SETUP_CHOSEN: _setup_chosen,
    Kind.SETUP_STEP: _setup_step,
    Kind.PASS_FILED: _pass_filed,
    Kind.PROOF_TAKEN: _proof_taken,
    Kind.WORK_DONE: _work_done,
    Kind.PLACE_MOVED: _place_moved,
    Kind.JOB_CLOSED: _job_closed,
    Kind.JOB_REOPENED: _job_reopened,
    Kind.CONTENT_ERASED: _content_erased,
}

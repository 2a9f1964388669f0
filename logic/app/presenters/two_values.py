"""What two devices wrote into one field: the value that stands, the other, and how to choose it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from logic.app.presenters.home import when
from logic.app.presenters.instruments import title_of
from logic.app.presenters.intake import facts_of
from logic.app.presenters.targets import played_in_words
from logic.app.views.record_views import ChangeLine, ChangesView
from logic.app.wording.wording import Wording
from logic.bench.checks.complaints import complaint_of
from logic.bench.checks.gates import GateQuestion, all_questions
from logic.bench.tables.trade_tables import TradeTables
from logic.history.documents.models import Authorship, InstrumentDocument, JobDocument, Replaced
from logic.history.history import History
from shared.events import Kind
from shared.instrument import Instrument, Player
from shared.units import length_or_words
from shared.words import in_words, mark, say

FIELDS = {
    "player": mark("Player"),
    "complaint": mark("What was noticed"),
    "instrument": mark("Instrument"),
    "kit": mark("Bag"),
    "value": mark("Instrument"),
    "to_my_target": mark("Down to the target"),
    "ticket": mark("Ticket"),
    "note": mark("Note"),
}
CHECK = "checks."


def changes_view(
    found: InstrumentDocument, history: History, trade: TradeTables, wording: Wording
) -> ChangesView:
    """Every field of the instrument and its jobs that another device gave its present value."""
    about = say(
        "Two devices wrote into the same field. The later value stands, the other is kept: "
        "one touch lets it stand instead."
    )
    in_words_of = ValueWords(history, trade, wording)
    lines = tuple(in_words_of.line(*each) for each in two_values(found, history))
    return ChangesView(title_of(found.value), about, lines)


def two_values(
    found: InstrumentDocument, history: History
) -> Iterator[tuple[InstrumentDocument | JobDocument, Replaced, Any]]:
    """The document, what was replaced last in a field, and what stands there now."""
    held: list[InstrumentDocument | JobDocument] = [found]
    held += [job for job in map(history.job, found.jobs) if job is not None]
    for document in held:
        turned = list(_replaced_by_another(document).values())
        plain = document.model_dump(mode="json", by_alias=True) if turned else {}
        for one in turned:
            stands = _present_value(plain, one.field)
            if stands is not None and stands != one.value:
                yield document, one, stands


def _replaced_by_another(document: InstrumentDocument | JobDocument) -> dict[str, Replaced]:
    """By field: what a device wrote last that is not the one whose value stands. However often
    that one wrote since, as somebody does who steps a value, it is not out of sight."""
    marks = document.marks
    return {
        one.field: one
        for one in document.timeline
        if one.field in marks and one.device != marks[one.field].device
    }


def _present_value(plain: Mapping[str, Any], field: str) -> Any:
    """The present value of a field that a person chose; None for all others."""
    if field in FIELDS:
        return plain.get(field)
    if not field.startswith(CHECK):
        return None
    gate, _, string = field.removeprefix(CHECK).partition(".")
    given = plain["checks"].get(gate)
    return given.get(string) if isinstance(given, dict) else given


def other_chosen(
    found: InstrumentDocument, history: History, document: str, field: str
) -> tuple[Kind, dict[str, Any]] | None:
    """What to record so that the replaced value stands; None where nothing was replaced."""
    for held, one, _ in two_values(found, history):
        if (_job_id_of(held), one.field) == (document, field):
            return _entry_of(found, document, one)
    return None


def _entry_of(
    found: InstrumentDocument, document: str, one: Replaced
) -> tuple[Kind, dict[str, Any]]:
    if not document:
        kind = Kind.PLAYER_SAVED if one.field == "player" else Kind.INSTRUMENT_SAVED
        return kind, {"instrument": found.id, "value": one.value}
    if not one.field.startswith(CHECK):
        return Kind.JOB_CHANGED, {"job": document, "field": one.field, "value": one.value}
    gate, _, string = one.field.removeprefix(CHECK).partition(".")
    body = {"job": document, "gate": gate, "answer": one.value}
    return Kind.CHECK_ANSWERED, body | {"string": int(string) if string else None}


def _job_id_of(document: InstrumentDocument | JobDocument) -> str:
    return document.id if isinstance(document, JobDocument) else ""


class ValueWords:
    """Puts two values of one field into words."""

    def __init__(self, history: History, trade: TradeTables, wording: Wording) -> None:
        self._history = history
        self._trade = trade
        self._wording = wording
        self._asked = {question.gate: question for question in all_questions(trade)}

    def line(
        self, document: InstrumentDocument | JobDocument, one: Replaced, stands: Any
    ) -> ChangeLine:
        """One field with both values and who gave them."""
        now, other = self._values_in_words(one.field, stands, one.value)
        what = self._field_in_words(one.field)
        if isinstance(document, JobDocument):
            day = when(document.opened)
            what = say("{what}, job of {day}", what=what, day=day)
        return ChangeLine(
            document=_job_id_of(document),
            field=one.field,
            what=what,
            now=now,
            now_by=self._author_in_words(document.marks.get(one.field)),
            other=other,
            other_by=self._author_in_words(one),
        )

    def _author_in_words(self, wrote: Authorship | None) -> str:
        if wrote is None:
            return ""
        if wrote.device == self._history.device:
            return say("this device, {time}", time=when(wrote.time))
        return say("device …{name}, {time}", name=wrote.device[-4:], time=when(wrote.time))

    def _field_in_words(self, field: str) -> str:
        if field in FIELDS:
            return say(FIELDS[field])
        gate, _, string = field.removeprefix(CHECK).partition(".")
        asked = self._asked.get(gate)
        text = say(asked.text) if asked else gate
        return say("{text} String {string}", text=text, string=string) if string else text

    def _values_in_words(self, field: str, now: Any, other: Any) -> tuple[str, str]:
        if field in ("instrument", "value"):
            return self._differing_rows(now, other)
        return self._value_in_words(field, now), self._value_in_words(field, other)

    def _value_in_words(self, field: str, value: Any) -> str:
        if field == "complaint":
            found = complaint_of(str(value), self._trade)
            return say(found.title) if found else str(value) or say("nothing")
        if field == "to_my_target":
            return say("asked for") if value else say("not asked for")
        if field in ("ticket", "note"):
            return str(value) or say("nothing")
        if field == "player":
            return player_in_words(value, self._wording)
        if field == "kit":
            name = value.get("name") if isinstance(value, Mapping) else ""
            return str(name or say("a bag without a name"))
        return _answer_in_words(self._asked.get(field.removeprefix(CHECK).partition(".")[0]), value)

    def _differing_rows(self, now: Any, other: Any) -> tuple[str, str]:
        """Only what differs between the two."""
        rows = [self._instrument_rows(each) for each in (now, other)]
        differ = [name for name in rows[0] if rows[0][name] != rows[1].get(name)]
        in_words_of = [", ".join(f"{name} {row.get(name)}" for name in differ) for row in rows]
        return in_words_of[0] or say("the same to read"), in_words_of[1] or say("the same to read")

    def _instrument_rows(self, value: Any) -> dict[str, str]:
        try:
            instrument = Instrument.model_validate(value)
        except ValidationError:
            return {}
        named = {say("Name"): instrument.label or "–", say("Owner's tag"): instrument.owner or "–"}
        return named | dict(facts_of(instrument, self._wording))


def player_in_words(value: Any, wording: Wording) -> str:
    """How hard somebody plays, and the own targets string by string."""
    try:
        player = Player.model_validate(value)
    except ValidationError:
        return say("somebody")
    own = sorted(player.targets.items(), reverse=True)
    targets = ", ".join(f"{string}: {wording.length(length)}" for string, length in own)
    attack = played_in_words(player)
    return say("{attack}, own targets {targets}", attack=attack, targets=targets) if own else attack


def _answer_in_words(asked: GateQuestion | None, value: Any) -> str:
    if asked is not None and asked.kind == "length":
        value = in_words(length_or_words(value)) if isinstance(value, str) else value
    labels = {choice.key: choice.label for choice in asked.choices} if asked else {}
    return say(labels[value]) if isinstance(value, str) and value in labels else str(value)

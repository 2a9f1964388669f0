"""The kinds of instrument, and the intake."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from logic.app.presenters.board import board_in_words
from logic.app.presenters.corrections import corrections, time_choices
from logic.app.presenters.home import kind_in_words
from logic.app.presenters.noticed import SKIPPED, noticed_view
from logic.app.presenters.questions import BEFORE, skipped_preconditions
from logic.app.presenters.targets import bow_choices, own_in_words, wish_in_words
from logic.app.presenters.visit import scope_choices
from logic.app.presenters.visit_parts import is_whole_visit
from logic.app.presenters.walk import string_named
from logic.app.session.open_job import OpenedJob
from logic.app.views.views import (
    ATTACK_WORDS,
    Choice,
    FactRow,
    IntakeView,
    KindsView,
)
from logic.app.wording.calls import call_in_words
from logic.app.wording.wording import Wording
from logic.bench.checks.complaints import understood
from logic.bench.checks.gates import ENTRY_IN_DOUBT, next_questions
from logic.bench.tables.trade_tables import TradeTables
from logic.history.history import History
from logic.jobfiles.reading import kinds, preset_instrument
from shared.instrument import Instrument
from shared.marked import scale_as_said
from shared.units import Length, length_or_words
from shared.words import say, say_many

RELIEF = "relief"
"""The check that relief answers; its number is typed at the intake too."""
_JOBS_BACK, _KINDS_FIRST = 30, 4
"""What most benches have: a few kinds again and again. Two rows of them stand before the others."""


def kinds_view(trade: TradeTables, wording: Wording, lately: Iterable[str] = ()) -> KindsView:
    """Every kind that has a preset; before the others those that were `lately` on the bench."""
    known = kinds(trade)
    ordered = dict.fromkeys((*(kind for kind in lately if kind in known), *known))
    return KindsView(tuple(_kind_choice(kind, trade, wording) for kind in ordered))


def kinds_lately(history: History) -> tuple[str, ...]:
    """The kinds of the last jobs on which anything was done, the newest first."""
    last = history.jobs()[:_JOBS_BACK]
    return tuple(dict.fromkeys(line.kind for line in last if line.begun))[:_KINDS_FIRST]


def _kind_choice(kind: str, trade: TradeTables, wording: Wording) -> Choice:
    instrument = preset_instrument(kind, trade)
    count = len(instrument.strings)
    strings = say_many("{count} string", "{count} strings", count)
    return Choice(kind, kind_in_words(kind), f"{strings} · {scale_in_words(instrument, wording)}")


def scale_in_words(instrument: Instrument, wording: Wording) -> str:
    """The scale length as the trade says it; both of them where the frets are fanned."""
    if instrument.scale_bass is None:
        return _scale(instrument.scale, wording)
    first, lowest = _scale(instrument.scale, wording), _scale(instrument.scale_bass, wording)
    return say("{first} to {lowest}, fanned", first=first, lowest=lowest)


def _scale(scale: Length, wording: Wording) -> str:
    return scale_as_said(scale, wording.unit, wording.decimal_mark)


def intake_view(
    work: OpenedJob, wording: Wording, title: str, others: str = "", said: str = ""
) -> IntakeView:
    """The instrument as its preset has it, and what was said about it; `others` is what else is on
    record of an owner of the same name."""
    instrument = work.job.instrument
    return IntakeView(
        job=work.id,
        title=title,
        facts=(*_facts_to_touch(work, wording), _whose(work, others)),
        attacks=tuple(
            Choice(attack.value, say(word), chosen=work.job.player.attack is attack)
            for attack, word in ATTACK_WORDS.items()
        ),
        bow=bow_choices(instrument, work.job.player, work.trade),
        noticed=noticed_view(work),
        assumed=work.figures_from,
        targets=" ".join(
            filter(
                None,
                (own_in_words(instrument, work.job.player, wording), wish_in_words(work.job)),
            )
        ),
        corrections=corrections(work),
        time=time_choices(work),
        straight=bool(work.job.readings) or may_wait(work),
        begun=bool(work.job.readings),
        scopes=scope_choices(work.job),
        whole=is_whole_visit(work.job),
        said=said,
    )


def _facts_to_touch(work: OpenedJob, wording: Wording) -> Iterator[FactRow]:
    """What a touch changes: strings, gauges, scale, frets, nut, and the relief as measured."""
    keys = ("strings", "gauges", "scale", "board", "nut")
    for key, (name, value) in zip(keys, facts_of(work.job.instrument, wording), strict=True):
        yield FactRow(key, name, value)
    yield FactRow("relief", say("Relief"), _relief_in_words(work, wording))


def _relief_in_words(work: OpenedJob, wording: Wording) -> str:
    """What was answered of it, else what it was at the last visit, else that nobody measured."""
    said = work.job.checks.get(RELIEF)
    if isinstance(said, str) and said != SKIPPED:
        labels = {one.id: one.label for one in work.trade.rules.rule(RELIEF).options if one.label}
        return say(labels[said]) if said in labels else str(length_or_words(said))
    known = work.job.instrument.relief
    if known is not None:
        return wording.length(known)
    before = work.job.checks.get(BEFORE)
    if isinstance(before, str) and before != SKIPPED:
        return say("at the last visit {before}", before=length_or_words(before))
    return say("not measured")


def _whose(work: OpenedJob, others: str) -> FactRow:
    """Whose it is and how it is booked, all of it optional."""
    instrument, ticket = work.job.instrument, work.job.ticket
    booked = say("ticket {ticket}", ticket=ticket) if ticket else ""
    named = [instrument.label, instrument.owner, booked]
    value = " · ".join(filter(None, named)) or say("not said yet")
    return FactRow("name", say("Whose"), f"{value}. {others}" if others else value)


def may_wait(work: OpenedJob) -> bool:
    """Whether the first string can be read before anything is asked: nothing was complained of,
    and no entry is in doubt that would change what a reading means. How the nut holds its strings
    stands as it is shown. All that is asked then only bars what cannot be undone, and is asked
    before the second string."""
    if complained_of(work):
        return False
    asked = {question.gate for question in next_questions(work.job, work.trade)}
    return not asked & set(ENTRY_IN_DOUBT)


def complained_of(work: OpenedJob) -> bool:
    """Whether anything was said to be wrong, or anything that nobody understood; that it is here
    for a check is no complaint."""
    found = understood(work.job, work.trade)
    return bool(found.not_understood) or any(heard.row.must for heard in found.heard)


def still_to_ask(work: OpenedJob) -> bool:
    """Whether the first string was read before what must be true was asked, and it is time to."""
    begun = bool(work.job.readings) and not work.is_quick_check
    return begun and bool(skipped_preconditions(work))


def first_call(work: OpenedJob, wording: Wording) -> str:
    """The string that was read before what must be true was asked, and its call."""
    if not still_to_ask(work):
        return ""
    string = work.job.readings[-1].string
    name = string_named(work.job.instrument.name_of(string))
    return f"{name} · {call_in_words(work.state(string).call, wording)}"


def facts_of(instrument: Instrument, wording: Wording) -> tuple[tuple[str, str], ...]:
    """Strings, gauges, scale, frets and nut, each with its name."""
    ordered = sorted(instrument.strings, key=lambda spec: -spec.string)
    return (
        (say("Strings"), " ".join(spec.pitch.show() for spec in ordered)),
        (say("Gauges"), " ".join(wording.gauge(spec.gauge) for spec in ordered)),
        (say("Scale"), scale_in_words(instrument, wording)),
        (say("Frets"), board_in_words(instrument)),
        (say("Nut"), nut_in_words(instrument)),
    )


def nut_in_words(instrument: Instrument) -> str:
    """How the nut holds its strings, and what it is made of."""
    return f"{say(instrument.nut.type.value)}, {say(instrument.nut.material)}"

"""What was said or noticed: as it is shown, and as it is recorded when a tap puts it right."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from logic.app.session.open_job import OpenedJob
from logic.app.views.pieces import Choice, NoticedView, StringMark
from logic.bench.checks.complaints import JOIN, Heard, complaints, understood
from logic.bench.checks.complaints import own_words as said_of
from logic.bench.checks.just_before import JUST_BEFORE
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.naming import strings_listed
from logic.bench.plan.walk import walk_order
from shared.job import Complaint
from shared.words import say

SKIPPED = "skipped"
"""The answer to a question that was left out."""
LONGEST = 400
"""Characters of the field; what comes from elsewhere may be longer."""


def noticed_view(work: OpenedJob) -> NoticedView:
    """The words as they were said, what was understood of them, and all that can be picked."""
    found = understood(work.job, work.trade)
    heard = {each.row.id for each in found.heard}
    rows = [
        (row.common or row.id in heard, Choice(row.id, say(row.title), chosen=row.id in heard))
        for row in complaints(work.trade)
        if not row.fact or row.id in heard
    ]
    return NoticedView(
        words=own_words(work),
        understood=tuple(_in_words(each, work) for each in found.heard) if own_words(work) else (),
        not_understood=found.not_understood,
        common=tuple(choice for common, choice in rows if common),
        others=tuple(choice for common, choice in rows if not common),
        strings=_marks(found.heard, work),
        before=_before(found.heard, work),
    )


def own_words(work: OpenedJob) -> str:
    """What was said in people's own words; empty where complaints were only picked."""
    return said_of(work.job, work.trade)


def words_and_picks(work: OpenedJob, words: str) -> dict[str, Any]:
    """What to record of people's own words: on one line, no longer than the field. What was picked
    before stays beside them; what was put right of other words goes with those."""
    body = {"field": "complaint", "value": " ".join(words.split())[:LONGEST]}
    if own_words(work):
        picked = [each for each in work.job.complaints if not each.said]
    else:
        picked = [_complaint(each) for each in understood(work.job, work.trade).heard]
    kept = [each.model_dump(mode="json") for each in picked]
    return body | ({"complaints": kept} if kept else {})


def with_or_without(work: OpenedJob, complaint: str) -> dict[str, Any]:
    """What to record once this complaint was picked, or taken back. One that is added is of the
    strings that were named."""
    heard = understood(work.job, work.trade).heard
    rest = [_complaint(each) for each in heard if each.row.id != complaint]
    if len(rest) < len(heard):
        return _recorded(work, rest)
    strings = sorted({string for each in heard for string in each.strings})
    return _recorded(work, [*rest, Complaint(what=complaint, strings=tuple(strings))])


def answers_heard(work: OpenedJob) -> dict[str, str]:
    """Answers that were told in words, by check: a capo left on, a card under the nut."""
    heard = understood(work.job, work.trade).heard
    return {
        gate: option for each in heard if each.row.fact for gate, option in each.row.known.items()
    }


def without_what_contradicts(
    work: OpenedJob, answers: Iterable[tuple[str, int | None, str]]
) -> dict[str, Any] | None:
    """What to record beside these answers where one of them says otherwise than was told: what was
    told is taken back, as who answers has seen to it. None where nothing contradicts, or where
    words are left that nobody understood: those would go with it."""
    given = {gate: answer for gate, _, answer in answers if answer != SKIPPED}
    found = understood(work.job, work.trade)
    kept = [one for one in found.heard if not (one.row.fact and _otherwise(one.row.known, given))]
    if len(kept) == len(found.heard) or found.not_understood:
        return None
    return _recorded(work, [_complaint(each) for each in kept])


def _otherwise(known: dict[str, str], given: dict[str, str]) -> bool:
    return any(gate in given and given[gate] != option for gate, option in known.items())


def tied_or_freed(work: OpenedJob, string: int) -> dict[str, Any]:
    """What to record once a string was pointed at: of every complaint that strings can have."""
    heard = understood(work.job, work.trade).heard
    named = {each for one in heard for each in one.strings} ^ {string}
    return _recorded(
        work,
        [
            _complaint(each).model_copy(
                update={"strings": () if each.row.whole else tuple(sorted(named))}
            )
            for each in heard
        ],
    )


def _recorded(work: OpenedJob, left: Iterable[Complaint]) -> dict[str, Any]:
    """One field, as earlier versions read it, and beside it each complaint with its strings."""
    each = list(left)
    ids = JOIN.join(one.what for one in each)
    value = (own_words(work) or ids) if each else ""
    body = {"field": "complaint", "value": value}
    if len(each) == 1 and value == each[0].what and not each[0].strings:
        return body
    said = [one.model_copy(update={"said": value}) for one in each]
    return body | {"complaints": [one.model_dump(mode="json") for one in said]}


def _complaint(heard: Heard) -> Complaint:
    return Complaint(what=heard.row.id, strings=heard.strings)


def _in_words(heard: Heard, work: OpenedJob) -> str:
    title = say(heard.row.title)
    if not heard.strings:
        return title
    names = tuple(work.job.instrument.name_of(string) for string in heard.strings)
    return say("{title} ({strings})", title=title, strings=strings_listed(names))


def _marks(heard: Iterable[Heard], work: OpenedJob) -> tuple[StringMark, ...]:
    """Every string, where something was said that is of strings; those it was said of marked."""
    of_strings = [each for each in heard if not each.row.whole]
    named = {string for each in of_strings for string in each.strings}
    order = walk_order(work.job.instrument) if of_strings else ()
    names = work.job.instrument.short_name_of
    return tuple(StringMark(string, names(string), here=string in named) for string in order)


def _before(heard: Iterable[Heard], work: OpenedJob) -> tuple[Choice, ...]:
    """What may have happened just before what was noticed, the one that was answered chosen."""
    rows = [each.row for each in heard]
    if not rows or any(JUST_BEFORE in row.settles for row in rows):
        return ()
    rule = work.trade.rules.rule(JUST_BEFORE)
    said = RuleContext(work.job, work.trade).answered_option(JUST_BEFORE)
    offered = (option for option in rule.options if option.label)
    return tuple(Choice(one.id, say(one.label), chosen=one.id == said) for one in offered)

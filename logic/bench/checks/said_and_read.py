"""What was said of a string beside how it was read: where the two cannot both be right."""

from __future__ import annotations

from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.complaints import Heard
from logic.bench.checks.evidence import least_touched_mm, open_tone, touch_bounds
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.naming import strings_listed
from logic.bench.measuring.grid import CLEARANCE
from logic.bench.tables.vocabulary import OpenStringTone
from shared.amounts import computed
from shared.readings import Buzz
from shared.words import say

NOISY = (OpenStringTone.BUZZES, OpenStringTone.HIT_HARD)
"""How an open string rings that buzzes under this player."""


def said_and_read(context: RuleContext) -> dict[int | None, AnswerFound]:
    """Strings that were said to be too low, or to buzz open, and that touch puts at their target or
    over it; and strings that were said to be too low and too high.

    Said of no string in particular, it may be of any: of none that stands high, where one was read
    that it can be of, and of none that was said to be too high. And strings that were named as
    buzzing and rang clean open.
    """
    found = _said_to_buzz_yet_clean(context)
    for string in context.strings:
        low = _said_of(context, string, "too low")
        high = _said_of(context, string, "too high")
        if low is None:
            continue
        if high is not None and low.strings and high.strings:
            found[string] = AnswerFound(
                "low and high", {"low": say(low.row.title), "high": say(high.row.title)}
            )
        elif low.strings or not _said_of_another(context, high):
            found.update(_read_high(context, string, low))
    return _doubted_with(found, context) | found


def _doubted_with(
    found: dict[int | None, AnswerFound], context: RuleContext
) -> dict[int | None, AnswerFound]:
    """Strings that were read high by the same hand as one that was said to be low, and that nobody
    called high: what misled the one reading may have misled theirs."""
    odd = next((s for s, one in found.items() if s and one.option == "low, read high"), None)
    if odd is None:
        return {}
    beside = strings_listed((context.job.instrument.name_of(odd),))
    return {
        string: AnswerFound("beside one", {"strings": beside, "said": found[odd].facts["said"]})
        for string in context.strings
        if not context.complained_of_height(string) and _may_be_high(context, string)
    }


def _may_be_high(context: RuleContext, string: int) -> bool:
    bounds, least_mm = touch_bounds(context, string), least_touched_mm(context, string)
    high = least_mm is not None and least_mm >= context.windows[string].target_mm
    return high or (bounds is not None and bounds[1] >= CLEARANCE.high)


_SAID_TO_BUZZ = ("buzz", "buzz open")


def _said_to_buzz_yet_clean(context: RuleContext) -> dict[int | None, AnswerFound]:
    """Strings that a complaint of a buzz names and that rang clean played open, however hard, with
    no file in their slots since; not where the buzz is of fretted notes too."""
    filed = {done.string for done in context.job.passes}
    return {
        string: AnswerFound("buzz, rang clean", {"said": say(heard.row.title)})
        for heard in context.complaints
        for string in heard.strings
        if heard.row.id in _SAID_TO_BUZZ
        and string not in filed
        and context.answered_option("buzz_where", string) != "fretted"
        and _rang(context, string) is Buzz.NONE
    }


def _rang(context: RuleContext, string: int) -> Buzz:
    """How the open string rang last."""
    heard = [r.buzz for r in context.readings if r.string == string and r.buzz is not Buzz.UNKNOWN]
    return heard[-1] if heard else Buzz.UNKNOWN


def _said_of(context: RuleContext, string: int, height: str) -> Heard | None:
    """The complaint that says this of the string's height: one that names it before one that is of
    all."""
    said = [one for one in context.complaints if _says(context, one, string) == height]
    named = [one for one in said if string in one.strings]
    return next(iter([*named, *said]), None)


def _says(context: RuleContext, heard: Heard, string: int) -> str:
    """What a complaint says of a string's height; a buzz that was found to be there only when the
    string is open speaks of its nut."""
    if not heard.speaks_of(string):
        return ""
    open_only = context.answered_option("buzz_where", string) == "open only"
    return "too low" if heard.row.id == "buzz" and open_only else heard.row.speaks_of


def _said_of_another(context: RuleContext, high: Heard | None) -> bool:
    """Whether what was said of no string in particular can hardly be of this one: it was named as
    too high, or another was read that stands low or buzzes."""
    return bool(high and high.strings) or any(
        _stands_low(context, string) for string in context.strings
    )


def _stands_low(context: RuleContext, string: int) -> bool:
    stands_mm = least_touched_mm(context, string)
    under = stands_mm is not None and stands_mm < context.windows[string].target_mm
    return under or open_tone(context, string) in NOISY


def _read_high(context: RuleContext, string: int, low: Heard) -> dict[int | None, AnswerFound]:
    """The string with how it was read, where touch does not say that it is low; else nothing."""
    least_mm, target_mm = least_touched_mm(context, string), context.windows[string].target_mm
    if least_mm is None or not _may_be_high(context, string):
        return {}
    facts: dict[str, object] = {
        "said": say(low.row.title),
        "stands": computed(least_mm),
        "target": computed(target_mm),
    }
    option = "low, read high" if least_mm >= target_mm else "low, not felt"
    return {string: AnswerFound(option, facts)}

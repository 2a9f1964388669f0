"""What is said aloud: what was kept, which string, which leaf, from where; in words that read well.

A voice gets no signs, no marks and no abbreviations: ".036" is said as "point 0 3 6", "0.51 mm" as
"0.51 millimetres", "F♯2" as "F sharp 2".
"""

from __future__ import annotations

import re
from collections.abc import Callable

from logic.app.views.views import (
    CheckedView,
    CutView,
    InTuneView,
    PlanView,
    Prompt,
    QuestionView,
    StagesView,
    StepDoneView,
    TroubleView,
    View,
    WalkView,
)
from shared.words import decimal_mark, say, say_as

_SAID: tuple[tuple[str, Callable[[re.Match[str]], str]], ...] = (
    (r"(?<=\d)[.,](?=\d)", lambda _: decimal_mark()),
    (r"(?<![\d.,])[.,](\d+)", lambda gauge: f" {say('point')} {' '.join(gauge[1])}"),
    (r"(?<=\d) ?mm\b", lambda _: f" {say('millimetres')}"),
    (r"(?<=\d) in\b(?! [a-z])", lambda _: f" {say('inches')}"),
    (r"\b([A-G])♯", lambda note: f"{note[1]} {say('sharp')} "),
    (r"\b([A-G])♭", lambda note: f"{note[1]} {say_as('note', 'flat')} "),
    (r"\b([A-G])(\d)\b", lambda note: f"{note[1]} {note[2]}"),
    (r" \+ ", lambda _: f" {say('and')} "),
    (r"(?<=\d) ?%", lambda _: f" {say('percent')}"),
    (r"−(?=\d)", lambda _: f"{say('minus')} "),
    (r"\s*·\s*", lambda _: ", "),
    (r"\s+", lambda _: " "),
)


def aloud(text: str) -> str:
    """`text` as a voice should get it."""
    for sign, words in _SAID:
        text = re.sub(sign, words, text)
    return text.strip()


def announcement(view: View, before: View | None = None) -> str:
    """What is said when `view` follows `before`; empty where nothing has to be said."""
    match view:
        case WalkView():
            return aloud(_sentences(_kept(view.saved), _asked(view, before)))
        case CutView():
            return aloud(_sentences(_kept(view.saved), view.spoken))
        case QuestionView():
            choices = say(", or ").join(choice.label for choice in view.question.choices)
            asked = (*view.question.finding,) if view.failed else (view.question.text, choices)
            return aloud(_sentences(*asked))
        case PlanView():
            first = (view.next.label, view.next.detail) if view.next else ()
            said = _sentences(view.summary, *filter(None, first))
            return aloud(said) if not isinstance(before, PlanView) else ""
        case CheckedView() | InTuneView():
            return aloud(view.spoken)
        case StepDoneView():
            same = isinstance(before, StepDoneView) and before.what == view.what
            return "" if same else aloud(_sentences(view.why, view.caution))
        case StagesView():
            following = (view.next.label, view.next.detail) if view.next else ()
            return aloud(_sentences(*filter(None, following)))
        case TroubleView():
            return aloud(_sentences(view.title, view.what, view.safe, view.next))
        case _:
            return ""


def _kept(saved: str) -> str:
    """The answer alone: whoever gave it knows the string."""
    return saved.removeprefix(say("Saved: "))


def _asked(view: WalkView, before: View | None) -> str:
    """The string where it is another one; the leaf and its side, or what to do."""
    same = isinstance(before, WalkView) and before.string == view.string
    if same and view.prompt is Prompt.LEAF and isinstance(before, WalkView):
        return say("Now {number} {unit}", number=view.number, unit=view.unit)
    return view.spoken


def _sentences(*parts: str) -> str:
    said = (part.strip() for part in parts if part.strip())
    return " ".join(part if part[-1] in ".?!" else f"{part}." for part in said)

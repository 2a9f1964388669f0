"""The stages of a visit in words: what is known of each, what comes next."""

from __future__ import annotations

from logic.app.presenters.questions import found_in_look
from logic.app.presenters.retunings import asks_in_tune_again
from logic.app.presenters.visit import (
    SCOPES,
    lain_in_words,
    moved_in_words,
    out_in_words,
    retuned_in_words,
    tuning_in_words,
    value_in_words,
)
from logic.app.presenters.visit_parts import (
    BARS_A_CUT,
    KnownPart,
    VisitPart,
    known_parts,
    left_as_it_came,
    scope_of,
    skip_of,
    strings_decided,
)
from logic.app.session.open_job import OpenedJob
from logic.app.views.visit_views import NextPart, PartLine, PartStanding, StagesView
from logic.app.wording.calls import begun, calls_in_words
from logic.app.wording.wording import Wording
from logic.bench.setup.measured import MeasuredValue
from logic.history.history import History
from shared.setup import Scope, StringsStep
from shared.words import listed, mark, say, say_many

NAMES = {
    VisitPart.PLAYER: mark("The player"),
    VisitPart.LOOK: mark("One-minute look"),
    VisitPart.AS_IT_CAME: mark("As it came"),
    VisitPart.STRINGS: mark("Strings and tuning"),
    VisitPart.RELIEF: mark("Relief"),
    VisitPart.ACTION: mark("Action"),
    VisitPart.SADDLE: mark("Saddle"),
    VisitPart.FRETS: mark("Frets"),
    VisitPart.NUT: mark("Nut"),
    VisitPart.INTONATION: mark("Intonation"),
    VisitPart.PROOF: mark("Proof and hand-over"),
}
_SAID = {
    PartStanding.DONE: mark("done"),
    PartStanding.DUE: mark("next"),
    PartStanding.LATER: mark("to come"),
    PartStanding.SKIPPED: mark("skipped"),
    PartStanding.STALE: mark("stale"),
    PartStanding.OUT: mark("out"),
    PartStanding.BY_HAND: mark("by hand"),
}
_NEXT = {
    VisitPart.PLAYER: mark("Next: ask the player"),
    VisitPart.LOOK: mark("Next: the one-minute look"),
    VisitPart.AS_IT_CAME: mark("Next: read it as it came"),
    VisitPart.STRINGS: mark("Next: strings and tuning"),
    VisitPart.RELIEF: mark("Next: read the relief"),
    VisitPart.ACTION: mark("Next: read the action"),
    VisitPart.SADDLE: mark("Next: the saddle"),
    VisitPart.FRETS: mark("Next: the frets"),
    VisitPart.NUT: mark("Next: the nut"),
    VisitPart.PROOF: mark("Next: hand over"),
}
_AGAIN = {
    VisitPart.RELIEF: mark("Next: read the relief again"),
    VisitPart.ACTION: mark("Next: read the action again"),
    VisitPart.NUT: mark("Next: read the nut again"),
}
_PUT_RIGHT = {
    VisitPart.LOOK: mark("Next: what the look found"),
    VisitPart.RELIEF: mark("Next: set the relief"),
    VisitPart.ACTION: mark("Next: set the action"),
    VisitPart.PROOF: mark("Next: prove what was filed"),
}
_SURE = mark("Nothing is lowered in a whole set-up while this is not read. Leave it out?")


def stages_view(
    work: OpenedJob, history: History, wording: Wording, title: str, skipping: str = ""
) -> StagesView:
    """Every part of the visit, and the one thing to do next."""
    known = known_parts(work)
    return StagesView(
        job=work.id,
        title=title,
        about=_about(work, history),
        lines=tuple(_line(each, work, wording, skipping) for each in known),
        next=_next(known, work, wording) if work.document.open else None,
        lain=lain_in_words(work, history.now_ms()) if work.document.open else "",
        notes=_notes(work),
        can_undo=bool(work.steps),
    )


def _about(work: OpenedJob, history: History) -> str:
    due, name = work.document.setup_due, SCOPES[scope_of(work.job)][0]
    wanted = say("wanted back: {when}", when=due) if due else ""
    return " · ".join(filter(None, (say(name), wanted, retuned_in_words(work, history))))


def _notes(work: OpenedJob) -> tuple[str, ...]:
    """What must not be forgotten while it is worked on."""
    player = work.job.player
    never = say("Never change: {what}", what=player.never_change) if player.never_change else ""
    likes = say("Likes: {what}", what=player.likes) if player.likes else ""
    return tuple(filter(None, (never, likes)))


def next_in_words(work: OpenedJob, wording: Wording) -> NextPart | None:
    """What the one button says; None where nothing is left."""
    return _next(known_parts(work), work, wording)


def _next(known: tuple[KnownPart, ...], work: OpenedJob, wording: Wording) -> NextPart | None:
    if asks_in_tune_again(work.document):
        return NextPart(say("Next: in tune again?"), tuning_in_words(work.job.instrument))
    following = next((each for each in known if not each.is_passed), None)
    if following is None:
        return None
    by_standing = {PartStanding.STALE: _AGAIN, PartStanding.OUT: _PUT_RIGHT}
    labels = by_standing.get(following.standing, _NEXT)
    label = labels.get(following.part) or _NEXT[following.part]
    return NextPart(say(label), _detail(following, work, wording))


def _line(known: KnownPart, work: OpenedJob, wording: Wording, skipping: str) -> PartLine:
    part, standing = known.part, known.standing
    asked = part.value == skipping
    return PartLine(
        part=part.value,
        name=say(NAMES[part]),
        standing=standing,
        said=say(_SAID[standing]),
        detail=_detail(known, work, wording),
        can_skip=can_be_skipped(known) and not asked,
        can_reopen=can_be_reopened(known, work),
        sure=say(_SURE) if asked else "",
    )


def can_be_skipped(known: KnownPart) -> bool:
    """Whether it can be left out."""
    return known.part not in (VisitPart.PROOF, VisitPart.SADDLE) and not known.is_passed


def can_be_reopened(known: KnownPart, work: OpenedJob) -> bool:
    """Whether it was left out by a step that can be taken back."""
    skipped = known.standing is PartStanding.SKIPPED
    return skipped and skip_of(known.part, work.job) is not None


def asks_before_skip(part: VisitPart) -> bool:
    """Whether a cut waits for it."""
    return part in BARS_A_CUT


def _detail(known: KnownPart, work: OpenedJob, wording: Wording) -> str:
    match known.part:
        case VisitPart.PLAYER:
            asks = known.standing is not PartStanding.DONE
            return say("What they like, what never to change, when it is due") if asks else ""
        case VisitPart.LOOK:
            return found_in_look(work)[0].why if found_in_look(work) else ""
        case VisitPart.AS_IT_CAME:
            return _as_it_came(work)
        case VisitPart.STRINGS:
            return _strings(work)
        case VisitPart.RELIEF:
            return _values(work.setup.relief, work, wording)
        case VisitPart.ACTION:
            return _values(work.setup.action, work, wording)
        case VisitPart.SADDLE:
            return ""
        case VisitPart.NUT:
            return _nut(work)
        case VisitPart.PROOF:
            return ""
        case VisitPart.FRETS:
            return say("Play every fret of every string")
        case VisitPart.INTONATION:
            return say("Heights first, then the saddle's place")


def _as_it_came(work: OpenedJob) -> str:
    words = {
        VisitPart.RELIEF: say("relief"),
        VisitPart.ACTION: say("action"),
        VisitPart.NUT: say("first fret"),
    }
    left = [words[part] for part in left_as_it_came(work)]
    return say("Outer strings: {what} not read", what=listed(left)) if left else ""


def _strings(work: OpenedJob) -> str:
    match strings_decided(work.job):
        case None:
            return say("New strings, or those that are on")
        case StringsStep():
            return say("New strings are on")
        case _:
            return say("Those that were on")


def _values(values: tuple[MeasuredValue, ...], work: OpenedJob, wording: Wording) -> str:
    """What is out or stale first, else what was read."""
    instrument, read = work.job.instrument, [each for each in values if each.touches]
    stale = [each for each in read if each.stale]
    if stale:
        return begun(moved_in_words(stale[0].moved_by))
    out = [each for each in read if each.standing.is_out]
    if out:
        return out_in_words(out[0], instrument, wording)
    return " · ".join(value_in_words(each, instrument, wording) for each in read[:2])


def _nut(work: OpenedJob) -> str:
    stale = work.setup.stale_strings
    if stale:
        return begun(moved_in_words(next(iter(stale.values()))))
    if not work.job.readings:
        return ""
    if scope_of(work.job) is Scope.CHECK:
        read = {reading.string for reading in work.job.readings}
        return say_many("{count} string read", "{count} strings read", len(read))
    return begun(calls_in_words(work.plan.strings))

"""The one thing to do next on a plan: what a button under the thumb says and leads to.

A slot that was begun is finished first. Then comes what a cut waits for: answers, the second look,
strings that are not read yet. Then what gives height back, as it moves every string, then the
slots to be lowered in the order of the walk, and last the record.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from logic.app.presenters.first_answers import first_answers
from logic.app.presenters.stages import next_in_words
from logic.app.session.open_job import OpenedJob
from logic.app.views.plan_views import NextLine, NextStep
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.checks.second_look import READ_ONCE
from logic.bench.cutting.cutting import CutStep
from logic.bench.cutting.slot_cut import SlotCut
from logic.bench.plan.walk import WalkQuestion, question_of, walk_order
from logic.bench.visits.proof import Proven, proven
from shared.instrument import NutType
from shared.job import CallKind, Gate, GateState, RaiseOption, StringCall
from shared.words import say, say_as, say_many

CutAt = Callable[[int], SlotCut]
"""Where the cut of a string stands, in the hand that files now."""
UNPROVEN = (Proven.READ_FIRST, Proven.PLAY_IT)
"""A slot that was filed and is not proved."""
_BY_HAND = (CallKind.WIDEN, CallKind.EASE, CallKind.CHECK_FIRST, CallKind.READ_AGAIN)


def next_line(work: OpenedJob, wording: Wording, cut_at: CutAt) -> NextLine | None:
    """What to do next; None once the job is closed."""
    if not work.document.open:
        return None
    steps = (
        _begun(work, cut_at),
        _stage(work, wording),
        _answers(work),
        _looks(work),
        _readings(work),
        _raising(work, wording),
        _cuts(work, wording),
        _other_work(work),
    )
    return next((line for step in steps for line in step), _record())


def to_be_proved(work: OpenedJob, string: int, cut_at: CutAt) -> bool:
    """Whether a slot was filed and the ear is to speak of it next."""
    return proven(work.job, string) in UNPROVEN and cut_at(string).to_be_proved


def calls_in_order(work: OpenedJob) -> tuple[StringCall, ...]:
    """The calls in the order in which the nut is walked."""
    calls = {call.string: call for call in work.plan.strings}
    return tuple(calls[string] for string in walk_order(work.job.instrument))


def filed(work: OpenedJob) -> frozenset[int]:
    """The strings whose slots were filed and stand as they were left."""
    return frozenset(made.string for made in work.job.passes)


def _begun(work: OpenedJob, cut_at: CutAt) -> Iterator[NextLine]:
    """A slot that was filed and is not proved: on with it, unless something bars that."""
    begun_slots, allowed = filed(work), _may_be_filed(work)
    for call in calls_in_order(work):
        string = call.string
        if string not in begun_slots or proven(work.job, string) not in UNPROVEN:
            continue
        if call.call in (CallKind.CHECK_FIRST, CallKind.RAISE):
            continue
        slot, name = cut_at(string), work.job.instrument.name_of(string)
        if slot.to_be_proved:
            yield NextLine(NextStep.PROVE, say("Next: prove string {name}", name=name), "", string)
        elif allowed and slot.move.step in (CutStep.READ, CutStep.FILE):
            label = say("Next: go on with string {name}", name=name)
            yield NextLine(NextStep.CUT, label, "", string)


def _stage(work: OpenedJob, wording: Wording) -> Iterator[NextLine]:
    """What comes before the nut in a visit of the whole instrument, where a cut waits for it."""
    if not any(gate.gate in BARS_IN_A_VISIT for gate in work.plan.gates if _stands(gate)):
        return
    following = next_in_words(work, wording)
    if following is not None:
        yield NextLine(NextStep.STAGE, following.label, following.detail)


def _stands(gate: Gate) -> bool:
    return gate.state is not GateState.PASSED


BARS_IN_A_VISIT = ("relief_before_nut", "action_before_nut")
"""The gates of the two stages that every slot waits for."""


def _answers(work: OpenedJob) -> Iterator[NextLine]:
    """The question that calls wait for, or that makes a cut surer; then the second look."""
    for asked in first_answers(work):
        label = say("Next: {step}", step=asked.label)
        yield NextLine(NextStep.ANSWER, label, asked.detail, gate=asked.key)


def _looks(work: OpenedJob) -> Iterator[NextLine]:
    """One more reading of a string whose cut rests on one touch."""
    looks = () if work.job.passes else work.plan.before_the_file
    for look in looks:
        if look.check == READ_ONCE and look.strings:
            name = work.job.instrument.name_of(look.strings[0])
            label = say("Next: read string {name} once more", name=name)
            yield NextLine(NextStep.READ, label, look.ask, look.strings[0])


def _readings(work: OpenedJob) -> Iterator[NextLine]:
    """Strings of which the walk still asks something."""
    asked = [call for call in calls_in_order(work) if _is_asked(work, call)]
    if len(asked) > 1:
        text = say_many("Next: read {count} string", "Next: read {count} strings", len(asked))
        yield NextLine(NextStep.READ, text, "", asked[0].string)
    elif asked:
        name = work.job.instrument.name_of(asked[0].string)
        label = say("Next: read string {name}", name=name)
        yield NextLine(NextStep.READ, label, "", asked[0].string)


def _is_asked(work: OpenedJob, call: StringCall) -> bool:
    """Whether a reading settles the call; where no leaf tells more, its line says what does."""
    if call.call is not CallKind.READ_AGAIN:
        return False
    return question_of(work.state(call.string)) is not WalkQuestion.NOTHING


def _raising(work: OpenedJob, wording: Wording) -> Iterator[NextLine]:
    """The recommended way with the whole nut; without one the ways side by side."""
    options = work.plan.nut.options
    best = next((option for option in options if option.recommended), None)
    if best is not None:
        yield NextLine(
            NextStep.RAISE, _way(best, wording), say("The recommended way"), method=best.method
        )
    elif options and any(call.call is CallKind.RAISE for call in work.plan.strings):
        yield NextLine(NextStep.RAISE, say("Next: choose how it is raised"))


def _way(option: RaiseOption, wording: Wording) -> str:
    way = begun(say_as("way", option.method))
    if not option.amount_mm:
        return say("Next: {step}", step=way)
    return say("Next: {way} by {amount}", way=way, amount=wording.mm(option.amount_mm))


def _cuts(work: OpenedJob, wording: Wording) -> Iterator[NextLine]:
    """The first slot to be lowered."""
    if not _may_be_filed(work):
        return
    for call in calls_in_order(work):
        if call.call is CallKind.LOWER:
            name = work.job.instrument.name_of(call.string)
            yield NextLine(NextStep.CUT, _lower(name, call, wording), "", call.string)


def _lower(name: str, call: StringCall, wording: Wording) -> str:
    if call.slot_cut_mm is None:
        return say("Next: lower string {name}", name=name)
    amount = wording.mm(call.slot_cut_mm)
    return say("Next: lower string {name} by {amount}", name=name, amount=amount)


def _may_be_filed(work: OpenedJob) -> bool:
    return work.job.instrument.nut.type is not NutType.CLAMPING


def _other_work(work: OpenedJob) -> Iterator[NextLine]:
    """What is done by hand and said in the line of its string."""
    for call in calls_in_order(work):
        if call.call in _BY_HAND:
            name = work.job.instrument.name_of(call.string)
            label = say("Next: see string {name}", name=name)
            yield NextLine(NextStep.LINE, label, begun(say(call.call.value)), call.string)


def _record() -> NextLine:
    return NextLine(NextStep.SHEET, say("Next: hand over"))

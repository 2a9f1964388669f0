"""The plan's view of a job."""

from __future__ import annotations

from logic.app.presenters.first_answers import first_answer, first_answers
from logic.app.presenters.plan_next import (
    UNPROVEN,
    CutAt,
    calls_in_order,
    filed,
    next_line,
    to_be_proved,
)
from logic.app.presenters.plan_notes import plan_notes
from logic.app.presenters.questions import has_cards
from logic.app.presenters.string_picture import string_line
from logic.app.presenters.targets import own_in_words, wish_in_words
from logic.app.presenters.visit import stale_in_words
from logic.app.presenters.visit_parts import is_whole_visit
from logic.app.presenters.work_offers import done_of_nut, done_of_string, other_work_done
from logic.app.session.open_job import OpenedJob
from logic.app.session.pace import filing_minutes, option_minutes
from logic.app.views.nut_views import StringPicture
from logic.app.views.views import PlanLine, PlanView, SlotPicture
from logic.app.wording.calls import begun, call_in_words, calls_in_past, calls_in_words
from logic.app.wording.wording import Wording
from logic.bench.instrument.fret_names import fret_names
from logic.bench.measuring.kinds.open_string import BUZZES, buzz_in_words
from logic.bench.visits.pace import WorkPace
from logic.bench.visits.proof import proven
from shared.amounts import CentsAmount
from shared.instrument import Instrument, NutType
from shared.job import CallKind, Interval, Job, Proof, RaiseOption, StringCall
from shared.reasons import CallReason
from shared.words import in_words, say, say_as, say_many


def plan_view(
    work: OpenedJob,
    wording: Wording,
    title: str,
    opened: int | None,
    pace: WorkPace,
    cut_at: CutAt,
) -> PlanView:
    """Every slot's call in words and as the drawing's figures; `cut_at` says where a begun cut
    stands."""
    instrument = work.job.instrument
    plan = work.plan
    notes = plan_notes(work.job_plan)
    ordered = calls_in_order(work)
    calls = {call.string: call for call in ordered}
    lines = tuple(_plan_line(call, work, wording, cut_at) for call in ordered)
    return PlanView(
        job=work.id,
        title=title,
        summary=_summary(ordered, work),
        slots=tuple(
            slot_picture(call, instrument, work.came_in_mm.get(call.string)) for call in ordered
        ),
        lines=lines,
        next=None if opened else next_line(work, wording, cut_at),
        left=_left_in_words(lines),
        done=done_of_nut(work) if work.document.open else (),
        other_work=other_work_done(work) if work.document.open else (),
        advice=notes.advice,
        options=tuple(
            _option_in_words(o, work, wording, pace) for o in plan.nut.options if o.recommended
        ),
        compares=bool(plan.nut.options),
        open_questions=notes.open,
        cautions=notes.cautions,
        assumed=(work.figures_from,),
        time=filing_minutes(plan.strings, pace),
        tonight=notes.tonight,
        never=notes.never,
        own=tuple(filter(None, (own_in_words(instrument, work.job.player, wording),))),
        asked_for=tuple(filter(None, (wish_in_words(work.job),))),
        found=notes.found,
        skipped=notes.skipped,
        opened=opened,
        asks=has_cards(work),
        first=first_answers(work),
        line=_string_picture(calls[opened], work, wording) if opened in calls else None,
        left_handed=instrument.left_handed,
        by_stages=is_whole_visit(work.job),
    )


def _summary(calls: tuple[StringCall, ...], work: OpenedJob) -> str:
    """How many of each call; of a closed job what came of them."""
    if work.document.open:
        return begun(calls_in_words(calls))
    return begun(calls_in_past(calls, filed(work)))


def _left_in_words(lines: tuple[PlanLine, ...]) -> str:
    """How many lines are folded away while others are to be worked on."""
    count = sum(line.left for line in lines)
    if count == len(lines):
        return ""
    return say_many("{count} left as it is", "{count} left as they are", count) if count else ""


def slot_picture(
    call: StringCall, instrument: Instrument, before_mm: float | None = None
) -> SlotPicture:
    """The drawing's figures of one slot."""
    spec = instrument.spec(call.string)
    clearance = call.clearance_mm
    return SlotPicture(
        string=call.string,
        label=instrument.short_name_of(call.string),
        frets=fret_names(instrument, call.string),
        gauge_mm=spec.gauge.mm,
        wound="wound" in spec.make.value,
        call=call.call,
        low_mm=call.window_mm.low,
        target_mm=call.window_mm.target,
        high_mm=call.window_mm.high,
        estimate_mm=clearance.estimate if clearance else None,
        least_mm=clearance.low if clearance else None,
        most_mm=clearance.high if clearance else None,
        before_mm=before_mm,
    )


def _string_picture(call: StringCall, work: OpenedJob, wording: Wording) -> StringPicture:
    return string_line(call, work.job.instrument, work.trade, wording)


def _plan_line(call: StringCall, work: OpenedJob, wording: Wording, cut_at: CutAt) -> PlanLine:
    instrument = work.job.instrument
    worked_on = call.string in filed(work)
    prove_now = worked_on and to_be_proved(work, call.string, cut_at)
    waits = worked_on and proven(work.job, call.string) in UNPROVEN
    proof = next((p for p in reversed(work.job.proofs) if p.string == call.string), None)
    spec = instrument.spec(call.string)
    stale = stale_in_words(work, call.string) if call.reason == CallReason.MOVED else ""
    return PlanLine(
        string=call.string,
        name=f"{say('String {name}', name=instrument.name_of(call.string))} · {spec.pitch.show()}"
        f" · {wording.gauge(spec.gauge)}",
        call=call.call,
        headline=stale or _headline(call, wording, prove_now=prove_now, worked_on=worked_on),
        why=call.why,
        numbers=(
            *_call_figures(call, work.job, wording),
            *_before_figure(work.came_in_mm.get(call.string), wording),
            *_proof_figure(worked_on, proof),
        ),
        next_step=call.next_step,
        confidence=_confidence_in_words(call),
        cuts=call.call is CallKind.LOWER
        and instrument.nut.type is not NutType.CLAMPING
        and not prove_now,
        proves=worked_on,
        done=done_of_string(call, work) if work.document.open else (),
        left=call.call is CallKind.LEAVE and not waits,
        could_come_down=call.reason == CallReason.A_HAIR_HIGH,
        first=first_answer(call, work),
    )


def _headline(call: StringCall, wording: Wording, *, prove_now: bool, worked_on: bool) -> str:
    if prove_now:
        return say("Lowered: prove it")
    if worked_on and call.reason == CallReason.NOT_READ:
        return say("Filed: read it again")
    return call_in_words(call, wording)


def _before_figure(stood_mm: float | None, wording: Wording) -> tuple[tuple[str, str], ...]:
    """Where a filed string stood before the work."""
    return ((say("Before the work"), wording.mm(stood_mm)),) if stood_mm is not None else ()


def _proof_figure(worked_on: bool, proof: Proof | None) -> tuple[tuple[str, str], ...]:
    """Whether a filed slot was proved, and what was heard."""
    if proof is not None:
        heard = proof.buzz in BUZZES or not proof.unproven
        return ((say("Proved"), buzz_in_words(proof.buzz) if heard else say(proof.unproven)),)
    return ((say("Proved"), say("not yet: play it open")),) if worked_on else ()


def _call_figures(call: StringCall, job: Job, wording: Wording) -> tuple[tuple[str, str], ...]:
    """The figures behind a call, each with its name; what is not known is not shown."""
    own, first = call.string in job.player.targets, fret_names(job.instrument, call.string).first
    window = call.window_mm
    ends = Interval(estimate=window.target, low=window.low, high=window.high)
    named = say("Own target and window") if own else say("Target and window")
    rows = [(named, wording.interval(ends))]
    if call.clearance_mm:
        rows.insert(0, (say("Stands at (95 % range)"), wording.interval(call.clearance_mm)))
    if call.cents_at_fret_1 is not None:
        cents = in_words(CentsAmount(call.cents_at_fret_1, ".0f"))
        rows.append((say("Sharp at fret {fret}", fret=first), str(cents)))
    if call.file_mm is not None:
        rows.append((say("File"), wording.mm(call.file_mm)))
    if call.file_note:
        rows.append((say("About the file"), call.file_note))
    return tuple(rows)


def _confidence_in_words(call: StringCall) -> str:
    if call.call in (CallKind.READ_AGAIN, CallKind.CHECK_FIRST):
        return ""
    return say("{percent} % sure", percent=round(call.confidence * 100))


def _option_in_words(option: RaiseOption, work: OpenedJob, wording: Wording, pace: WorkPace) -> str:
    way = begun(say_as("way", option.method))
    if option.amount_mm:
        way = say("{way} by {amount}", way=way, amount=wording.mm(option.amount_mm))
    time = option_minutes(option, pace, work.trade)
    undo = say("can be undone") if option.reversible else ""
    price = ", ".join(filter(None, (way, time, undo)))
    return f"{price}. {option.why}"

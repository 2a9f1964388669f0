"""The plan's view of a job."""

from __future__ import annotations

from logic.bench.walk import walk_order
from logic.desk.asking import has_cards
from logic.desk.open_job import OpenJob
from logic.desk.plan_notes import plan_notes
from logic.desk.saying import BUZZES, call_in_words, calls_in_words
from logic.desk.views import PlanLine, PlanView, SlotPicture
from logic.desk.wording import Wording
from shared.instrument import Instrument, NutType
from shared.job import CallKind, Interval, Proof, RaiseOption, StringCall


def plan_view(work: OpenJob, wording: Wording, title: str, opened: int | None = None) -> PlanView:
    """Every slot's call in words and as the drawing's figures."""
    instrument = work.job.instrument
    plan = work.plan
    notes = plan_notes(plan, work.trade, wording)
    calls = {call.string: call for call in plan.strings}
    ordered = tuple(calls[string] for string in walk_order(instrument))
    return PlanView(
        job=work.id,
        title=title,
        summary=calls_in_words(ordered).capitalize(),
        slots=tuple(slot_picture(call, instrument) for call in ordered),
        lines=tuple(_line(call, work, wording) for call in ordered),
        advice=notes.advice,
        options=tuple(_option(o, wording) for o in plan.nut.options if o.recommended),
        compares=bool(plan.nut.options),
        open_questions=notes.open,
        cautions=notes.cautions,
        assumed=(work.figures_from,),
        tonight=notes.tonight,
        never=notes.never,
        found=notes.found,
        skipped=notes.skipped,
        opened=opened,
        asks=has_cards(work),
        left_handed=instrument.left_handed,
    )


def slot_picture(call: StringCall, instrument: Instrument) -> SlotPicture:
    """The drawing's figures of one slot."""
    spec = instrument.spec(call.string)
    clearance = call.clearance_mm
    return SlotPicture(
        string=call.string,
        label=str(call.string),
        gauge_mm=spec.gauge.mm,
        wound="wound" in spec.make.value,
        call=call.call,
        low_mm=call.window_mm.low,
        target_mm=call.window_mm.target,
        high_mm=call.window_mm.high,
        estimate_mm=clearance.estimate if clearance else None,
        least_mm=clearance.low if clearance else None,
        most_mm=clearance.high if clearance else None,
    )


def _line(call: StringCall, work: OpenJob, wording: Wording) -> PlanLine:
    instrument = work.job.instrument
    filed = any(made.string == call.string for made in work.job.passes)
    proof = next((p for p in reversed(work.job.proofs) if p.string == call.string), None)
    spec = instrument.spec(call.string)
    return PlanLine(
        string=call.string,
        name=f"String {instrument.name_of(call.string)} · {spec.pitch.show()}"
        f" · {wording.gauge(spec.gauge)}",
        call=call.call,
        headline=call_in_words(call, wording),
        why=wording.sentence(call.why),
        numbers=(*_numbers(call, wording), *_proved(filed, proof)),
        next_step=wording.sentence(call.next_step),
        confidence=_confidence(call),
        cuts=call.call is CallKind.LOWER and instrument.nut.type is not NutType.CLAMPING,
        proves=filed,
    )


def _proved(filed: bool, proof: Proof | None) -> tuple[tuple[str, str], ...]:
    """Whether a filed slot was proved, and what was heard."""
    if proof is not None:
        return (("Proved", BUZZES.get(proof.buzz, proof.unproven or "not played open")),)
    return (("Proved", "not yet: play it open"),) if filed else ()


def _numbers(call: StringCall, wording: Wording) -> tuple[tuple[str, str], ...]:
    """The figures behind a call, each with its name; what is not known is not shown."""
    window = call.window_mm
    ends = Interval(estimate=window.target, low=window.low, high=window.high)
    rows = [("Target and window", wording.interval(ends))]
    if call.clearance_mm:
        rows.insert(0, ("Clearance, 95 %", wording.interval(call.clearance_mm)))
    if call.cents_at_fret_1 is not None:
        rows.append(("Sharp at fret 1", f"{call.cents_at_fret_1:.0f} cents"))
    if call.file_mm is not None:
        rows.append(("File", wording.mm(call.file_mm)))
    if call.file_note:
        rows.append(("About the file", wording.sentence(call.file_note)))
    return tuple(rows)


def _confidence(call: StringCall) -> str:
    if call.call in (CallKind.READ_AGAIN, CallKind.CHECK_FIRST):
        return ""
    return f"{round(call.confidence * 100)} %"


def _option(option: RaiseOption, wording: Wording) -> str:
    amount = f" by {wording.mm(option.amount_mm)}" if option.amount_mm else ""
    minutes = f", about {option.minutes:.0f} min" if option.minutes else ""
    undo = ", can be undone" if option.reversible else ""
    method = option.method.capitalize()
    return f"{method}{amount}{minutes}{undo}. {wording.sentence(option.why)}"

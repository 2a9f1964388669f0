"""What if: windows and calls as they would be, the record untouched."""

from __future__ import annotations

from logic.app.presenters.plan import slot_picture
from logic.app.session.open_job import OpenedJob
from logic.app.views.views import ATTACK_WORDS, DialView, StringMark, WhatIfView
from logic.app.wording.calls import call_in_words
from logic.app.wording.wording import Wording
from logic.bench.checks.answered import relief_of
from logic.bench.instrument.changes import Changes
from logic.bench.plan.walk import walk_order
from logic.bench.what_if.dial import Dial
from logic.bench.what_if.dials import accepted_cents
from logic.bench.what_if.what_if import what_if
from shared.amounts import CentsAmount
from shared.job import Job, StringCall
from shared.units import Length
from shared.words import in_words, say


def what_if_view(
    work: OpenedJob, changes: Changes, string: int | None, wording: Wording, title: str
) -> WhatIfView:
    """The nut as it would be; dials speak of `string`, or of all where it is None."""
    job = what_if(work.job, changes, work.trade)
    order = walk_order(job.instrument)
    now = {call.string: call for call in work.plan.strings}
    would_be, names = work.plan_of(job), job.instrument.short_name_of
    then = {call.string: call for call in would_be.strings}
    lines = tuple(_calls_now_and_then(job, now[s], then[s], wording) for s in order)
    return WhatIfView(
        job=work.id,
        title=title,
        string=string,
        marks=tuple(StringMark(s, names(s), then[s].call, here=s == string) for s in order),
        dials=_dial_views(work, job, changes, string, then, wording),
        slots=tuple(slot_picture(then[s], job.instrument) for s in order),
        lines=lines,
        changed=bool(changes),
        spoken=". ".join(f"{name}: {said}" for name, said in lines),
    )


def _calls_now_and_then(
    job: Job, now: StringCall, then: StringCall, wording: Wording
) -> tuple[str, str]:
    spec = job.instrument.spec(then.string)
    name = f"{job.instrument.name_of(then.string)} · {spec.pitch.show()}"
    said, would_be = call_in_words(now, wording), call_in_words(then, wording)
    window = then.window_mm
    low, high = wording.bare_mm(window.low), wording.mm(window.high)
    call = would_be if said == would_be else f"{said} → {would_be}"
    call_and_window = say("{call}. Window {low} to {high}", call=call, low=low, high=high)
    return f"{name} · {wording.gauge(spec.gauge)}", call_and_window


def _dial_views(
    work: OpenedJob,
    job: Job,
    changes: Changes,
    string: int | None,
    then: dict[int, StringCall],
    wording: Wording,
) -> tuple[DialView, ...]:
    relief = relief_of(job, work.trade)
    budget = changes.budget_cents or work.job.player.budget_cents
    shown = wording.length(relief) if relief is not None else say("not measured")
    most = CentsAmount(accepted_cents(job, work.trade), ".0f")
    cents = str(in_words(most)) if budget else say("up to {cents}", cents=most)
    attack, target = say(ATTACK_WORDS[job.player.attack]), _targets_in_words(then, string, wording)
    return (
        DialView(Dial.ATTACK, say("Attack"), attack, _attack_differs(work.job, job)),
        DialView(Dial.RELIEF, say("Relief"), shown, changes.relief is not None),
        DialView(Dial.TUNING, say("Tuning"), _tuning_in_words(job, string), bool(changes.pitches)),
        DialView(
            Dial.GAUGE, say("Gauge"), _gauges_in_words(job, string, wording), bool(changes.gauges)
        ),
        DialView(Dial.TARGET, say("Target"), target, bool(changes.targets)),
        DialView(Dial.BUDGET, say("Sharp by"), cents, changes.budget_cents is not None),
    )


def _attack_differs(recorded: Job, job: Job) -> bool:
    return recorded.player.attack is not job.player.attack


def _tuning_in_words(job: Job, string: int | None) -> str:
    if string is not None:
        return job.instrument.spec(string).pitch.show()
    return " ".join(job.instrument.spec(s).pitch.show() for s in walk_order(job.instrument))


def _gauges_in_words(job: Job, string: int | None, wording: Wording) -> str:
    strings = (string,) if string is not None else walk_order(job.instrument)
    gauges = [job.instrument.spec(s).gauge for s in strings]
    return _one_or_range(wording.gauge(gauges[0]), wording.gauge(gauges[-1]))


def _targets_in_words(then: dict[int, StringCall], string: int | None, wording: Wording) -> str:
    targets = [then[s].window_mm.target for s in ((string,) if string is not None else then)]
    low, high = (wording.length(Length.of(round(t, 6))) for t in (min(targets), max(targets)))
    return _one_or_range(low, high)


def _one_or_range(first: str, last: str) -> str:
    return first if first == last else say("{low} to {high}", low=first, high=last)

"""A visit as a whole, in words: what it is for, its player, the look, what was done to it."""

from __future__ import annotations

from fractions import Fraction

from logic.app.presenters.questions import look_cards
from logic.app.presenters.retunings import hours_lain, moved_tension, retunings, what_moved
from logic.app.presenters.visit_parts import is_whole_visit, scope_of, strings_decided
from logic.app.session.open_job import OpenedJob
from logic.app.views.pieces import Choice, StringMark
from logic.app.views.visit_views import InTuneView, LookView, PlayerView, StepDoneView, VisitView
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.plan.walk import walk_order
from logic.bench.setup.measured import MeasuredValue, WindowStanding
from logic.bench.setup.staleness import Cause
from logic.history.history import History
from shared.instrument import Instrument
from shared.job import Interval, Job
from shared.measurements import Side
from shared.setup import SaddleStep, Scope, SetupStep, StringsStep, TurnStep
from shared.units import Length, Unit
from shared.words import mark, say, say_many

SCOPES = {
    Scope.NUT: (
        mark("Nut only"),
        mark("The slots are measured and cut; relief and action are asked where they matter."),
    ),
    Scope.WHOLE: (
        mark("Whole set-up"),
        mark(
            "Player, look, strings, relief, action, then the nut: what moves the rest comes first."
        ),
    ),
    Scope.CHECK: (mark("Check only"), mark("Everything is read, nothing is cut.")),
}
_ROD = mark(
    "Small steps, and read again after each. Slacken the strings before a hard turn. Stop where "
    "the nut of the rod will not turn, turns free, or anything cracks: that is work for a "
    "qualified repairer. No rod, a stuck one or a doubt: the same."
)
_SADDLE = mark(
    "Slacken the strings before it is lifted. What is taken off a saddle does not come back: where "
    "it is old or valuable, keep it and shape a copy, or leave it to a qualified repairer."
)
_STRINGS = mark(
    "Mind your eyes at the ends of strings. On a bridge that is not fixed, change them one at a "
    "time."
)
MOST_SADDLE_STEPS = 39
"""A saddle moves by less than 5 mm (`saddle move` in `assets/plausible.json`)."""
_STOP = mark("Stop here and say so: it is put right, or left to a repairer, before more is done.")
CAUTIONS = {"turn": _ROD, "saddle": _SADDLE, "strings": _STRINGS}
"""Said where the work is reported, by what was done."""


def scope_choices(job: Job, *, detailed: bool = False) -> tuple[Choice, ...]:
    """What a visit can be for, the chosen one among it."""
    here = scope_of(job)
    return tuple(
        Choice(scope.value, say(name), say(about) if detailed else "", chosen=scope is here)
        for scope, (name, about) in SCOPES.items()
    )


def visit_view(work: OpenedJob, title: str) -> VisitView:
    """What this visit is for."""
    return VisitView(work.id, title, scope_choices(work.job, detailed=True))


def player_view(work: OpenedJob, title: str) -> PlayerView:
    """What the player said, and when it is wanted back."""
    job, document = work.job, work.document
    stays = document.setup_overnight
    return PlayerView(
        job=work.id,
        title=title,
        likes=job.player.likes or "",
        never_change=job.player.never_change or "",
        due=document.setup_due or "",
        overnight=(
            Choice("no", say("Today"), chosen=stays is False),
            Choice("yes", say("It may stay overnight"), chosen=stays is True),
        ),
        tuning=tuning_in_words(job.instrument),
        asked=document.setup_due is not None,
    )


def tuning_in_words(instrument: Instrument) -> str:
    """The pitches of all strings, the lowest first."""
    ordered = sorted(instrument.strings, key=lambda spec: -spec.string)
    return " ".join(spec.pitch.show() for spec in ordered)


def look_view(work: OpenedJob, wording: Wording, title: str) -> LookView:
    """What is looked at, and that it is stopped here where something was found."""
    cards = look_cards(work, wording)
    found = any(card.finding for card in cards)
    return LookView(
        job=work.id,
        title=title,
        questions=cards,
        unanswered=sum(not any(c.chosen for c in card.choices) for card in cards),
        stop=say(_STOP) if found else "",
    )


# --- what was done ---


def step_done_view(
    work: OpenedJob, wording: Wording, title: str, what: str, amount: str, string: int | None
) -> StepDoneView:
    """What can be said done; of one kind of it what to mind, and how far, where that was said."""
    caution = CAUTIONS.get(what, "")
    saddle = what == "saddle"
    return StepDoneView(
        job=work.id,
        title=title,
        what=what if what in CAUTIONS else "",
        why=_asked_by(work, what, wording),
        caution=say(caution) if caution else "",
        amount=amount,
        marks=_marks(work.job.instrument, string) if saddle else (),
        string=string if saddle else None,
        stays=what == "strings" and strings_decided(work.job) is None,
    )


def eighths_in_words(eighths: int | None) -> str:
    """How far the rod was turned, and towards what."""
    if not eighths:
        return say("not counted")
    turned = say_many("{count} eighth of a turn", "{count} eighths of a turn", abs(eighths))
    if eighths < 0:
        return say("{turned}, towards less relief", turned=turned)
    return say("{turned}, towards more relief", turned=turned)


def saddle_move(steps: int, unit: Unit) -> Length | None:
    """How far up so many steps move a saddle, below zero down; None where none was counted. A step
    is what a screw of it is turned by at a time (common practice, no source)."""
    if not steps:
        return None
    return Length.of(Fraction("0.1") * steps) if unit is Unit.MM else Length.of(5 * steps, unit)


def saddle_move_in_words(steps: int, wording: Wording) -> str:
    """How far the saddle was moved, and which way."""
    move = saddle_move(steps, wording.unit)
    if move is None:
        return say("not measured")
    amount = wording.mm(abs(move.mm))
    return say("{amount} up", amount=amount) if steps > 0 else say("{amount} down", amount=amount)


def _marks(instrument: Instrument, here: int | None) -> tuple[StringMark, ...]:
    names = instrument.short_name_of
    order = walk_order(instrument)
    return tuple(StringMark(each, names(each), here=each == here) for each in order)


def _asked_by(work: OpenedJob, what: str, wording: Wording) -> str:
    """The first reading that lies out of its window and that this work would move."""
    if not is_whole_visit(work.job):
        return ""
    values = {"turn": work.setup.relief, "saddle": work.setup.action}.get(what, ())
    out = (each for each in values if each.standing.is_out and each.touches and not each.stale)
    return next((out_in_words(each, work.job.instrument, wording) for each in out), "")


def out_in_words(value: MeasuredValue, instrument: Instrument, wording: Wording) -> str:
    """By how much a measured value lies out of its window."""
    window = wording.between(value.window.low_mm, value.window.high_mm)
    stands = value_in_words(value, instrument, wording)
    if value.standing is WindowStanding.BELOW:
        return say("{value}. Below its window, {window}.", value=stands, window=window)
    return say("{value}. Above its window, {window}.", value=stands, window=window)


def value_in_words(value: MeasuredValue, instrument: Instrument, wording: Wording) -> str:
    """A measured value with its interval and what it is of."""
    named = value_named(value, instrument)
    if value.believed is None:
        return say("{what}: not read", what=named)
    low, high = value.believed.interval()
    middle = Interval(estimate=value.believed.median, low=low, high=high)
    stands = wording.interval(middle)
    return say("{what}: {amount}", what=named, amount=stands)


_SIDES = {
    Side.BASS: mark("Relief, bass side"),
    Side.TREBLE: mark("Relief, treble side"),
    None: mark("Relief"),
}


def value_named(value: MeasuredValue, instrument: Instrument) -> str:
    """What a value is of: relief of one side, action of one string at one fret."""
    if value.quantity == "relief":
        return say(_SIDES[value.side])
    name = instrument.name_of(value.string or 1)
    return say("Action of string {name}", name=name)


def lain_in_words(work: OpenedJob, now_ms: int) -> str:
    """For how long it has lain since it was last read or worked on; empty where not for long."""
    hours = hours_lain(work.document, now_ms)
    if hours is None or not is_whole_visit(work.job):
        return ""
    return say_many("It has lain for {count} hour.", "It has lain for {count} hours.", hours)


def moved_in_words(causes: tuple[Cause, ...]) -> str:
    """Before what something was read that has moved since; what moved it last says it."""
    steps = [cause.step for cause in causes if isinstance(cause, SetupStep)]
    return say(_READ_BEFORE.get(steps[-1], _BEFORE_CHANGE) if steps else _BEFORE_CHANGE)


def stale_in_words(work: OpenedJob, string: int) -> str:
    """Before what a string was read that has moved it since; empty where nothing has."""
    moved_by = work.setup.stale_strings.get(string)
    return begun(moved_in_words(moved_by)) if moved_by is not None else ""


_BEFORE_CHANGE = mark("read before something was changed")
_READ_BEFORE = {
    "turn": mark("read before the rod was turned"),
    "saddle": mark("read before the saddle was moved"),
    "strings": mark("read before the strings were changed"),
    "rest": mark("read before it rested"),
    "unknown": _BEFORE_CHANGE,
}


# --- in tune again? ---


def in_tune_view(work: OpenedJob, history: History, title: str) -> InTuneView:
    """Whether every string is at its pitch again, and how often that was done so far."""
    why = _why_retune(what_moved(work.document))
    return InTuneView(
        job=work.id,
        title=title,
        why=why,
        tuning=tuning_in_words(work.job.instrument),
        count=retuned_in_words(work, history),
        spoken=" ".join((say("In tune again?"), why)),
    )


def _why_retune(step: SetupStep | None) -> str:
    match step:
        case TurnStep():
            return say("The rod was turned: every string has changed its pitch.")
        case SaddleStep():
            return say("The saddle was moved: strings have changed their pitch.")
        case StringsStep():
            return say("New strings stretch: tune, pull, tune, until they hold.")
        case _:
            return say("A slot was filed: its string is slack or has changed its pitch.")


def retuned_in_words(work: OpenedJob, history: History) -> str:
    """How often it was tuned after a change of tension; empty before the first time. Nothing is
    read of the history where nothing changed it."""
    if moved_tension(work.document) is None:
        return ""
    entries = history.projection.events_of(("job", work.id))
    count = retunings(entries, work.document.undone)
    return say_many("Retuned {count} time", "Retuned {count} times", count) if count else ""

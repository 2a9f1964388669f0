"""Home: the jobs on the bench. The first thing shown, so it knows no rule and no room."""

from __future__ import annotations

from datetime import datetime

from logic.app.presenters.apart import Listed, made_distinct
from logic.app.session.places import LEFT
from logic.app.views.views import HomeView, JobLine
from logic.history.documents import models
from logic.history.history import History
from shared.events import Stamp
from shared.instrument import Instrument
from shared.words import mark, say

_MONTHS = (
    *(mark("Jan"), mark("Feb"), mark("Mar"), mark("Apr"), mark("May"), mark("Jun")),
    *(mark("Jul"), mark("Aug"), mark("Sep"), mark("Oct"), mark("Nov"), mark("Dec")),
)
_PLANNED = ("plan", "what if", "raise", "new nut")
_OF_THE_VISIT = ("visit", "player", "look", "stages", "step done", "in tune")
_LONGEST_LIST = 60
RESUME_WITHIN_MS = 15 * 60 * 1000
"""A job touched so lately is still under the hands."""


def home_view(
    history: History,
    warnings: tuple[str, ...] = (),
    nudge: str = "",
    put_away: str = "",
    *,
    scans: bool = False,
) -> HomeView:
    """Every open job, newest first; before them what cannot be kept or was found damaged."""
    open_jobs = history.open_jobs()
    listed = list(open_jobs[:_LONGEST_LIST])
    apart = made_distinct([_as_listed(line, history) for line in listed])
    return HomeView(
        jobs=tuple(map(_job_line, listed, apart)),
        more=max(0, len(open_jobs) - _LONGEST_LIST),
        notices=(*warnings, *_write_trouble(history), *history.report.new_lines()),
        nudge=nudge,
        put_away=put_away,
        scans=scans and bool(history.vector),
    )


def _as_listed(line: models.JobSummary, history: History) -> Listed:
    """By what two jobs of a list read alike, and what is looked up where they do."""

    def instrument() -> Instrument | None:
        found = history.job(line.id)
        return found.instrument if found else None

    reads_as = (line.label, line.kind, line.owner, line.ticket)
    return Listed(reads_as, line.opened, instrument)


def _write_trouble(history: History) -> tuple[str, ...]:
    """Why nothing more is kept, after a write that failed."""
    return (str(history.trouble),) if history.journal.broken else ()


def _job_line(line: models.JobSummary, apart: str) -> JobLine:
    """A job by what it is called, whose it is, since when, and how far it is."""
    room, _, string = line.place.removeprefix(LEFT).partition(":")
    where = _progress_in_words(room, string)
    return JobLine(
        job=line.id,
        title=line.label or kind_in_words(line.kind),
        detail=" · ".join(filter(None, (line.owner, line.ticket, apart, when(line.opened), where))),
        puts_away=not line.begun,
    )


def _progress_in_words(room: str, string: str) -> str:
    """How far the work on a job has come, from where it was left."""
    at_a_string = {
        **dict.fromkeys(("walk", "string"), say("at string {string}", string=string)),
        "cut": say("filing string {string}", string=string),
        "prove": say("proving string {string}", string=string),
        "check": say("quick check, string {string}", string=string),
    }
    at_no_string = {
        "before": say("before measuring"),
        "ask": say("asking what else it could be"),
        **dict.fromkeys(_OF_THE_VISIT, say("at the stages")),
        "walk": say("measuring"),
        **dict.fromkeys(_PLANNED, say("at the plan")),
        "hand over": say("at the hand-over"),
        "checked": say("quick check made"),
    }
    here = at_a_string.get(room) if string else None
    return here or at_no_string.get(room) or say("taken in")


def when(time: str) -> str:
    """A stamp as a person says it, in this device's own time."""
    moment = datetime.fromtimestamp(Stamp.parse(time).wall_ms / 1000)
    month = say(_MONTHS[moment.month - 1])
    return say("{day} {month}, {time}", day=moment.day, month=month, time=f"{moment:%H:%M}")


def kind_in_words(kind: str) -> str:
    """A kind of instrument as a title."""
    said = say(kind)
    return f"{said[:1].upper()}{said[1:]}"


def under_the_hands(history: History) -> models.JobSummary | None:
    """The open job worked on a moment ago, as before a reload; None when there is none, or when
    the person had gone home from it."""
    recent = history.last_touched()
    if recent is None or recent.place.startswith(LEFT):
        return None
    if abs(history.now_ms() - recent.changed_at.wall_ms) < RESUME_WITHIN_MS:
        return recent
    return None

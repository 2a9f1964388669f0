"""Opening, closing and coming back to jobs."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.handlers.instrument_at_hand import entries_of
from logic.app.handlers.leaving import drop_untouched, leave_job
from logic.app.handlers.player import usual_wish
from logic.app.handlers.questions import record_answers, taken_back
from logic.app.presenters.corrections import corrected, is_answer
from logic.app.presenters.intake import may_wait
from logic.app.presenters.kit import kit_of
from logic.app.presenters.noticed import tied_or_freed, with_or_without, words_and_picks
from logic.app.presenters.questions import shown_at_intake
from logic.app.presenters.retunings import hours_lain
from logic.app.session.actions import Entry
from logic.app.session.places import LEFT, Place
from logic.app.session.sample import begun_events, sample_job
from logic.app.session.session import Handler, Session
from logic.history.documents.models import JobDocument
from logic.jobfiles.reading import preset_instrument
from shared.events import Kind
from shared.instrument import Instrument, Player
from shared.job import Job
from shared.setup import Scope


def go_home(session: Session, _: commands.GoHome) -> None:
    """Go to the list of jobs; the job remembers that it was left, and where. One that was opened
    and left as it was is none."""
    leave_job(session)
    session.go(Place())


def go_on(_session: Session, _: commands.GoOn) -> None:
    """Stay: what was shown before the trouble is shown again."""


def new_job(session: Session, _: commands.NewJob) -> None:
    """Go to the kinds of instrument."""
    drop_untouched(session)
    session.go(Place("kinds"))


def start_job(session: Session, command: commands.StartJob) -> None:
    """Open a job on the usual instrument of a kind, with this bench's kit."""
    _open(session, preset_instrument(command.kind, session.trade), "")


def start_sample(session: Session, _: commands.StartSample) -> None:
    """Open a job to play with, some of its readings taken, marked as a sample."""
    job = sample_job(session.trade)
    _open(session, job.instrument, job.complaint, job)
    session.go_walk(None)


def _open(session: Session, instrument: Instrument, said: str, begun: Job | None = None) -> None:
    job, name = session.new_id(), session.new_id()
    opened = {
        "job": job,
        "instrument": name,
        "value": instrument,
        "player": Player(),
        "kit": kit_of(session.history, session.trade),
        "complaint": said,
    } | ({} if begun else usual_wish(session))
    moved = (Kind.PLACE_MOVED, {"job": job, "place": "intake"})
    session.keep((Kind.JOB_OPENED, opened), *(begun_events(begun, job) if begun else ()), moved)
    session.stand(Place("intake", job))


def measure(session: Session, _: commands.Measure) -> None:
    """Go on to the strings, what the intake showed standing; where something was complained of, or
    an entry is in doubt, to the questions before them."""
    record_answers(session, shown_at_intake(session.work))
    if session.work.job.readings or may_wait(session.work):
        session.go_measure()
    else:
        session.go_in_job("before")


def open_job(session: Session, command: commands.OpenJob) -> None:
    """Go to where the job was left; to its stages where what was read may have moved since."""
    document = session.history.job(command.job)
    if document is None:
        session.stand(Place())
    elif _has_lain(session, document):
        session.go(Place("stages", command.job))
    elif document.place.startswith(LEFT):
        session.go(session.place_in(command.job, document.place))
    else:
        session.stand_in(command.job, document.place)


def _has_lain(session: Session, document: JobDocument) -> bool:
    """Whether a visit of the whole instrument lay for so long that it is measured anew."""
    whole = document.open and document.setup_scope in (Scope.WHOLE, Scope.CHECK)
    return whole and hours_lain(document, session.history.now_ms()) is not None


def set_complaint(session: Session, command: commands.SetComplaint) -> None:
    """Say one thing that was noticed, or take it back; the others stay."""
    session.record(Kind.JOB_CHANGED, **with_or_without(session.work, command.complaint))


def tell_complaint(session: Session, command: commands.TellComplaint) -> None:
    """Keep people's own words in place of those before; what was picked stays beside them."""
    session.record(Kind.JOB_CHANGED, **words_and_picks(session.work, command.words))


def tie_complaint(session: Session, command: commands.TieComplaint) -> None:
    """Say that it was noticed of this string, or of this one not."""
    session.record(Kind.JOB_CHANGED, **tied_or_freed(session.work, command.string))


def say_different(session: Session, command: commands.SayDifferent) -> None:
    """Put one fact right; where a rule asks for it, it is answered with that."""
    instrument = corrected(session.work.job.instrument, command.fact, command.value)
    keep_fact(session, instrument, command.fact, command.value)


def keep_fact(session: Session, instrument: Instrument, fact: str, value: str) -> None:
    """Keep the instrument of the job at hand with one fact as it was said, and its answer."""
    job = session.place.job
    changed, *saved = entries_of(session, instrument)
    happened: list[Entry] = [changed]
    if is_answer(fact):
        body = {"job": job, "gate": fact, "string": None, "answer": value}
        happened += [(Kind.CHECK_ANSWERED, body), *taken_back(session, [(fact, None, value)])]
    session.keep(*happened, *saved)


HANDLERS: dict[type, Handler] = {
    commands.GoHome: go_home,
    commands.GoOn: go_on,
    commands.NewJob: new_job,
    commands.StartJob: start_job,
    commands.StartSample: start_sample,
    commands.Measure: measure,
    commands.OpenJob: open_job,
    commands.SetComplaint: set_complaint,
    commands.TellComplaint: tell_complaint,
    commands.TieComplaint: tie_complaint,
    commands.SayDifferent: say_different,
}

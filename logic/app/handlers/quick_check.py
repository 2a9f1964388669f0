"""The quick check, of one instrument or of a rack of them."""

from __future__ import annotations

from logic.app.commands import instrument_commands as commands
from logic.app.handlers.instruments import opening
from logic.app.presenters.quick_check import leaf_of, to_check
from logic.app.session.places import Place
from logic.app.session.rack import Rack, kept_rack, rack_event
from logic.app.session.session import Handler, Session
from logic.app.session.transient import InstrumentList
from logic.app.wording.calls import reading_in_words, saved_in_words
from logic.bench.plan.walk import walk_order
from logic.bench.visits.quick_check import QUICK_CHECK
from shared.events import Kind
from shared.readings import Reading
from shared.units import Length


def quick_check(session: Session, command: commands.QuickCheck) -> None:
    """Check one instrument, by itself."""
    if not _begin(session, command.instrument, Rack()):
        session.go(Place("instrument", instrument=command.instrument))


def check_rack(session: Session, _: commands.CheckRack) -> None:
    """Begin with the first of the chosen instruments."""
    chosen = session.transient.instrument_list.chosen
    if chosen:
        session.transient.instrument_list = InstrumentList()
        _go_on(session, Rack(chosen))


def next_in_rack(session: Session, _: commands.NextInRack) -> None:
    """The next instrument of the rack; after the last, what was found."""
    _go_on(session, kept_rack(session.history))


def pass_over(session: Session, _: commands.PassOver) -> None:
    """Leave the next instrument out, and go on."""
    _go_on(session, kept_rack(session.history).moved_on(""))


def leave_rack(session: Session, _: commands.LeaveRack) -> None:
    """Done: the rack is empty again."""
    session.keep(rack_event(session.history, Rack()))
    session.go(Place("instruments"))


def _go_on(session: Session, rack: Rack) -> None:
    """Check the first waiting instrument of which anything is on record."""
    while rack.waiting:
        if _begin(session, rack.following, rack):
            return
        rack = rack.moved_on("")
    session.keep(rack_event(session.history, rack))
    session.go(Place("rack"))


def _begin(session: Session, name: str, rack: Rack) -> bool:
    """Open a check as a job of its own; False where nothing is on record to check against."""
    found = session.history.instrument(name)
    known = session.past.known(name)
    order = [s for s in walk_order(found.value) if s in known] if found else []
    if not found or not order:
        return False
    job, first = session.new_id(), Place("check", string=order[0])
    moved = (rack_event(session.history, rack.moved_on(job)),) if rack.waiting else ()
    session.keep(
        (Kind.JOB_OPENED, opening(session, found, job, QUICK_CHECK)),
        (Kind.PLACE_MOVED, {"job": job, "place": first.kept}),
        *moved,
    )
    session.stand(Place("check", job, order[0]))
    return True


def check_string(session: Session, command: commands.CheckString) -> None:
    """Check this string now, also once everything was said."""
    _reopen(session)
    session.go_in_job("check", command.string)


def skip_string(session: Session, _: commands.SkipString) -> None:
    """Leave this string without an answer."""
    go_on(session)


def end_check(session: Session, _: commands.EndCheck) -> None:
    """Show what was found; the check is then closed, and stays on record."""
    reason = "quick check" if session.work.job.readings else "nothing was checked"
    if session.work.document.open:
        session.record(Kind.JOB_CLOSED, reason=reason)
    session.go_in_job("checked")


def leaves_to_check(session: Session) -> tuple[Length, ...]:
    """The leaf in the hand, by what the check asks for."""
    leaf = leaf_of(session.work, session.here)
    return (leaf,) if leaf else ()


def take_checked(session: Session, reading: Reading) -> None:
    """Keep an answer and go on to the next string; the last answer ends the check with it."""
    work, further = session.work, _further(session)
    job = {"job": work.id}
    session.keep(
        *(() if work.document.open else ((Kind.JOB_REOPENED, job),)),
        (Kind.READING_TAKEN, job | {"reading": reading}),
        *(() if further else ((Kind.JOB_CLOSED, job | {"reason": "quick check"}),)),
    )
    instrument = session.work.job.instrument
    name = instrument.name_of(reading.string)
    answer = reading_in_words(reading, instrument, session.wording)
    session.transient.saved = saved_in_words(name, answer)
    _go_to(session, further)


def go_on(session: Session) -> None:
    """To the next string further on that has no answer; after the last, what was found."""
    further = _further(session)
    if further:
        _go_to(session, further)
    else:
        end_check(session, commands.EndCheck())


def _further(session: Session) -> list[int]:
    """The strings after the one at hand that have no answer, in the order of the walk."""
    order = walk_order(session.work.job.instrument)
    here = order.index(session.here)
    return [string for string in to_check(session.work) if order.index(string) > here]


def _go_to(session: Session, further: list[int]) -> None:
    """To the first of these strings; to what was found where there is none."""
    if further:
        session.go_in_job("check", further[0])
    else:
        session.go_in_job("checked")


def _reopen(session: Session) -> None:
    if not session.work.document.open:
        session.record(Kind.JOB_REOPENED)


HANDLERS: dict[type, Handler] = {
    commands.QuickCheck: quick_check,
    commands.CheckRack: check_rack,
    commands.NextInRack: next_in_rack,
    commands.PassOver: pass_over,
    commands.LeaveRack: leave_rack,
    commands.CheckString: check_string,
    commands.SkipString: skip_string,
    commands.EndCheck: end_check,
}

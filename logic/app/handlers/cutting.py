"""Cutting a slot in safe passes, and proving it."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.presenters.cutting import cut_of
from logic.app.presenters.visit_parts import is_whole_visit
from logic.app.session.session import Handler, Session
from logic.app.wording.strokes import strokes_in_words
from logic.bench.cutting.cutting import check_strokes
from shared.errors import InputError
from shared.events import Kind
from shared.job import Pass
from shared.words import say


def cut(session: Session, command: commands.CutSlot) -> None:
    """Begin or carry on with the cut of one slot."""
    session.go_in_job("cut", command.string)


def filed(session: Session, command: commands.Filed) -> None:
    """Record the strokes that were made; what nobody makes is asked back."""
    string = session.here
    slot = cut_of(session.work, string, session.slots_filed, session.who)
    try:
        check_strokes(command.strokes, session.trade.cutting)
    except InputError as error:
        session.transient.refused = error.in_sentences()
        return
    job = session.work.job
    made = Pass(
        string=string,
        strokes=command.strokes,
        file=slot.file.file,
        material=job.instrument.nut.material,
        technician=session.who,
        after=sum(reading.string == string for reading in job.readings),
    ).counted(command.strokes, half=command.half)
    session.record(Kind.PASS_FILED, **{"pass": made})
    name = job.instrument.name_of(string)
    made_in_words = strokes_in_words(command.strokes, half=command.half)
    session.transient.saved = say(
        "Saved: {strokes} on string {name}.", strokes=made_in_words, name=name
    )
    if is_whole_visit(job):
        session.go_in_job("in tune", string)


def prove(session: Session, command: commands.Prove) -> None:
    """Play the finished string open, soft, as usual and hard."""
    session.go_in_job("prove", command.string)


HANDLERS: dict[type, Handler] = {
    commands.CutSlot: cut,
    commands.Filed: filed,
    commands.Prove: prove,
}

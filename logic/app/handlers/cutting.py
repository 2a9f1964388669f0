"""Cutting a slot in safe passes, and proving it."""

from __future__ import annotations

from logic.app.commands import commands
from logic.app.presenters.cutting import cut_of
from logic.app.session.session import Handler, Session
from logic.bench.cutting.cutting import check_strokes
from shared.errors import InputError
from shared.events import Kind
from shared.job import Pass
from shared.words import say_many


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
    session.transient.saved = _saved(command, name)


def _saved(command: commands.Filed, name: str) -> str:
    if command.half:
        return say_many(
            "Saved: {count} half stroke on string {name}.",
            "Saved: {count} half strokes on string {name}.",
            command.strokes,
            name=name,
        )
    return say_many(
        "Saved: {count} stroke on string {name}.",
        "Saved: {count} strokes on string {name}.",
        command.strokes,
        name=name,
    )


def prove(session: Session, command: commands.Prove) -> None:
    """Play the finished string open, soft, as usual and hard."""
    session.go_in_job("prove", command.string)


HANDLERS: dict[type, Handler] = {
    commands.CutSlot: cut,
    commands.Filed: filed,
    commands.Prove: prove,
}

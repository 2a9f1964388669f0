"""Cutting a slot in safe passes, and proving it."""

from __future__ import annotations

from logic.bench.cutting import check_strokes, cut_table
from logic.desk import commands
from logic.desk.cutting import cut_of
from logic.desk.floor import Floor, Move
from shared.errors import InputError
from shared.events import Kind
from shared.job import Pass
from shared.words import say_many


def cut(floor: Floor, command: commands.Cut) -> None:
    """Begin or carry on with the cut of one slot."""
    floor.go_in_job("cut", command.string)


def filed(floor: Floor, command: commands.Filed) -> None:
    """Record the strokes that were made; what nobody makes is asked back."""
    string = floor.here
    slot = cut_of(floor.work, string, floor.taught, floor.who)
    try:
        check_strokes(command.strokes, cut_table(floor.trade))
    except InputError as error:
        floor.trouble = str(error)
        return
    job = floor.work.job
    made = Pass(
        string=string,
        strokes=command.strokes,
        file=slot.file.file,
        material=job.instrument.nut.material,
        technician=floor.who,
        after=sum(reading.string == string for reading in job.readings),
    )
    floor.record(Kind.PASS_FILED, **{"pass": made})
    name = job.instrument.name_of(string)
    floor.saved = say_many(
        "Saved: {count} stroke on string {name}.",
        "Saved: {count} strokes on string {name}.",
        command.strokes,
        name=name,
    )


def prove(floor: Floor, command: commands.Prove) -> None:
    """Play the finished string open, soft, as usual and hard."""
    floor.go_in_job("prove", command.string)


MOVES: dict[type, Move] = {commands.Cut: cut, commands.Filed: filed, commands.Prove: prove}

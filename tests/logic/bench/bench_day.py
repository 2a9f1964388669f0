"""One invented job with its passes and proof, for tests of the record."""

from __future__ import annotations

from logic.testing import LOOKED_AT, job, touches
from shared.job import Job, Pass, Proof
from shared.readings import Buzz, Contact, LeafReading, Reading
from shared.units import Length


def read(string: int, thou: int, contact: Contact = Contact.LIGHT) -> Reading:
    """One answer with one leaf."""
    return LeafReading(string=string, leaf=Length.parse(f"{thou} thou"), contact=contact)


def filed(string: int, strokes: int, after: int) -> Pass:
    """One pass of the widest string's file in Ada's hand."""
    return Pass(
        string=string,
        strokes=strokes,
        file=Length.parse("46 thou"),
        technician="Ada",
        after=after,
    )


def lowered_job(**parts: object) -> Job:
    """All six read at 32 thou; the sixth filed twice, to 21 thou, and proven."""
    made = job(
        instrument={"kind": "electric guitar", "label": "Alder Row no. 12"},
        readings=[*touches("0.030 in", "none"), *touches("0.032 in", "light")],
        checks=LOOKED_AT,
        complaint="sharp at the first frets",
    )
    after = (read(6, 28), read(6, 21), read(6, 20, Contact.NONE))
    figures: dict[str, object] = {
        "readings": (*made.readings, *after),
        "passes": (filed(6, 3, 2), filed(6, 6, 3)),
        "proofs": (Proof(string=6, buzz=Buzz.NONE, cents=4.0),),
    }
    return made.model_copy(update={**figures, **parts})

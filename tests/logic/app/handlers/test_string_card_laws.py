"""Any way through the card of a string comes to the plan of the readings that stand."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import string_commands as sdo
from logic.testing import thou
from shared.readings import Contact, LeafReading
from tests.logic.app.apps import DiscApp, fresh_app, open_document, walking
from tests.logic.app.handlers.test_string_card import read

STRINGS, LEAVES = (4, 1), (16, 20, 24)
DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["read", "read", "strike", "back", "right"]),
        st.integers(0, 9),
        st.sampled_from(list(Contact)),
    ),
    min_size=3,
    max_size=9,
)


@dataclass
class Kept:
    """One reading as a technician would remember it."""

    event: str
    reading: LeafReading
    struck: bool = False
    place: str = ""


@settings(max_examples=12, deadline=None)
@given(DEEDS)
def test_the_plan_is_that_of_exactly_the_readings_that_stand(
    acts: list[tuple[str, int, Contact]],
) -> None:
    """Whatever was read, struck out, put right and brought back, in any order: the job holds the
    standing readings in their places, and its plan is the plan of a job made of them alone."""
    app = fresh_app()
    walking(app, "soprano ukulele")
    kept: list[Kept] = []
    for deed, which, contact in acts:
        _do(app, kept, deed, which, contact)
    standing = tuple(each.reading for each in kept if not each.struck)
    work = app.session.work
    assert work.job.readings == standing
    assert work.plan == work.plan_of(work.job.model_copy(update={"readings": standing}))


def _do(app: DiscApp, kept: list[Kept], deed: str, which: int, contact: Contact) -> None:
    if deed == "read" or not kept:
        string, leaf = STRINGS[which % 2], thou(LEAVES[which % 3])
        reading = LeafReading(string=string, leaf=leaf, contact=contact)
        name = read(app, reading)
        kept.append(Kept(name, reading, place=name))
        return
    one = kept[which % len(kept)]
    app.do(sdo.SeeString(one.reading.string))
    if deed == "strike":
        app.do(sdo.StrikeOut(one.event))
        one.struck = True
    elif deed == "back":
        app.do(sdo.Reinstate(one.event))
        if one.struck:
            for other in kept:
                if other.place == one.place:
                    other.struck = True
            one.struck = False
    elif not one.struck:
        app.do(sdo.CorrectTo(one.event, contact.value))
        right = one.reading.model_copy(update={"contact": contact})
        one.struck = True
        name = open_document(app).readings[_place(kept, one)].event
        kept.insert(kept.index(one), Kept(name, right, place=one.place))


def _place(kept: list[Kept], one: Kept) -> int:
    """Where among the standing readings the one in its place stands."""
    return sum(not each.struck for each in kept[: kept.index(one)])

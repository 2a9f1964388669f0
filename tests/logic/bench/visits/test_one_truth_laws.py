"""Whatever is done to the strings of a visit, plan, sheet and record hold one clearance of each."""

from __future__ import annotations

from dataclasses import dataclass, field

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.presets import preset_instrument, preset_kit
from logic.bench.plan.plan import make_plan
from logic.bench.visits.handover import hand_over
from logic.bench.visits.last_known import known_after
from logic.bench.visits.quick_check import KnownClearance
from logic.bench.visits.stages import stages_of
from logic.testing import TRADE
from shared.job import Job, Pass, Proof, Round
from shared.readings import Buzz, BuzzReading, ClearanceReading, Contact, LeafReading, Reading
from shared.units import Length
from shared.work import Work, WorkKind

KINDS = ("electric guitar", "bass guitar", "nylon-string guitar", "5-string banjo", "mandolin")
STRINGS = (1, 2, 3)
"""Enough to be apart; the others stay unread."""


@dataclass
class Bench:
    """A job while things are done to it, sorted into rounds as the history sorts them."""

    kind: str
    readings: list[Reading] = field(default_factory=list)
    passes: list[Pass] = field(default_factory=list)
    proofs: list[Proof] = field(default_factory=list)
    rounds: list[Round] = field(default_factory=list)

    def reading(self, one: Reading) -> None:
        """Something is read."""
        self.readings.append(one)

    def filing(self, string: int, strokes: int) -> None:
        """A pass of a file, which ends the proof that was taken before it."""
        after = sum(one.string == string for one in self.readings)
        self.passes.append(Pass(string=string, strokes=strokes, after=after))
        self.proofs = [one for one in self.proofs if one.string != string]

    def working(self, work: Work) -> None:
        """Work that ends what was known of its strings."""
        kept = tuple(
            tuple(one for one in each if one.string in work.strings)
            for each in (self.readings, self.passes, self.proofs)
        )
        readings, passes, proofs = kept
        self.rounds.append(Round(work=work, readings=readings, passes=passes, proofs=proofs))
        self.readings = [one for one in self.readings if one.string not in work.strings]
        self.passes = [one for one in self.passes if one.string not in work.strings]
        self.proofs = [one for one in self.proofs if one.string not in work.strings]

    def job(self) -> Job:
        """The job as it stands."""
        return Job(
            instrument=preset_instrument(self.kind, TRADE),
            kit=preset_kit(TRADE),
            readings=tuple(self.readings),
            passes=tuple(self.passes),
            proofs=tuple(self.proofs),
            rounds=tuple(self.rounds),
        )


def lengths() -> st.SearchStrategy[Length]:
    """What a gauge can show over fret 1."""
    return st.integers(10, 120).map(lambda hundredths: Length.of(hundredths / 100))


strings = st.sampled_from(STRINGS)
readings = st.one_of(
    st.builds(ClearanceReading, string=strings, clearance=lengths()),
    st.builds(
        LeafReading,
        string=strings,
        leaf=st.sampled_from(preset_kit(TRADE).leaves),
        contact=st.sampled_from(Contact),
    ),
    st.builds(BuzzReading, string=strings, buzz=st.sampled_from((Buzz.NONE, Buzz.NORMAL))),
)
works = st.builds(
    Work,
    what=st.sampled_from(WorkKind),
    strings=st.sets(strings, min_size=1).map(lambda some: tuple(sorted(some))),
)
proofs = st.builds(Proof, string=strings, buzz=st.just(Buzz.NONE), clearance=st.none() | lengths())
steps = st.lists(
    st.one_of(readings, readings, works, proofs, st.tuples(strings, st.integers(1, 8))),
    min_size=1,
    max_size=12,
)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """A visit of an instrument of any kind, in whatever order things were done."""
    bench = Bench(draw(st.sampled_from(KINDS)))
    for step in draw(steps):
        match step:
            case Work():
                bench.working(step)
            case Proof():
                bench.proofs.append(step)
            case (string, strokes):
                bench.filing(string, strokes)
            case _:
                bench.reading(step)
    return bench.job()


known_before = st.dictionaries(
    strings, st.builds(KnownClearance, st.floats(0.2, 1.0), st.just(0.012))
)


@settings(deadline=None, max_examples=60)
@given(jobs(), known_before)
def test_plan_sheet_and_record_hold_one_clearance(
    job: Job, before: dict[int, KnownClearance]
) -> None:
    """The plan's figure is the sheet's, and the one that page, trend and quick check take from the
    record; where the plan has none, the record has none but what an earlier visit left of a string
    to which nothing was done."""
    known_mm = {string: one.clearance_mm for string, one in before.items()}
    plan = make_plan(job, TRADE, last_known_mm=known_mm)
    sheet = hand_over(job, TRADE, last_known_mm=known_mm)
    record = known_after(job, before, TRADE)
    after = {each.string: each.after for each in sheet.strings}
    touched = {each.string for each in sheet.strings if each.touched}
    for call in plan.strings:
        assert after[call.string] == call.clearance_mm
        known = record.get(call.string)
        if call.clearance_mm is not None:
            assert known is not None and known.interval_mm == call.clearance_mm
        else:
            assert known == (None if call.string in touched else before.get(call.string))


@settings(deadline=None, max_examples=40)
@given(jobs())
def test_before_and_after_are_the_ends_of_the_stages(job: Job) -> None:
    """Each piece of work begins where the one before it ended, the first where it came in."""
    for each in hand_over(job, TRADE).strings:
        stages = stages_of(job, each.string, TRADE)
        assert len(stages) == 1 + sum(each.string in one.work.strings for one in job.rounds)
        assert stages[-1].left_mm == each.after
        assert (stages[0].came_mm == each.before) or not each.touched

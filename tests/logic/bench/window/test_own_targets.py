"""A player's own targets: stepped on whole steps, kept within what a clearance can be."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.plausibility import range_of
from logic.bench.plan.plan import make_plan
from logic.bench.window.own_targets import (
    clearance_kind,
    stepped,
    table_windows,
    with_own_targets,
    without_own_targets,
)
from logic.bench.window.string_window import windows
from logic.jobfiles.reading import preset_instrument, preset_kit
from logic.testing import TRADE
from shared.instrument import Nut, NutType, Player
from shared.job import CallKind, Job
from shared.readings import ClearanceReading
from shared.units import Length, LengthOf, Unit

GUITAR = preset_instrument("electric guitar", TRADE)


@pytest.mark.parametrize(
    ("unit", "up", "down"),
    [(Unit.THOU, "0.021 in", "0.019 in"), (Unit.INCH, "0.021 in", "0.019 in")],
)
def test_a_step_is_a_thousandth_of_an_inch_from_the_tables_target(
    unit: Unit, up: str, down: str
) -> None:
    """Common practice, no source: .020 in on the sixth string at a medium attack."""
    higher = stepped(GUITAR, Player(), (6,), 1, unit, TRADE)
    lower = stepped(GUITAR, Player(), (6,), -1, unit, TRADE)
    assert higher.targets == {6: Length.parse(up)}
    assert lower.targets == {6: Length.parse(down)}


def test_in_millimetres_a_step_is_two_hundredths() -> None:
    """.020 in is 0.508 mm: the next whole steps are 0.52 and 0.50 mm."""
    higher = stepped(GUITAR, Player(), (6,), 1, Unit.MM, TRADE)
    lower = stepped(GUITAR, Player(), (6,), -1, Unit.MM, TRADE)
    assert (higher.targets[6], lower.targets[6]) == (Length.of("0.52"), Length.of("0.50"))


@settings(max_examples=60, deadline=None)
@given(
    steps=st.lists(st.integers(-40, 40), min_size=1, max_size=6),
    unit=st.sampled_from([Unit.THOU, Unit.INCH, Unit.MM]),
    string=st.integers(1, 6),
)
def test_no_stepping_leaves_what_a_clearance_can_be(
    steps: list[int], unit: Unit, string: int
) -> None:
    """However it is stepped, the target can be a clearance, and no other string has one."""
    player, span = Player(), range_of(LengthOf.CLEARANCE, TRADE)
    for count in steps:
        player = stepped(GUITAR, player, (string,), count, unit, TRADE)
    if any(steps):
        assert set(player.targets) == {string}
        assert span.low <= player.targets[string] <= span.high
    else:
        assert not player.targets


@settings(max_examples=30, deadline=None)
@given(thou=st.integers(8, 40), strings=st.sets(st.integers(1, 6)))
def test_what_is_given_back_to_the_table_is_as_before(thou: int, strings: set[int]) -> None:
    """Own targets and then the table's leave the windows of a player without any."""
    target = Length.of(thou, Unit.THOU)
    own = with_own_targets(Player(), target, strings)
    now, tables = windows(GUITAR, own, TRADE), table_windows(GUITAR, own, TRADE)
    for string, window in now.items():
        wanted = target.mm if string in strings else tables[string].target_mm
        assert window.target_mm == pytest.approx(wanted)
    assert windows(GUITAR, without_own_targets(own, strings), TRADE) == tables
    assert tables == windows(GUITAR, Player(), TRADE)


def test_a_tall_nut_for_slide_can_be_aimed_far_higher() -> None:
    """What is far from any other clearance is an ordinary one there."""
    tall = GUITAR.model_copy(update={"nut": Nut(type=NutType.TALL_SLIDE)})
    assert (clearance_kind(GUITAR), clearance_kind(tall)) == ("clearance", "tall clearance")
    aimed = with_own_targets(Player(), Length.parse("6 mm"), (3,))
    higher = stepped(tall, aimed, (3,), 1, Unit.MM, TRADE)
    assert higher.targets[3] == Length.of("6.02")


def test_the_plan_aims_at_the_own_target_and_says_whose_it_is() -> None:
    """A string at 0.50 mm is on the table's target; with an own target of 0.40 mm it is lowered
    by the difference, and the window's note says that the target is this player's own."""
    read = tuple(ClearanceReading(string=6, clearance=Length.parse("0.50 mm")) for _ in range(3))
    job = Job(instrument=GUITAR, player=Player(), kit=preset_kit(TRADE), readings=read)
    own = job.model_copy(
        update={"player": with_own_targets(Player(), Length.parse("0.40 mm"), (6,))}
    )
    by_table, by_own = (make_plan(each, TRADE).strings[0] for each in (job, own))
    assert (by_table.string, by_own.string) == (6, 6)
    assert by_table.call is not CallKind.LOWER
    assert by_own.window_mm.target == pytest.approx(0.40)
    assert "Own target of this player" in by_own.window_mm.note
    assert "Own target" not in by_table.window_mm.note


def test_a_fretless_string_says_so_too() -> None:
    """Where no physics speaks of the window, the note still tells the own target."""
    fretless = preset_instrument("bass guitar", TRADE).model_copy(update={"fretted": False})
    aimed = with_own_targets(Player(), Length.parse("0.5 mm"), (1,))
    found = windows(fretless, aimed, TRADE)
    assert "Own target of this player" in found[1].note
    assert "Own target of this player" not in found[2].note

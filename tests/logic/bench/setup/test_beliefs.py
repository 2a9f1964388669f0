"""What is believed of relief and action, and the laws that hold of it."""

import random
from statistics import fmean

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.instrument.action import on_a_line_mm, usual_action
from logic.bench.instrument.presets import kinds
from logic.bench.measuring.quantities.relief import gap_per_relief
from logic.bench.setup.action_belief import in_order_of_asking
from logic.bench.setup.counted import counted_in
from logic.bench.setup.faults import MeasurementFault, fault_of
from logic.bench.setup.holds import default_holds, join_fret, middle_fret
from logic.bench.setup.measured import MeasuredValue, SetupState, WindowSource, WindowStanding
from logic.bench.setup.relief_belief import share_of_deepest
from logic.bench.setup.state import setup_state
from logic.bench.setup.targets import action_window
from logic.testing import TRADE, instrument, job_with, mm
from shared.board import Board
from shared.instrument import Attack, Player
from shared.job import Complaint
from shared.kit import Kit, RuleClass
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement, Side
from shared.readings import Contact
from shared.setup import Scope, Setup, SkipStep, Stage
from tests.boards import FRETS
from tests.logic.bench.setup.simulated_reader import SimulatedReader, with_measured

JOB = job_with("electric guitar", setup=Setup(scope=Scope.CHECK))
ORDER = (Contact.HEAVY, Contact.LIGHT, Contact.NONE)
PLACES = (WindowStanding.BELOW, WindowStanding.INSIDE, WindowStanding.ABOVE)


def state_of(*measurements: Measurement) -> SetupState:
    """The visit of a usual electric after these measurements."""
    return setup_state(with_measured(JOB, *measurements), TRADE)


def bass(*measurements: Measurement) -> MeasuredValue:
    """What is known of relief on the bass side after these."""
    value = state_of(*measurements).relief_of(Side.BASS)
    assert value is not None
    return value


def mean(value: MeasuredValue | None) -> float:
    """What is expected of a value."""
    assert value is not None and value.believed is not None
    return value.believed.mean


def held(
    leaf_mm: float, contact: Contact, holds: tuple[int, int] = (1, 14), at: int = 6
) -> ReliefMeasurement:
    """A leaf under the lowest string."""
    return ReliefMeasurement(
        side=Side.BASS, string=6, holds=holds, at=at, leaf=mm(leaf_mm), contact=contact
    )


def action(string: int, amount: float) -> ActionMeasurement:
    """Action of a string over fret 12 as a number."""
    return ActionMeasurement(string=string, fret=12, value=mm(amount))


# --- holds ---


@pytest.mark.parametrize(
    ("kind", "holds", "at", "join"),
    [
        ("electric guitar", (1, 14), 6, 16),
        ("steel-string guitar", (1, 14), 6, 14),
        ("nylon-string guitar", (1, 12), 6, 12),
        ("tenor ukulele", (1, 12), 6, 14),
        ("bass guitar", (1, 14), 6, 16),
    ],
)
def test_where_a_string_is_held(kind: str, holds: tuple[int, int], at: int, join: int) -> None:
    """The usual holds of a kind, the fret nearest to the middle of them, and where the neck ends;
    where it ends earlier on this instrument, it is held there."""
    own = instrument(kind)
    found = default_holds(own, TRADE)
    assert found == holds and join_fret(own, TRADE) == join
    assert middle_fret(holds, own.fretboard) == at
    assert middle_fret((1, 16), own.fretboard) == middle_fret((1, 17), own.fretboard) == 7
    short = own.model_copy(update={"board": Board(frets=22, join=11)})
    assert (default_holds(short, TRADE), join_fret(short, TRADE)) == ((1, 11), 11)


@given(st.integers(1, 5), st.integers(8, 20), st.integers(6, 7))
def test_the_parabola_is_the_arc(low: int, high: int, at: int) -> None:
    """The share of the deepest gap between two holds is a circle's to four digits at a relief of
    one millimetre."""
    scale = 647.7
    x = {fret: scale * (1.0 - 2.0 ** (-fret / 12.0)) for fret in (low, high, at)}
    half, middle = (x[high] - x[low]) / 2.0, (x[high] + x[low]) / 2.0
    radius = (half**2 + 1.0) / 2.0
    arc = np.sqrt(radius**2 - (x[at] - middle) ** 2) - (radius - 1.0)
    assert share_of_deepest((low, high), at, Board()) == pytest.approx(arc, abs=1e-4)


@pytest.mark.parametrize(("low", "high"), [(1, 12), (1, 16), (1, 17), (2, 15)])
def test_a_number_is_converted_by_its_holds(low: int, high: int) -> None:
    """The same bow stated for other holds is believed to be the same relief."""
    deepest = gap_per_relief((low, high), 7) / share_of_deepest((low, high), 7, Board())
    for relief in (0.3, -0.2):
        stated = bass(ReliefMeasurement(side=Side.BASS, value=mm(relief)))
        other = ReliefMeasurement(side=Side.BASS, holds=(low, high), value=mm(relief * deepest))
        assert mean(bass(other)) == pytest.approx(mean(stated), abs=4e-3)


# --- relief ---


@settings(max_examples=20)
@given(
    st.floats(0.05, 0.7), st.sampled_from([((1, 14), 6), ((1, 12), 6), ((1, 16), 7), ((2, 9), 5)])
)
def test_a_freer_leaf_means_more_relief(leaf_mm: float, where: tuple[tuple[int, int], int]) -> None:
    """Heavy, light and no contact under one leaf: each leaves more relief than the one before."""
    means = [mean(bass(held(leaf_mm, contact, *where))) for contact in ORDER]
    assert means == sorted(means) and means[0] < means[2]


def test_what_one_side_has_the_other_is_expected_to_have() -> None:
    """A treble side that nobody has read is expected where the bass side is, less surely; it is
    still unread."""
    state = state_of(ReliefMeasurement(side=Side.BASS, value=mm(0.5)))
    treble = state.relief_of(Side.TREBLE)
    assert treble is not None and treble.standing is WindowStanding.UNREAD
    assert mean(treble) == pytest.approx(0.5, abs=0.05)
    assert treble.believed is not None and 0.04 < treble.believed.sd < 0.15


def test_relief_from_three_touches_is_that_of_quadrature() -> None:
    """Mean and spread of the posterior of one side, summed over a grid ten times as fine."""
    touches = ((0.20, Contact.NONE), (0.30, Contact.LIGHT), (0.35, Contact.HEAVY))
    value = bass(*(held(*touch) for touch in touches))
    fine = np.arange(-1.0, 2.0, 0.0005)
    table = TRADE.setup
    expected = TRADE.setup.relief_windows.of("electric guitar").target_mm
    near = np.hypot(table.relief_prior_sd_mm, table.side_own_sd_mm)
    wide, alone = 2.0 * table.relief_prior_sd_mm, table.alone_probability
    weights = (1.0 - alone) * stats.norm(expected, near).pdf(fine)
    weights = weights + alone * stats.norm(expected, wide).pdf(fine)
    x = {fret: 1.0 - 2.0 ** (-fret / 12.0) for fret in (1, 6, 14)}
    give = (x[6] - x[1]) * (x[14] - x[6]) / (x[14] - x[1]) / (x[1] * (1.0 - x[1]))
    gap = fine * 4.0 * (x[6] - x[1]) * (x[14] - x[6]) / (x[14] - x[1]) ** 2
    reading = TRADE.reading
    spread = np.hypot(reading.judgement_spread_mm * give, reading.leaf_tolerance_mm / np.sqrt(3))
    half = reading.light_half_width_mm * give
    for leaf, contact in touches:
        none = stats.norm.cdf((gap - leaf - half) / spread)
        heavy = stats.norm.cdf((-half - gap + leaf) / spread)
        weights = weights * {"none": none, "heavy": heavy, "light": 1 - none - heavy}[contact]
    weights = weights / weights.sum()
    centre = float((weights * fine).sum())
    assert value.believed is not None
    assert value.believed.mean == pytest.approx(centre, abs=1e-3)
    sd = float(np.sqrt((weights * (fine - centre) ** 2).sum()))
    assert value.believed.sd == pytest.approx(sd, abs=1e-3)


def test_a_straight_edge_is_felt_more_surely_than_a_string() -> None:
    """The same three touches under a straight edge leave less doubt."""
    touches = [held(0.25, Contact.NONE), held(0.35, Contact.HEAVY)]
    edge = [touch.model_copy(update={"string": None}) for touch in touches]
    under, over = bass(*touches).believed, bass(*edge).believed
    assert under is not None and over is not None and over.sd < under.sd


def test_the_player_goes_before_common_practice() -> None:
    """Own targets make the window, and below zero is out though they reach there."""
    own = JOB.model_copy(
        update={"player": Player(relief=mm(0.05), action={6: mm(1.2), 1: mm(1.0)})}
    )
    state = setup_state(with_measured(own, action(6, 1.2)), TRADE)
    assert state.relief[0].window.source is WindowSource.OWN
    assert state.relief[0].window.low_mm == 0.0
    low = state.action_of(6)
    assert low is not None and low.chances[WindowStanding.BELOW] < 0.5


def test_a_heavier_hand_is_given_more_action() -> None:
    """All of the window of common practice goes up with the attack; own targets stay."""
    spec = JOB.instrument.spec(6)
    players = [Player(attack=attack) for attack in Attack]
    lows = [action_window(spec, JOB.instrument, player, TRADE).low_mm for player in players]
    assert lows == sorted(lows) and len(set(lows)) == 3
    own = [player.model_copy(update={"action": {6: mm(1.5)}}) for player in players]
    assert len({action_window(spec, JOB.instrument, player, TRADE) for player in own}) == 1


# --- action ---


def test_strings_that_were_not_read_follow_those_that_were() -> None:
    """Outer strings high: the middle ones are expected high. Only once one of them was read are the
    others foretold, and a middle string that reads low draws them down with it."""
    outer = (action(6, 3.0), action(1, 2.6))
    third = state_of(*outer).action_of(3)
    assert third is not None and not third.predicted and 2.6 < mean(third) < 3.0
    sagged = state_of(*outer, action(4, 2.2)).action_of(3)
    assert sagged is not None and sagged.predicted
    assert sagged.standing is WindowStanding.UNREAD and not sagged.settled
    assert mean(sagged) < mean(third) - 0.1


def test_what_is_foretold_counts_once_somebody_says_so() -> None:
    """One tap for all strings that were not read: they stand where the others put them, and the
    stage is done, not left out; with the outer strings alone it is left out."""
    steps = (SkipStep(stage=Stage.STRINGS), SkipStep(stage=Stage.ACTION))
    job = job_with("electric guitar", setup=Setup(scope=Scope.CHECK, steps=steps))
    three = with_measured(job, action(6, 3.0), action(1, 2.6), action(4, 2.8))
    state = setup_state(three, TRADE)
    third = state.action_of(3)
    assert third is not None and third.confirmed and third.settled
    assert third.standing is WindowStanding.ABOVE
    assert state.skipped == {Stage.STRINGS}
    assert Stage.ACTION in setup_state(with_measured(job, action(6, 3.0)), TRADE).skipped


def test_a_middle_string_is_read_and_rather_one_that_was_complained_of() -> None:
    """After the outer strings comes a middle one."""
    asked = [v.string for v in in_order_of_asking(JOB, state_of().action)]
    assert asked[:2] == [6, 1] and asked[2] in (3, 4)
    complained = JOB.model_copy(
        update={"complaints": (Complaint.model_validate({"is": "buzz", "strings": [5]}),)}
    )
    assert [v.string for v in in_order_of_asking(complained, state_of().action)][2] == 5


@pytest.mark.parametrize(("rule", "spread"), [(RuleClass.I, 0.173), (RuleClass.II, 0.404)])
def test_a_number_is_as_sure_as_the_rule(rule: RuleClass, spread: float) -> None:
    """Read twice off a rule of a class, a height is known no better than the rule."""
    job = JOB.model_copy(update={"kit": Kit(rule=rule)})
    twice = setup_state(with_measured(job, action(6, 2.0), action(6, 2.0)), TRADE).action_of(6)
    once = setup_state(with_measured(job, action(6, 2.0)), TRADE).action_of(6)
    assert twice is not None and twice.believed is not None and once is not None
    assert twice.believed == once.believed
    assert 0.6 * spread < twice.believed.sd < spread


def test_the_high_action_of_a_double_bass_is_found_high() -> None:
    """Eleven millimetres over the octave, where six and a half are usual, is above its window."""
    bowed = job_with("double bass", setup=Setup(scope=Scope.CHECK))
    octave = bowed.instrument.octave_fret
    high = ActionMeasurement(string=4, fret=octave, value=mm(11.0))
    value = setup_state(with_measured(bowed, high), TRADE).action_of(4)
    assert value is not None and value.standing is WindowStanding.ABOVE
    assert mean(value) == pytest.approx(11.0, abs=0.3)


# --- what cannot be ---


@pytest.mark.parametrize(
    ("measurement", "fault"),
    [
        (held(0.2, Contact.LIGHT, (1, 23), 9), MeasurementFault.NO_SUCH_HOLD),
        (held(0.2, Contact.LIGHT, (1, 22), 9), None),
        (ActionMeasurement(string=6, fret=24, value=mm(3)), MeasurementFault.NO_SUCH_FRET),
        (ActionMeasurement(string=7, fret=12, value=mm(3)), MeasurementFault.NO_SUCH_STRING),
    ],
)
def test_what_was_measured_at_a_fret_that_is_not_there_says_nothing(
    measurement: Measurement, fault: MeasurementFault | None
) -> None:
    """On a board of 22 frets it is named, and not counted."""
    board = JOB.instrument.model_copy(update={"board": Board(frets=22)})
    job = with_measured(JOB.model_copy(update={"instrument": board}), measurement)
    assert fault_of(measurement, board) is fault
    assert len(counted_in(job, TRADE)) == (fault is None)


def test_a_bare_board_is_read_as_a_number() -> None:
    """Where no fret holds a string down, no leaf is named; one number is enough."""
    bare = job_with(
        "bass guitar",
        setup=Setup(scope=Scope.CHECK),
    )
    bare = bare.model_copy(
        update={"instrument": bare.instrument.model_copy(update={"fretted": False})}
    )
    first = setup_state(bare, TRADE).relief[0]
    assert first.holds is None and not first.advice.slid_in and not first.settled
    number = ReliefMeasurement(side=Side.BASS, value=mm(0.4))
    assert setup_state(with_measured(bare, number), TRADE).relief[0].settled


@settings(max_examples=25)
@given(FRETS, st.sampled_from(kinds(TRADE)))
def test_every_board_can_be_visited(frets: tuple[float, ...], kind: str) -> None:
    """Of each kind, on a board that nobody has built, every stage asks for something that can be
    measured there, and what it asks for is counted."""
    own = instrument(kind).model_copy(update={"board": Board(semitones=frets), "fretted": True})
    usual = job_with(kind, setup=Setup(scope=Scope.WHOLE))
    job = usual.model_copy(update={"instrument": own})
    state = setup_state(job, TRADE)
    assert state.next is not None
    asked = [
        ReliefMeasurement(side=v.side, holds=v.holds, at=v.fret, leaf=mm(0.2), contact=Contact.NONE)
        for v in state.relief
        if v.holds
    ]
    heights = [
        ActionMeasurement(string=v.string, fret=v.fret, value=mm(2.0))
        for v in state.action
        if v.string and v.fret
    ]
    read = with_measured(job, *asked, *heights)
    assert len(counted_in(read, TRADE)) == len(asked) + len(heights)
    assert all(v.touches for v in setup_state(read, TRADE).action)


# --- how long it takes ---


@pytest.mark.parametrize(
    "kind", ["electric guitar", "steel-string guitar", "nylon-string guitar", "bass guitar"]
)
def test_relief_and_action_are_read_in_sixteen_taps(kind: str) -> None:
    """Of a dozen simulated instruments: sixteen taps at the most on average, both sides and every
    string, and of what is called sure nineteen in twenty are right."""
    right, taps = [], []
    for seed in range(12):
        chance = random.Random(seed)
        own = instrument(kind)
        window = TRADE.setup.relief_windows.of(kind)
        bow = chance.gauss(window.target_mm, 0.2)
        relief = {Side.BASS: bow, Side.TREBLE: bow + chance.gauss(0, 0.06)}
        usual, share = usual_action(kind, TRADE), chance.lognormvariate(0.05, 0.2)
        heights = {
            spec.string: on_a_line_mm(usual, spec.string) * share + chance.gauss(0, 0.1)
            for spec in own.strings
        }
        reader = SimulatedReader(kind, relief, heights, chance)
        state = setup_state(reader.read(), TRADE)
        taps.append(sum(reader.taps.values()))
        for value in (*state.relief, *state.action):
            true = relief[value.side] if value.side else heights[value.string or 0]
            over = (true > value.window.low_mm) + (true > value.window.high_mm)
            if value.standing is not WindowStanding.UNSURE:
                right.append(value.standing is PLACES[over])
    assert fmean(taps) <= 16
    assert fmean(right) >= 0.95

"""The visit as it stands: what is known of relief and action, and the one thing asked next."""

import random

from logic.bench.setup.measured import QuestionKind, StageState, WindowStanding
from logic.bench.setup.state import setup_state
from logic.testing import TRADE, job_with, mm
from shared.measurements import ActionMeasurement, Posture, ReliefMeasurement, Side
from shared.setup import Scope, Setup, SkipStep, Stage
from tests.logic.bench.setup.simulated_reader import SimulatedReader, with_measured

TUNED = SkipStep(stage=Stage.STRINGS)
ELECTRIC = job_with("electric guitar", setup=Setup(scope=Scope.WHOLE, steps=(TUNED,)))


def test_a_visit_for_the_nut_alone_has_nothing_but_its_scope() -> None:
    """Without a scope, and with that of the nut, no stage and no value is worked out."""
    for setup in (None, Setup(), Setup(scope=Scope.NUT)):
        state = setup_state(job_with("electric guitar", setup=setup), TRADE)
        assert (state.scope, state.stages, state.relief, state.next) == (Scope.NUT, {}, (), None)


def test_a_whole_visit_begins_with_the_player() -> None:
    """The first thing asked is who plays it and how it is liked."""
    state = setup_state(job_with("electric guitar", setup=Setup(scope=Scope.WHOLE)), TRADE)
    assert state.next is not None and state.next.what is QuestionKind.PLAYER
    assert state.stages[Stage.STRINGS] is StageState.DUE


def test_relief_comes_before_action() -> None:
    """With strings and tuning behind it, the bass side's relief is asked for over the fret nearest
    to the middle of the holds."""
    asked = setup_state(ELECTRIC, TRADE).next
    assert asked is not None and asked.what is QuestionKind.RELIEF
    assert (asked.side, asked.string, asked.holds, asked.fret) == (Side.BASS, 6, (1, 14), 6)


def test_an_action_that_is_too_low_is_named() -> None:
    """An electric set to 1.0 and 0.7 mm is below its window at both outer strings."""
    low = (ActionMeasurement(string=6, fret=12, value=mm(1.0)), _action(1, 0.7))
    state = setup_state(with_measured(ELECTRIC, *low), TRADE)
    standings = {v.string: v.standing for v in state.action}
    assert standings[6] is WindowStanding.BELOW and standings[1] is WindowStanding.BELOW


def test_a_back_bow_is_believed() -> None:
    """A number below zero is below the window, whatever common practice."""
    bowed = ReliefMeasurement(side=Side.BASS, value=mm(-0.15))
    state = setup_state(with_measured(ELECTRIC, bowed), TRADE)
    value = state.relief_of(Side.BASS)
    assert value is not None and value.standing is WindowStanding.BELOW
    assert value.believed is not None and value.believed.interval()[1] < 0


def test_measurements_of_two_postures_are_not_believed_together() -> None:
    """Only what was measured as the latest one was counts, and both postures are named."""
    first = ReliefMeasurement(side=Side.BASS, value=mm(0.1), posture=Posture.BACK)
    second = ReliefMeasurement(side=Side.TREBLE, value=mm(0.2))
    state = setup_state(with_measured(ELECTRIC, first, second), TRADE)
    bass = state.relief_of(Side.BASS)
    assert state.postures_mixed and bass is not None
    assert bass.standing is WindowStanding.UNREAD


def test_a_check_changes_nothing() -> None:
    """In a visit that only checks, nothing is set and nothing is proved."""
    job = SimulatedReader(
        "electric guitar",
        {Side.BASS: 0.6, Side.TREBLE: 0.6},
        dict.fromkeys(range(1, 7), 3.5),
        random.Random(1),
    ).read()
    state = setup_state(job, TRADE)
    assert state.stages[Stage.SADDLE] is StageState.LEFT_OUT
    assert state.stages[Stage.RELIEF] is StageState.DONE
    assert all(value.standing is WindowStanding.ABOVE for value in state.relief)


def _action(string: int, amount: float) -> ActionMeasurement:
    return ActionMeasurement(string=string, fret=12, value=mm(amount))

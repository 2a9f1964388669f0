"""The stages in the order of dependency, and the one thing that is asked next."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.setup.measured import QuestionKind, SetupQuestion, StageState
from logic.bench.setup.stages import ORDER
from logic.bench.setup.state import setup_state
from logic.testing import TRADE, job_with, mm, sharp_by, touch
from shared.instrument import Player
from shared.job import Job, Proof
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement, Side
from shared.readings import Contact
from shared.setup import Scope, Setup, SetupStep, SkipStep, Stage, StringsStep, TurnStep

LOOKED = dict.fromkeys(TRADE.setup.look, "ok")
NECK: tuple[Measurement, ...] = tuple(
    ReliefMeasurement(side=side, value=mm(0.22)) for side in (Side.BASS, Side.TREBLE)
)
HEIGHTS: tuple[Measurement, ...] = tuple(
    ActionMeasurement(string=string, fret=12, shank=mm(1.5 + 0.08 * string), contact=Contact.LIGHT)
    for string in range(1, 7)
)
READ = (*NECK, *HEIGHTS)


def visit(
    *readings: Measurement,
    scope: Scope = Scope.WHOLE,
    steps: tuple[SetupStep, ...] = (),
    **parts: Any,
) -> Job:
    """A visit of a usual electric."""
    return job_with(
        "electric guitar", setup=Setup(scope=scope, readings=readings, steps=steps), **parts
    )


def asked(job: Job) -> SetupQuestion:
    """What is asked next."""
    question = setup_state(job, TRADE).next
    assert question is not None
    return question


def test_the_first_stage_goes_from_the_player_to_the_tuning() -> None:
    """Who plays it, the look, as it came, and only then strings and tuning; each part ends with
    what it asked for."""
    player: dict[str, Any] = {"player": Player(likes="low")}
    assert asked(visit()).what is QuestionKind.PLAYER
    assert asked(visit(**player)).what is QuestionKind.LOOK
    came = asked(visit(**player, checks=LOOKED))
    assert (came.stage, came.what, came.side) == (Stage.STRINGS, QuestionKind.AS_IT_CAME, Side.BASS)
    outer = asked(visit(*NECK, **player, checks=LOOKED))
    assert (outer.what, outer.string, outer.fret) == (QuestionKind.AS_IT_CAME, 6, 12)
    first = asked(visit(*READ, **player, checks=LOOKED))
    assert (first.stage, first.what, first.string) == (Stage.STRINGS, QuestionKind.NUT, 6)
    player["readings"] = [touch(mm(0.45), Contact.LIGHT, string) for string in (6, 1)]
    assert asked(visit(*READ, **player, checks=LOOKED)).what is QuestionKind.TUNING
    tuned = {**LOOKED, "at_pitch": "yes"}
    done = setup_state(visit(*READ, **player, checks=tuned), TRADE)
    assert done.stages[Stage.STRINGS] is StageState.DONE


def test_how_it_came_can_be_left_out_alone() -> None:
    """The strings are still asked for; left out without that reason, the stage is over. A check
    changes nothing, so it never asks how it came."""
    part = SkipStep(stage=Stage.STRINGS, why="as it came", after=0)
    assert asked(visit(steps=(part,), checks=LOOKED)).what is QuestionKind.TUNING
    assert asked(visit(scope=Scope.CHECK, checks=LOOKED)).what is QuestionKind.TUNING
    assert asked(visit(scope=Scope.CHECK)).what is QuestionKind.LOOK
    whole = SkipStep(stage=Stage.STRINGS, after=0)
    assert asked(visit(steps=(whole,), checks=LOOKED)).stage is Stage.RELIEF


def test_new_strings_ask_for_relief_and_action_again() -> None:
    """What was measured as it came is kept and stale once the strings were changed; the visit says
    that it was measured before."""
    changed = StringsStep(what="changed", after=len(READ))
    state = setup_state(visit(*READ, steps=(changed,)), TRADE)
    assert state.as_it_came
    assert state.stage is Stage.RELIEF and state.relief[0].stale
    assert state.relief[0].moved_by == (changed,)


def test_a_turn_of_the_rod_opens_relief_again() -> None:
    """After a turn relief is stale and asked for again; read once more, the stage is behind."""
    skip = SkipStep(stage=Stage.STRINGS, after=0)
    before = visit(*READ, steps=(skip,))
    assert setup_state(before, TRADE).stages[Stage.RELIEF] is StageState.DONE
    turned = (skip, TurnStep(eighths=-1, after=len(READ)))
    state = setup_state(visit(*READ, steps=turned), TRADE)
    assert state.next is not None and state.next.what is QuestionKind.RELIEF
    assert setup_state(visit(*READ, *NECK, steps=turned), TRADE).stages[Stage.RELIEF] is (
        StageState.DONE
    )


def test_what_is_out_of_its_window_is_set_and_in_a_check_only_said() -> None:
    """A back-bow is to be set before action is read; a visit that only checks goes on."""
    bowed = tuple(ReliefMeasurement(side=side, value=mm(-0.2)) for side in (Side.BASS, Side.TREBLE))
    skip = SkipStep(stage=Stage.STRINGS, after=0)
    whole = asked(visit(*bowed, steps=(skip,)))
    assert (whole.what, whole.stage) == (QuestionKind.SET_RELIEF, Stage.RELIEF)
    check = asked(visit(*bowed, scope=Scope.CHECK, steps=(skip,)))
    assert check.what is QuestionKind.ACTION
    aside = (skip, SkipStep(stage=Stage.RELIEF))
    assert asked(visit(*bowed, steps=aside)).what is QuestionKind.ACTION


def test_the_visit_ends_when_all_is_read_and_proved() -> None:
    """Frets, nut, intonation and proof follow, each string by string, and then nothing."""
    skip = (SkipStep(stage=Stage.STRINGS, after=0),)
    strings = range(1, 7)
    checks = {"frets": "ok"}
    nut = [touch(mm(0.45), Contact.LIGHT, string) for string in strings]
    cents = [sharp_by(0.0, 12, string) for string in strings]
    proofs = tuple(Proof(string=string) for string in strings)
    assert asked(visit(*READ, steps=skip)).what is QuestionKind.FRETS
    after = asked(visit(*READ, steps=skip, checks=checks))
    assert (after.what, after.string) == (QuestionKind.NUT, 6)
    tuned = asked(visit(*READ, steps=skip, checks=checks, readings=nut))
    assert tuned.what is QuestionKind.INTONATION
    proof = asked(visit(*READ, steps=skip, checks=checks, readings=[*nut, *cents]))
    assert proof.what is QuestionKind.PROOF
    end = visit(*READ, steps=skip, checks=checks, readings=[*nut, *cents], proofs=proofs)
    state = setup_state(end, TRADE)
    assert state.next is None and state.stage is Stage.DONE


@settings(max_examples=30)
@given(
    st.sets(st.sampled_from(ORDER)),
    st.integers(0, len(READ)),
    st.sampled_from(Scope),
    st.booleans(),
)
def test_one_stage_is_due_and_no_later_one_goes_before_it(
    skipped: set[Stage], read: int, scope: Scope, looked: bool
) -> None:
    """Whatever was read, skipped and answered: at most one stage is due, it is the first that asks
    for anything, and what is asked belongs to it; the same job always stands the same."""
    steps = tuple(SkipStep(stage=stage) for stage in skipped)
    job = visit(*READ[:read], scope=scope, steps=steps, checks=LOOKED if looked else {})
    state = setup_state(job, TRADE)
    if scope is Scope.NUT:
        assert state.next is None
        return
    waiting = [s for s, how in state.stages.items() if how in (StageState.DUE, StageState.WAITING)]
    due = [stage for stage, how in state.stages.items() if how is StageState.DUE]
    assert due == waiting[:1]
    assert [q.stage for q in (state.next,) if q] == due
    assert setup_state(job, TRADE) == state

"""Three hundred visits by the whole tool: what it must never do, and how near its aims it comes."""

from __future__ import annotations

import pytest
from scipy import stats

from logic.bench.simulation.habits import HABITS, OURS
from logic.bench.simulation.tally import Tally, play
from logic.testing import TRADE

pytestmark = pytest.mark.long

JOBS, SEED = 300, 11


@pytest.fixture(scope="module")
def played() -> dict[str, Tally]:
    """Every habit over the same instruments, the plain ones over one in five."""
    return play(TRADE, 0, JOBS, SEED)


def test_not_one_cut_passes_a_check(played: dict[str, Tally]) -> None:
    """No slot is cut while a check that bars it has failed or was not answered, relief and frets
    included, whatever is answered wrong or left open."""
    assert sum(played[OURS].cuts.values()) > 0
    assert played[OURS].past_a_gate == 0


def test_wrong_cuts_are_few(played: dict[str, Tally]) -> None:
    """Jobs with a wrong cut are no more than one in a thousand (exact binomial test at the 1 %
    level), and cutting whatever is over the table spoils many times as many."""
    spoilt = played[OURS].spoilt_jobs
    assert stats.binomtest(spoilt, JOBS, 0.001, alternative="greater").pvalue > 0.01
    plain = played["cut what is over the table"]
    assert plain.spoilt_jobs / plain.jobs > 5 * spoilt / JOBS


def test_what_wants_a_cut_gets_one(played: dict[str, Tally]) -> None:
    """Carefulness is no excuse: of the slots that plainly stand too high few are left so."""
    assert played[OURS].wanted_a_cut > 10
    assert played[OURS].left_high <= 0.25 * played[OURS].wanted_a_cut


def test_a_visit_is_short(played: dict[str, Tally]) -> None:
    """Leaves and questions stay near the aims, of which three hundred visits may fall a little
    short by chance, and asking everything costs far more."""
    ours, everything = played[OURS], played["ask everything"]
    assert ours.leaves / ours.strings <= 2.6
    assert ours.questions / ours.jobs <= 5.3
    assert everything.questions / everything.jobs > 3 * ours.questions / ours.jobs


def test_nothing_is_read_again_for_nothing(played: dict[str, Tally]) -> None:
    """Visits end with nearly no call to read again where nothing was untrue."""
    assert played[OURS].read_again <= 0.02 * played[OURS].strings


def test_every_habit_was_played(played: dict[str, Tally]) -> None:
    """The plain habits see one instrument of five."""
    assert {name: tally.jobs for name, tally in played.items()} == {
        name: JOBS if name == OURS else JOBS // 5 for name in HABITS
    }

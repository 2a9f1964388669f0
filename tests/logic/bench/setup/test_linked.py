"""Values that hang together, against the joint normal distribution worked out at once."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.measuring.grid import Grid, bell
from logic.bench.setup.linked import Linked, Spreads, linked_beliefs

GRID = Grid("height", "mm", low=0.0, high=6.0, step=0.01)
HIDDEN, OWN = (0.5, 0.2, 0.12), 0.08
ALWAYS_LINKED = Spreads(HIDDEN, OWN, alone=3.0, alone_probability=0.0)
PARTS = [i / 5 for i in range(6)]


def value(part: float, *numbers: float, sd: float = 0.1) -> Linked:
    """A string's height, with numbers that were measured of it."""
    curves = tuple(bell(GRID, number, sd) for number in numbers)
    return Linked(2.0, (1.0, 2.0 * part - 1.0, 4.0 * part * (1.0 - part)), curves)


def test_strings_follow_the_outer_ones_as_the_joint_normal_has_it() -> None:
    """Means and spreads of all six, with both outer ones and a middle one measured."""
    read = {0: 2.6, 3: 2.45, 5: 2.2}
    values = tuple(value(part, *([read[i]] if i in read else [])) for i, part in enumerate(PARTS))
    shares = np.array([one.shares for one in values])
    joint = shares @ np.diag(np.square(HIDDEN)) @ shares.T + OWN**2 * np.eye(6)
    seen = list(read)
    gain = joint[:, seen] @ np.linalg.inv(joint[np.ix_(seen, seen)] + 0.1**2 * np.eye(3))
    means = 2.0 + gain @ (np.array([read[i] for i in seen]) - 2.0)
    spreads = np.sqrt(np.diag(joint - gain @ joint[seen, :]))
    found = linked_beliefs(GRID, values, ALWAYS_LINKED)
    assert [one.mean for one in found] == pytest.approx(list(means), abs=2e-3)
    assert [one.sd for one in found] == pytest.approx(list(spreads), abs=2e-3)


@settings(max_examples=25)
@given(st.floats(1.0, 3.5), st.floats(0.05, 0.6), st.integers(0, 5), st.integers(0, 5))
def test_a_higher_neighbour_is_never_a_lower_string(
    number: float, more: float, read: int, other: int
) -> None:
    """The more one string was measured, the higher every string with the same lean is believed."""
    spreads = Spreads((0.5,), OWN, alone=3.0, alone_probability=0.0)

    def mean(amount: float) -> float:
        parts = [
            Linked(2.0, (1.0,), (bell(GRID, amount, 0.1),) if i == read else ()) for i in range(6)
        ]
        return linked_beliefs(GRID, tuple(parts), spreads)[other].mean

    assert mean(number + more) > mean(number)


def test_a_string_that_stands_by_itself_is_believed() -> None:
    """Now and then a value has nothing to do with the others: what was measured of it then goes
    before what they foretell."""
    spreads = Spreads((0.5,), 0.05, alone=1.5, alone_probability=0.05)
    values = [Linked(2.0, (1.0,), (bell(GRID, 2.0, 0.05),)) for _ in range(5)]
    values.append(Linked(2.0, (1.0,), (bell(GRID, 3.5, 0.1),)))
    assert linked_beliefs(GRID, tuple(values), spreads)[5].mean == pytest.approx(3.5, abs=0.05)


def test_an_error_that_all_share_does_not_average_out() -> None:
    """Five strings read off one rule leave the sixth no better known than the rule."""
    values = [Linked(2.0, (1.0,), (bell(GRID, 2.0, 0.4),), shared_error=0.4) for _ in range(5)]
    values.append(Linked(2.0, (1.0,)))
    spreads = Spreads((0.5,), 0.05, alone=1.5, alone_probability=0.0)
    assert linked_beliefs(GRID, tuple(values), spreads)[5].sd >= 0.4

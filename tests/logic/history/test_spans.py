"""Spans are sets of event numbers: every operation against Python's own sets."""

from __future__ import annotations

import json
from collections.abc import Iterable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.history.journal.held_events import HeldEvents
from logic.history.journal.spans import Run, Spans
from shared.events import Event

DEVICES = ("a", "b", "c")
NUMBERS = st.sets(st.tuples(st.sampled_from(DEVICES), st.integers(1, 25)), max_size=40)
RUNS = st.lists(
    st.tuples(st.sampled_from(DEVICES), st.integers(1, 25), st.integers(0, 8)), max_size=15
)


def numbers_of(runs: Iterable[Run]) -> set[tuple[str, int]]:
    """Every (device, number) in some runs; ValueError when a number stands in two of them."""
    found = [(run.device, seq) for run in runs for seq in range(run.first, run.last + 1)]
    if len(found) != len(set(found)):
        raise ValueError("runs overlap")
    return set(found)


def spans_of(numbers: set[tuple[str, int]]) -> Spans:
    """Spans made one number at a time."""
    spans = Spans()
    for device, seq in sorted(numbers, key=hash):
        spans.add(device, seq)
    return spans


@given(RUNS)
def test_adding_runs_is_union(runs: list[tuple[str, int, int]]) -> None:
    """Whatever runs are added in whatever order, the spans hold just their numbers."""
    spans, plain = Spans(), set()
    for device, first, more in runs:
        spans.add(device, first, first + more)
        plain |= {(device, seq) for seq in range(first, first + more + 1)}
    assert numbers_of(spans) == plain
    assert len(spans) == len(plain)


@given(NUMBERS)
def test_runs_are_sorted_and_as_long_as_can_be(numbers: set[tuple[str, int]]) -> None:
    """No two runs touch: the same set always has the same runs, however it was made."""
    one, other = spans_of(numbers), Spans.of_numbers(numbers)
    assert one == other and list(one) == list(other) == sorted(one)
    for device in DEVICES:
        runs = one.of_device(device)
        assert all(first <= last for first, last in runs)
        assert all(a[1] + 1 < b[0] for a, b in pairwise(runs))


@given(NUMBERS)
def test_membership_is_that_of_the_set(numbers: set[tuple[str, int]]) -> None:
    """Inside, between, before and after every run, and of devices that are not there."""
    spans = Spans.of_numbers(numbers)
    for device in (*DEVICES, "nobody"):
        for seq in range(28):
            assert ((device, seq) in spans) == ((device, seq) in numbers)


@given(NUMBERS, NUMBERS)
def test_union_difference_and_intersection_are_those_of_sets(
    one: set[tuple[str, int]], other: set[tuple[str, int]]
) -> None:
    """The three operations of an exchange, each run by run and never with an overlap."""
    left, right = Spans.of_numbers(one), Spans.of_numbers(other)
    assert numbers_of(left.difference(right)) == one - other
    assert numbers_of(left.intersection(right)) == one & other
    left.update(right)
    assert numbers_of(left) == one | other
    assert numbers_of(right) == other


@given(NUMBERS, NUMBERS, NUMBERS)
def test_the_algebra_of_sets_holds(
    a: set[tuple[str, int]], b: set[tuple[str, int]], c: set[tuple[str, int]]
) -> None:
    """Union is commutative, associative and idempotent, so any order of an exchange agrees."""

    def union(*sets: set[tuple[str, int]]) -> Spans:
        spans = Spans()
        for each in sets:
            spans.update(Spans.of_numbers(each))
        return spans

    assert union(a, b) == union(b, a)
    assert union(a, b, c) == union(c, b, a) == union(b, a, c)
    assert union(a, a, b, b) == union(a, b)


@given(NUMBERS, st.sampled_from(DEVICES))
def test_a_device_can_be_removed(numbers: set[tuple[str, int]], gone: str) -> None:
    """All of its numbers go, and nothing else does."""
    spans = Spans.of_numbers(numbers)
    spans.discard_device(gone)
    assert numbers_of(spans) == {(device, seq) for device, seq in numbers if device != gone}


@given(NUMBERS)
def test_the_vector_says_how_far_nothing_is_missing(numbers: set[tuple[str, int]]) -> None:
    """Per device the number before the first gap, counted from 1."""
    spans = Spans.of_numbers(numbers)
    for device in DEVICES:
        dense = next(n for n in range(1, 28) if (device, n) not in numbers) - 1
        assert spans.upto(device) == dense
        assert spans.vector().get(device, 0) == dense


@given(NUMBERS)
def test_the_wire_form_is_json_and_comes_back(numbers: set[tuple[str, int]]) -> None:
    """What a message holds makes the same spans at the other side."""
    spans = Spans.of_numbers(numbers)
    assert Spans(json.loads(json.dumps(spans.wire()))) == spans


@given(NUMBERS)
def test_what_a_history_holds_becomes_the_same_set(numbers: set[tuple[str, int]]) -> None:
    """From the compact record of a journal, with and without gaps."""
    held = HeldEvents()
    for device, seq in numbers:
        held.add(Event(bench="b", device=device, seq=seq, time="1.0", kind="x", body={}))
    assert numbers_of(Spans.of_held(held)) == numbers


@pytest.mark.parametrize(("first", "last"), [(0, 1), (-3, 2), (5, 4)])
def test_what_is_no_run_is_refused(first: int, last: int) -> None:
    """Numbers begin with 1, and a run does not end before it begins."""
    spans = Spans()
    with pytest.raises(ValueError, match="no run"):
        spans.add("a", first, last)
    assert len(spans) == 0


def test_a_run_on_the_wire_that_ends_before_it_begins_holds_nothing() -> None:
    """As the protocol says: such a run is not an error."""
    assert Spans({"a": [(4, 3), (6, 7)]}) == Spans({"a": [(6, 7)]})


def test_spans_are_no_keys() -> None:
    """A set that changes cannot be one."""
    with pytest.raises(TypeError):
        hash(Spans())
    assert Spans() != {"a": [(1, 2)]}

"""Nuts of any kind and state, as calls and gates would describe them."""

from __future__ import annotations

from functools import cache

from hypothesis import strategies as st

from logic.bench.raising.nut_evidence import NutEvidence
from logic.jobfiles.reading import preset_instrument
from logic.testing import TRADE, sharp_by, usual_kit
from shared.instrument import Instrument, NutType
from shared.job import CallKind, Gate, GateState, Interval, Job, StringCall, Window
from shared.units import Length

KINDS = ("electric guitar", "12-string guitar", "soprano ukulele", "5-string banjo", "mandolin")
KIT = usual_kit()
TARGET_MM = 0.5
SIGNS = (
    ("slot_width", "slot too narrow", CallKind.WIDEN),
    ("slot_width", "slot too wide", CallKind.CHECK_FIRST),
    ("seated", "not seated", CallKind.WIDEN),
    ("side_play", "slot too wide", CallKind.CHECK_FIRST),
    ("slot_shape", "V-shaped slot", None),
    ("slot_wall", "slot wall broken", CallKind.RAISE),
)
"""Checks that fail about a nut, each with its reason and the call that it imposes."""


def call_of(string: int, kind: CallKind, off_mm: float | None = None) -> StringCall:
    """One call, for a string that stands so far over its target (below zero: under it); of None
    nothing was read."""
    at = TARGET_MM + (off_mm or 0.0)
    read = Interval(estimate=at, low=at - 0.05, high=at + 0.05)
    return StringCall(
        string=string,
        call=kind,
        reason="",
        why="",
        confidence=0.97,
        clearance_mm=None if off_mm is None else read,
        window_mm=Window(low=0.4, target=TARGET_MM, high=0.6),
        slot_cut_mm=off_mm if kind is CallKind.LOWER else None,
        raise_mm=-off_mm if kind is CallKind.RAISE and off_mm is not None else None,
    )


def calls_at(off_mm: dict[int, float], others: CallKind = CallKind.LEAVE) -> tuple[StringCall, ...]:
    """Six calls: these strings stand so far over their targets, below zero under them."""
    return tuple(
        call_of(s, CallKind.LOWER if off_mm[s] > 0 else CallKind.RAISE, off_mm[s])
        if s in off_mm
        else call_of(s, others, 0.0)
        for s in (6, 5, 4, 3, 2, 1)
    )


def failed(gate: str, reason: str, imposes: CallKind | None, *strings: int) -> Gate:
    """A check that failed for these strings, or for all if none is named."""
    return Gate(
        gate=gate,
        state=GateState.FAILED,
        ask="",
        why="",
        strings=strings,
        reason=reason,
        imposes=imposes,
    )


def passed(*gates: str) -> tuple[Gate, ...]:
    """Checks that passed for every string."""
    return tuple(Gate(gate=gate, state=GateState.PASSED, ask="", why="") for gate in gates)


ALL_KNOWN = passed("relief", "frets", "glued", "valuable")
"""Everything that has to be known before anything is done that cannot be undone."""


@cache
def _usual(kind: str) -> Instrument:
    return preset_instrument(kind, TRADE)


def instrument_of(kind: str = "electric guitar", **nut: object) -> Instrument:
    """The usual instrument of a kind, with a nut like this."""
    instrument = _usual(kind)
    return instrument.model_copy(update={"nut": instrument.nut.model_copy(update=nut)})


def evidence_of(
    calls: tuple[StringCall, ...],
    instrument: Instrument,
    gates: tuple[Gate, ...] = (),
    cents_at_1: dict[int, float] | None = None,
    known: tuple[Gate, ...] = ALL_KNOWN,
) -> NutEvidence:
    """A nut with these calls, with the usual kit beside it, and the neck known to be right."""
    heard = tuple(sharp_by(cents, string=string) for string, cents in (cents_at_1 or {}).items())
    whole = Job(instrument=instrument, kit=KIT, readings=heard)
    return NutEvidence.of(whole, calls, (*known, *gates), TRADE)


HEIGHTS_MM = {
    CallKind.RAISE: (None, -0.02, -0.1, -0.3, -0.6, -1.9),
    CallKind.LOWER: (None, 0.05, 0.1, 0.12, 0.19, 0.5),
}
"""Heights over target that go with a call; None: never read."""


FIRST = ("relief", "frets", "glued", "valuable", "time", "shim")
"""Checks that decide what may be recommended."""
_RARELY = (False, False, False, True)


@st.composite
def answers(draw: st.DrawFn, strings: list[int]) -> tuple[Gate, ...]:
    """How those checks stand, each for all strings or for some; some were never asked."""
    states = st.sampled_from((*[GateState.PASSED] * 5, *GateState))
    some = st.one_of(st.just([]), st.lists(st.sampled_from(strings), max_size=2, unique=True))
    gates = []
    for name in FIRST:
        if draw(st.sampled_from((True, True, True, False))):
            of = tuple(draw(some)) if name == "frets" else ()
            gates.append(_answer(name, draw(states), of))
    return tuple(gates)


def _answer(name: str, state: GateState, strings: tuple[int, ...]) -> Gate:
    reason = {"time": "never cut in a hurry", "shim": "shim under the nut"}.get(name, "")
    bars = {"relief": _ALL, "frets": _ALL, "valuable": _ALL[:1], "time": _ALL[:1]}
    return Gate(
        gate=name,
        state=state,
        ask="",
        why="",
        strings=strings,
        reason=reason if state is GateState.FAILED else "",
        forbids=() if state is GateState.PASSED else bars.get(name, _ALL[:1]),
    )


_ALL = (CallKind.LOWER, CallKind.RAISE)


ANY_TYPE = (NutType.SLOTTED, NutType.SLOTTED, *NutType)


@st.composite
def nuts(draw: st.DrawFn, types: tuple[NutType, ...] = ANY_TYPE) -> NutEvidence:
    """A nut of these types in any state, with one, two or three different calls on it."""
    shim = draw(st.sampled_from((None, None, "0.1 mm", "0.3 mm", "0.6 mm")))
    instrument = instrument_of(
        draw(st.sampled_from(KINDS)),
        type=draw(st.sampled_from(types)),
        original=draw(st.sampled_from(_RARELY)),
        glued=draw(st.sampled_from(_RARELY)),
        shim=Length.parse(shim) if shim else None,
    )
    strings = [spec.string for spec in instrument.strings]
    kinds = st.sampled_from(draw(st.lists(st.sampled_from(CallKind), min_size=1, max_size=3)))
    calls = tuple(draw(_calls(string, draw(kinds))) for string in strings)
    some = st.lists(st.sampled_from(strings), min_size=1, unique=True)
    signs = draw(st.lists(st.tuples(st.sampled_from(SIGNS), some), max_size=3))
    gates = tuple(failed(*sign, *of) for sign, of in signs)
    cents_at_1 = st.dictionaries(st.sampled_from(strings), st.sampled_from((2.0, 4.0, 30.0)))
    heard, known = draw(cents_at_1), draw(answers(strings))
    return evidence_of(calls, instrument, gates, heard, known)


def _calls(string: int, kind: CallKind) -> st.SearchStrategy[StringCall]:
    """A call of this kind, at a height that goes with it; what is to be checked first may stand at
    any height."""
    if kind is CallKind.CHECK_FIRST:
        alone = st.sampled_from((CallKind.RAISE, CallKind.LOWER, CallKind.LEAVE))
        return alone.flatmap(lambda held: _calls(string, held)).map(_held_back)
    heights = HEIGHTS_MM.get(kind, (None, 0.0, 0.05))
    return st.sampled_from(heights).map(lambda off_mm: call_of(string, kind, off_mm))


def _held_back(call: StringCall) -> StringCall:
    """The same string, waiting for a check."""
    update = {"call": CallKind.CHECK_FIRST, "slot_cut_mm": None, "raise_mm": None}
    return call.model_copy(update=update | {"held_back": call})

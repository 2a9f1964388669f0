"""String calls and the advice for the whole nut as one plan: neither undoes the other.

A nut that is one part gets one verdict, a shim stays where a string needs it, a broken wall is no
height, and each call says what of the whole nut comes before it.
"""

from __future__ import annotations

from dataclasses import replace

from logic.bench.instrument.naming import strings_listed
from logic.bench.plan.call import apply_gates
from logic.bench.raising.lifting import shim_out
from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import NutFinding, WholeNut
from logic.bench.tables.vocabulary import RaiseMethod
from shared.amounts import computed
from shared.job import CallKind, Gate, GateState, RaiseOption, StringCall
from shared.reasons import CallReason, GateReason
from shared.words import mark, say

_LOW_FIRST = mark("It stands high, but the nut is one piece, and what is low comes first.")
_NO_SHIM = mark("The nut is one piece, and a shim that cured this string would spoil as many.")
_HIGH = mark("It stands high, and the nut is one piece: no slot of it is filed.")
_LOW_COMES_FIRST = (NutFinding.ONE_PIECE_LOW, NutFinding.NECK_FIRST, NutFinding.CHECKS_FIRST)
_AGAIN = mark("Set the low side, then read this string again.")
_OTHER_NUT = mark("Read all strings again; if it stays so, a nut whose curve fits the frets.")
_LOOK = mark("Look for shims under the nut: what can come out lowers every string.")


def with_shim_settled(nut: NutEvidence) -> NutEvidence:
    """The evidence with a shim that must stay staying: what its check held back is free again, and
    the check says why. A shim comes out only if no string falls below its window by it."""
    needing = _needing_the_shim(nut)
    if not needing:
        return nut
    gates = tuple(_staying(gate, needing, nut) for gate in nut.gates)
    calls = tuple(_freed(call, gates, nut) for call in nut.calls)
    return replace(nut, calls=calls, gates=gates)


def in_agreement(nut: NutEvidence, found: WholeNut) -> tuple[StringCall, ...]:
    """The calls as they fit what is advised for the nut as a whole, in the order they came."""
    return tuple(_agreeing(call, nut, found) for call in nut.calls)


def with_walls_judged(nut: NutEvidence) -> NutEvidence:
    """The evidence with broken walls called for what they are: a repair whose height nobody has
    read, or a question which slot it is."""
    return replace(nut, calls=tuple(_wall_judged(call, nut) for call in nut.calls))


# --- a shim that stays ---


def _needing_the_shim(nut: NutEvidence) -> tuple[int, ...]:
    """Strings that would stand too low without the shim; none where it may come out, or where that
    is not known."""
    if not any(_is_shim(gate) for gate in nut.gates):
        return ()
    if nut.low:
        return nut.low
    if not nut.waiting_high or shim_out(nut) is not None or not set(nut.common) <= nut.read:
        return ()
    out = nut.shim_mm
    return tuple(
        string
        for string in nut.common
        if out and nut.positions[string].lifted_mm(-out) < nut.positions[string].low_mm
    )


def _is_shim(gate: Gate) -> bool:
    return gate.state is GateState.FAILED and gate.reason == GateReason.SHIM_UNDER_THE_NUT


def _staying(gate: Gate, needing: tuple[int, ...], nut: NutEvidence) -> Gate:
    if not _is_shim(gate):
        return gate
    names = strings_listed(tuple(map(nut.instrument.name_of, needing)))
    why = say("The shim under the nut stays: without it {strings} would be too low.", strings=names)
    return gate.model_copy(update={"why": why, "forbids": ()})


def _freed(call: StringCall, gates: tuple[Gate, ...], nut: NutEvidence) -> StringCall:
    """The call once the shim no longer holds it back; other checks still may."""
    held = call.held_back
    if held is None or "shim" not in nut.holding(call.string, held.call):
        return call
    free = apply_gates(held, gates, nut.trade.call)
    kept = {"held_back": held if free.call is not held.call else None}
    return free.model_copy(update=kept | {"cents_at_fret_1": call.cents_at_fret_1})


# --- a broken wall ---


def _wall_judged(call: StringCall, nut: NutEvidence) -> StringCall:
    if call.reason != GateReason.SLOT_WALL_BROKEN or call.call is not CallKind.RAISE:
        return call
    alone = call.held_back.call if call.held_back else call.call
    whole = any(gate.reason == call.reason and not gate.strings for gate in nut.gates)
    if whole and alone is not CallKind.RAISE:
        step = say("Which slot is it? Say so for that string alone; the others are not in doubt.")
        return _first(call, call.reason, call.why, step)
    step = say("A new nut, or that wall rebuilt and its slot cut again: see the whole nut.")
    if nut.one_piece:
        step = say("The part is replaced: no wall of it is rebuilt.")
    trust = nut.trade.call.skipped_confidence if call.clearance_mm is None else 1.0
    return call.model_copy(update={"next_step": step, "confidence": min(call.confidence, trust)})


# --- one part, one verdict ---


def _agreeing(call: StringCall, nut: NutEvidence, found: WholeNut) -> StringCall:
    if nut.one_piece and call.string in nut.common:
        return call if call.reason == GateReason.SLOT_WALL_BROKEN else _of_one_piece(call, found)
    step = _next_step(call, found) or _widened_then(call, nut)
    return call.model_copy(update={"next_step": step}) if step else call


def _of_one_piece(call: StringCall, found: WholeNut) -> StringCall:
    """Up or down for every string of the nut, never both, and never by a file."""
    kind, decides = call.call, found.finding.kind
    if kind not in (CallKind.RAISE, CallKind.LOWER):
        return call
    call = call.model_copy(update={"slot_cut_mm": None, "file_mm": None, "file_note": ""})
    if decides is NutFinding.ONE_PIECE_UNFIT:
        return _first(call, CallReason.ONE_PIECE, say(_NO_SHIM), say(_OTHER_NUT))
    if kind is CallKind.LOWER and decides in _LOW_COMES_FIRST:
        return _first(call, CallReason.ONE_PIECE, say(_LOW_FIRST), say(_AGAIN))
    if kind is CallKind.LOWER and decides is not NutFinding.ONE_PIECE_SHIMMED:
        return _first(call, CallReason.ONE_PIECE, say(_HIGH), say(_LOOK))
    return call.model_copy(update={"next_step": _shims(kind, found.recommended)})


def _shims(kind: CallKind, way: RaiseOption | None) -> str:
    amount = computed(way.amount_mm) if way is not None and way.amount_mm else None
    if kind is CallKind.LOWER:
        if amount is None:
            return say("Whole shims out from under the nut; read every string again.")
        return say("Shims out by {amount}; read every string again.", amount=amount)
    if amount is None:
        return say("Whole shims under the nut; read every string again.")
    return say("Shims in by {amount}; read every string again.", amount=amount)


def _first(call: StringCall, reason: str, why: str, step: str) -> StringCall:
    """Nothing is done to this slot before something else is."""
    return call.model_copy(
        update={
            "call": CallKind.CHECK_FIRST,
            "reason": str(reason),
            "why": why,
            "next_step": step,
            "slot_cut_mm": None,
            "raise_mm": None,
            "file_mm": None,
            "file_note": "",
            "held_back": call.held_back or call,
        }
    )


# --- what comes before a slot ---

_BEFORE_FILING = {
    RaiseMethod.BASE: mark("The base first: see the whole nut. Then read this string again."),
    RaiseMethod.SHIM: mark("The shim first: see the whole nut. Then read this string again."),
    RaiseMethod.WEDGE: mark("The wedge first: see the whole nut. Then read this string again."),
    RaiseMethod.NEW_NUT: mark("A new nut is advised: no file in this slot unless the nut stays."),
}
"""By the method that is recommended, what a slot to be filed waits for."""
_RAISED_BY = {
    RaiseMethod.STRIP: mark("A strip of paper or foil under it, in its slot; the rest can wait."),
    RaiseMethod.SHIM: mark("The shim under the nut raises it: see the whole nut."),
    RaiseMethod.WEDGE: mark("The wedge under the nut raises it: see the whole nut."),
    RaiseMethod.NEW_NUT: mark("A new nut raises it: see the whole nut."),
    RaiseMethod.FILL: mark("Fill the slot and cut it again: see the whole nut."),
}
"""By the method that is recommended, how a low string is raised."""
_HAS_ITS_STEP = (GateReason.SLOT_WALL_BROKEN, CallReason.TIGHT_AND_LOW)
"""A shim mends no wall and widens no slot."""


def _next_step(call: StringCall, found: WholeNut) -> str:
    """What the whole nut has to say to this string; empty where its own step stands."""
    way = found.recommended
    if call.call is CallKind.RAISE and call.reason not in _HAS_ITS_STEP:
        if way is None:
            return say("See what can be done to the whole nut.")
        return say(_RAISED_BY[RaiseMethod(way.method)])
    files = call.call in (CallKind.LOWER, CallKind.WIDEN)
    before = _BEFORE_FILING.get(RaiseMethod(way.method)) if way is not None and files else None
    return say(before) if before else ""


def _widened_then(call: StringCall, nut: NutEvidence) -> str:
    """The question that a tight slot waits for, and that it is widened then; empty where it waits
    for none."""
    tight = any(
        gate.imposes is CallKind.WIDEN and call.string in (gate.strings or nut.positions)
        for gate in nut.gates
        if gate.state is GateState.FAILED
    )
    if call.call is not CallKind.CHECK_FIRST or call.open_check is None or not tight:
        return ""
    return say(
        "{question} The slot is too tight and is widened after that.", question=call.next_step
    )

"""The call for one slot, from what is believed, what is heard, and what the checks allow."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import COUNTED, FretNames
from logic.bench.measuring.contradictions import Contradiction
from logic.bench.measuring.grid import Curve, Posterior
from logic.bench.measuring.next_leaf import SETTLED, LeafAdvice
from logic.bench.measuring.verdict import (
    LOW_AND_BUZZES,
    LOW_BUT_CLEAN,
    LOW_FOR_HARD_PLAYING,
    NOT_HEIGHT,
    ON_TARGET,
    PLAY_IT_OPEN,
    RESTING,
    TOO_HIGH,
    Verdict,
)
from logic.bench.plan.amounts import raise_mm, reading_error_mm, slot_cut_mm
from logic.bench.plan.string_belief import clearance_interval
from logic.bench.window.string_window import StringWindow
from shared.amounts import computed
from shared.job import (
    IRREVERSIBLE,
    OVER_A_SEMITONE,
    CallKind,
    Gate,
    GateState,
    StringCall,
    Window,
)
from shared.marked import laid_together
from shared.reasons import CallReason, GateReason, OpenCheck
from shared.units import Length
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable

_FILED_SINCE = mark("It was filed since it was last read: back to pitch, and read it again.")
_MOVED_SINCE = mark(
    "What was done to the instrument since has moved it: back to pitch, and read it again."
)
_CENTS_ALONE = mark(
    "Cents alone never take a file: a sharp note has other causes than height. Read the clearance."
)
_A_HAIR_HIGH = mark(
    "It stands in its window, a hair high: it could come down {amount} if the player wants."
)
_LOW_BY_MODEL = mark(
    "It stands lower than this string asks for as it is tuned and played, yet it rings clean, so "
    "it stays."
)
_LOW_IN_WINDOW = mark("It stands in the lower part of its window and rings clean, so it stays.")
_WEAR = mark("Note it on the record: wear takes it lower.")
_IF_IT_BUZZES = mark("If it buzzes under a harder hand, this is why: note it on the record.")
_BY_LEAF_TOO = mark(
    "Read it with a leaf as well before anything comes off: so great a number may hold the height "
    "of the fret."
)
_HEIGHT_OR_NOT = mark(
    "It stands a little under its target and buzzes: it may be the height, and it may be something "
    "else."
)
_PAPER_TEST = mark(
    "Slip a strip of paper under the string in its slot: if the buzz goes, it was the height."
)
_EXPLAINS_A_BUZZ = (LOW_AND_BUZZES, LOW_FOR_HARD_PLAYING, NOT_HEIGHT)
_UNRESOLVED = (GateState.OPEN, GateState.FAILED)
_NEEDS_A_WINDOW = (TOO_HIGH, LOW_AND_BUZZES, LOW_FOR_HARD_PLAYING, NOT_HEIGHT)

_WHY = {
    ON_TARGET: mark("It stands in its window, close enough to the target."),
    LOW_BUT_CLEAN: mark("It stands low, but the open string rings clean, so it stays."),
    TOO_HIGH: mark("It stands higher than its target."),
    LOW_AND_BUZZES: mark("It stands low and buzzes open."),
    LOW_FOR_HARD_PLAYING: mark("It stands low and buzzes open when it is hit hard."),
    RESTING: mark("It lies on the first crown, or as good as on it."),
    NOT_HEIGHT: mark(
        "There is room over fret {first} and it still buzzes, so height is not the cause."
    ),
    PLAY_IT_OPEN: mark("It stands low; whether that matters is for the ear to say."),
}
_NEXT = {
    ON_TARGET: "",
    LOW_BUT_CLEAN: mark("Note it on the record; it has nothing left to lose to wear."),
    NOT_HEIGHT: mark(
        "Look at relief, the crowns, the slot's fit and the string before its height."
    ),
    PLAY_IT_OPEN: mark(
        "Play it open soft, normal and hard, and answer for the gentlest that buzzes."
    ),
}


@dataclass(frozen=True)
class Evidence:
    """Everything that the call for one string is made from."""

    string: int
    window: StringWindow
    believed: Posterior
    verdicts: dict[Verdict, Curve]
    measured: bool
    """Whether any reading that counts speaks of the height."""
    by_touch: bool = True
    """Whether what speaks of nothing but the height would do without the cents: they alone never
    take a file."""
    unconfirmed: bool = False
    """Whether it was read so high, and by a number alone, that a leaf must say it too before
    anything is measured off."""
    filed: bool = False
    """A file has been in the slot since the readings that no longer count."""
    stale: bool = False
    """A step of the set-up has moved it since the readings that no longer count."""
    contradiction: Contradiction | None = None
    advice: LeafAdvice = SETTLED
    frets: FretNames = COUNTED
    """What the frets under it are called."""
    cut_share: float = OVER_A_SEMITONE
    """How much of a cut in its slot arrives over its first fret."""


def make_call(evidence: Evidence, table: CallTable) -> StringCall:
    """The call on height alone, before the checks have their say."""
    verdict, chance = leading(evidence.verdicts)
    if evidence.contradiction is not None:
        return _contradicted(evidence, evidence.contradiction, chance, table)
    if evidence.stale:
        return _read_again(evidence, CallReason.MOVED, say(_MOVED_SINCE), chance, table)
    if not evidence.measured:
        why = _FILED_SINCE if evidence.filed else mark("No reading of its height yet.")
        return _read_again(evidence, CallReason.NOT_READ, say(why), chance, table)
    if verdict.call is CallKind.LOWER and not evidence.by_touch:
        return _read_again(evidence, CallReason.NOT_SURE, say(_CENTS_ALONE), chance, table)
    if chance < table.call_at_least:
        return _undecided(evidence, verdict, chance, table)
    return _decided(evidence, verdict, chance, table)


def leading(verdicts: dict[Verdict, Curve]) -> tuple[Verdict, float]:
    """The most probable call with its most probable reason, and the call's probability."""
    chances = {verdict: sum(mass) for verdict, mass in verdicts.items()}
    calls: dict[CallKind, float] = {}
    for verdict, chance in chances.items():
        calls[verdict.call] = calls.get(verdict.call, 0.0) + chance
    call = max(calls, key=calls.__getitem__)
    reasons = [verdict for verdict in chances if verdict.call is call]
    return max(reasons, key=chances.__getitem__), calls[call]


def _decided(evidence: Evidence, verdict: Verdict, chance: float, table: CallTable) -> StringCall:
    if not evidence.window.exists and verdict in _NEEDS_A_WINDOW:
        return _no_window(evidence, chance, table)
    if verdict.call is CallKind.LOWER:
        return _lower(evidence, chance, table)
    if verdict.call is CallKind.RAISE:
        return _raise(evidence, verdict, chance, table)
    if verdict is ON_TARGET:
        return _leave(evidence, chance, table)
    if verdict is LOW_BUT_CLEAN and evidence.believed.median >= evidence.window.usual_low_mm:
        return _low_by_the_model(evidence, chance, table)
    if verdict is LOW_BUT_CLEAN and evidence.believed.median >= evidence.window.low_mm:
        why, step = say(_LOW_IN_WINDOW), say(_WEAR)
        return _call(evidence, verdict.call, verdict.reason, why, step, chance, table)
    why, step = say(_WHY[verdict], first=evidence.frets.first), say(_NEXT[verdict])
    return _call(evidence, verdict.call, verdict.reason, why, step, chance, table)


def _leave(evidence: Evidence, chance: float, table: CallTable) -> StringCall:
    """A slot in its window stays; where it stands over its target by more than the reading's own
    error, by how much it could come down is said."""
    over = evidence.believed.median - evidence.window.target_mm
    reason, why = CallReason.ON_TARGET, say(_WHY[ON_TARGET])
    if over > max(reading_error_mm(evidence.believed, table), table.on_target_above_mm):
        spare = computed(over / evidence.cut_share)
        reason, why = CallReason.A_HAIR_HIGH, say(_A_HAIR_HIGH, amount=spare)
    return _call(evidence, CallKind.LEAVE, reason, why, "", chance, table)


def _low_by_the_model(evidence: Evidence, chance: float, table: CallTable) -> StringCall:
    """Low for its tuning or its player, though at no unusual height: the ear says otherwise, and
    one of the two is wrong."""
    trust = min(chance, table.low_by_model_confidence)
    why, step = say(_LOW_BY_MODEL), say(_IF_IT_BUZZES)
    return _call(evidence, CallKind.LEAVE, LOW_BUT_CLEAN.reason, why, step, trust, table)


def _lower(evidence: Evidence, chance: float, table: CallTable) -> StringCall:
    cut = slot_cut_mm(evidence.believed, evidence.window, table, evidence.cut_share)
    step = say("Slacken, lift out, three light strokes, string back to pitch, read again.")
    if evidence.unconfirmed:
        cut, step = None, say(_BY_LEAF_TOO)
    elif cut is None and _known_well(evidence.believed, table):
        return _leave(evidence, 1.0 - chance, table)
    elif cut is None:
        step = say("How much is not known yet: read a thicker leaf before anything comes off.")
    why = say(_WHY[TOO_HIGH])
    made = _call(evidence, CallKind.LOWER, TOO_HIGH.reason, why, step, chance, table)
    return made.model_copy(update={"slot_cut_mm": cut})


def _raise(evidence: Evidence, verdict: Verdict, chance: float, table: CallTable) -> StringCall:
    amount = raise_mm(evidence.believed, evidence.window, evidence.cut_share)
    step = say(
        "Fill the slot and cut it again, or shim the nut: see the options for the whole nut."
    )
    why = say(_WHY[verdict])
    made = _call(evidence, CallKind.RAISE, verdict.reason, why, step, chance, table)
    return made.model_copy(update={"raise_mm": amount})


def _no_window(evidence: Evidence, chance: float, table: CallTable) -> StringCall:
    why = say("No clearance of this string is both clean and in tune for this player.")
    step = evidence.window.note or say(
        "Try another gauge, a gentler attack or a little more relief."
    )
    return _call(evidence, CallKind.CHECK_FIRST, CallReason.NO_WINDOW, why, step, chance, table)


def _undecided(evidence: Evidence, verdict: Verdict, chance: float, table: CallTable) -> StringCall:
    """Another leaf if one helps; else leave what is on the edge; else say what is lacking."""
    no_leaf = not evidence.advice.leaves
    if no_leaf and _known_well(evidence.believed, table):
        return _on_the_edge(evidence, verdict, chance, table)
    either = say("It could still go either way.")
    return _read_again(evidence, CallReason.NOT_SURE, either, chance, table)


def _known_well(believed: Posterior, table: CallTable) -> bool:
    """Whether more of the same reading would hardly tell the height any better."""
    low, high = believed.interval()
    return high - low <= table.amount_interval_mm


def _on_the_edge(
    evidence: Evidence, verdict: Verdict, chance: float, table: CallTable
) -> StringCall:
    """Too close to call with these leaves: what cannot be undone is not done."""
    if verdict in _EXPLAINS_A_BUZZ:
        reason, why, step = CallReason.HEIGHT_OR_NOT, say(_HEIGHT_OR_NOT), say(_PAPER_TEST)
        return _call(evidence, CallKind.CHECK_FIRST, reason, why, step, chance, table)
    if verdict.call is not CallKind.LOWER:
        return _decided(evidence, verdict, chance, table)
    why = say("It stands within a leaf of its upper limit; cutting is one-way, so it stays.")
    left = sum(sum(m) for v, m in evidence.verdicts.items() if v.call is CallKind.LEAVE)
    return _call(evidence, CallKind.LEAVE, ON_TARGET.reason, why, "", left, table)


def _contradicted(
    evidence: Evidence, found: Contradiction, chance: float, table: CallTable
) -> StringCall:
    words = found.in_words(evidence.frets)
    why = say("{statement}: both cannot be right.", statement=f"{words[:1].upper()}{words[1:]}")
    step = say("Check that it is at pitch and seated, wipe the leaves, and read both again.")
    chance = min(chance, table.contradicted_confidence)
    return _call(evidence, CallKind.READ_AGAIN, CallReason.CONTRADICTED, why, step, chance, table)


def _read_again(
    evidence: Evidence, reason: CallReason, why: str, chance: float, table: CallTable
) -> StringCall:
    """`confidence` is then how sure the leading call is so far, and never enough to act on."""
    if evidence.advice.leaves:
        step = say("Slide in {leaves}.", leaves=laid_together(evidence.advice.leaves))
    elif evidence.advice.lacking_mm is not None:
        lacking = Length.of(evidence.advice.lacking_mm)
        step = say("No leaf in the kit tells more; one of about {lacking} would.", lacking=lacking)
    else:
        another = mark("Measure it another way: a number, or the gap while held at fret {fret}.")
        step = say(another, fret=evidence.frets.of(3))
    chance = min(chance, table.call_at_least)
    return _call(evidence, CallKind.READ_AGAIN, reason, why, step, chance, table)


def _call(
    evidence: Evidence,
    call: CallKind,
    reason: CallReason,
    why: str,
    next_step: str,
    chance: float,
    table: CallTable,
) -> StringCall:
    window = evidence.window
    return StringCall(
        string=evidence.string,
        call=call,
        reason=reason.value,
        why=why,
        next_step=next_step,
        confidence=round(min(chance, table.most_confidence), 3),
        clearance_mm=clearance_interval(evidence.believed) if evidence.measured else None,
        window_mm=Window(
            low=round(window.low_mm, 4),
            target=round(window.target_mm, 4),
            high=round(window.high_mm, 4),
            cut_to=round(window.cut_to_mm, 4),
            note=window.note,
        ),
        next_leaf_mm=evidence.advice.leaves_mm,
        cut_share=evidence.cut_share,
    )


def apply_gates(call: StringCall, gates: Iterable[Gate], table: CallTable) -> StringCall:
    """The call as the checks allow it: the first imposed call wins; what another check bars becomes
    what that check says instead, mostly *check first*, however little is known of it. What was
    never asked bars nothing, but no call that takes material is then sure."""
    own = [gate for gate in gates if not gate.strings or call.string in gate.strings]
    imposing = next((g for g in own if g.state in _UNRESOLVED and g.imposes is not None), None)
    if imposing is not None and imposing.imposes is not None:
        call = _imposed(call, imposing, imposing.imposes, table)
    barring = next((g for g in own if g is not imposing and _bars(g, call, imposing)), None)
    if barring is not None:
        return _redirected(call, barring, barring.instead, table)
    unasked = any(g.reason == GateReason.NOT_ASKED and g.weighs for g in own)
    if call.call in IRREVERSIBLE and unasked:
        trust = min(call.confidence, table.skipped_confidence)
        return call.model_copy(update={"confidence": trust})
    return call


def _bars(gate: Gate, call: StringCall, imposing: Gate | None) -> bool:
    """Whether a check bars a call. What makes every slot look low, and was not looked at, does not
    bar a new wall for a broken one: that was seen, not read. What asks for a slot to be eased does
    not bar filling it and cutting it anew."""
    seen = imposing is not None and imposing.imposes is CallKind.RAISE is call.call
    anew = gate.imposes is CallKind.EASE and call.call is CallKind.RAISE
    apart = (seen and gate.lacks) or (gate.inside_window and _stands_high(call)) or anew
    return gate.state is not GateState.PASSED and call.call in gate.forbids and not apart


def _imposed(call: StringCall, gate: Gate, kind: CallKind, table: CallTable) -> StringCall:
    """What a failed check makes of a call: a tight slot whose string stands low even so is filled
    and cut anew, which leaves nothing to ease or widen."""
    if kind is CallKind.EASE and call.call is CallKind.RAISE:
        return call
    if kind is CallKind.WIDEN and _stands_low(call):
        return _tight_and_low(call, table)
    return _redirected(call, gate, kind, table)


def _stands_low(call: StringCall) -> bool:
    """Whether the string stands under its window as it lies now, wherever it rests."""
    found = call.clearance_mm
    return call.call is CallKind.RAISE or bool(found and found.estimate < call.window_mm.low)


def _stands_high(call: StringCall) -> bool:
    """Whether the string is known to stand over its window."""
    found = call.clearance_mm
    return found is not None and found.estimate > call.window_mm.high


def _tight_and_low(call: StringCall, table: CallTable) -> StringCall:
    """Once it sits on the floor it stands lower still."""
    found, window = call.clearance_mm, call.window_mm
    under_mm = max(window.target - found.estimate, 0.0) if found else 0.0
    update = {
        "call": CallKind.RAISE,
        "reason": CallReason.TIGHT_AND_LOW.value,
        "why": say("The walls of its slot hold it up, and it stands low even so."),
        "next_step": say("Fill the slot and recut it to its string, or fit a new nut."),
        "confidence": min(call.confidence, table.imposed_confidence),
        "slot_cut_mm": None,
        "raise_mm": round(under_mm / call.cut_share, 4),
    }
    return call.model_copy(update=update)


def _redirected(call: StringCall, gate: Gate, kind: CallKind, table: CallTable) -> StringCall:
    """The same numbers under another call; amounts that no longer apply are dropped."""
    at_odds = gate.reason == GateReason.AT_ODDS
    trust = table.contradicted_confidence if at_odds else table.imposed_confidence
    lacking = OpenCheck(check=gate.gate, lacks=gate.lacks) if gate.lacks else None
    return call.model_copy(
        update={
            "call": kind,
            "reason": lacking.reason if lacking else gate.reason or gate.gate,
            "open_check": lacking,
            "why": gate.why,
            "next_step": "" if gate.state is GateState.FAILED else gate.ask,
            "confidence": trust,
            "slot_cut_mm": call.slot_cut_mm if kind is CallKind.LOWER else None,
            "raise_mm": call.raise_mm if kind is CallKind.RAISE else None,
        }
    )

"""Every way of setting the heights of a nut, side by side: what each lifts, and what it costs."""

from __future__ import annotations

from logic.bench.raising.lifting import (
    base_down,
    option_of,
    shim_out,
    shim_under,
    shim_under_one_piece,
    wedge_under,
    with_missed,
)
from logic.bench.raising.lifting_words import shim_and_recut
from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_side import low_side
from logic.bench.tables.vocabulary import RaiseMethod
from shared.instrument import NutType
from shared.job import RaiseOption
from shared.reasons import GateReason
from shared.words import say

_NOTHING_TO_SET = (NutType.ZERO_FRET, NutType.TALL_SLIDE)


def nut_options(
    nut: NutEvidence, base_mm: float | None = None, renew: bool = False
) -> tuple[RaiseOption, ...]:
    """The ways on offer, none of them recommended yet.

    `base_mm`: what may come off the base; None where it may not come down. `renew`: a sign on the
    nut asks for a new one, whatever its heights.
    """
    if nut.instrument.nut.type in _NOTHING_TO_SET:
        return ()
    found = _one_piece(nut) if nut.one_piece else _slotted(nut, renew)
    down = base_down(nut, base_mm) if base_mm else None
    offered = tuple(option for option in (*found, down) if option is not None)
    if nut.in_minutes:
        most = nut.trade.raising.minutes_at_hand
        return tuple(option for option in offered if (option.minutes or 0.0) < most)
    return offered


def _one_piece(nut: NutEvidence) -> tuple[RaiseOption | None, ...]:
    """Whole shims in where a string is low, else out where they are known to be there; a string on
    a small nut of its own is filled."""
    low, own = nut.on_common(nut.to_lift), tuple(s for s in nut.low if s not in nut.common)
    beside = (_strip(nut, own), _fill(nut, own)) if own else ()
    if not low:
        return (*beside, shim_out(nut))
    if not _known(nut, low):
        why = say("The nut moves in one piece, in whole shims; no slot is cut.")
        return (*beside, option_of(nut, RaiseMethod.SHIM, nut.common, reversible=True, why=why))
    return (*beside, shim_under_one_piece(nut, low))


def _slotted(nut: NutEvidence, renew: bool) -> tuple[RaiseOption | None, ...]:
    """What a slotted nut offers: of strings whose wall is gone nothing lies on the floor, and a V
    is no base for a fill. To strings that wait for the neck only what can be undone."""
    broken = set(nut.failed("slot_wall"))
    shaped = set(nut.failed("slot_shape", GateReason.V_SHAPED_SLOT))
    low = tuple(string for string in nut.to_lift if string not in broken)
    on_common = nut.on_common(low)
    to_repair = {*nut.low} | broken
    new = (renew or nut.on_common(to_repair)) and not _may_be_the_neck(nut)
    fillable = tuple(s for s in nut.strings if s in to_repair - (shaped - broken))
    return (
        _strip(nut, low) if low else None,
        _fill(nut, fillable) if fillable else None,
        *(_under(nut, on_common) if on_common else ()),
        _new_nut(nut) if new else None,
        shim_out(nut) if not low else None,
    )


def _may_be_the_neck(nut: NutEvidence) -> bool:
    """Whether all stand alike over their targets and nobody knows the neck, which may be all."""
    over = nut.over_target_mm.values()
    alike = len(over) == len(nut.calls) > 1 and max(over) - min(over) <= nut.alike_mm
    return alike and bool(nut.unsettled(nut.strings))


def _under(nut: NutEvidence, low: tuple[int, ...]) -> tuple[RaiseOption | None, ...]:
    """Wedge and shim."""
    side = low_side(nut.common, low) if len(low) > 1 else None
    if not _known(nut, low):
        return (_wedge_unknown(nut) if side else None, _shim_unknown(nut, low))
    return (wedge_under(nut, low, side) if side else None, shim_under(nut, low))


def _wedge_unknown(nut: NutEvidence) -> RaiseOption:
    why = say("Lifts the low end most and the far end hardly; read every string again afterwards.")
    return option_of(nut, RaiseMethod.WEDGE, nut.common, reversible=True, why=why)


def _shim_unknown(nut: NutEvidence, low: tuple[int, ...]) -> RaiseOption:
    others = tuple(string for string in nut.common if string not in low)
    why = shim_and_recut(tuple(map(nut.instrument.name_of, others)), "")
    return option_of(nut, RaiseMethod.SHIM, nut.common, slots=len(others), reversible=True, why=why)


def _strip(nut: NutEvidence, low: tuple[int, ...]) -> RaiseOption:
    """Paper or foil under each low string: a makeshift and a test, which files nothing."""
    needs = _needs(nut, low)
    made = option_of(
        nut,
        RaiseMethod.STRIP,
        low,
        reversible=True,
        amount_mm=max(needs.values(), default=0.0) or None,
        lifts_mm=needs,
        why=say(
            "A narrow strip of paper or foil under the string, in its slot: if the buzz goes, "
            "it was the slot. It comes out again."
        ),
    )
    return with_missed(nut, made)


def _fill(nut: NutEvidence, strings: tuple[int, ...]) -> RaiseOption:
    needs = _needs(nut, tuple(string for string in strings if string in nut.to_lift))
    common = (needs[string] for string in _low_by_height(nut) if string in needs)
    made = option_of(
        nut,
        RaiseMethod.FILL,
        strings,
        slots=len(strings),
        amount_mm=max(common, default=0.0) or None,
        lifts_mm=needs,
        why=say(
            "Touches only these slots: a filled one is cut again to its height, and holds its "
            "string less well sideways where it ends shallow."
        ),
        cautions_in_why=True,
    )
    return with_missed(nut, made)


def _low_by_height(nut: NutEvidence) -> tuple[int, ...]:
    """The strings of the common nut that stand low: a broken wall alone is no height, and asks for
    no amount."""
    reasons = {call.string: call.reason for call in nut.calls}
    return tuple(
        string
        for string in nut.on_common(nut.to_lift)
        if reasons[string] != GateReason.SLOT_WALL_BROKEN or not nut.positions[string].inside
    )


def _new_nut(nut: NutEvidence) -> RaiseOption:
    """Every slot fresh: each floor where its target asks for it."""
    wanted = {
        string: round((at.target_mm - at.clearance_mm) / at.cut_share, 4)
        for string, at in nut.positions.items()
        if string in nut.common and string in nut.read
    }
    most = max((wanted[s] for s in _low_by_height(nut) if s in wanted), default=0.0)
    made = option_of(
        nut,
        RaiseMethod.NEW_NUT,
        nut.common,
        reversible=nut.instrument.nut.original,
        amount_mm=most if most > 0 and _known(nut, nut.to_lift) else None,
        lifts_mm=wanted,
        why=say("Every slot fresh and to its string; keep the old nut with the instrument."),
        cautions_in_why=True,
    )
    return with_missed(nut, made)


def _known(nut: NutEvidence, strings: tuple[int, ...]) -> bool:
    """Whether every one of these strings has an amount to rise by."""
    return all(string in nut.read and nut.positions[string].need_mm > 0 for string in strings)


def _needs(nut: NutEvidence, strings: tuple[int, ...]) -> dict[int, float]:
    """How far each floor rises to its string's target, where all are known."""
    if not _known(nut, strings):
        return {}
    return {string: round(nut.positions[string].need_mm, 4) for string in strings}

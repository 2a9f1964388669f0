"""The one advice for the nut as a whole, from the calls, the gates and the kit of a job.

`find_whole_nut` decides; `nut_words` says it. What the nut shows is looked at twice: signs besides
heights (`nut_signs`) and the heights themselves (`nut_heights`).
"""

from __future__ import annotations

from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import WholeNut
from logic.bench.raising.nut_heights import all_high_alike, base_cut_mm, height_finding
from logic.bench.raising.nut_signs import signs_on
from logic.bench.raising.options import raise_options
from logic.bench.tables.vocabulary import RaiseMethod
from shared.instrument import NutType
from shared.job import RaiseOption
from shared.words import say


def find_whole_nut(nut: NutEvidence) -> WholeNut:
    """What the nut shows as a whole, and the methods on offer with the right one recommended.

    A sign that calls for a new nut decides, because on such a nut no height is worth setting; what
    the heights show is then said beside it only if it asks for the same. Otherwise the heights
    decide, and signs that ask for no method stand beside them.
    """
    options = nut_options(nut)
    signs = signs_on(nut)
    heights = height_finding(nut, {option.method: option for option in options})
    finding = next((sign for sign in signs if sign.method), heights)
    shown = (*signs, heights) if heights.method == finding.method else signs
    beside = tuple(found for found in shown if found is not finding)
    return WholeNut(finding, beside, _recommended(options, finding.method))


def nut_options(nut: NutEvidence) -> tuple[RaiseOption, ...]:
    """The methods on offer, none of them recommended yet; none where no slot would change a height
    or a clamping nut has to come down."""
    kind = nut.instrument.nut.type
    if kind is NutType.ZERO_FRET or (kind is NutType.CLAMPING and nut.high):
        return ()
    if nut.low:
        return raise_options(nut.calls, nut.instrument, nut.job.kit, nut.trade)
    return (_base(nut),) if all_high_alike(nut) else ()


def _base(nut: NutEvidence) -> RaiseOption:
    """Filing down the nut's base, by what every slot can spare."""
    return RaiseOption(
        method=RaiseMethod.BASE,
        amount_mm=base_cut_mm(nut),
        slots_touched=nut.high,
        minutes=nut.trade.raising.methods[RaiseMethod.BASE].minutes,
        why=say(
            "One flat surface to take down instead of every slot, and the slots keep their shape."
        ),
    )


def _recommended(
    options: tuple[RaiseOption, ...], method: RaiseMethod | None
) -> tuple[RaiseOption, ...]:
    """The options with this method recommended, if it is among them."""
    return tuple(
        option.model_copy(update={"recommended": option.method == method}) for option in options
    )

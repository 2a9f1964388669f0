"""What a shim or wedge does, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from logic.bench.instrument.naming import strings_listed
from shared.amounts import Joined, computed, span
from shared.instrument import Instrument
from shared.job import LowerAfter, RaiseOption
from shared.measurements import Side
from shared.words import listed, mark, say

_COMES_OUT = mark("The {shim} already there comes out.")
_RECUT = {
    (False, False): mark(
        "Comes out again, and lifts every slot; string {name} must then be lowered again."
    ),
    (True, False): mark(
        "Comes out again, and lifts every slot; strings {names} must then be lowered again."
    ),
    (False, True): mark(
        "Comes out again, and lifts every slot; string {name} must then be lowered again "
        "by {amounts}."
    ),
    (True, True): mark(
        "Comes out again, and lifts every slot; strings {names} must then be lowered again "
        "by {amounts}."
    ),
}
"""By whether there are several strings, and whether the amounts are known."""


def what_it_does(
    option: RaiseOption, instrument: Instrument, side: Side | None, there_mm: float
) -> str:
    """What a shim or wedge does, which strings come down again, and what it is made from."""
    after = option.lower_after
    again = tuple(instrument.name_of(cut.string) for cut in after)
    parts = (
        shim_and_recut(again, _amounts(after)),
        say("It is thick at the {side} edge.", side=say(side)) if side else "",
        say(_COMES_OUT, shim=computed(there_mm)) if there_mm else "",
        say("Take {pieces} from the stock.", pieces=from_stock(option.stack_mm))
        if option.stack_mm
        else say("No such shim in this kit: fetch one."),
    )
    return " ".join(part for part in parts if part)


def shim_and_recut(strings: tuple[str, ...], amounts: str) -> str:
    """What a shim does, which strings must come down again, and by how much where it is known."""
    if not strings:
        return say("Comes out again, and lifts every slot.")
    names = {"name": strings[0]} if len(strings) == 1 else {"names": listed(strings)}
    sentence = _RECUT[len(strings) > 1, bool(amounts)]
    return say(sentence, **names, **({"amounts": amounts} if amounts else {}))


def base_in_words(after: tuple[LowerAfter, ...], instrument: Instrument) -> str:
    """What taking the base down saves, and what is left for the slots."""
    saves = say(
        "One flat surface to take down instead of every slot, and the slots keep their shape."
    )
    if not after:
        return saves
    strings = strings_listed(tuple(instrument.name_of(cut.string) for cut in after))
    left = say("Then lower {strings} by {amounts} more.", strings=strings, amounts=_amounts(after))
    return f"{saves} {left}"


def in_whole_shims(side: Side | None, lifts: str) -> str:
    """Where the shims of a nut that is one part go, and what the strings rise by."""
    if side is None:
        return say(
            "In whole shims under the whole nut; the nut is one piece, so {lifts}.", lifts=lifts
        )
    return say(
        "In whole shims under the {side} side; the nut is one piece, so {lifts}.",
        side=say(side),
        lifts=lifts,
    )


def rises(lifts: Mapping[int, float], instrument: Instrument, held: int) -> str:
    """What the strings rise by (millimetres by string), so many held by each clamp; all alike in
    one breath."""
    order = sorted(lifts, reverse=True)
    if max(lifts.values()) - min(lifts.values()) < 1e-9:
        return say("every string rises by {lift}", lift=computed(lifts[order[0]]))
    together = (order[i : i + held] for i in range(0, len(order), held))
    return ", ".join(_rise(strings, lifts, instrument) for strings in together)


def from_stock(stack_mm: Iterable[float]) -> Joined:
    """The pieces that are laid on each other."""
    return Joined(tuple(map(computed, stack_mm)))


def _rise(strings: list[int], lifts: Mapping[int, float], instrument: Instrument) -> str:
    names = tuple(map(instrument.name_of, strings))
    lift = computed(sum(lifts[s] for s in strings) / len(strings))
    if len(names) == 1:
        return say("{string} rises by {lift}", string=names[0], lift=lift)
    return say("{strings} rise by {lift}", strings=listed(names), lift=lift)


def _amounts(after: tuple[LowerAfter, ...]) -> str:
    """From the least to the most that is cut at the slot afterwards."""
    return span(computed(cut.slot_cut_mm) for cut in after)

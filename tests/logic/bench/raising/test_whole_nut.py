"""The whole nut at a glance: base, wedge, shim, fill or a new nut."""

import pytest

from logic.bench.raising.whole_nut import advise_nut
from logic.jobfiles.reading import preset_instrument, preset_kit
from logic.trade_loader import load_trade_tables
from shared.instrument import Instrument, NutType
from shared.job import CallKind, Interval, NutAdvice, StringCall, Window

TRADE = load_trade_tables()


def call(string: int, kind: CallKind, amount_mm: float | None = None) -> StringCall:
    """One call, with its amount."""
    return StringCall(
        string=string,
        call=kind,
        reason="",
        why="",
        confidence=0.97,
        clearance_mm=Interval(estimate=0.5 + (amount_mm or 0.0), low=0.4, high=0.9),
        window_mm=Window(low=0.4, target=0.5, high=0.6),
        slot_cut_mm=amount_mm if kind is CallKind.LOWER else None,
        raise_mm=amount_mm if kind is CallKind.RAISE else None,
    )


def guitar(**nut: object) -> Instrument:
    """A six-string with a nut of this kind."""
    instrument = preset_instrument("electric guitar", TRADE)
    return instrument.model_copy(update={"nut": instrument.nut.model_copy(update=nut)})


def advise(low: dict[int, float], high: dict[int, float], **nut: object) -> NutAdvice:
    """The advice with these strings low and these high, by their amounts in millimetres."""
    calls = tuple(
        call(s, CallKind.RAISE, low[s])
        if s in low
        else call(s, CallKind.LOWER, high[s])
        if s in high
        else call(s, CallKind.LEAVE)
        for s in (6, 5, 4, 3, 2, 1)
    )
    return advise_nut(calls, guitar(**nut), preset_kit(TRADE), TRADE)


def recommended(advice: NutAdvice) -> list[str]:
    """The methods recommended."""
    return [option.method for option in advice.options if option.recommended]


@pytest.mark.parametrize(
    ("low", "high", "nut", "method"),
    [
        ({}, dict.fromkeys(range(1, 7), 0.2), {}, ["base"]),
        ({}, {6: 0.5, 5: 0.1, 4: 0.1, 3: 0.1, 2: 0.1, 1: 0.1}, {}, []),
        ({}, {6: 0.2}, {}, []),
        ({3: 0.1}, {}, {}, ["fill"]),
        ({6: 0.1, 5: 0.1}, {}, {}, ["wedge"]),
        ({2: 0.1, 1: 0.1}, {}, {}, ["wedge"]),
        ({6: 0.4, 5: 0.4}, {}, {}, ["wedge"]),
        (dict.fromkeys(range(1, 7), 1.8), {}, {"original": True}, ["new nut"]),
        ({6: 0.1, 3: 0.1, 1: 0.1}, {}, {}, ["new nut"]),
        (dict.fromkeys(range(1, 7), 0.2), {}, {}, ["new nut"]),
        (dict.fromkeys(range(1, 7), 0.2), {}, {"original": True}, ["shim"]),
        ({6: 0.1}, {}, {"type": NutType.CLAMPING}, ["shim"]),
        ({}, {}, {}, []),
    ],
)
def test_one_way_is_recommended_and_it_is_the_trades(
    low: dict[int, float], high: dict[int, float], nut: dict[str, object], method: list[str]
) -> None:
    """All high: base. One end low: wedge. Three low: new nut. Else by slot (common practice)."""
    assert recommended(advise(low, high, **nut)) == method


def test_a_shim_says_what_must_come_down_again() -> None:
    """A shim lifts every slot, so the good ones are named, and the stock at hand is used."""
    shim = next(o for o in advise({3: 0.17}, {}).options if o.method == "shim")
    assert shim.slots_touched == (6, 5, 4, 3, 2, 1)
    assert shim.amount_mm == pytest.approx(0.2)
    assert "6, 5, 4, 2 and 1" in shim.why


def test_a_fill_touches_only_the_low_slots() -> None:
    """Filling leaves the others alone."""
    fill = next(o for o in advise({3: 0.1, 5: 0.2}, {}).options if o.method == "fill")
    assert set(fill.slots_touched) == {3, 5}
    assert fill.amount_mm == pytest.approx(0.2)


def test_the_base_comes_down_by_what_every_slot_can_spare() -> None:
    """The lowest of the high strings sets how far the base may go."""
    high = {6: 0.20, 5: 0.18, 4: 0.22, 3: 0.21, 2: 0.19, 1: 0.2}
    assert advise({}, high).options[0].amount_mm == pytest.approx(0.18)


def test_no_amount_is_made_up_where_none_is_known() -> None:
    """A broken slot that was never read is raised by an amount nobody knows yet."""
    calls = (call(2, CallKind.LEAVE), call(1, CallKind.RAISE))
    advice = advise_nut(calls, guitar(), preset_kit(TRADE), TRADE)
    assert advice.options
    assert {option.amount_mm for option in advice.options} == {None}


def test_a_zero_fret_or_clamping_nut_is_not_filed() -> None:
    """There the slots carry nothing, or everything moves together."""
    assert "zero fret" in advise({}, {6: 0.2}, type=NutType.ZERO_FRET).advice
    assert "shims out" in advise({}, {6: 0.2}, type=NutType.CLAMPING).advice


def test_nothing_is_said_of_a_nut_half_read() -> None:
    """While strings wait for a reading, the nut as a whole waits too."""
    calls = (call(2, CallKind.LEAVE), call(1, CallKind.READ_AGAIN))
    advice = advise_nut(calls, guitar(), preset_kit(TRADE), TRADE)
    assert "until every string is read" in advice.advice
    assert advice.options == ()


def test_a_wedge_that_lifts_more_good_slots_than_low_ones_says_so() -> None:
    """By similar triangles 0.4 mm at string 5 lifts its neighbours well over their targets."""
    assert "filling touches only strings 6 and 5" in advise({6: 0.4, 5: 0.4}, {}).advice
    assert "filling" not in advise({6: 0.1, 5: 0.1}, {}).advice

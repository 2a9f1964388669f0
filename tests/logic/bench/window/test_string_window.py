"""The window of every string: common practice as the target, physics as the edges."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import isfinite
from time import perf_counter

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from logic.bench.instrument.changes import Changes, changed_instrument
from logic.bench.instrument.presets import kinds, preset_instrument
from logic.bench.instrument.strung_string import StrungString, family_of, strung_string
from logic.bench.instrument.targets import aim
from logic.bench.window.attack import pluck_forces, touching_force_n
from logic.bench.window.remedies import raised
from logic.bench.window.string_window import StringWindow, windows
from logic.testing import TRADE
from shared.errors import InputError
from shared.instrument import Attack, Instrument, Make, Nut, NutType, Player
from shared.pitch import Pitch
from shared.units import Length

THOU = 0.0254
USUAL = Player()
ELECTRIC = preset_instrument("electric guitar", TRADE)
LAWS = settings(deadline=None, max_examples=40)
GAUGES = st.integers(8, 20).map(lambda thou: Length.parse(f"{thou} thou"))
PITCHES = st.sampled_from(["A3", "B3", "C4", "D4", "E4", "F4"]).map(Pitch.parse)
LOW_PITCHES = st.sampled_from(["B1", "C2", "D2", "E2", "F2", "G2"]).map(Pitch.parse)


def targets_thou(kind: str, player: Player) -> list[int]:
    """Targets from the lowest string up, in thousandths of an inch."""
    found = windows(preset_instrument(kind, TRADE), player, TRADE)
    return [round(found[number].target_mm / THOU) for number in sorted(found, reverse=True)]


def window_of(instrument: Instrument, string: int, player: Player = USUAL) -> StringWindow:
    """One string's window."""
    return windows(instrument, player, TRADE)[string]


def tuned(string: int, pitch: str) -> Instrument:
    """The electric guitar with one string retuned."""
    return changed_instrument(ELECTRIC, Changes(pitches={string: Pitch.parse(pitch)}), TRADE)


@pytest.mark.parametrize("kind", ["electric guitar", "steel-string guitar"])
@pytest.mark.parametrize(
    ("attack", "thou"),
    [
        (Attack.LIGHT, [18, 18, 16, 16, 14, 14]),
        (Attack.MEDIUM, [20, 20, 18, 18, 16, 16]),
        (Attack.HEAVY, [22, 22, 20, 20, 18, 18]),
    ],
)
def test_six_string_targets(kind: str, attack: Attack, thou: list[int]) -> None:
    """A six-string is set where the trade sets it, by attack (common practice, no source)."""
    assert targets_thou(kind, Player(attack=attack)) == thou


def test_nylon_takes_more_under_the_thick_strings() -> None:
    """A nylon low E and thick plain G take 20 thou (common practice, no source)."""
    thou = targets_thou("nylon-string guitar", Player())
    assert (thou[0], thou[3]) == (20, 20)


def test_bass_takes_20_under_e_and_a() -> None:
    """On a bass E and A take 20 thou (common practice, no source)."""
    assert targets_thou("bass guitar", Player())[:2] == [20, 20]


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_common_practice_lies_inside_every_usual_window(kind: str) -> None:
    """At medium attack every string of every usual instrument takes the common-practice figure as
    its target, inside its window."""
    instrument = preset_instrument(kind, TRADE)
    for string, found in windows(instrument, Player(), TRADE).items():
        usual = aim(instrument.spec(string), instrument, Player(), TRADE).usual_mm
        assert found.exists
        assert found.target_mm == pytest.approx(usual)
        assert found.low_mm + 0.5 * THOU <= found.target_mm <= found.high_mm - 0.5 * THOU
        assert found.low_sd_mm > 0.0
        assert found.high_sd_mm > 0.0
        assert bool(found.note) is not instrument.fretted  # says why physics has no part in it


@pytest.mark.parametrize("name", [family.name for family in TRADE.attack.families])
def test_force_of_each_family_is_the_calibrated_one(name: str) -> None:
    """Each family's force is what puts the most demanding string's low edge three thousandths
    under common practice, to two figures."""
    table = TRADE.attack
    family = next(one for one in table.families if one.name == name)
    under = table.calibrated_under_target_thou * THOU
    touching = [
        touching_force_n(
            string, usual - under, min(family.from_bridge_mm, string.neck.scale_mm / 2)
        )
        for string, usual in usual_strings(family.kinds)
    ]
    assert min(touching) == pytest.approx(family.force_n, abs=0.012)


def usual_strings(of_kinds: Iterable[str]) -> list[tuple[StrungString, float]]:
    """Every string of the usual instruments of these kinds, with its common-practice target."""
    found = []
    for kind in of_kinds:
        instrument = preset_instrument(kind, TRADE)
        for spec in instrument.strings:
            usual = aim(spec, instrument, Player(), TRADE).usual_mm
            found.append((strung_string(spec, instrument, TRADE, usual), usual))
    return found


def test_own_target_wins() -> None:
    """A technician's own figure replaces the table's, and the window gives way around it."""
    for thou in (6, 15, 40):
        found = window_of(ELECTRIC, 3, Player(targets={3: Length.parse(f"{thou} thou")}))
        assert found.target_mm == pytest.approx(thou * THOU)
        assert found.low_mm < found.target_mm < found.high_mm
        assert found.note.startswith("Own target of this player")
        assert ("Your own target stands" in found.note) == (thou != 15)


def test_dropped_tuning_needs_more_and_bears_less() -> None:
    """A slacker string swings further and sharpens sooner (what every technician knows)."""
    edges = [window_of(tuned(6, pitch), 6) for pitch in ("E2", "D2", "C2", "B1")]
    lows = [found.low_mm for found in edges]
    tops = [found.in_tune_to_mm or 0.0 for found in edges]
    assert lows == sorted(lows)
    assert tops == sorted(tops, reverse=True)
    assert edges[1].target_mm == pytest.approx(20 * THOU)
    assert edges[2].target_mm > 20 * THOU
    assert "moved to stay clean" in edges[2].note


def test_a_heavier_string_undoes_a_dropped_tuning() -> None:
    """A .056 at C2 asks for about what a .046 at E2 does (what every technician knows)."""
    heavy = changed_instrument(tuned(6, "C2"), Changes(gauges={6: Length.parse("0.056 in")}), TRADE)
    usual, dropped = window_of(ELECTRIC, 6).low_mm, window_of(tuned(6, "C2"), 6).low_mm
    assert abs(window_of(heavy, 6).low_mm - usual) < (dropped - usual) / 4


def test_a_short_scale_needs_more() -> None:
    """The same strings at the same pitch are slacker on a short scale and ask for more."""
    short = ELECTRIC.model_copy(update={"scale": Length.parse("610 mm")})
    for string in range(1, 7):
        assert window_of(short, string).low_mm > window_of(ELECTRIC, string).low_mm


def test_more_relief_lets_the_nut_go_lower() -> None:
    """Where the second fret decides, relief makes room (what every technician knows)."""
    lows = [
        window_of(ELECTRIC.model_copy(update={"relief": Length.parse(relief)}), 2).low_mm
        for relief in ("0 mm", "0.2 mm", "0.4 mm")
    ]
    assert lows == sorted(lows, reverse=True)


def test_a_plain_third_is_first_out_of_tune() -> None:
    """Of the plain strings the third bears least (A. & B. 2024: κ = E/(ρ(2Lf)²))."""
    tops = {string: window_of(ELECTRIC, string).in_tune_to_mm or 0.0 for string in (1, 2, 3)}
    assert tops[3] < min(tops[1], tops[2])


def test_no_such_clearance_is_said_and_what_would_open_one() -> None:
    """A .046 slackened to A1 has no window; the note says so, and each remedy it names works."""
    found = window_of(tuned(6, "A1"), 6)
    assert not found.exists
    assert found.low_mm > found.high_mm
    assert found.low_mm < found.target_mm
    assert "No clearance is both clean and in tune" in found.note
    assert "a thicker string (0.053 in)" in found.note
    thicker = Changes(gauges={6: Length.parse("0.053 in")})
    assert window_of(changed_instrument(tuned(6, "A1"), thicker, TRADE), 6).exists
    assert "a light attack" not in found.note
    assert not window_of(tuned(6, "A1"), 6, Player(attack=Attack.LIGHT)).exists


def test_a_string_that_would_break_is_named_with_its_figures() -> None:
    """An E4 of .010 tuned up to C5 bears 3607 N/mm², more than ASTM A228 wire is sold to bear."""
    assert "would bear 3607 N/mm² and is sold to bear 2668" in window_of(tuned(1, "C5"), 1).note


@pytest.mark.parametrize(
    ("update", "word"),
    [
        ({"fretted": False}, "No frets"),
        ({"nut": Nut(type=NutType.ZERO_FRET)}, "zero fret"),
        ({"nut": Nut(type=NutType.TALL_SLIDE)}, "slide"),
    ],
)
def test_what_the_physics_does_not_speak_of(update: dict[str, object], word: str) -> None:
    """Fretless boards, zero frets and slide nuts get the table's figures and say why."""
    for found in windows(ELECTRIC.model_copy(update=update), Player(), TRADE).values():
        assert found.low_mm < found.target_mm < found.high_mm
        assert found.in_tune_to_mm is None
        assert word in found.note


def test_an_impossible_string_is_one_clear_error() -> None:
    """A string without thickness is refused by its number and field."""
    strings = (ELECTRIC.spec(1).model_copy(update={"gauge": Length.of(0)}),)
    with pytest.raises(InputError, match=r"string 1\.gauge_mm"):
        windows(ELECTRIC.model_copy(update={"strings": strings}), Player(), TRADE)


def test_a_fan_gives_each_string_its_own_length() -> None:
    """On a fanned neck the bass strings are longer, tighter, and need less."""
    fan = ELECTRIC.model_copy(update={"scale_bass": Length.parse("27.5 in")})
    assert window_of(fan, 1) == window_of(ELECTRIC, 1)
    assert window_of(fan, 6).low_mm < window_of(ELECTRIC, 6).low_mm


def test_a_banjo_s_fifth_counts_from_its_own_nut() -> None:
    """The fifth string shares its neighbours' saddle and takes the banjo's own clearances; on a
    straight neck all lie over one plane."""
    straight = {"relief": Length.of(0)}
    banjo = preset_instrument("5-string banjo", TRADE).model_copy(update=straight)
    fifth = strung_string(banjo.spec(5), banjo, TRADE, 0.35)
    assert fifth.neck.scale_mm == pytest.approx(banjo.scale.mm * 2 ** (-5 / 12))
    neighbour = strung_string(banjo.spec(4), banjo, TRADE, 0.35)
    assert fifth.neck.saddle_height_mm == pytest.approx(neighbour.neck.saddle_height_mm, abs=0.2)


@LAWS
@given(GAUGES, PITCHES)
def test_a_lighter_attack_opens_the_window(gauge: Length, pitch: Pitch) -> None:
    """The low edge falls with a lighter attack and the pitch edge stays."""
    instrument = changed_instrument(ELECTRIC, Changes(pitches={1: pitch}, gauges={1: gauge}), TRADE)
    found = [window_of(instrument, 1, Player(attack=attack)) for attack in Attack]
    assert found[0].low_mm <= found[1].low_mm <= found[2].low_mm
    assert found[0].in_tune_to_mm == found[1].in_tune_to_mm == found[2].in_tune_to_mm


@LAWS
@given(st.floats(1.5, 20), st.floats(1.01, 2), LOW_PITCHES)
def test_a_wider_budget_opens_the_window(cents: float, more: float, pitch: Pitch) -> None:
    """The pitch edge rises with the budget and the low edge stays."""
    instrument = changed_instrument(ELECTRIC, Changes(pitches={6: pitch}), TRADE)
    small, large = (
        window_of(instrument, 6, Player(budget_cents=budget)) for budget in (cents, cents * more)
    )
    assert small.low_mm == large.low_mm
    assert (small.in_tune_to_mm or 0.0) < (large.in_tune_to_mm or 0.0)
    assert small.high_mm <= large.high_mm + 1e-12


@LAWS
@given(GAUGES, PITCHES, st.sampled_from(list(Attack)), st.floats(1.5, 15))
def test_a_window_that_exists_is_in_order(
    gauge: Length, pitch: Pitch, attack: Attack, cents: float
) -> None:
    """Where a window exists its target lies between its edges, and its edges are as stated."""
    instrument = changed_instrument(ELECTRIC, Changes(pitches={1: pitch}, gauges={1: gauge}), TRADE)
    found = window_of(instrument, 1, Player(attack=attack, budget_cents=cents))
    assume(found.exists)
    assert 0.0 < found.low_mm <= found.target_mm <= found.high_mm <= (found.in_tune_to_mm or 0.0)


def test_the_expected_share_of_plucks_is_clean_at_the_low_edge() -> None:
    """At the low edge of the most demanding string nine plucks in ten stay under the force that
    first touches."""
    player, string = pluck_forces("electric guitar", Attack.MEDIUM, TRADE), 2
    spec = ELECTRIC.spec(string)
    on_neck = strung_string(spec, ELECTRIC, TRADE, aim(spec, ELECTRIC, Player(), TRADE).usual_mm)
    touching = touching_force_n(on_neck, window_of(ELECTRIC, string).low_mm, player.from_bridge_mm)
    assert touching == pytest.approx(player.force_n(0.9))
    assert family_of("electric guitar", TRADE).force_n == pytest.approx(player.force_n(0.9))


@pytest.mark.alone
def test_twelve_strings_are_quick() -> None:
    """All windows of a twelve-string come in far less than a tenth of a second (they take under a
    hundredth on an idle machine; the margin is for busy ones)."""
    instrument = preset_instrument("12-string guitar", TRADE)
    took = []
    for tenths in range(1, 6):
        # another relief each time, so that nothing remembered can help
        bowed = instrument.model_copy(update={"relief": Length.of(f"0.{tenths}")})
        start = perf_counter()
        windows(bowed, USUAL, TRADE)
        took.append(perf_counter() - start)
    assert min(took) < 0.1


@settings(deadline=None, max_examples=120)
@given(
    kind=st.sampled_from(kinds(TRADE)),
    midi=st.integers(0, 127),
    gauge=st.floats(0.15, 4.5),
    scale=st.floats(250, 1100),
    relief=st.none() | st.floats(0, 1.5),
    action=st.floats(0.5, 12),
    make=st.sampled_from(list(Make)),
    player=st.builds(
        Player,
        attack=st.sampled_from(list(Attack)),
        budget_cents=st.none() | st.floats(0.1, 50),
        targets=st.dictionaries(st.just(1), st.floats(0.05, 2).map(Length.of), max_size=1),
    ),
)
def test_no_plausible_instrument_breaks_it(
    kind: str,
    midi: int,
    gauge: float,
    scale: float,
    relief: float | None,
    action: float,
    make: Make,
    player: Player,
) -> None:
    """Whatever a job file may hold, each string gets finite edges, a target and a place for its
    note."""
    usual = preset_instrument(kind, TRADE)
    strange = {"pitch": raised(Pitch.parse("C-1"), midi), "gauge": Length.of(gauge), "make": make}
    first = usual.strings[-1].model_copy(update={**strange, "core": None})
    instrument = usual.model_copy(
        update={
            "scale": Length.of(scale),
            "relief": None if relief is None else Length.of(relief),
            "action_12": {1: Length.of(action)},
            "strings": (*usual.strings[:-1], first),
        }
    )
    for found in windows(instrument, player, TRADE).values():
        assert all(map(isfinite, (found.low_mm, found.target_mm, found.high_mm)))
        assert all(map(isfinite, (found.low_sd_mm, found.high_sd_mm)))
        assert found.exists or found.note


def test_windows_are_plain_values() -> None:
    """The same input gives equal windows, and a window can be changed into another."""
    one, two = (window_of(ELECTRIC, 1) for _ in range(2))
    assert one == two
    assert replace(one, note="x") != one

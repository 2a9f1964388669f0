"""The set-up of the simulations, of cuts and of whole visits: `assets/simulation.json`."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from shared.instrument import NutType
from shared.job import CallKind
from shared.table import Figure, Figures, Row, SourcedRow, Table
from shared.units import Length, Unit


class Fault(StrEnum):
    """What can be wrong with a simulated instrument, its player or what was written down."""

    NOTHING = "nothing"
    SLOTS_HIGH = "slots high"
    SLOTS_LOW = "slots low"
    TOO_MUCH_RELIEF = "too much relief"
    BACK_BOW = "back-bow"
    HIGH_FRET = "high fret"
    RIDES = "rides on its walls"
    TOO_WIDE = "slot too wide"
    BEARS_BEHIND = "bears at the back"
    V_SHAPED = "V-shaped"
    BINDS = "binds"
    DEAD_STRING = "dead string"
    ANCHOR_LOOSE = "anchor loose"
    OFF_PITCH = "off pitch"
    CAPO_ON = "capo on"
    SADDLE = "saddle high or low"
    NUT_TOO_FAR = "nut too far from fret 1"
    OTHER_NUT = "another kind of nut than entered"
    ENTERED_WRONG = "entered wrong"
    SHIMMED = "shim under the nut"
    ONE_PIECE = "one-piece nut off"
    RATTLE = "something rattles"
    HITS_HARD = "hits hard"


class Between(SourcedRow):
    """Evenly anywhere between the two, millimetres."""

    low: float
    high: float


class CauseRow(Row):
    """One fault that a visit can be about."""

    fault: Fault
    strings: Literal["none", "one", "some"]
    """How many strings have it; none: it is the whole instrument's."""
    complaints: dict[str, float]
    """What its owner says, with how often."""
    gates: tuple[str, ...] = ()
    """Checks by which it is found."""
    calls: tuple[CallKind, ...] = ()
    """Calls by which it is found."""


class AnswerRow(Row):
    """What is answered to a question where a fault is there; else the answer that passes."""

    rule: str
    fault: Fault
    answer: str


class CureRow(Row):
    """What is looked at, and put right if it is there, once one of these checks has failed."""

    gates: tuple[str, ...]
    faults: tuple[Fault, ...]


class VisitTable(SourcedRow, Figures):
    """Whole instruments, their owners and the person at the bench. Millimetres unless the name says
    otherwise; shares are of one."""

    wrong_answer_share: Figure[float]
    not_sure_share: Figure[float]
    lapse_share: Figure[float]
    second_cause_share: Figure[float]
    most_questions_before_leaf: Figure[int]
    most_checks_afterwards: Figure[int]
    most_leaves_a_string: Figure[int]
    most_second_looks: Figure[int]
    most_rounds: Figure[int]
    fine_spread_mm: Figure[float]
    fine_above_low_mm: Figure[float]
    true_relief_sd_share: Figure[float]
    relief_reading_sd_mm: Figure[float]
    action_reading_sd_mm: Figure[float]
    number_sd_mm: Figure[float]
    cut_ends_over_target_mm: Figure[float]
    cut_end_sd_mm: Figure[float]
    need_over_target_mm: Figure[float]
    near_mm: Figure[float]
    off_pitch_tension_share: Figure[float]
    off_pitch_drop_mm: Figure[float]
    capo_fret: Figure[int]
    nut_reading_sd_mm: Figure[float]
    hard_player_share: Figure[float]
    action_measured_share: Figure[float]
    strings_some_share: Figure[float]
    slot_high_mm: Between
    slot_low_mm: Between
    relief_high_mm: Between
    back_bow_mm: Between
    high_fret_mm: Between
    rides_mm: Between
    action_off_mm: Between
    nut_off_mm: Between
    shim_mm: Between
    crown_mm: Between
    one_piece_off_mm: Between
    kinds: dict[str, float]
    """Kinds of instrument, with how often each comes in."""
    one_piece_nuts: tuple[NutType, ...]
    causes: tuple[CauseRow, ...]
    """Equally likely."""
    answers: tuple[AnswerRow, ...]
    cures: tuple[CureRow, ...]


class SimulationTable(Table):
    """What is true in the simulation, whatever anybody believes. Millimetres of clearance over
    the first fret."""

    target_mm: Figure[float]
    start_over_mm: Figure[float]
    start_spread_mm: Figure[float]
    true_stroke_median_mm: Figure[float]
    true_sd_log_pair: Figure[float]
    true_sd_log_stroke: Figure[float]
    true_half_stroke_share: Figure[float]
    true_sd_log_half_stroke: Figure[float]
    hand_spread_mm: Figure[float]
    hand_light_half_width_mm: Figure[float]
    leaf_error_mm: Figure[float]
    thinnest_leaf_thou: Figure[int]
    thickest_leaf_thou: Figure[int]
    window_side_mm: Figure[float]
    window_edge_sd_mm: Figure[float]
    tolerance_mm: Figure[float]
    known_after_slots: Figure[int]
    slots_per_known_pair: Figure[int]
    pass_varies_as_one: Figure[bool]
    """Strokes of one pass share their luck, instead of each having its own."""
    visits: VisitTable

    @property
    def leaves(self) -> tuple[Length, ...]:
        """Every leaf in the simulated kit."""
        thicknesses = range(self.thinnest_leaf_thou, self.thickest_leaf_thou + 1)
        return tuple(Length.of(thou, Unit.THOU) for thou in thicknesses)

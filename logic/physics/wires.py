"""From what is written on the packet to a `Wire`: gauge, make, core if known, scale and pitch.

Every figure comes from the table of materials (`assets/materials.json`), with its source there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from logic.physics.strings import (
    Wire,
    area_mm2,
    bending,
    between_rows,
    by_row,
    kappa,
    kappa_from_r,
    plain_kg_per_m,
    r_from_stretch,
    tension_n,
    wound_kg_per_m,
)
from shared.errors import InputError
from shared.units import MM_PER_INCH
from shared.words import say

if TYPE_CHECKING:
    from logic.physics.materials import (
        MaterialTable,
        PlainSteel,
        SolidByModulus,
        SolidByStretch,
        StringMake,
        WoundOnSteel,
    )

MPA_PER_KSI = 6.894757
"""One pound-force over one square inch is 6894.757 Pa (NIST SP 811, appendix B.8)."""
WHOLE_TONE_CENTS = 200.0
"""Two semitones of 100 cents, by definition."""


@dataclass(frozen=True)
class Packet:
    """A string as it is sold and strung. Measured values, where given, replace the table's."""

    make: str
    gauge_mm: float
    scale_mm: float
    hz: float
    core_mm: float | None = None
    measured_kg_per_m: float | None = None
    whole_tone_stretch_mm: float | None = None


@dataclass(frozen=True)
class _Body:
    """What carries the string: its weight, and the round that stretches and bends."""

    kg_per_m: float
    weight_sd_rel: float
    core_mm: float
    bends_mm: float
    breaking_mpa: float | None


def wire(packet: Packet, materials: MaterialTable) -> Wire:
    """The string at pitch; InputError where no string could be like that."""
    _check(packet, materials)
    make = materials.makes[packet.make]
    body = _body(packet, make, materials)
    if packet.measured_kg_per_m is not None:
        weighed = packet.measured_kg_per_m
        body = replace(body, kg_per_m=weighed, weight_sd_rel=materials.weighed_sd_rel)
    pull = tension_n(body.kg_per_m, packet.scale_mm, packet.hz)
    stiff, stiff_sd = _kappa(packet, make, materials, body, pull)
    return Wire(
        gauge_mm=packet.gauge_mm,
        kg_per_m=body.kg_per_m,
        tension_n=pull,
        tension_sd_n=pull * body.weight_sd_rel,
        kappa=stiff,
        kappa_sd=stiff_sd,
        bending=bending(stiff, body.bends_mm / 2.0, packet.scale_mm),
        stress_mpa=pull / area_mm2(body.core_mm),
        breaking_mpa=body.breaking_mpa,
    )


def default_core_mm(gauge_mm: float, scale_mm: float, materials: MaterialTable) -> float:
    """The core to expect inside a wound steel string whose packet does not say."""
    shares = materials.core_share
    rows = shares.bass if scale_mm >= shares.bass_from_scale_mm else shares.guitar
    return gauge_mm * between_rows(rows, gauge_mm / MM_PER_INCH)


def _check(packet: Packet, materials: MaterialTable) -> None:
    """Refuse what no string can be."""
    for name in ("gauge_mm", "scale_mm", "hz"):
        if not 0.0 < getattr(packet, name) < math.inf:
            raise InputError(name, getattr(packet, name), say("give a figure above zero"))
    if packet.make not in materials.makes:
        known = ", ".join(materials.makes)
        raise InputError("make", packet.make, say("write one of: {known}", known=known))
    if packet.core_mm is not None and not 0.0 < packet.core_mm < packet.gauge_mm:
        raise InputError(
            "core",
            f"{packet.core_mm:g} mm",
            say("a core is thinner than its string, {gauge:g} mm", gauge=packet.gauge_mm),
        )


def _kappa(
    packet: Packet, make: StringMake, materials: MaterialTable, body: _Body, pull: float
) -> tuple[float, float]:
    """κ and its sd: by the user's own stretch, by the published R, or by modulus."""
    if packet.whole_tone_stretch_mm is not None:
        r = r_from_stretch(packet.scale_mm, packet.whole_tone_stretch_mm, WHOLE_TONE_CENTS)
        return kappa_from_r(r), materials.stretched_sd_rel * kappa_from_r(r)
    if make.form == "by stretch":
        return kappa_from_r(make.r), 2.0 * make.r_sd
    area = area_mm2(body.core_mm)
    if make.form == "by modulus":
        stiff = kappa(make.modulus_gpa, area, pull)
        return stiff, stiff * make.kappa_sd_rel
    stiff = kappa(_steel_gpa(body.core_mm, materials), area, pull)
    guessed = make.form == "wound on steel" and not packet.core_mm
    core_sd = 2.0 * materials.core_share.sd_rel if guessed else 0.0
    return stiff, stiff * math.hypot(make.kappa_sd_rel, core_sd)


def _body(packet: Packet, make: StringMake, materials: MaterialTable) -> _Body:
    if make.form == "plain steel":
        return _plain_steel(packet, make, materials)
    if make.form == "wound on steel":
        return _wound_on_steel(packet, make, materials)
    return _solid(packet, make)


def _plain_steel(packet: Packet, make: PlainSteel, materials: MaterialTable) -> _Body:
    steel = materials.music_wire
    gauge_in = packet.gauge_mm / MM_PER_INCH
    tolerance_in = by_row(steel.diameter_tolerance_in.rows, gauge_in)
    off = 2.0 * tolerance_in / gauge_in / math.sqrt(3.0)
    return _Body(
        kg_per_m=plain_kg_per_m(packet.gauge_mm, steel.density_kg_per_m3.value),
        weight_sd_rel=math.hypot(off, make.density_sd_rel),
        core_mm=packet.gauge_mm,
        bends_mm=packet.gauge_mm,
        breaking_mpa=_steel_breaking_mpa(packet.gauge_mm, materials),
    )


def _wound_on_steel(packet: Packet, make: WoundOnSteel, materials: MaterialTable) -> _Body:
    core = packet.core_mm or default_core_mm(packet.gauge_mm, packet.scale_mm, materials)
    steel = materials.music_wire.density_kg_per_m3.value
    weight = wound_kg_per_m(packet.gauge_mm, core, steel, make.wrap_kg_per_m3, make.fill)
    return _Body(weight, make.density_sd_rel, core, core, _steel_breaking_mpa(core, materials))


def _solid(packet: Packet, make: SolidByStretch | SolidByModulus) -> _Body:
    """Nylon, fluorocarbon, gut, and overwound nylon taken as one stuff of its own weight."""
    gauge = packet.gauge_mm
    weight = plain_kg_per_m(gauge, between_rows(make.kg_per_m3, gauge))
    return _Body(weight, make.density_sd_rel, gauge, gauge, make.breaking_mpa)


def _steel_gpa(diameter_mm: float, materials: MaterialTable) -> float:
    rows = materials.music_wire.modulus_gpa_by_diameter_in.rows
    return by_row(rows, diameter_mm / MM_PER_INCH)


def _steel_breaking_mpa(diameter_mm: float, materials: MaterialTable) -> float:
    rows = materials.music_wire.minimum_tensile_ksi_by_diameter_in.rows
    return between_rows(rows, diameter_mm / MM_PER_INCH) * MPA_PER_KSI

"""What strings are made of: `assets/materials.json`. `sd_rel` is one standard deviation as a share
of the value."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shared.table import Figure, Figures, RangedFigure, SourcedRow, Table

Rows = tuple[tuple[float, float], ...]
"""A value for each size, in rising order of size."""


class SizeRows(SourcedRow):
    """A figure that depends on a size."""

    rows: Rows


class RangedRows(SizeRows):
    """A figure that depends on a size, and the range in which others give it."""

    low: float
    high: float


class MusicWire(Figures):
    """Plain steel."""

    density_kg_per_m3: RangedFigure
    modulus_gpa_by_diameter_in: RangedRows
    diameter_tolerance_in: SizeRows
    """By diameter, inches."""
    minimum_tensile_ksi_by_diameter_in: SizeRows
    gauge_numbers_in: Figure[dict[int, float]]


class CoreShares(SourcedRow):
    """Core over gauge of a wound steel string, by gauge in inches."""

    guitar: Rows
    bass: Rows
    bass_from_scale_mm: float
    sd_rel: float


class PlainSteel(SourcedRow):
    """Music wire."""

    form: Literal["plain steel"]
    kappa_sd_rel: float
    density_sd_rel: float


class WoundOnSteel(SourcedRow):
    """A wrap of metal on a core of music wire."""

    form: Literal["wound on steel"]
    wrap_kg_per_m3: float
    fill: float
    """Share of the ring round the core that the wrap fills."""
    kappa_sd_rel: float
    density_sd_rel: float


class SolidByStretch(SourcedRow, Figures):
    """One stuff, whose stiffness was published as R = d ln f / d ln L."""

    form: Literal["by stretch"]
    kg_per_m3: Rows
    """By gauge in millimetres, held constant beyond both ends."""
    density_sd_rel: float
    r: float
    r_sd: float
    breaking_mpa: Figure[float | None] = None


class SolidByModulus(SourcedRow, Figures):
    """One stuff, whose stiffness is known by its modulus."""

    form: Literal["by modulus"]
    kg_per_m3: Rows
    """By gauge in millimetres, held constant beyond both ends."""
    density_sd_rel: float
    modulus_gpa: float
    kappa_sd_rel: float
    breaking_mpa: Figure[float | None] = None


StringMake = Annotated[
    PlainSteel | WoundOnSteel | SolidByStretch | SolidByModulus, Field(discriminator="form")
]
"""What is known of one make of string."""


class MaterialTable(Table):
    """What strings are made of."""

    music_wire: MusicWire
    core_share: CoreShares
    weighed_sd_rel: Figure[float]
    """Of a weight per metre that was measured."""
    stretched_sd_rel: Figure[float]
    """Of a stretch for a whole tone that was measured."""
    makes: dict[str, StringMake]

"""How sure one answer is, and what is likely before any: `assets/reading.json`."""

from __future__ import annotations

from shared.table import Figure, Row, SourcedRow, Table


class ClearancePrior(Row):
    """A clearance that is known within a factor: two in three lie within it of the median."""

    median_mm: float
    within_factor: float


class ClearancePriors(SourcedRow):
    """What is likely of a string nobody has touched yet."""

    otherwise: ClearancePrior
    kinds: dict[str, ClearancePrior]

    def of(self, kind: str) -> ClearancePrior:
        """For this kind of instrument."""
        return self.kinds.get(kind, self.otherwise)


class ReadingTable(Table):
    """How sure each way of reading is."""

    judgement_spread_mm: Figure[float]
    light_half_width_mm: Figure[float]
    leaf_tolerance_mm: Figure[float]
    film_mm: Figure[float]
    """Between two leaves of a stack."""
    number_spread_mm: Figure[float]
    gap_spread_mm: Figure[float]
    held_frets_uneven_mm: Figure[float]
    tuner_spread_cents: Figure[float]
    cents_model_share: Figure[float]
    """Of the cents that the model expects."""
    cents_not_height_probability: Figure[float]
    cents_not_height_range_cents: Figure[float]
    cents_frets: Figure[tuple[int, ...]]
    saddle_height_mm: Figure[float]
    """Over the crown plane, where no action is known."""
    last_known_spread_mm: Figure[float]
    last_known_holds_probability: Figure[float]
    priors: ClearancePriors

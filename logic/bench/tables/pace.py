"""How far one bench's pace lies from the table's: `assets/pace.json`."""

from __future__ import annotations

from shared.table import Figure, Table


class PaceTable(Table):
    """How far one bench's pace lies from the table's, and its jobs from each other."""

    sd_log_table: Figure[float]
    sd_log_job: Figure[float]
    least_slot_minutes: Figure[float]

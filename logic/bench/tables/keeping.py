"""How the app looks after the record: `assets/keeping.json`."""

from __future__ import annotations

from shared.table import Figure, Table


class KeepingTable(Table):
    """After how many days a copy is asked for, and an erasure is final."""

    copy_asked_after_days: Figure[int]
    erased_gone_after_days: Figure[int]

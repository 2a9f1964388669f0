"""The base of every model: frozen, and it keeps fields that it does not know."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Record(BaseModel):
    """A value. Unknown fields survive a round trip, so an older app never strips a newer file."""

    # Validators are made at first use: making all of them costs a third of the app's own start.
    model_config = ConfigDict(extra="allow", frozen=True, allow_inf_nan=False, defer_build=True)
